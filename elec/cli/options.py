"""The command `elec options`."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from elec.cli.common import (
    TEXTS,
    Print,
    Problem,
    deliver,
    options_of,
    printing,
    refused,
    the_system,
    to_screen,
)

if TYPE_CHECKING:
    from elec.attempt.options.options import Beside
    from elec.write.register import Options


@click.command(short_help="Alternatives side by side: weight, drop, margins, checks.")
@click.argument("system", required=False)
@click.argument("subject", required=False)
@click.option(
    "--single-faults",
    is_flag=True,
    help="The smallest change after which no single fault stops the engine or takes an essential "
    "bus.",
)
@printing
def options(system: str | None, subject: str | None, single_faults: bool, how: Print) -> int:
    """Alternatives of a circuit, load or feeder, or of the whole system, side by side.

    SUBJECT: other gauges, ratings, kinds and classes of device, wire, ground points, buses and
    ways. Without one: the other voltage, a second alternator or battery, wire, fuses or breakers.
    Each is a real change of the text, computed and checked like the system itself; nothing is
    written. Weight, drop, margins, endurance and findings stand side by side. An option that
    another one beats in some column and in none falls behind is marked so; none is recommended.
    With -o also as a picture (.svg alone, or in .html and .pdf).
    """
    if system is not None and subject is None and not Path(system).exists():
        system, subject = (None, system) if Path(system).suffix not in TEXTS else (system, None)
    from elec.attempt.asked import Unclear
    from elec.finding import Mistaken

    path = the_system(system)
    try:
        if single_faults:
            if subject is not None:
                raise Problem("--single-faults asks about the whole system; leave the name out")
            return _single_faults(path, system, how)
        return _beside(path, system, subject, how)
    except Unclear as error:
        raise Problem(str(error)) from None
    except Mistaken as error:
        raise refused(error.mistakes, error.summary, how) from None


def _beside(path: Path, system: str | None, subject: str | None, how: Print) -> int:
    from msgspec.structs import replace

    from elec.attempt.options.options import beside
    from elec.pages.options.page import options_answer

    found = beside(path, subject, lambda n, of, title: _tell(f"{n} of {of}: {title}"))
    _tell("")
    written = replace(options_of(found.study, how, system), again="")
    if how.output is not None and how.output.suffix.lower() == ".svg" and how.format is None:
        return _picture(found, how, written)
    picture = not to_screen(how.output) or how.format in ("html", "pdf")
    deliver(options_answer(found, picture=picture), how, written)
    return 0


def _picture(found: "Beside", how: Print, options: "Options") -> int:
    """The chart alone, with its cautions in it."""
    from elec.cli.common import write_or_print
    from elec.drawings.svg import to_svg
    from elec.pages.options.table import options_figure

    figure = options_figure(found)
    said = " ".join([figure.description, *options.cautions])
    drawn = to_svg(figure.drawing, title=figure.title, description=said, embed_font=True)
    write_or_print(drawn.encode(), "svg", how.output, force=how.force)
    return 0


def _single_faults(path: Path, system: str | None, how: Print) -> int:
    from msgspec.structs import replace

    from elec.attempt.faults.smallest import smallest
    from elec.pages.options.faults import faults_answer

    found = smallest(path, lambda n, of: _tell(f"{n} of at most {of} sets of changes"))
    _tell("")
    deliver(faults_answer(found), how, replace(options_of(found.study, how, system), again=""))
    return 0


def _tell(text: str) -> None:
    """How far it is, on one line of standard error, where somebody looks."""
    if sys.stderr is not None and sys.stderr.isatty():
        sys.stderr.write(f"\r{text[:76]:<76}" if text else f"\r{'':<76}\r")
        sys.stderr.flush()
