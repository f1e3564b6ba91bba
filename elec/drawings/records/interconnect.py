"""Which equipment is joined to which by signal wires, one line for each two."""

from collections.abc import Mapping, Sequence

from elec.drawings.inputs import BoxLink, InterconnectBox, InterconnectDrawing
from elec.drawings.records import words
from elec.drawings.records.runs import SignalRun, signal_runs
from elec.study import Study, analysis
from elec.wiring.chains import chains

NOTES = (
    "In a box: the connectors of its lines, or a terminal. Over a line: marks of its wires.",
    "Power and ground of each box: sheets C and G.",
)
PLUGGED = (
    "Two halves in a line: a plug between harnesses; its name stands with what the line carries."
)
CHOSEN = "Drawn: the boxes that the file lists; wires to others stand at their connectors (K)."
BESIDE = (
    "In rows: what no circuit feeds, boxes joined to one fed box alone, and the box of each, often "
    "drawn elsewhere, too. Table: other lines."
)
WHOLE_SET = 20
"""Of more boxes those at the end of a line stand in rows of their own."""


@analysis
def interconnects(study: Study) -> Mapping[str, tuple[str, tuple[str, ...]]]:
    """Name → title and equipment of each interconnect drawing.

    The builder's, else one of all equipment that shares signal wires.
    """
    given = study.document.interconnects
    if given:
        return {
            name: (study.system.title("interconnects", name), entry.equipment)
            for name, entry in given.items()
        }
    joined = {name for run in signal_runs(study) for name in _pair(run)}
    every = tuple(name for name in study.document.equipment if name in joined)
    return {"": ("Interconnect", every)} if every else {}


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
    order = {one: i for i, one in enumerate(chosen)}
    for run in signal_runs(study):
        pair = _pair(run)
        if not pair:
            continue
        a, b = sorted(pair, key=lambda one: order.get(one, len(order)))
        key = (a, b, _connector(study, run, a), _connector(study, run, b))
        if set(pair) <= order.keys():  # the builder's own drawings show what he chose
            drawn.setdefault(key, []).append(run)
    links = tuple(_link(study, key, runs) for key, runs in drawn.items())
    beside = _beside(study, links) if len(chosen) > WHOLE_SET else ()
    core = tuple(link for link in links if link not in beside)
    ends = {box for link in core for box in (link.a, link.b)}
    notes = {BESIDE: bool(beside), CHOSEN: bool(name), PLUGGED: any(k.plugs for k in links)}
    return InterconnectDrawing(
        title=words.title_block(study, title, 1),
        id=f"interconnect {name}".strip(),
        units=tuple(_unit(study, one) for one in chosen if one in ends or not beside),
        links=core,
        beside=beside,
        beside_units=tuple(_unit(study, one) for one in chosen if beside),
        notes=(*(note for note, said in notes.items() if said), *NOTES),
        size=words.paper(study, large=True),
        smaller=words.paper(study, large=False),
    )


def _beside(study: Study, links: Sequence[BoxLink]) -> tuple[BoxLink, ...]:
    """The links of what no circuit feeds, and of boxes that are joined to one fed box alone."""
    equipment = study.document.equipment
    near: dict[str, set[str]] = {}
    for link in links:
        if not equipment[link.a].passive and not equipment[link.b].passive:
            near.setdefault(link.a, set()).add(link.b)
            near.setdefault(link.b, set()).add(link.a)
    hubs = {box for box, others in near.items() if len(others) > 1}
    return tuple(link for link in links if not {link.a, link.b} <= hubs)


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
