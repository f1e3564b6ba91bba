"""Sources, buses, feeders and circuits as the record of the one-line diagram."""

from collections.abc import Iterator, Mapping, Sequence

from msgspec.structs import replace

from elec import units
from elec.answers.base.marks import marks
from elec.answers.connect.panel import kind_of
from elec.answers.connect.reversing import reversing
from elec.answers.drop.drops import feeder_drops
from elec.answers.heat.heat import heat
from elec.answers.loads.carried import carried_a, carried_by_a
from elec.drawings.inputs import (
    SIZED,
    Bar,
    CircuitRow,
    DrawnDevice,
    DrawnFeeder,
    DrawnWire,
    OneLine,
    Source,
)
from elec.drawings.records import nodes, words
from elec.drawings.records.behind import chains_by_part, changeover_at, changeover_terminals
from elec.drawings.records.panel import off_name
from elec.drawings.records.small_wires import NO_DEVICE, WithoutRow, small_rows, stub_text
from elec.model.source import Alternator, Battery, ExternalPower
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, Part, chains
from elec.wiring.coils import CONTACTS, contacts, limit_switches
from elec.wiring.duty import duties
from elec.wiring.runs import runs

NOTES = (
    "Marks end in the gauge: first and last wire, + branches; of a feeder each.",
    "Amps: most that lasts in any phase{turning}. A feeder's: no sum of rows.",
    (
        "Breakers, fuses: rating, position on the panel (B); no wire before it: on its bus. "
        "Grounds: sheets G."
    ),
)
FOR = "wires for"
ALONE = "alone"
"""Before what a feeder would carry if its bus had no other."""
ALONE_NOTE = "Alone: as the only feeder of its bus."
LARGE = 16
"""A system with more circuits gets a one-line diagram on double paper."""


def one_line_record(study: Study, sheets: Mapping[str, tuple[str, str]]) -> OneLine:
    """The system; `sheets` gives for a circuit the name and id of its own sheet."""
    # a coil on its own contactor's post is named at the contact, with its sheet
    every = chains(study).of("circuit")
    circuits = [c for c in every if c.rows[0].parts[0].kind != "post"]
    small = small_rows(study, sheets, [c.name for c in circuits])
    feeders = tuple(_feeder(study, chain, sheets) for chain in chains(study).of("feeder"))
    return OneLine(
        title=words.title_block(study, "Power distribution", 1),
        sources=tuple(_source(study, name) for name in study.document.sources),
        bars=tuple(
            Bar(
                id=name,
                label=study.system.title("buses", name),
                kind="stud" if nodes.is_stud(study, name) else "bus",
            )
            for name in study.document.buses
        ),
        feeders=feeders,
        branches=(
            *(
                replace(_branch(study, chain, sheets), taps=small.taps.get(chain.name, ()))
                for chain in circuits
            ),
            *small.rows,
        ),
        notes=(
            *(note.format(turning=_turning(study)) for note in NOTES),
            *_without_row(small.others),
        ),
        of_feeders=(
            *_bare(study),  # what nothing protects stands first
            *_jumpers(study, sheets),
            *((SIZED,) if any(one.sized.startswith(FOR) for one in feeders) else ()),
            *((ALONE_NOTE,) if any(one.sized.startswith(ALONE) for one in feeders) else ()),
            *_posts(study, feeders),
            *((words.COUNTED,) if _counted(feeders) else ()),
        ),
        nominal=f"{units.show(study.system.about.nominal_v, 'v')} system (nominal)",
        size=words.paper(study, large=len(circuits) > LARGE),
    )


def _turning(study: Study) -> str:
    """What a starter's amperes are, where something cranks."""
    cranks = any(drop.cranks for drop in feeder_drops(study).values())
    return "; a starter's: turning" if cranks else ""


def _posts(study: Study, feeders: Sequence[DrawnFeeder]) -> tuple[str, ...]:
    """What a battery's two posts are on the diagram."""
    ends = [end for one in feeders for end in (one.source, one.target)]
    batteries = [name for name, one in study.document.sources.items() if isinstance(one, Battery)]
    if not batteries:
        return ()
    several = any(ends.count(name) > 1 for name in batteries)
    bar = ": the bar beside it" if several else " to the right"
    return (f"Battery: + post{bar}; − post: sheets G.",)


def _without_row(others: Sequence[WithoutRow]) -> tuple[str, ...]:
    """Wires that leave where no row has room for them."""
    return (f"Taps not drawn: {', '.join(map(str, others))}.",) if others else ()


