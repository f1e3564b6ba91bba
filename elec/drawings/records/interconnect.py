"""Which equipment is joined to which by signal wires, one line for each two."""

from collections.abc import Mapping, Sequence

from elec.drawings.inputs import BoxLink, InterconnectBox, InterconnectDrawing
from elec.drawings.records import words
from elec.drawings.records.runs import SignalRun, signal_runs
from elec.study import Study, analysis
from elec.wiring.chains import chains

NOTES = (
    "At the ends of a line: how many wires it stands for.",
    "Over it: their marks without segment and gauge.",
)
SMALL_SET = 8
"""So many boxes are drawn on the builder's own paper; more on double paper."""


@analysis
def interconnects(study: Study) -> Mapping[str, tuple[str, tuple[str, ...]]]:
    """Name → title and equipment of each interconnect drawing.

    The builder's, else one of all equipment that is fed and shares signal wires.
    """
    given = study.document.interconnects
    if given:
        return {
            name: (study.system.title("interconnects", name), entry.equipment)
            for name, entry in given.items()
        }
    joined = {name for run in signal_runs(study) for name in _pair(run)}
    fed = tuple(
        name
        for name, entry in study.document.equipment.items()
        if name in joined and not entry.passive
    )
    return {"": ("Interconnect", fed)} if len(fed) > 1 else {}


def _pair(run: SignalRun) -> tuple[str, ...]:
    """The two pieces of equipment at the ends of a run; empty where it has others."""
    ends = (run.parts[0], run.parts[-1])
    if any(part.kind != "equipment" for part in ends) or ends[0].name == ends[1].name:
        return ()
    return (ends[0].name, ends[1].name)


def interconnect_record(study: Study, name: str) -> InterconnectDrawing:
    """One interconnect drawing."""
    title, chosen = interconnects(study)[name]
    found: dict[tuple[str, str], list[SignalRun]] = {}
    order = {one: i for i, one in enumerate(chosen)}
    for run in signal_runs(study):
        pair = _pair(run)
        if pair and set(pair) <= order.keys():
            a, b = sorted(pair, key=lambda one: order[one])
            found.setdefault((a, b), []).append(run)
    return InterconnectDrawing(
        title=words.title_block(study, title, 1),
        id=f"interconnect {name}".strip(),
        units=tuple(_unit(study, one) for one in chosen),
        links=tuple(_link(study, pair, runs) for pair, runs in found.items()),
        notes=NOTES,
        size=words.paper(study, large=len(chosen) > SMALL_SET),
    )


def _unit(study: Study, name: str) -> InterconnectBox:
    return InterconnectBox(id=name, label=study.system.title("equipment", name))


def _link(study: Study, pair: tuple[str, str], runs: Sequence[SignalRun]) -> BoxLink:
    numbers: dict[str, list[int]] = {}
    plugs: dict[str, None] = {}
    shields: dict[str, None] = {}
    for run in runs:
        for conductor in run.conductors:
            chain = chains(study).by_name[conductor.chain]
            numbers.setdefault(chain.function, []).append(chain.number)
            cable = study.document.cables.get(conductor.cable or "")
            if cable is not None:
                shields[f"{chain.function}{chain.number} {cable.type}"] = None
        for part in run.parts[1:-1]:
            plugs[study.system.title("plugs", part.name)] = None
    marks = ", ".join(_ranges(letter, sorted(set(ns))) for letter, ns in sorted(numbers.items()))
    return BoxLink(
        id=f"{pair[0]} {pair[1]}",
        a=pair[0],
        b=pair[1],
        wires=len(runs),
        marks=marks,
        all_marks=marks,
        through=", ".join(plugs),
        shields="; ".join(shields),
    )


def _ranges(letter: str, numbers: Sequence[int]) -> str:
    """Marks in few words.

    >>> _ranges("U", [3, 4, 5, 9])
    'U3–5, U9'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        f"{letter}{run[0]}–{run[-1]}" if len(run) > 1 else f"{letter}{run[0]}" for run in runs
    )
