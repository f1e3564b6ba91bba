"""Which equipment is joined to which by signal wires, one line for each two."""

from collections.abc import Collection, Iterator, Mapping, Sequence

from elec import units
from elec.drawings.inputs import BoxLink, InterconnectBox, InterconnectDrawing, drawn_at
from elec.drawings.records import words
from elec.drawings.records.panel import off_name
from elec.drawings.records.runs import SignalRun, signal_runs
from elec.drawings.records.thin import on_connector, taps
from elec.sizing.sizing import sizing
from elec.study import Study, analysis
from elec.wiring.chains import Part, chains

NOTES = (
    "In a box: the connectors of its lines, or a terminal. Over a line: marks of its wires.",
    "Power and ground of each box: sheets C and G.",
)
PLUGGED = (
    "Two halves in a line: a plug, named with what is carried; U1/2: one wire in two pieces there, "
    "U1–2: two."
)
CHOSEN = "Drawn: the boxes that the file lists; wires to others stand at their connectors (K)."
BESIDE = (
    "In rows: sensors, and boxes with one partner that a circuit feeds. Table: other lines. Also: "
    "a box's other places (+: more)."
)
FUSED = "through"
"""Said of a wire from a bus or a contactor's post: it has the voltage of that."""
ONE_GROUNDED = "one core to ground"
"""Said of a cable of which not all cores lead to the other box."""
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
    joined = {name for run in signal_runs(study) for name in _pair(study, run)}
    every = tuple(name for name in study.document.equipment if name in joined)
    tapped = tuple(name for name in joined if name not in study.document.equipment)
    return {"": ("Interconnect", (*every, *sorted(tapped)))} if every else {}


def _pair(study: Study, run: SignalRun) -> tuple[str, ...]:
    """The two boxes at the ends of a run; empty where it has others.

    A wire with a fuse of its own comes from what that sits on: a bus, or the post of a contactor.
    """
    ends = (run.parts[0], run.parts[-1])
    names = tuple(_box(study, run, part) for part in ends)
    return names if all(names) and names[0] != names[1] else ()


def _box(study: Study, run: SignalRun, part: Part) -> str:
    """The box at an end of a run; empty where that is none."""
    if part.kind == "equipment":
        return part.name
    if part is not run.chain.device:
        return ""
    if run.chain.name in taps(study):
        return taps(study)[run.chain.name][1].name
    return part.inlet if part.inlet in study.document.buses else ""


_Joined = tuple[str, str, str, str]
"""Two boxes, and the connector of each; empty for terminals without one."""


def interconnect_record(study: Study, name: str) -> InterconnectDrawing:
    """One interconnect drawing."""
    title, chosen = interconnects(study)[name]
    drawn: dict[_Joined, list[SignalRun]] = {}
    order = {one: i for i, one in enumerate(chosen)}
    for run in signal_runs(study):
        pair = _pair(study, run)
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
    fed = {name for name, one in study.document.equipment.items() if not one.passive}
    near: dict[str, set[str]] = {}
    for link in links:
        if link.a in fed and link.b in fed:
            near.setdefault(link.a, set()).add(link.b)
            near.setdefault(link.b, set()).add(link.a)
    hubs = {box for box, others in near.items() if len(others) > 1}
    return tuple(link for link in links if not {link.a, link.b} <= hubs)


def _unit(study: Study, name: str) -> InterconnectBox:
    if name in study.document.equipment:
        label, target = study.system.title("equipment", name), f"equipment {name}"
        return InterconnectBox(id=name, label=label, target=target)
    section = "buses" if name in study.document.buses else "switches"
    title = study.system.title(section, name)
    return InterconnectBox(id=name, label=title, target=_tapped(study, name))


def _tapped(study: Study, name: str) -> str:
    """What the sheet of a bus or contactor is looked up by that a wire is tapped from."""
    if name in study.document.buses:
        return f"bar {name}"
    chain, part = next(one for one in taps(study).values() if one[1].name == name)
    return drawn_at(chain.name, part.id)


def _link(study: Study, key: _Joined, runs: Sequence[SignalRun]) -> BoxLink:
    a, b, *at = key
    numbers: dict[str, list[tuple[int, ...]]] = {}
    shields: dict[str, None] = {}
    here = {conductor.id for run in runs for conductor in run.conductors}
    for run in runs:
        for letter, pieces in _pieces(study, run):
            numbers.setdefault(letter, []).append(pieces)
        for conductor in run.conductors:
            cable = study.document.cables.get(conductor.cable or "")
            if cable is not None:
                kind = "shielded" if "shielded" in cable.type else cable.type
                shields[kind + _grounded(study, conductor.chain, here)] = None
    marks = ", ".join(_ranges(letter, sorted(set(ns))) for letter, ns in sorted(numbers.items()))
    plugs = dict.fromkeys(p.name for run in runs for p in run.parts[1:-1] if p.kind == "connector")
    return BoxLink(
        id=" ".join(filter(None, (a, b, *at))),
        a=a,
        b=b,
        wires=len(runs),
        marks=marks,
        all_marks=marks,
        a_at=at[0] or ", ".join(dict.fromkeys(_contact(study, run, a) for run in runs)),
        b_at=at[1] or ", ".join(dict.fromkeys(_contact(study, run, b) for run in runs)),
        carries=", ".join(carried([one for run in runs if (one := _carries(study, run))])),
        shields=", ".join(shields),
        plugs=tuple(study.system.title("plugs", plug) for plug in plugs),
        plug_targets=tuple(f"contact {plug}" for plug in plugs),
        targets=(_target(study, runs[0], a, at[0]), _target(study, runs[0], b, at[1])),
    )


