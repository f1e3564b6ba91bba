"""`python -m elec` does what the command `elec` does."""

from elec.cli import run

if __name__ == "__main__":
    run()
