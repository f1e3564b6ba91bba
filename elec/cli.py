"""The command line: parse arguments, call, print, and say by the exit status how it went.

Exit status: 0 nothing failed, 1 a check failed, 2 wrong use or unreadable input, 3 a fault of elec
itself, 130 interrupted. A room is imported inside the command that needs it, so that help is quick.
"""

import os
import shutil
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from elec import __version__
from elec.record import dataclass

if TYPE_CHECKING:
    from elec.finding import Finding
    from elec.model.system import System
    from elec.report.document import Section
    from elec.study import Study
    from elec.write.register import Document, Options

FAILED, MISUSED, FAULTY, INTERRUPTED = 1, 2, 3, 130

_FORMATS = sorted(found.stem[3:] for found in (Path(__file__).parent / "write").glob("to_*.py"))
_BINARY = {"xlsx", "pdf"}
_TEXTS = {".yaml", ".yml"}
_BEGIN = """\
Begin with one of these:

  elec new my-plane.yaml      write a small system to change line by line
  elec check my-plane.yaml    is it sound, and if not, what to do
  elec book my-plane.yaml     the wiring book, to read and to print

elec --help lists all commands.
"""
_HELP: dict[str, Any] = {"help_option_names": ["-h", "--help"], "max_content_width": 100}

Command = TypeVar("Command", bound=Callable[..., Any])


class Problem(click.ClickException):
    """Something that the user can put right; it is printed as it is."""

    exit_code = MISUSED

    def show(self, file: Any = None) -> None:
        """Print the message to standard error."""
        click.echo(self.format_message(), file=file or sys.stderr)


@dataclass(frozen=True, kw_only=True)
class Print:
    """The common options of commands that print an answer."""

    output: Path | None
    format: str | None
    color: str
    wide: bool
    force: bool


def run(arguments: Sequence[str] | None = None) -> NoReturn:
    """The entry point of the command `elec`."""
    import gc

    gc.disable()  # a command ends before garbage in cycles would matter: a fifth of its time
    # Threads for matrices that nobody multiplies, and plugins that nobody has, cost a tenth.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    sys.exit(main(arguments))


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
        error.show()
        return MISUSED
    except (click.Abort, KeyboardInterrupt):
        click.echo("interrupted", err=True)
        return INTERRUPTED
    except SystemExit:  # click's way of saying that the reader of a pipe went away
        return 0
    except Exception as error:  # noqa: BLE001 - whatever is left is our fault, and is said so
        return _fault(error)
    return status if isinstance(status, int) else 0


def _speak_utf8() -> None:
    """Print Ω also into a pipe of a system whose usual encoding lacks it."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None and (stream.encoding or "").lower().replace("-", "") != "utf8":
            reconfigure(encoding="utf-8", errors="backslashreplace")


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
        click.option("--format", "format_", type=click.Choice(_FORMATS), help="The format."),
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


class _InOrder(click.Group):
    """Lists its commands in the order in which a builder meets them."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names as they were added."""
        del ctx
        return list(self.commands)


@click.group(cls=_InOrder, invoke_without_command=True, context_settings=_HELP)
@click.version_option(__version__, message="elec %(version)s")
@click.pass_context
def cli(context: click.Context) -> None:
    """Design, check, draw and document the electrical system of a home-built light aircraft.

    SYSTEM is a YAML file, or a folder of them. Without it, the one system in this folder is taken.
    elec is advice, not approval: the makers' data, local rules and licensed practice come first.
    """
    if context.invoked_subcommand is None:
        _emit(_BEGIN.encode(), "text")