def _grounded(study: Study, cable: str, here: Collection[str]) -> str:
    """Said behind a cable of which a core leads to a ground, and to no box."""
    rest = (
        row
        for row in chains(study).by_name[cable].rows
        if any(c is not None and c.id not in here for c in row.conductors)
    )
    grounds = [r for r in rest if {r.parts[0].kind, r.parts[-1].kind} & {"ground", "bond"}]
    if not grounds:
        return ""
    return f", {ONE_GROUNDED}" if len(grounds) == 1 else f", {len(grounds)} cores to ground"


def _contact(study: Study, run: SignalRun, box: str) -> str:
    """The contact at which a run leaves a box."""
    part = _end(study, run, box)
    if part.kind == "equipment":
        return part.contact
    return "1" if part.inlet in study.document.buses else "load"


def _end(study: Study, run: SignalRun, box: str) -> Part:
    """The end of a run that lies at a box."""
    return next(p for p in (run.parts[0], run.parts[-1]) if _box(study, run, p) == box)


def _connector(study: Study, run: SignalRun, box: str) -> str:
    """The connector at which a run leaves a box; empty where it has none there."""
    if box not in study.document.equipment:
        return ""
    contact, own = _contact(study, run, box), study.document.equipment[box].connectors
    stem = contact.rpartition(".")[0]
    return stem if stem in own else contact if contact in own else ""


def _target(study: Study, run: SignalRun, box: str, connector: str) -> str:
    """What the sheet of an end is looked up by: its connector, else its terminal, else its wire."""
    if box not in study.document.equipment:
        row = f"row {run.chain.name} " if box in study.document.buses else ""
        return row + _tapped(study, box)
    part = _end(study, run, box)
    wire = run.conductors[0 if run.parts[0] is part else -1]
    contact = f"{box}.{connector or part.contact}"
    at = "contact" if connector or on_connector(study, part) else "terminal"
    return f"{at} {contact} wire {wire.id}"


def _carries(study: Study, run: SignalRun) -> str:
    """What runs in a wire, in words, with the fuse that it begins at."""
    if run.conductors[0].role == "coax":
        return "radio frequency"
    named = next((wire.signal for wire in run.conductors if wire.signal), "").replace("-", " ")
    return " ".join(filter(None, (named, _fused(study, run))))


def _fused(study: Study, run: SignalRun) -> str:
    """The fuse of a wire from a bus or a contactor's post: that has the voltage of it."""
    device = run.chain.device
    if device is None:
        return ""
    named = off_name(study, device)
    size = sizing(study).devices.get(run.chain.name)
    rated = "" if size is None or size.rating_a is None else units.show(size.rating_a, "a")
    return ", ".join(filter(None, (f"{FUSED} {named}" if named else f"{FUSED} a fuse", rated)))


ROLES = ("supply", "ground", "low", "high", "signal", "data")
"""Last words of the wires of one sensor."""


def carried(names: Sequence[str]) -> list[str]:
    """What wires carry, in few words: a pair by one name, the wires of a sensor by their last word.

    >>> carried(["cht 1", "cht 1 low", "link high", "link low"])
    ['cht 1', 'link']
    >>> carried(["flow supply", "flow", "flow low"]), carried(["tone low"])
    (['flow supply', 'signal', 'low'], ['tone low'])
    """
    stems = [_stem(name) for name in names]
    ends: dict[str, dict[str, None]] = {}
    for stem, last in stems:
        ends.setdefault(stem, {})[last] = None
    for name in names:  # a wire by the bare name of others is their signal
        if name in ends:
            ends[name][""] = None
    found: dict[str, None] = {}
    for name, (stem, last) in zip(names, stems, strict=True):
        every = set(ends[stem])
        if every in ({"", "low"}, {"high", "low"}):
            found[stem] = None
        elif len(every) > 1:
            begun = any(one == stem or one.startswith(f"{stem} ") for one in found)
            found[(last or "signal") if begun else f"{stem} {last or 'signal'}"] = None
        else:
            found[name] = None
    return list(found)


def _stem(name: str) -> tuple[str, str]:
    """A name without the last word that tells the wires of one sensor apart, and that."""
    stem, _, last = name.rpartition(" ")
    return (stem, last) if stem and last in ROLES else (name, "")


def _pieces(study: Study, run: SignalRun) -> Iterator[tuple[str, tuple[int, ...]]]:
    """The numbers of a run's pieces from plug to plug, by the letter of their marks."""
    found: dict[str, dict[int, None]] = {}
    for conductor in run.conductors:
        chain = chains(study).by_name[conductor.chain]
        found.setdefault(chain.function, {})[chain.number] = None
    return ((letter, tuple(sorted(numbers))) for letter, numbers in found.items())


def _ranges(letter: str, wires: Sequence[tuple[int, ...]]) -> str:
    """Marks in few words: of each wire the numbers of its pieces.

    >>> _ranges("U", [(3,), (4,), (5,), (9,)]), _ranges("U", [(26, 27)])
    ('U3–5, U9', 'U26/27')
    >>> _ranges("U", [(34, 35), (36, 37), (50,)])
    'U34/35–U36/37, U50'
    """
    runs: list[list[tuple[int, ...]]] = []
    for pieces in wires:
        last = runs[-1][-1] if runs else ()
        if last and len(last) == len(pieces) and pieces[0] == last[-1] + 1:
            runs[-1].append(pieces)
        else:
            runs.append([pieces])
    named = [["/".join(map(str, pieces)) for pieces in run] for run in runs]
    return ", ".join(
        f"{letter}{run[0]}–{letter if '/' in run[0] else ''}{run[-1]}"
        if len(run) > 1
        else f"{letter}{run[0]}"
        for run in named
    )
