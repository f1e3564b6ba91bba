"""The command `elec size`."""

from typing import TYPE_CHECKING

import click

from elec.cli.common import Print, Problem, deliver, no_such, options_of, printing, study_of

if TYPE_CHECKING:
    from elec.study import Study

FAILED = 1


@click.command(short_help="What was chosen for each circuit, why not smaller, ways out.")
@click.argument("system", required=False)
@click.argument("names", nargs=-1, metavar="[CIRCUIT]...")
@click.option("--write", is_flag=True, help="Write chosen ratings and gauges into the files.")
@click.option("--from-nothing", is_flag=True, help="What would be chosen if nothing were given.")
@printing
def size(
    system: str | None, names: tuple[str, ...], *, write: bool, from_nothing: bool, how: Print
) -> int:
    """Device and gauge of every circuit, feeder and ground: what decided each, and what is next.

    \b
      elec size SYSTEM                      all of them, and what stands in the way
      elec size SYSTEM beacon main-feed     some, and every way out where one fails
      elec size SYSTEM --write              put what was left open into the files
      elec size SYSTEM --from-nothing       what is given beside what would be chosen

    Chosen is the smallest and lightest with which every check of device and wire passes. What is
    given is never changed. Exit status 1 when something fails or cannot be chosen.
    """  # noqa: D301 - the mark keeps click from filling these lines
    if write and from_nothing:
        raise Problem("--from-nothing only asks; what is given is never changed, so leave one out")
    from elec.pages.size.page import failed, from_nothing_answer, size_answer

    study = study_of(system, how)
    only = tuple(dict.fromkeys(found for name in names for found in _chains(study, name)))
    options = options_of(study, how, system)
    if from_nothing:
        deliver(from_nothing_answer(study, only), how, options)
        return 0
    diff, written = _write(study, system, only) if write else ("", ())
    deliver(size_answer(study, only, diff=diff, written=written), how, options)
    return FAILED if failed(study, only) else 0


def _chains(study: "Study", name: str) -> tuple[str, ...]:
    """The chains that a name means: a circuit, feeder or ground, or what feeds some equipment."""
    from elec.wiring.chains import chains

    every = chains(study)
    for found in (name, f"{name}-ground", f"{name}-negative"):
        if found in every.by_name and every.by_name[found].kind != "cable":
            return (found,)
    if name in every.feeds:
        return every.feeds[name]
    known = [chain.name for chain in every.by_name.values() if chain.brings_power]
    raise Problem(no_such("circuit, feeder, ground or equipment", name, known))


def _write(
    study: "Study", system: str | None, only: tuple[str, ...]
) -> tuple[str, tuple[str, ...]]:
    from elec.attempt.write_sizes import put_sizes
    from elec.cli.common import the_system
    from elec.read.edit import CannotEdit, CannotSave, Edits

    try:
        edits = Edits.of(the_system(system))
        put_sizes(study, edits, only)
        return edits.diff(), tuple(file.name for file in edits.write())
    except (CannotEdit, CannotSave) as error:
        raise Problem(str(error)) from None
