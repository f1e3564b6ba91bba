"""Which equipment is joined to which by signal wires, one line for each two."""

from collections.abc import Mapping, Sequence

from elec.drawings.inputs import BoxLink, InterconnectBox, InterconnectDrawing
from elec.drawings.records import words
from elec.drawings.records.runs import SignalRun, signal_runs
from elec.study import Study, analysis
from elec.wiring.chains import chains

NOTES = (
    "In a box: its connectors, or the terminal of a line. Over a line: marks of its wires.",
    "Power and ground of each box: sheets C and G.",
)
PLUGGED = "Two halves in a line: a plug between harnesses; the table names it."
CHOSEN = "Drawn: the boxes that the file lists; wires to others stand at their connectors (K)."
LISTED = "Not drawn, in the table alone: sensors, jacks, antennas, what else no circuit feeds."
WHOLE_SET = 30
"""So many boxes are drawn with sensors, jacks and antennas; of more, those that a circuit feeds."""


@analysis
def interconnects(study: Study) -> Mapping[str, tuple[str, tuple[str, ...]]]:
    """Name → title and equipment of each interconnect drawing.

    The builder's, else one of all equipment that shares signal wires; where that is much, of what
    a circuit feeds.
    """
    given = study.document.interconnects
    if given:
        return {
            name: (study.system.title("interconnects", name), entry.equipment)
            for name, entry in given.items()
        }
    joined = {name for run in signal_runs(study) for name in _pair(run)}
    every = tuple(name for name in study.document.equipment if name in joined)
    fed = tuple(name for name in every if not study.document.equipment[name].passive)
    if len(fed) < 2:
        return {}
    return {"": ("Interconnect", every if len(every) <= WHOLE_SET else fed)}


def _pair(run: SignalRun) -> tuple[str, ...]:
    """The two pieces of equipment at the ends of a run; empty where it has others."""
    ends = (run.parts[0], run.parts[-1])
    if any(part.kind != "equipment" for part in ends) or ends[0].name == ends[1].name:
        return ()
    return (ends[0].name, ends[1].name)


_Joined = tuple[str, str, str, str]
"""Two boxes, and the connector of each; empty for terminals without one."""


def interconnect_record(study: Study, name: str) -> InterconnectDrawing:
    """One interconnect drawing."""
    title, chosen = interconnects(study)[name]
    drawn: dict[_Joined, list[SignalRun]] = {}
    others: dict[_Joined, list[SignalRun]] = {}
    order = {one: i for i, one in enumerate(chosen)}
    for run in signal_runs(study):
        pair = _pair(run)
        if not pair:
            continue
        a, b = sorted(pair, key=lambda one: order.get(one, len(order)))
        key = (a, b, _connector(study, run, a), _connector(study, run, b))
        if set(pair) <= order.keys():
            drawn.setdefault(key, []).append(run)
        elif not name:  # the builder's own drawings show what he chose
            others.setdefault(key, []).append(run)
    listed = tuple(_link(study, key, runs) for key, runs in others.items())
    links = tuple(_link(study, key, runs) for key, runs in drawn.items())
    ends = dict.fromkeys(box for link in listed for box in (link.a, link.b))
    more = (LISTED,) if listed else ()
    plugged = (PLUGGED,) if any(link.plugs for link in links) else ()
    return InterconnectDrawing(
        title=words.title_block(study, title, 1),
        id=f"interconnect {name}".strip(),
        units=tuple(_unit(study, one) for one in chosen),
        links=links,
        listed=listed,
        listed_units=tuple(_unit(study, one) for one in ends),
        notes=(*more, *((CHOSEN,) if name else ()), *plugged, *NOTES),
        size=words.paper(study, large=True),
        smaller=words.paper(study, large=False),
    )


def _unit(study: Study, name: str) -> InterconnectBox:
    return InterconnectBox(id=name, label=study.system.title("equipment", name))


def _link(study: Study, key: _Joined, runs: Sequence[SignalRun]) -> BoxLink:
    a, b, *at = key
    numbers: dict[str, list[int]] = {}
    shields: dict[str, None] = {}
    for run in runs:
        for conductor in run.conductors:
            chain = chains(study).by_name[conductor.chain]
            numbers.setdefault(chain.function, []).append(chain.number)
            cable = study.document.cables.get(conductor.cable or "")
            if cable is not None:
                shields["shielded" if "shielded" in cable.type else cable.type] = None
    marks = ", ".join(_ranges(letter, sorted(set(ns))) for letter, ns in sorted(numbers.items()))
    plugs = dict.fromkeys(p.name for run in runs for p in run.parts[1:-1] if p.kind == "connector")
    return BoxLink(
        id=" ".join(filter(None, (a, b, *at))),
        a=a,
        b=b,
        wires=len(runs),
        marks=marks,
        all_marks=marks,
        a_at=at[0] or ", ".join(dict.fromkeys(_contact(run, a) for run in runs)),
        b_at=at[1] or ", ".join(dict.fromkeys(_contact(run, b) for run in runs)),
        carries=", ".join(dict.fromkeys(filter(None, map(_carries, runs)))),
        shields=", ".join(shields),
        plugs=tuple(study.system.title("plugs", plug) for plug in plugs),
        targets=(_target(runs[0], a, at[0]), _target(runs[0], b, at[1])),
    )


def _contact(run: SignalRun, box: str) -> str:
    """The contact at which a run leaves a box."""
    return next(part for part in (run.parts[0], run.parts[-1]) if part.name == box).contact


def _connector(study: Study, run: SignalRun, box: str) -> str:
    """The connector at which a run leaves a box; empty where it has none there."""
    contact, own = _contact(run, box), study.document.equipment[box].connectors
    stem = contact.rpartition(".")[0]
    return stem if stem in own else contact if contact in own else ""


def _target(run: SignalRun, box: str, connector: str) -> str:
    """What the sheet of an end is looked up by: its connector, else its wire."""
    wire = run.conductors[0 if run.parts[0].name == box else -1]
    contact = f"{box}.{connector or _contact(run, box)}"
    return f"contact {contact} wire {wire.id}"


def _carries(run: SignalRun) -> str:
    """What runs in a wire, in words; both wires of a pair carry the same."""
    if run.conductors[0].role == "coax":
        return "radio frequency"
    said = next((wire.signal for wire in run.conductors if wire.signal), "")
    return said.removesuffix("-low").removesuffix("-high").replace("-", " ")


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
