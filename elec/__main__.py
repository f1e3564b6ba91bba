"""`python -m elec` does what the command `elec` does."""

import sys
from typing import NoReturn


def run() -> NoReturn:
    """The entry point of the command `elec`: an interrupt while it is loaded is quiet, too."""
    try:
        from elec.cli import run as begin

        begin()
    except KeyboardInterrupt:
        sys.stderr.write("interrupted\n")
        sys.exit(130)


if __name__ == "__main__":
    run()