@cli.command(short_help="Write a small system to begin with.")
@click.argument("name", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--force", is_flag=True, help="Replace the file.")
def new(name: Path, force: bool) -> int:
    """Write a small system to begin with, to be changed line by line."""
    from elec.read.starter import starter
    from elec.write.files import CannotWrite, write_file

    if name.suffix not in _TEXTS:
        raise Problem(f"{name}: a system is a file that ends in .yaml, such as {name.name}.yaml")
    if name.exists() and not force:
        raise Problem(f"{name} is there already; choose another name, or add --force to replace it")
    try:
        write_file(name, starter(name.stem.replace("-", " ")).encode(), force=force)
    except CannotWrite as error:
        raise Problem(str(error)) from error
    shown = _quoted(str(name))
    click.echo(f"Wrote {name}. Look at it, then:\n  elec check {shown}\n  elec book {shown}")
    return 0


@cli.command(short_help="Is it sound? What fails, and what to do.")
@click.argument("system", required=False)
@click.option("--all", "everything", is_flag=True, help="List what passes, too.")
@click.option("--why", nargs=2, metavar="CHECK ABOUT", help="How one finding was worked out.")
@click.option("--deep", is_flag=True, help="Also follow whole flights through time; takes longer.")
@printing
def check(
    system: str | None, everything: bool, why: tuple[str, str] | None, deep: bool, how: Print
) -> int:
    """Is the system sound? What fails, by how much, and what to do about it.

    Exit status 1 when something fails.
    """
    from elec.check import checks as all_checks
    from elec.check import run as findings_of
    from elec.report.answers import findings_answer, why_answer

    study = _study(system, how)
    left = [one.id for one in all_checks() if one.deep and not deep]
    if why is not None and why[0] in left:
        left = []
    findings = findings_of(study, deep=not left)
    options = _options(study, how, system)
    if why is None:
        section = findings_answer(study, findings, left)
        _deliver(section, how, replace(options, passes=everything))
    else:
        asked = _asked(findings, *why)
        _deliver(why_answer(asked), how, replace(options, passes=True, again=""))
    return FAILED if any(finding.verdict == "fail" for finding in findings) else 0


@cli.command(short_help="Write the wiring book.")
@click.argument("system", required=False)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="OUT",
    help="A folder, or a file that ends in .html; default: the system's name with -book.",
)
@click.option("--paper", type=click.Choice(["A4", "Letter"]), help="Paper to print on.")
@click.option("--force", is_flag=True, help="Replace a book in which files were changed by hand.")
def book(system: str | None, output: Path | None, paper: str | None, force: bool) -> int:
    """Write the wiring book: one page to read and print, drawings, tables.

    The folder holds book.html (open it in any browser; print it from there), the drawings as SVG,
    the tables as CSV and XLSX, and book.json for programs.
    """
    from elec.study import Study

    path = _the_system(system)
    study = Study(_on_paper(_read(path, None), paper))
    from elec.check import run as findings_of
    from elec.report.book import book as book_of
    from elec.write.files import CannotWrite, write_file
    from elec.write.folder import write_book
    from elec.write.register import Options, by_ending
    from elec.write.to_text import counts

    findings = findings_of(study)
    made = book_of(study, findings=findings)
    options = Options(units=study.document.system.units, passes=True)
    out = output or Path(f"{path.resolve().stem}-book")
    try:
        form = by_ending(out) if out.suffix and not out.is_dir() else None
        if form is not None:
            write_file(out, form.write(made, options), force=force)
            click.echo(f"Wrote {out}.")
        else:
            written = write_book(made, out, options, force=force)
            click.echo(f"Wrote {len(written.files)} files to {out}; open {out / 'book.html'}.")
    except CannotWrite as error:
        raise Problem(str(error)) from error
    click.echo(counts(findings))
    return 0


@cli.command(short_help="What each phase of flight draws.")
@click.argument("system", required=False)
@printing
def loads(system: str | None, how: Print) -> int:
    """What each phase of flight draws, by day and by night, and what the sources give."""
    from elec.report.answers import tables_answer
    from elec.report.leads import loads_lead
    from elec.tables.load import conditions, load_lines, loads_by_phase, source_margin

    study = _study(system, how)
    each = (load_lines(study, condition) for condition in conditions(study))
    tables = (source_margin(study), loads_by_phase(study), *each)
    answer = tables_answer(study, "loads", tables, loads_lead(study))
    _deliver(answer, how, _options(study, how, system))
    return 0


