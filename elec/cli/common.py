"""What the commands share: reading a system, common options, and writing the answer.

In: arguments. Out: a study to ask, and bytes on the screen or in a file.
"""

import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

import click

from elec import __version__

if TYPE_CHECKING:
    from elec.finding import Mistake
    from elec.model.system import System
    from elec.pages.document import Section
    from elec.study import Study
    from elec.write.register import Document, Options

MISUSED = 2
FORMATS = sorted(found.stem[3:] for found in (Path(__file__).parents[1] / "write").glob("to_*.py"))
BINARY = {"xlsx", "pdf"}
TEXTS = {".yaml", ".yml"}

Command = TypeVar("Command", bound=Callable[..., Any])


class Problem(click.ClickException):
    """Something that the user can put right; it is printed as it is."""

    exit_code = MISUSED

    def show(self, file: Any = None) -> None:
        """Print the message to standard error."""
        click.echo(self.format_message(), file=file or sys.stderr)


class Print(NamedTuple):
    """The common options of commands that print an answer; loaded for `--help`, so no library."""

    output: Path | None
    format: str | None
    color: str
    wide: bool
    force: bool


def printing(command: Command) -> Command:
    """Give a command the common options; it receives them as `how`."""
    options = (
        click.option(
            "-o",
            "--output",
            type=click.Path(path_type=Path),
            metavar="FILE",
            help="Write to a file; its ending says the format.",
        ),
        click.option("--format", "format_", type=click.Choice(FORMATS), help="The format."),
        click.option("--color", type=click.Choice(["auto", "always", "never"]), default="auto"),
        click.option("--wide", is_flag=True, help="Keep every column on a narrow terminal."),
        click.option("--force", is_flag=True, help="Replace a file that elec did not write."),
    )
    from functools import wraps

    @wraps(command)
    def given(
        *args: Any,
        output: Path | None,
        format_: str | None,
        color: str,
        wide: bool,
        force: bool,
        **rest: Any,
    ) -> Any:
        how = Print(output=output, format=format_, color=color, wide=wide, force=force)
        return command(*args, how=how, **rest)

    found: Any = given
    for option in reversed(options):
        found = option(found)
    decorated: Command = found
    return decorated


def study_of(system: str | None, how: Print) -> "Study":
    """Read the system and begin its study; mistakes end the command."""
    from elec.study import Study

    return Study(read_system(the_system(system), how))


def read_system(path: Path, how: Print | None) -> "System":
    """The system as read; mistakes end the command."""
    from elec.read import read

    reading = read(path)
    if reading.system is not None and not reading.mistakes:
        return reading.system
    raise refused(reading.mistakes, reading.summary(), how)


def refused(mistakes: "tuple[Mistake, ...]", summary: str, how: Print | None) -> Problem:
    """The end of a command whose system has mistakes; a program that asked for JSON gets them."""
    if how is not None and _format(how) == "json" and how.output is None:
        from elec.write.to_json import mistakes_json

        emit(mistakes_json(mistakes), "json")
    from elec.write.values import clean

    return Problem("\n".join([*(clean(str(mistake)) for mistake in mistakes), summary]))


def day(given: str, option: str) -> str:
    """The date of an option, year-month-day."""
    from elec.units import UnitError, parse_day

    try:
        return parse_day(given)
    except UnitError as error:
        raise Problem(f"{option}: {error}") from None


def the_system(given: str | None) -> Path:
    """The path that is given, or else the one system in this folder."""
    if given is not None:
        if not given.strip():
            raise Problem('An empty name ("") names no system; leave it out for this folder')
        return Path(given)
    texts = sorted([*Path().glob("*.yaml"), *Path().glob("*.yml")])
    heads = [path for path in texts if _is_head(path)]
    if len(heads) == 1:
        return heads[0] if len(texts) == 1 else Path()
    if not heads:
        raise Problem(
            "There is no system in this folder. Name one (elec check FILE), or begin with "
            "elec new my-plane.yaml"
        )
    names = ", ".join(str(path) for path in heads)
    raise Problem(f"There are {len(heads)} systems in this folder: {names}. Name the one you mean.")


def _is_head(path: Path) -> bool:
    """Whether a file holds the section `system:`."""
    if not path.is_file():
        return False
    try:
        lines = path.read_text(encoding="utf-8-sig", errors="replace").splitlines()
    except OSError:
        return False
    return any(line.startswith("system:") for line in lines)


def on_paper(system: "System", paper: str | None) -> "System":
    """The system, printed on another paper."""
    if paper is None:
        return system
    about = system.document.system.model_copy(update={"paper": paper})
    from msgspec.structs import replace

    return replace(system, document=system.document.model_copy(update={"system": about}))