def _jumpers(study: Study, sheets: Mapping[str, tuple[str, str]]) -> tuple[str, ...]:
    """Coils on the post of their own contactor: wires of a few inches that nothing protects."""
    found: dict[tuple[str, str], list[str]] = {}
    for chain in chains(study).of("circuit"):
        wire = chain.rows[0].conductors[0]
        if chain.rows[0].parts[0].kind == "post" and chain.device is None and wire is not None:
            long = words.length(study, runs(study)[wire.id].length_m)
            sheet = sheets.get(chain.name, ("",))[0]
            found.setdefault((long, sheet), []).append(marks(study)[wire.id])
    listed = ", ".join(
        " ".join(filter(None, (", ".join(named), long, sheet and f"({sheet})")))
        for (long, sheet), named in found.items()
    )
    return (f"Coils on a contactor's post, no device of their own: {listed}.",) if found else ()


def _counted(feeders: Sequence[DrawnFeeder]) -> bool:
    """Whether terminals of a switch are counted, since the file does not give them."""
    texts = (t for one in feeders for d in one.devices for t in (d.rating, *d.throws))
    return any("(1)" in text for text in texts)


def feeder_amps(study: Study, chain: Chain) -> float | None:
    """What a feeder carries at most, starts aside: the number that its wires' cards have.

    None where a current on it is not known. A feeder without a wire has what its drop counts.
    """
    found = [heat(study).get(c.id) for c in chain.conductors()]
    known = [hot for hot in found if hot is not None]
    if not known:
        return feeder_drops(study)[chain.name].current_a
    return None if any(hot.unknown for hot in known) else max(hot.current_a for hot in known)


def _alone(study: Study, chain: Chain) -> str:
    """What a feeder would carry if its bus had no other, where it carries nothing to it else."""
    wires, duty = chain.conductors(), duties(study).get(chain.name)
    hot = heat(study).get(wires[-1].id) if wires else None
    if duty is None or hot is None or hot.unknown or f"{hot.current_a:.1f}" != "0.0":
        return ""
    return f"{ALONE} {words.amps(duty.current_a)} A"


def _sized_for(study: Study, chain: Chain) -> str:
    """What a feeder is judged at where that is more than it carries; empty where it is not."""
    drop, carried = feeder_drops(study)[chain.name], feeder_amps(study, chain)
    if not drop.rated or (carried is not None and drop.current_a <= carried):
        return ""
    return f"{FOR} {words.amps(drop.current_a)} A"


def sized_by_alternator(study: Study) -> Iterator[str]:
    """Feeders that are sized for what their alternator can give, in words."""
    for chain in chains(study).of("feeder"):
        ends = (study.document.sources.get(end) for end in (chain.source_end, chain.far_end))
        wires, sized = chain.conductors(), _sized_for(study, chain)
        if wires and sized and any(isinstance(one, Alternator) for one in ends):
            yield f"{marks(study)[wires[0].id]}: its alternator's {sized.removeprefix(f'{FOR} ')}."


def _bare(study: Study) -> tuple[str, ...]:
    """Feeders from a battery that have no device: said as in the row of a starter."""
    found = [
        ", ".join(marks(study)[wire.id] for wire in chain.conductors())
        for chain in chains(study).of("feeder")
        if any(isinstance(study.document.sources.get(end), Battery)
               for end in (chain.source_end, chain.far_end))
        and not any(part.kind in nodes.PROTECTIVE for part in chain.parts())
    ]  # fmt: skip
    named = ", ".join(filter(None, found))
    before = _before_devices(study)
    if not named and not before:
        return ()
    if not named:
        return (f"Battery cables, {NO_DEVICE} before their first device: {before}.",)
    rest = f"; before its first device: {before}" if before else ""
    return (f"Battery cables, {NO_DEVICE}: {named}{rest}.",)


def _before_devices(study: Study) -> str:
    """The wires from a battery's post to the device nearest to it, with their lengths."""
    found: dict[str, list[str]] = {}
    for chain in chains(study).of("feeder"):
        parts, wires = chain.rows[0].parts, chain.rows[0].conductors
        for end, way, along in (
            (chain.source_end, parts, wires), (chain.far_end, parts[::-1], wires[::-1]),
        ):  # fmt: skip
            if not isinstance(study.document.sources.get(end), Battery):
                continue
            first = next((k for k, p in enumerate(way) if p.kind in nodes.PROTECTIVE), 0)
            for wire in along[:first]:
                if wire is not None:
                    long = words.length(study, runs(study)[wire.id].length_m)
                    found.setdefault(long, []).append(marks(study)[wire.id])
    return ", ".join(f"{', '.join(named)} {long}" for long, named in found.items())


def _source(study: Study, name: str) -> Source:
    entry = study.document.sources[name]
    label = study.system.title("sources", name)
    if isinstance(entry, Alternator):
        rated = entry.rated_a()
        detail = units.show(rated, "a") if rated is not None else "output not known"
        return Source(id=name, label=label, kind="alternator", detail=detail)
    if isinstance(entry, ExternalPower):
        detail = units.show(entry.voltage_v, "v")
        return Source(id=name, label=label, kind="external", detail=detail)
    kind = entry.kind.replace("-", " ")
    detail = f"{units.show(entry.capacity_ah, 'ah')} {kind}"
    return Source(id=name, label=label, kind="battery", detail=detail)


