"""The command `elec done`."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from elec.cli.common import (
    Print,
    Problem,
    day,
    deliver,
    no_such,
    options_of,
    printing,
    study_of,
    the_system,
)

if TYPE_CHECKING:
    from elec.study import Study

STATES = ("planned", "cut", "pulled", "terminated", "rung-out", "tested")
Move = tuple[str, str]
"""The state before, and the one that is written."""
SPOKEN = " rung out"
"""As the file and the lists say the state of that name."""


@click.command(short_help="Tick off what is built; how far the work is.")
@click.argument("system")
@click.argument("names", metavar="[MARK|CIRCUIT|CABLE]...", nargs=-1)
@click.option("--state", type=click.Choice(STATES), help="How far they are.")
@click.option("--cut", metavar="LENGTH", help='The length that was cut: "9 ft 4 in".')
@click.option("--ohms", metavar="OHMS", help="Resistance from end to end: 210mΩ or 210mohm.")
@click.option("--insulation", metavar="OHMS", help="Insulation resistance to all else: 200MΩ.")
@click.option("--date", metavar="DATE", help="When: 2026-05-02.")
@click.option("--remark", metavar="TEXT", help="Anything worth printing.")
@click.option(
    "--from",
    "lines",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    metavar="FILE",
    help="Lines carried over from the page: L31A22 pulled.",
)
@click.option("--fill", is_flag=True, help="List everything as planned, to be ticked by hand.")
@printing
def done(
    system: str,
    names: tuple[str, ...],
    *,
    state: str | None,
    cut: str | None,
    ohms: str | None,
    insulation: str | None,
    date: str | None,
    remark: str | None,
    lines: Path | None,
    fill: bool,
    how: Print,
) -> int:
    """Tick off wires, circuits, cables; without names, how far the work is.

    \b
      elec done SYSTEM beacon --state pulled
      elec done SYSTEM L31A22 L31B22 --state rung-out --date 2026-05-02
      elec done SYSTEM L31A22 --cut "9 ft 4 in" --ohms 210mΩ
      elec done SYSTEM --from ticks.txt
      elec done SYSTEM

    It is written to a file of its own (build.yaml in a folder, NAME-build.yaml beside a file) that
    any editor opens, on a telephone too; the design is never touched. `for:` keeps what the tick
    was given for (ends; wire; length; way): where that changes, or where it is missing, the tick
    does not count. --fill writes it for everything, so that the state alone is ticked by hand.
    """  # noqa: D301 - the mark keeps click from filling these lines
    given = {
        "state": state.replace("-", " ") if state else None,
        "cut": cut, "ohms": ohms, "insulation": insulation, "remark": remark,
        "date": None if date is None else day(date, "--date"),
    }  # fmt: skip
    keys = {key: value for key, value in given.items() if value is not None}
    path = the_system(system)
    if keys and not names:
        raise Problem("Say what is done: elec done SYSTEM beacon --state pulled")
    if names and not keys:
        raise Problem(f"Say how far: elec done SYSTEM {names[0]} --state pulled")
    if lines is not None:
        if names or keys or fill:
            raise Problem("--from says what is done by itself; leave out names and other options")
        return _carried(path, study_of(system, how), lines)
    if fill:
        return _fill(path, study_of(system, how))
    if names:
        study = study_of(system, how)
        _known(study, names)
        if {"cut", "ohms", "insulation"} & keys.keys():
            _single(study, names)
        from elec.answers.base.ticked import given_for

        wanted = {name: {**keys, "for": given_for(study, name)} for name in names}
        return _tick(path, wanted, _moves(study, wanted))
    from elec.pages.answers import tables_answer
    from elec.pages.closing.table import notes, progress

    study = study_of(system, how)
    tables = (progress(study), *notes(study))
    answer = tables_answer(study, "progress", tables, _lead(study))
    deliver(answer, how, options_of(study, how, system))
    return 0


def _lead(study: "Study") -> tuple[str, ...]:
    from elec.answers.base.ticked import lost, state_of, unheld
    from elec.wiring.built import at_least
    from elec.wiring.chains import chains

    wires = list(chains(study).conductors())
    far = sum(at_least(state_of(study, one), "rung out") for one in wires)
    said = [f"{far} of {len(wires)} wires and cores are rung out or further."]
    for name, one in sorted({one.entry.name: one for one in lost(study).values()}.items()):
        said.append(f"Not counted: {name} was {one.said}.")
    if bare := unheld(study):
        said.append(
            f"Not counted, as {len(bare)} of the ticks do not say which wire they were given for: "
            f"{', '.join(bare)}. Look, and tick them again with elec done."
        )
    return tuple(said)


def _known(study: "Study", names: tuple[str, ...]) -> None:
    """Whether every name is a wire's mark, or a circuit's, feeder's, ground's or cable's name."""
    from elec.answers.base.marks import marks
    from elec.wiring.built import find
    from elec.wiring.chains import chains

    for name in names:
        found = find(study, name)
        mark = marks(study).get(getattr(found, "id", ""), name)
        if mark != name and not mark.startswith(name):
            raise Problem(f"{name} is marked {mark}; write that, or its mark without the gauge")
        if found is None:
            known = [*chains(study).by_name, *marks(study).values()]
            raise Problem(no_such("wire, circuit, feeder, ground or cable", name, known))


