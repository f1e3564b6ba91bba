"""The command `elec bench`."""

import click

from elec.cli.common import Print, Problem, deliver, no_such, options_of, printing, study_of

PAPERS = (
    "cut-list", "labels", "engraving", "pull-test", "terminations", "ring-out",
    "insulation-test", "first-power",
)  # fmt: skip


@click.command(short_help="Papers for the bench: cut list, labels, ring-out, power-up.")
@click.argument("system")
@click.argument("paper", required=False, metavar="[PAPER]")
@click.option(
    "--unplugged", is_flag=True, help="All that the insulation test names is off: print its rows."
)
@printing
def bench(system: str, paper: str | None, *, unplugged: bool, how: Print) -> int:
    """Papers for the bench.

    \b
      cut-list         single wires reel by reel, and what is terminated after pulling
      labels           how many labels each wire needs, and where (-o labels.csv for a printer)
      engraving        labels of the panels at true size, to cut out (-o strips.pdf)
      pull-test        what a crimp must hold, with room for five samples
      terminations     torque of every nut, tool of every crimp
      ring-out         each wire with the millivolts at 1 A to expect
      insulation-test  what must be unplugged; with --unplugged, each wire
      first-power      a safe order, with limit, current and voltage of each step

    Without a PAPER, all of them; the book and its PDF have them, too.
    """  # noqa: D301 - the mark keeps click from filling these lines
    from elec.pages.bench.page import bench_section
    from elec.pages.bench.page import paper as paper_of

    if paper is not None and paper not in PAPERS:
        raise Problem(no_such("paper", paper, PAPERS))
    if unplugged and paper != "insulation-test":
        raise Problem(
            "--unplugged belongs to a paper: elec bench SYSTEM insulation-test --unplugged"
        )
    study = study_of(system, how)
    section = bench_section(study) if paper is None else paper_of(study, paper, unplugged=unplugged)
    deliver(section, how, options_of(study, how, system))
    return 0