@cli.command(short_help="A flight over time: charge, start, the worst minute.")
@click.argument("system", required=False)
@printing
def flight(system: str | None, how: Print) -> int:
    """A flight over time: the worst minute to lose the alternator, and how long then.

    The state of charge through the flight, when the start is paid back, and what the starter does
    to the voltage; by day and night, on a cold, a usual and a hot day.
    """
    from elec.report.answers import tables_answer
    from elec.report.flight import flight_lead, flight_tables

    study = _study(system, how)
    answer = tables_answer(study, "flight", flight_tables(study), flight_lead(study))
    _deliver(answer, how, _options(study, how, system))
    return 0


@cli.command(short_help="What every single failure takes, and what is left.")
@click.argument("system", required=False)
@click.option("--phase", metavar="PHASE", help="In one phase; else the worst of the flight.")
@printing
def failures(system: str | None, phase: str | None, how: Print) -> int:
    """What every single failure takes, what is left, and how long the battery then holds.

    Each source, device, switch, feeder, bus, connector, ground point and way fails in turn.
    """
    from elec.report.answers import tables_answer
    from elec.report.failures import failures_lead
    from elec.tables.failures import failure_tables

    study = _study(system, how)
    if phase is not None and phase not in study.document.phases:
        raise Problem(_no_such("phase", phase, list(study.document.phases)))
    tables = [table for table in failure_tables(study, phase) if table.rows]
    leads = failures_lead(study) if phase is None else ()
    _deliver(tables_answer(study, "failures", tables, leads), how, _options(study, how, system))
    return 0


@cli.command(short_help="How sure the answers are, and what to measure first.")
@click.argument("system", required=False)
@click.option(
    "--samples",
    type=click.IntRange(100, 1_000_000),
    default=10_000,
    show_default=True,
    help="How many samples; the same number gives the same answer.",
)
@printing
def spread(system: str | None, samples: int, how: Print) -> int:
    """How sure the answers are: bands of margins, endurance and voltages, and what drives them.

    Every current, output, capacity and resistance is varied within its tolerance (given, or by
    its basis), and the network is solved for each sample.
    """
    from elec.analyses.uncertainty import sampled
    from elec.report.answers import tables_answer
    from elec.report.spread import spread_lead
    from elec.tables.uncertainty import band_tables, measure_first

    study = _study(system, how)
    found = sampled(study, samples)
    tables = [one for one in (*band_tables(found), measure_first(found)) if one.rows]
    answer = tables_answer(study, "spread", tables, spread_lead(study, found))
    _deliver(answer, how, _options(study, how, system))
    return 0


@cli.command(short_help="Every circuit's wire, and every wire to cut.")
@click.argument("system", required=False)
@printing
def wires(system: str | None, how: Print) -> int:
    """Every circuit's device and gauge with drop and heat, then every wire to cut and mark."""
    from elec.report.answers import tables_answer
    from elec.report.leads import wires_lead
    from elec.tables.wire import circuits, conductors

    study = _study(system, how)
    tables = (circuits(study), conductors(study))
    answer = tables_answer(study, "wires", tables, wires_lead(study))
    _deliver(answer, how, _options(study, how, system))
    return 0


@cli.command(short_help="What goes to which contact of a connector.")
@click.argument("system", required=False)
@click.argument("names", metavar="[EQUIPMENT[.CONNECTOR]]...", nargs=-1)
@printing
def pins(system: str | None, names: tuple[str, ...], how: Print) -> int:
    """What goes to which contact: of the connectors named (radio.J1, or radio), or of all.

    Without a SYSTEM, elec pins radio.J1 looks in the one system in this folder.
    """
    from elec.report.answers import tables_answer
    from elec.report.leads import pins_lead
    from elec.tables.pin import connectors, pin_tables
    from elec.write.values import bare

    if system is not None and not Path(system).exists() and Path(system).suffix not in _TEXTS:
        names, system = (system, *names), None
    study = _study(system, how)
    tables = [table for name in names for table in pin_tables(study, name)]
    if not names:
        tables = [connectors(study), *pin_tables(study)]
    missing = next((name for name in names if not pin_tables(study, name)), None)
    if missing is not None:
        ids = [str(bare(row[0])) for row in connectors(study).rows]
        boxes = [name.partition(".")[0] for name in ids]
        raise Problem(_no_such("connector", missing, list(dict.fromkeys([*ids, *boxes]))))
    answer = tables_answer(study, "pins", tables, pins_lead(study, names))
    _deliver(answer, how, _options(study, how, system))
    return 0


