"""The command line: parse arguments, call, print, and say by the exit status how it went.

Exit status: 0 nothing failed, 1 a check failed, 2 wrong use or unreadable input, 3 a fault of elec
itself, 130 interrupted. Each command is one file of its name; a room is imported inside the command
that needs it, so that help is quick.
"""

import errno
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from typing import Any, NoReturn

import click

from elec import __version__
from elec.cli.common import MISUSED, emit, silence

FAULTY, INTERRUPTED = 3, 130

COMMANDS = (
    "new",
    "check",
    "why",
    "show",
    "try",
    "compare",
    "options",
    "issue",
    "book",
    "live",
    "loads",
    "flight",
    "failures",
    "spread",
    "size",
    "wires",
    "pins",
    "add",
    "draw",
    "buy",
    "bench",
    "done",
    "measured",
    "close",
    "checks",
    "export",
    "schema",
)
"""In the order in which a builder meets them."""
FILES = {"try": "attempt"}
"""Commands whose name no file's function can have."""

_BEGIN = """\
Begin with one of these:

  elec new my-plane.yaml      write a small system to change line by line
  elec check my-plane.yaml    is it sound, and if not, what to do
  elec book my-plane.yaml     the wiring book, to read and to print

elec --help lists all commands.
"""
_HELP: dict[str, Any] = {"help_option_names": ["-h", "--help"], "max_content_width": 100}


def run(arguments: Sequence[str] | None = None) -> NoReturn:
    """The entry point of the command `elec`."""
    import gc

    gc.disable()  # a command ends before garbage in cycles would matter: a fifth of its time
    # Threads for matrices that nobody multiplies cost a tenth; nobody has plugins.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    if not Path("~").expanduser().is_dir():
        os.environ["HOME"] = os.sep  # a library looks there and does not survive a file
    status = main(arguments)
    gc.freeze()  # nor is it looked for at the end
    sys.exit(status)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command and return its exit status."""
    _speak_utf8()
    try:
        status = cli.main(
            args=None if arguments is None else list(arguments),
            prog_name="elec",
            standalone_mode=False,
        )
    except click.ClickException as error:
        with suppress(OSError, ValueError):  # nobody listens
            error.show()
        return MISUSED
    except (click.Abort, KeyboardInterrupt):
        _say("interrupted")
        return INTERRUPTED
    except SystemExit:  # click's way of saying that the reader of a pipe went away
        return 0
    except Exception as error:  # noqa: BLE001 - whatever is left is our fault, and is said so
        said = _not_ours(error)
        if said is None:
            return _fault(error)
        _say(said)
        return MISUSED
    return status if isinstance(status, int) else 0


def _speak_utf8() -> None:
    """Print Ω also where the usual encoding lacks it, and names of files that are no text."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="backslashreplace")


_DISK = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO, errno.EPIPE, errno.EBADF})


def _not_ours(error: Exception) -> str | None:
    """What is so, where neither elec nor the user is to blame; None for a fault of elec."""
    if isinstance(error, OSError) and error.errno in _DISK:
        silence()
        return f"this could not be printed or written: {(error.strerror or str(error)).lower()}"
    table = sys.modules.get("elec.standards.table")  # where it is not loaded, nothing is asked
    if table is not None and isinstance(error, table.NotCovered):
        return f"this cannot be told: {error}"
    return None


def _say(text: str) -> None:
    with suppress(OSError, ValueError):
        click.echo(text, err=True)


def _fault(error: Exception) -> int:
    """Ask for a report; the traceback only where a developer wants it."""
    if os.environ.get("ELEC_DEBUG"):
        import traceback

        traceback.print_exception(error)
    spot = error.__traceback__
    while spot is not None and spot.tb_next is not None:
        spot = spot.tb_next
    where = f"{Path(spot.tb_frame.f_code.co_filename).name}:{spot.tb_lineno}" if spot else "?"
    click.echo(
        f"elec {__version__} has a fault; do not rely on what it printed. Please report it, "
        "with your command and this line:\n"
        f"{type(error).__name__} in {where}: {error}\n"
        "(ELEC_DEBUG=1 in the environment shows where it came from.)",
        err=True,
    )
    return FAULTY


class _InOrder(click.Group):
    """Lists its commands in their order, and loads only the one that is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names in order."""
        del ctx
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command in the file of that name."""
        if cmd_name not in COMMANDS:
            for name in COMMANDS:  # what it is likened to
                self.commands[name] = self.get_command(ctx, name) or click.Command(name)
            return None
        file = FILES.get(cmd_name, cmd_name)
        found: click.Command = getattr(import_module(f"elec.cli.{file}"), file)
        return found


@click.group(cls=_InOrder, invoke_without_command=True, context_settings=_HELP)
@click.version_option(__version__, message="elec %(version)s")
@click.pass_context
def cli(context: click.Context) -> None:
    """Design, check, draw and document the electrical system of a home-built light aircraft.

    SYSTEM is a YAML file, or a folder of them. Without it, the one system in this folder is taken.
    elec is advice, not approval: the makers' data, local rules and licensed practice come first.
    """
    if context.invoked_subcommand is None:
        emit(_BEGIN.encode(), "text")