def _devices(
    study: Study, chain: Chain, sheets: Mapping[str, tuple[str, str]]
) -> tuple[DrawnDevice, ...]:
    found: list[DrawnDevice] = []
    for part in chain.rows[0].parts[1:-1]:
        node = nodes.node(study, chain, part)
        coil = words.coil_sheet(study, part, sheets)
        under = ", ".join((*_rating(study, part), f"coil {coil}")) if coil else node.sublabel
        kind, label = node.kind, node.label
        lever = node.lever
        if part.kind in nodes.PROTECTIVE:
            under = nodes.rating(study, chain, part)
            label = label or nodes.panel_position(study, chain, part) or off_name(study, part)
        if part.kind == "changeover":  # feeders that share it are drawn as one thing with one name
            kind, under = "changeover", ""
            rest = f"{label}, coil {coil}{_at_rest(study, part)}"
            if coil:
                label, lever = rest, ""
            else:
                made = _pole_of(study, chain, part)
                found.append(replace(made, label=f"{label}, {made.label}", lever=lever))
                continue
        made = DrawnDevice(kind=kind, label=label, rating=under, ref=part.id, lever=lever)  # type: ignore[arg-type]
        found.append(made)
    return tuple(found)


def _rating(study: Study, part: Part) -> tuple[str, ...]:
    """The rating of a contactor or relay; nothing where the file does not give it."""
    entry = study.document.switches.get(part.name)
    if entry is None or entry.rating_a is None or part.kind not in CONTACTS:
        return ()
    return (units.show(entry.rating_a, "a"),)


def _pole_of(study: Study, chain: Chain, part: Part) -> DrawnDevice:
    """The pole of a changeover that a hand throws: a feeder comes to the throw of its position.

    Each feeder has a pole of its own there, and its own wire behind it.
    """
    at, upper = changeover_at(study, chain, part)
    used = chains_by_part(study)[part.name]
    entry = study.document.switches.get(part.name)
    said = entry.positions[1:] if entry is not None else ()
    order = sorted(said, key=entry.lever.index) if entry is not None and entry.lever else said
    own = said[at] if at < len(said) else ""
    rest = " / ".join(word.upper() for word in order if word != own)
    off = entry is not None and len(entry.positions) > len(used)
    drawn_in = (f"at {entry.positions[0].upper()}",) if entry is not None and off else ()
    line, common, free = changeover_terminals(study, chain, part)
    top, low = (line, free) if upper else (free, line)
    two = (own.upper(), rest) if upper else (rest, own.upper())
    throws = (*(" ".join(filter(None, pair)) for pair in zip(two, (top, low), strict=True)), common,
              *drawn_in)  # fmt: skip
    return DrawnDevice(
        kind=f"changeover{'-off' if drawn_in else ''}{'-upper' if upper else ''}",  # type: ignore[arg-type]
        label=f"pole {at + 1}",
        ref=part.id,
        throws=throws,
    )


def _at_rest(study: Study, part: Part) -> str:
    """What a relay that changes over is on while its coil is not energised."""
    on = [c.source_end for c, one in contacts(study)[part.name] if one.resting]
    return f", at rest on {' and '.join(map(study.system.end_title, on))}" if on else ""


def _feeder(study: Study, chain: Chain, sheets: Mapping[str, tuple[str, str]]) -> DrawnFeeder:
    conductors = chain.conductors()
    names, alone = [marks(study)[c.id] for c in conductors], _alone(study, chain)
    carried, drop = feeder_amps(study, chain), feeder_drops(study)[chain.name]
    heaviest = dict.fromkeys(words.gauge(study, c) for c in conductors)
    ends, devices = (chain.source_end, chain.far_end), _devices(study, chain, sheets)
    pieces = tuple(_piece(study, c) for c in chain.rows[0].conductors)
    far_m = [0.0 if c is None else runs(study)[c.id].length_m or 0.0
             for c in chain.rows[0].conductors]  # fmt: skip
    sources = study.document.sources
    if chain.far_end in sources and chain.source_end not in sources:
        # protected from the bus side, but drawn as the current flows: the source comes first
        ends, devices, pieces = ends[::-1], devices[::-1], pieces[::-1]
        far_m.reverse()
    return DrawnFeeder(
        id=chain.name,
        source=ends[0],
        target=ends[1],
        devices=devices,
        pieces=pieces,
        ahead=far_m.index(max(far_m)) if far_m else 0,
        mark=", ".join(names),
        gauge=", ".join(heaviest),
        length=words.total_length(study, conductors) if conductors else "",
        sized=alone or _sized_for(study, chain),
        amps="" if alone else f"{words.amps(carried)} A",
        cranks=f"start {drop.cranking_a:.0f} A" if drop.cranks else "",
        gauges=tuple(heaviest),
    )