@cli.command(short_help="List the checks, or explain one.")
@click.argument("check_", metavar="[CHECK]", required=False)
@printing
def checks(check_: str | None, how: Print) -> int:
    """List the checks, or say why one of them matters."""
    from elec.check import checks as all_checks
    from elec.report.answers import checks_table
    from elec.report.document import Paragraph, Section, TableBlock

    every = all_checks()
    options = _options(None, how, None)
    if check_ is None:
        table = checks_table(every)
        section = Section(id="checks", title=table.title, blocks=(TableBlock(table=table),))
    else:
        found = next((one for one in every if one.id == check_), None)
        if found is None:
            raise Problem(_no_such("check", check_, [one.id for one in every]))
        texts = [found.title + ".", *found.why.split("\n\n")]
        texts += ["Sources: " + "; ".join(cite.full for cite in found.sources)]
        texts += ["Limits: " + ", ".join(found.limits)] if found.limits else []
        section = Section(
            id=found.id, title=found.id, blocks=tuple(Paragraph(text=text) for text in texts)
        )
    _deliver(section, how, options)
    return 0


@cli.command(short_help="A netlist for a circuit simulator.")
@click.argument("system", required=False)
@click.option("--to", "form", type=click.Choice(["spice"]), required=True, help="The format.")
@click.option("--case", "title", metavar="TITLE", help='Such as "cruise, night, all well".')
@click.option("--phase", metavar="PHASE", help="Only cases in this phase.")
@click.option("--condition", type=click.Choice(["day", "night"]), help="Only by day or by night.")
@click.option("--scenario", metavar="SCENARIO", help="Only with these sources; normal: all well.")
@click.option(
    "--count",
    type=click.Choice(["momentary", "steady"]),
    default="momentary",
    show_default=True,
    help="All that may be on at once, or each load with its share of the time.",
)
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE")
@click.option("--force", is_flag=True, help="Replace a file that elec did not write.")
def export(
    *,
    system: str | None,
    form: str,
    title: str | None,
    phase: str | None,
    condition: str | None,
    scenario: str | None,
    count: str,
    output: Path | None,
    force: bool,
) -> int:
    """Write one case as a netlist, to check it with a general circuit simulator.

    Wires, contacts, sources, diodes and loads come with their laws and limits; comments hold your
    names and elec's own answer. Say which case, by its title or by phase, condition and scenario.
    """
    from elec.analyses.cases import cases
    from elec.analyses.export import spice_deck
    from elec.study import Study

    del form  # one so far
    study = Study(_read(_the_system(system), None))
    every = [case for case in cases(study) if case.count == count]
    if title is not None and title.casefold() not in {case.title.casefold() for case in every}:
        raise Problem(_no_such("case", title, [case.title for case in every]))
    found = [
        case
        for case in every
        if (title is None or case.title.casefold() == title.casefold())
        and (phase is None or case.phase == phase)
        and (condition is None or case.condition == condition)
        and (scenario is None or scenario in (case.scenario.name, case.scenario.title))
    ]
    if len(found) != 1:
        listed = "\n".join(f"  {case.title}" for case in found or every)
        raise Problem(
            f"{len(found) or 'No'} cases are meant; name one with --case, such as "
            f'--case "{(found or every)[0].title}":\n{listed}'
        )
    _write_or_print(spice_deck(study, found[0]).encode(), "text", output, force=force)
    return 0


@cli.command(short_help="The JSON Schema of a system, for editors.")
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE")
@click.option("--force", is_flag=True, help="Replace a file that elec did not write.")
def schema(output: Path | None, force: bool) -> int:
    """Print the JSON Schema of a system, for editors that complete and check while typing."""
    from elec.read.schema import schema as schema_of
    from elec.write.to_json import dump

    _write_or_print(dump(schema_of()), "json", output, force=force)
    return 0


def _study(system: str | None, how: Print) -> "Study":
    """Read the system and begin its study; mistakes end the command."""
    from elec.study import Study

    return Study(_read(_the_system(system), how))