def no_such(what: str, name: str, known: Sequence[str], *, also: Sequence[str] = ()) -> str:
    """There is no such thing, and what there is; `also`: other names of the same things."""
    from difflib import get_close_matches

    near = get_close_matches(name, (*known, *also), 1, 0.6)
    if near:
        return f'There is no {what} "{name}"; did you mean "{near[0]}"?'
    listed = ", ".join(known[:12]) + (", …" if len(known) > 12 else "")
    return f'There is no {what} "{name}". ' + (
        f"There are: {listed}." if known else "There is none."
    )


def no_subject(study: "Study", name: str, kind: str = "") -> str:
    """There is nothing of that name, and what there is."""
    from elec.answers.why.why_names import near
    from elec.check import ids

    found = near(study, name, ids())
    text = f'There is no {kind or ""}"{name}"' if kind else f'There is nothing called "{name}"'
    if found:
        *others, last = [f'"{one}"' for one in found]
        return f"{text}; did you mean {', '.join(others)}{' or ' if others else ''}{last}?"
    return (
        f"{text}. Ask by a name of the system file, by a wire's mark, or by a check; elec wires, "
        "elec pins and elec checks list them."
    )


def options_of(study: "Study | None", how: Print, system: str | None) -> "Options":
    """How to write the answer: units, width, colour, and the command that asks again."""
    import shutil

    from elec.answers.build.care import cautions_for
    from elec.write.register import Options

    on_screen = how.output is None and sys.stdout is not None and sys.stdout.isatty()
    plain = bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"
    again = "elec why" + (f" {quoted(system)}" if system else "")
    return Options(
        units=study.document.system.units if study else "feet",
        width=shutil.get_terminal_size().columns if on_screen else None,
        colour=how.color == "always" or (how.color == "auto" and on_screen and not plain),
        wide=how.wide,
        paper=study.document.system.paper if study else "A4",
        cautions=cautions_for(study, _command()),
        again=again,
    )


def quoted(text: str) -> str:
    """A word as a shell takes it."""
    from elec.finding import quoted

    return quoted(text)


def _command() -> str:
    context = click.get_current_context(silent=True)
    return (context.info_name or "") if context is not None else ""


_SCREEN = frozenset({"-", "/dev/stdout", "/dev/fd/1", "/proc/self/fd/1"})


def to_screen(output: Path | None) -> bool:
    """Whether an answer goes to standard output, by any of its names."""
    return output is None or str(output) in _SCREEN


def _format(how: Print) -> str:
    """The name of the format that is asked for."""
    if how.format is not None:
        return how.format
    if how.output is None or to_screen(how.output):
        return "text"
    from elec.write.register import by_ending, formats

    found = by_ending(how.output)
    if found is None:
        endings = ", ".join(form.endings[0] for form in formats().values())
        raise Problem(
            f"{how.output}: its ending names no format; use one of {endings}, or --format"
        )
    return found.name


def deliver(document: "Document | Section", how: Print, options: "Options") -> None:
    """Write a document where the user wants it."""
    from elec.write.register import named

    form = named(_format(how))
    output = None if to_screen(how.output) else how.output
    content = form.write(document, options)
    if output is not None and form.name == "text":
        # By this line the file is known as ours, whatever else changes in it.
        content += f"\nwritten by elec {__version__}\n".encode()
    write_or_print(content, form.name, output, force=how.force)


def write_or_print(content: bytes, form: str, output: Path | None, *, force: bool) -> None:
    """Write to the file, or to standard output where there is none."""
    if output is None:
        emit(content, form)
        return
    from elec.write.files import CannotWrite, write_file

    try:
        write_file(output, content, force=force)
    except CannotWrite as error:
        raise Problem(str(error)) from error
    click.echo(f"Wrote {output}.", err=True)


def emit(content: bytes, form: str) -> None:
    """Print to standard output; a reader that goes away ends it quietly."""
    if sys.stdout is None:
        raise Problem("there is nowhere to print to; write to a file with -o")
    if form in BINARY and sys.stdout.isatty():
        raise Problem(f"{form} is no text for a terminal; write it to a file with -o")
    stream = getattr(sys.stdout, "buffer", None)
    try:
        sys.stdout.flush()
        if stream is None:
            sys.stdout.write(content.decode())
        else:
            stream.write(content)
        sys.stdout.flush()
    except BrokenPipeError:
        silence()


def silence() -> None:
    """Let what is still to be printed go nowhere, so that the end of the program is quiet."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