def _piece(study: Study, conductor: Conductor | None) -> DrawnWire:
    """A wire of a feeder; its colour only where the file gives one."""
    drawn = words.drawn_conductor(study, conductor)
    return replace(drawn, colour=conductor.colour or "") if conductor is not None else drawn


def _marks(names: Sequence[str]) -> str:
    """The mark of one wire, or of the first and the last of several in a row."""
    first, last = (names[0], names[-1]) if names else ("", "")
    return first if first == last else f"{first} to {last}"


def _with_more(mark: str, more: int) -> str:
    """The marks of the way to the first load, and how many wires more lead to others."""
    return f"{mark} + {more}" if more else mark


def _less(study: Study, chain: Chain) -> Iterator[str]:
    """The branches of a circuit that carry less than its row says."""
    whole = words.amps(carried_a(study, chain.name))
    for wire in _more(chain):
        amps = words.amps(carried_by_a(study, chain.name, (wire,)))
        if amps != whole:
            yield f"{marks(study)[wire.id]} carries {amps} A"


def _more(chain: Chain) -> tuple[Conductor, ...]:
    """The wires of a circuit that lead on where it branches, returns aside."""
    first = {wire.id for wire in chain.rows[0].conductors if wire is not None}
    every = {w.id: w for w in chain.conductors() if w.role != "return"}
    return tuple(wire for name, wire in every.items() if name not in first)


def _switches(
    study: Study, chain: Chain, sheets: Mapping[str, tuple[str, str]]
) -> tuple[DrawnDevice, ...]:
    """What a hand throws in a circuit, one behind the other; without that the first contact."""
    found = [p for p in chain.rows[0].parts if p.kind in nodes.SWITCHING]
    turned = reversing(study).get(chain.name)
    if found and turned is not None:
        held = study.system.title("switches", turned.control)
        thrown = next((p for p in found if p.kind == "switch"), found[0])
        coil = words.coil_sheet(study, thrown, sheets)
        label = f"{held}, coils {coil}" if coil else held
        return (DrawnDevice(kind="reversing", label=label),)
    coiled = {k for k, entry in study.document.switches.items() if entry.coil is not None}
    others = limit_switches(study) | coiled
    by_hand = [p for p in found if p.kind == "switch" and p.name not in others]
    shown = {p.name: p for p in (by_hand or found[:1])}
    return tuple(_switch(study, chain, part, sheets) for part in shown.values())


def _switch(
    study: Study, chain: Chain, part: Part, sheets: Mapping[str, tuple[str, str]]
) -> DrawnDevice:
    coil = words.coil_sheet(study, part, sheets)
    rated = f"{part.label} {' '.join(_rating(study, part))}".strip()
    label = f"{rated}, coil {coil}" if coil else part.label
    throws = {one.id for one in chain.parts() if one.kind == "switch" and one.name == part.name}
    entry = study.document.switches.get(part.name)
    centred = len(throws) > 1 and entry is not None and len(entry.positions) > 2
    kind = "centre-off" if centred else kind_of(study, part)
    return DrawnDevice(kind=kind, label=label)  # type: ignore[arg-type]


def _branch(study: Study, chain: Chain, sheets: Mapping[str, tuple[str, str]]) -> CircuitRow:
    row, sheet = chain.rows[0], sheets.get(chain.name)
    wires = [c for c in row.conductors if c is not None]
    device = None
    if chain.device is not None:
        shown = nodes.device_node(study, chain, chain.device)
        device = DrawnDevice(
            kind=shown.kind,  # type: ignore[arg-type]
            label=chain.device.label,
            rating=nodes.rating(study, chain, chain.device),
            position=nodes.panel_position(study, chain, chain.device),
        )
    guarded = bool(chain.guards) or row.parts[0].kind == "post"
    return CircuitRow(
        bar=chain.source_end,
        id=chain.name,
        device=device,
        bare=NO_DEVICE if device is None and not guarded else "",
        stub=stub_text(study, chain),
        switches=_switches(study, chain, sheets),
        mark=_with_more(_marks([marks(study)[wire.id] for wire in wires]), len(_more(chain))),
        gauge=words.gauge(study, wires[0]) if wires else "",
        length=words.total_length(study, wires) if wires else "",
        load=chain.title,
        amps=words.amps(carried_a(study, chain.name)),
        less=tuple(_less(study, chain)),
        sheet=sheet[0] if sheet else "",
        link=sheet[1] if sheet else "",
    )