def _read(path: Path, how: Print | None) -> "System":
    from elec.read import read

    reading = read(path)
    if reading.system is not None and not reading.mistakes:
        return reading.system
    if how is not None and _format(how) == "json" and how.output is None:
        from elec.write.to_json import mistakes_json

        _emit(mistakes_json(reading.mistakes), "json")
    from elec.write.values import clean

    lines = [clean(str(mistake)) for mistake in reading.mistakes]
    raise Problem("\n".join([*lines, reading.summary()]))


def _the_system(given: str | None) -> Path:
    """The path that is given, or else the one system in this folder."""
    if given is not None:
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
    try:
        lines = path.read_text(encoding="utf-8-sig", errors="replace").splitlines()
    except OSError:
        return False
    return any(line.startswith("system:") for line in lines)


def _on_paper(system: "System", paper: str | None) -> "System":
    """The system, printed on another paper."""
    if paper is None:
        return system
    about = system.document.system.model_copy(update={"paper": paper})
    return replace(system, document=system.document.model_copy(update={"system": about}))


def _asked(findings: "Sequence[Finding]", check_: str, about: str) -> "list[Finding]":
    """The findings of a check about one thing."""
    of_check = [finding for finding in findings if finding.check == check_]
    if not of_check:
        raise Problem(_no_such("check", check_, sorted({finding.check for finding in findings})))
    found = [finding for finding in of_check if finding.about == about]
    if not found:
        known = sorted({finding.about for finding in of_check})
        raise Problem(_no_such(f"{check_} about", about, known))
    return found


def _no_such(what: str, name: str, known: Sequence[str]) -> str:
    """There is no such thing, and what there is."""
    near = get_close_matches(name, known, 1, 0.6)
    if near:
        return f'There is no {what} "{name}"; did you mean "{near[0]}"?'
    listed = ", ".join(known[:12]) + (", …" if len(known) > 12 else "")
    return f'There is no {what} "{name}". ' + (
        f"There are: {listed}." if known else "There is none."
    )


def _options(study: "Study | None", how: Print, system: str | None) -> "Options":
    from elec.write.register import Options

    on_screen = how.output is None and sys.stdout.isatty()
    plain = bool(os.environ.get("NO_COLOR")) or os.environ.get("TERM") == "dumb"
    again = "elec check" + (f" {_quoted(system)}" if system else "")
    return Options(
        units=study.document.system.units if study else "feet",
        width=shutil.get_terminal_size().columns if on_screen else None,
        colour=how.color == "always" or (how.color == "auto" and on_screen and not plain),
        wide=how.wide,
        again=again,
    )


def _quoted(text: str) -> str:
    from elec.write.to_text import quoted

    return quoted(text)


def _format(how: Print) -> str:
    """The name of the format that is asked for."""
    if how.format is not None:
        return how.format
    if how.output is None or str(how.output) == "-":
        return "text"
    from elec.write.register import by_ending, formats

    found = by_ending(how.output)
    if found is None:
        endings = ", ".join(form.endings[0] for form in formats().values())
        raise Problem(
            f"{how.output}: its ending names no format; use one of {endings}, or --format"
        )
    return found.name


def _deliver(document: "Document | Section", how: Print, options: "Options") -> None:
    """Write a document where the user wants it."""
    from elec.write.register import named

    form = named(_format(how))
    output = None if how.output is None or str(how.output) == "-" else how.output
    content = form.write(document, options)
    if output is not None and form.name == "text":
        # By this line the file is known as ours, whatever else changes in it.
        content += f"\nwritten by elec {__version__}\n".encode()
    _write_or_print(content, form.name, output, force=how.force)


def _write_or_print(content: bytes, form: str, output: Path | None, *, force: bool) -> None:
    if output is None:
        _emit(content, form)
        return
    from elec.write.files import CannotWrite, write_file

    try:
        write_file(output, content, force=force)
    except CannotWrite as error:
        raise Problem(str(error)) from error
    click.echo(f"Wrote {output}.", err=True)


def _emit(content: bytes, form: str) -> None:
    """Print to standard output; a reader that goes away ends it quietly."""
    if form in _BINARY and sys.stdout.isatty():
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
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