def _single(study: "Study", names: tuple[str, ...]) -> None:
    """A reading is one wire's: refuse it for a circuit of several."""
    from elec.answers.base.marks import marks
    from elec.wiring.built import alone
    from elec.wiring.chains import chains

    for name in names:
        chain = chains(study).by_name.get(name)
        if chain is not None and not alone(chain):
            wires = ", ".join(marks(study)[one.id] for one in chain.conductors())
            raise Problem(f"--cut, --ohms and --insulation are one wire's; {name} has: {wires}")


def _carried(path: Path, study: "Study", lines: Path) -> int:
    """Tick what the page of a telephone has: a mark or name and a state on each line."""
    from elec.answers.base.ticked import given_for

    wanted: dict[str, dict[str, str]] = {}
    for number, line in enumerate(_lines(lines), 1):
        if not line.strip():
            continue
        said = line.strip()
        if said.endswith(SPOKEN):
            said = f"{said.removesuffix(SPOKEN)} rung-out"
        name, _, state = said.rpartition(" ")
        if not name or state not in STATES:
            raise Problem(
                f'{lines}:{number}: "{line.strip()}" is no name with a state '
                f"({', '.join(STATES)}), such as L31A22 pulled; nothing was written"
            )
        try:
            _known(study, (name,))
        except Problem as error:
            raise Problem(f"{lines}:{number}: {error.message}; nothing was written") from None
        wanted[name] = {"state": state.replace("-", " "), "for": given_for(study, name)}
    if not wanted:
        raise Problem(f"{lines} has no line such as L31A22 pulled")
    return _tick(path, wanted, _moves(study, wanted), counted=True)


def _lines(path: Path) -> list[str]:
    try:
        return path.read_text(encoding="utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        raise Problem(f"{path} cannot be read as text: {error}") from None


def _moves(study: "Study", wanted: Mapping[str, Mapping[str, str]]) -> Mapping[str, Move]:
    """What each name's state was, as far as that counts, and will be."""
    from elec.answers.base.ticked import lost
    from elec.wiring.built import built, find
    from elec.wiring.chains import Chain

    def before(name: str) -> str:
        found = find(study, name)
        wires = found.conductors() if isinstance(found, Chain) else (found,) if found else ()
        if any(wire.id in lost(study) for wire in wires):
            return "planned"
        own = study.document.build.get(name)
        if own is None and not isinstance(found, Chain) and found is not None:
            entry = built(study).by_conductor.get(found.id)
            own = entry.done if entry else None
        return own.state if own else "planned"

    return {name: (before(name), keys["state"]) for name, keys in wanted.items() if "state" in keys}


def _tick(
    path: Path,
    wanted: dict[str, dict[str, str]],
    moves: Mapping[str, Move],
    *,
    counted: bool = False,
) -> int:
    from elec.read.edit import CannotEdit, CannotSave
    from elec.read.ticks import tick
    from elec.wiring.built import at_least

    try:
        _, written = tick(path, wanted)
    except (CannotEdit, CannotSave) as error:
        raise Problem(str(error)) from None
    if not written:
        click.echo("Nothing changed; it is so already.")
    for file in written:
        click.echo(f"Wrote {file}.")
    back = {name: move for name, move in moves.items() if not at_least(move[1], move[0])}
    same = sum(was == now for was, now in moves.values())
    if counted:
        forward = len(moves) - len(back) - same
        click.echo(f"{forward} went forward, {len(back)} back, {same} as before.")
    for name, (was, now) in back.items():
        click.echo(f"{name} goes back: {was} before, {now} now.")
    return 0


def _fill(path: Path, study: "Study") -> int:
    from elec.answers.base.ticked import given_for
    from elec.read.edit import CannotEdit, CannotSave
    from elec.read.ticks import fill
    from elec.wiring.chains import chains

    names = [chain.name for chain in chains(study).by_name.values() if chain.conductors()]
    try:
        _, written = fill(path, {name: given_for(study, name) for name in names})
    except (CannotEdit, CannotSave) as error:
        raise Problem(str(error)) from None
    click.echo(f"Wrote {written[0]}." if written else "Everything is listed already.")
    return 0
