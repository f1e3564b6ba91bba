"""The command `elec bench`."""

import click

from elec.cli.common import Print, Problem, deliver, no_such, options_of, printing, study_of

PAPERS = ("cut-list", "labels", "pull-test", "ring-out", "insulation-test", "first-power")


@click.command(short_help="Papers for the bench: cut list, labels, ring-out, power-up.")
@click.argument("system")
@click.argument("paper", required=False, metavar="[PAPER]")
@printing
def bench(system: str, paper: str | None, how: Print) -> int:
    """Papers for the bench.

    \b
      cut-list         single wires reel by reel, and what is terminated after pulling
      labels           how many labels each wire needs, and where (-o labels.csv for a printer)
      pull-test        what a crimp must hold, with room for five samples
      ring-out         each wire with the ohms to expect
      insulation-test  each wire with room for the reading
      first-power      a safe order, with the current and voltage of each step

    Without a PAPER, all of them; the book and its PDF have them, too.
    """  # noqa: D301 - the mark keeps click from filling these lines
    from elec.pages.bench.page import bench_section
    from elec.pages.bench.page import paper as paper_of

    if paper is not None and paper not in PAPERS:
        raise Problem(no_such("paper", paper, PAPERS))
    study = study_of(system, how)
    section = bench_section(study) if paper is None else paper_of(study, paper)
    deliver(section, how, options_of(study, how, system))
    return 0
