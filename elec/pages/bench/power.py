"""The first power-up: a safe order, and what the meters should say at each step."""

from collections.abc import Iterator, Sequence

from elec import units
from elec.answers.base.marks import marks
from elec.answers.build.care import care_of, care_of_modes, has_engine, transmits
from elec.answers.time.cranking import cranks
from elec.answers.time.power_up import PowerStep, PowerUp, power_up
from elec.cautions import CARE
from elec.pages.bench.power_tables import (
    HOW_READ,
    crank,
    how_limited,
    other_modes,
    paths,
    pressed,
    steps,
)
from elec.pages.bench.proving import OPEN
from elec.pages.circuits.reversing import moves
from elec.pages.columns import listed
from elec.pages.document import Block, Items, Paragraph, TableBlock
from elec.pages.loads.sheet import signed
from elec.sizing.devices import DEFAULT_CLASS, ratings_of
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.ends import end_text, wire_ends

NO_ENGINE = (
    "This aircraft has no engine: propeller, ignition, fuel, starter and alternator have no steps "
    "here."
)
BEFORE = (
    (
        "Every battery out of the aircraft or its leads off and covered. All breakers open, every "
        "fuse out, all switches off, every box unplugged, antennas off their boxes."
    ),
    "Ring-out and insulation sheets are signed.",
    (
        f"Each bus to ground with an ohmmeter: {OPEN}, as the ring-out asks of every wire. Less: "
        "find what it is before anything is joined."
    ),
)
LEADS_OFF = "Each alternator's output lead off its post and covered."
LEADS_BACK = "Each alternator's output lead back on its post and tight."
MOVE = (
    "The supply stands at the battery that a table or row names. To move it: all switches off, "
    "the supply off, off the leads of the one and these covered; then on to the leads of the "
    "other, red on positive."
)
PLUG_IN = (
    "Now plug in one box at a time and go down the table; open each breaker again, or take its "
    "fuse out, before the next."
)
GROUND_TEST = "Each phase of flight as far as it goes on the ground; drops at the heavy loads."
START_CLOSED = "All of it looked at by both of you: now the breaker of START is closed."
ENGINE_OFF = (
    "The engine's own stay as they are until the crank test is done: fuel off, magnetos grounded, "
    "coils, injectors and spark plugs out, fields and START off."
)
BACK_TOGETHER = (
    "Only now, one by one, each looked at by a second person: injectors and coils plugged in, "
    "spark plugs in, their leads and those of magnetos on, fuel lines closed; fuel on, no leak; "
    "every box fast, every antenna on its box, all tools counted."
)
ENGINE_RUNS = (
    (
        "Engine running, the field switched on last: bus voltage at idle and above, low-voltage "
        "warning, each load on and off while radio and instruments are watched."
    ),
    "Then the interference test and the compass swing.",
)


def caution(study: Study, subject: str) -> str:
    """A caution, with that of fuel where there is an engine."""
    return f"{CARE[subject]} {CARE['fuel']}" if has_engine(study) else CARE[subject]


def first_power(study: Study) -> tuple[Block, ...]:
    """All of it in order; nothing without a battery or a phase."""
    found = power_up(study)
    if found is None:
        return ()
    return tuple(_blocks(study, found))


def _blocks(study: Study, found: PowerUp) -> Iterator[Block]:
    engine = has_engine(study)
    yield Paragraph(text=caution(study, "first power"), kind="caution")
    if not engine:
        yield Paragraph(text=NO_ENGINE)
    alternators = (LEADS_OFF,) if _alternators(study) else ()
    yield Items(items=(*BEFORE[:1], *alternators, *BEFORE[1:]), boxes=True)
    yield from _ways(study, found)
    yield Items(items=tuple(_plugs(study, found)), boxes=True)
    yield Paragraph(text=how_limited())
    usual = [one for one in found.steps if one.group not in ("engine", "field")]
    yield from _usual(study, found, usual)
    yield from _modes(study, "first-power-modes", usual)
    yield from _motors(study, "first-power-motors", usual)
    engines = [one for one in found.steps if one.group == "engine"]
    if engines or found.starting:
        yield Paragraph(text=CARE["propeller"], kind="caution")
    if engines:
        fixed = [one for one in engines if not one.both_ways]
        if fixed:
            table = steps(study, "first-power-engine", "The engine's circuits", fixed)
            yield TableBlock(table=table)
        yield from _modes(study, "first-power-engine-modes", engines)
        yield from _motors(study, "first-power-engine-motors", engines)
    yield from _starter(study, found)
    yield from _trip(study)
    yield from _field(study, found)
    yield Items(items=tuple(_batteries_in(study, found)), boxes=True)
    for one in cranks(study):
        yield Paragraph(text=CARE["crank"], kind="caution")
        if found.starting:
            yield Items(items=(START_CLOSED,), boxes=True)
        yield TableBlock(table=crank(study, one))
    if engine:
        yield Items(items=(BACK_TOGETHER, *ENGINE_RUNS), boxes=True)
    yield TableBlock(table=signed("first-power-signed", "Signed: first power-up", WHO))


def _usual(study: Study, found: PowerUp, usual: Sequence[PowerStep]) -> Iterator[Block]:
    """Circuit by circuit, a battery at a time: first that at which the supply stands by now."""
    fixed = [one for one in usual if not one.both_ways]
    batteries = list(found.supplies_v)[::-1]
    fallback = batteries[-1]
    for battery in batteries:
        some = [one for one in fixed if (one.battery or fallback) == battery]
        if not some:
            continue
        if battery != batteries[0]:
            title = study.system.title("sources", battery)
            yield Items(items=(f"The supply over to the leads of {title}, as above.",), boxes=True)
        for text_ in care_of(study, dict.fromkeys(load for one in some for load in one.loads)):
            yield Paragraph(text=text_, kind="caution")
        name = f"first-power-at-{battery}" if batteries[1:] else "first-power"
        yield TableBlock(table=steps(study, name, "Circuit by circuit", some))


def _motors(study: Study, name: str, some: Sequence[PowerStep]) -> Iterator[Block]:
    """Motors that run both ways: their relays and limits, a tap each way, then their current."""
    turning = [one for one in some if one.both_ways]
    if not turning:
        return
    circuits = {one.circuit for one in turning}
    for text_ in care_of(study, dict.fromkeys(load for one in turning for load in one.loads)):
        yield Paragraph(text=text_, kind="caution")
    yield Items(items=tuple(moves(study, circuits)), boxes=True)
    pulled = {one.relays for one in turning}
    ordered = sorted(turning, key=lambda one: one.circuit not in pulled)
    yield TableBlock(table=steps(study, name, "Motors that run both ways", ordered))


def _modes(study: Study, name: str, some: Sequence[PowerStep]) -> Iterator[Block]:
    """The further modes of some circuits, with the cautions of that very work."""
    found = [(mode.load, mode.mode) for one in some for mode in one.modes]
    if not found:
        return
    for text_ in care_of_modes(study, found):
        yield Paragraph(text=text_, kind="caution")
    items = [ONE_MODE]
    sending = dict.fromkeys(load for load, mode in found if transmits(study, load, mode))
    items += [SENDING.format(study.system.title("equipment", load)) for load in sending]
    yield Items(items=tuple(items), boxes=True)
    yield TableBlock(table=other_modes(study, name, some))


ONE_MODE = (
    "One box at a time: its breaker closed or its fuse in, in its first mode; then the limit of "
    "the row, then for seconds the mode of the row; open or out again before the next."
)
SENDING = (
    "{}: its antenna back on, its line rung out, or a dummy load that bears its power; without "
    "either it is not keyed."
)


def _ways(study: Study, found: PowerUp) -> Iterator[Block]:
    """Battery after battery: its supply, the feeders' devices, its ways, the supply off again."""
    before = ""
    devices = tuple(feeder_devices(study))
    for name in found.supplies_v:
        title = study.system.title("sources", name)
        items = [f"Supply off, off the leads of {before}, these covered."] if before else []
        items.append(_supply(study, found, name))
        if devices and not before:
            items.append(
                "Behind that limit the feeders' breakers are closed and their fuses go in "
                f"(limiters stay bolted), one by one: {listed(devices)}. Every other breaker "
                "stays open, every other fuse out."
            )
        yield Items(items=tuple(items), boxes=True)
        if not before:
            yield Paragraph(text=HOW_READ)
        before = title
        yield TableBlock(table=paths(study, found, name))


def _plugs(study: Study, found: PowerUp) -> Iterator[str]:
    least = units.show(default("supply-limit-least").si, "a")
    starts = tuple(dict.fromkeys(pressed(study, one.circuit) for one in found.starting))
    apart = f", but not {listed(starts)}, which has a row of its own below" if starts else ""
    if len(found.supplies_v) > 1:
        yield MOVE
    yield (
        f"Boxes still unplugged, the limit at {least}, the contacts closed by which its row below "
        "is alive: close one breaker, or put one fuse in, at a time. The voltage stands at the "
        "power contact of each plug that it feeds, at no other contact, with the right polarity."
    )
    yield (
        f"Each switch in both positions{apart}, each interlock, each contact that it should switch."
    )
    yield PLUG_IN


def feeder_devices(study: Study) -> Iterator[str]:
    """Breakers and fuses of the feeders, by what they are called elsewhere."""
    for chain in chains(study).of("feeder"):
        for part in chain.parts():
            if part.kind in ("breaker", "fuse"):
                yield end_text(study, part)


def thin_fuses(study: Study, *, starting: bool) -> Iterator[str]:
    """The fuses of thin wires: those behind a starter's contactor, or all others."""
    for chain in chains(study).of("wire"):
        fuse = next((part for part in chain.parts() if part.kind == "fuse"), None)
        wires = chain.conductors()
        if fuse is None or not wires:
            continue
        before = chains(study).by_name.get(chain.after)
        starters = {one.starter for one in cranks(study)}
        if (before is not None and not starters.isdisjoint(before.loads)) == starting:
            device = sizing(study).devices.get(chain.name)
            rating = device.rating_a if device else None
            size = "" if rating is None else f"{units.show(rating, 'a')} "
            yield (
                f"{size}fuse {fuse.label}, of {marks(study)[wires[-1].id]} to "
                f"{end_text(study, wires[-1].b)}"
            )


def _starter(study: Study, found: PowerUp) -> Iterator[Block]:
    """The coil of the starter's contactor, with the starter's cable off."""
    fuses = tuple(thin_fuses(study, starting=True))
    if not found.starting:
        if fuses:
            yield Items(items=tuple(f"In goes the {one}." for one in fuses), boxes=True)
        return
    yield Paragraph(text=CARE["starter"], kind="caution")
    items = [f"Starter cable off: {one}." for one in _starter_cables(study)]
    items += [f"In goes the {one}." for one in fuses]
    items += _lit(study)
    yield Items(items=tuple(items), boxes=True)
    yield TableBlock(
        table=steps(study, "first-power-start", "Starter cable off: START", found.starting)
    )
    yield Items(items=(CLICKS,), boxes=True)


def _lit(study: Study) -> Iterator[str]:
    """What has to be on for the light of a starter's contactor."""
    for chain in chains(study).of("wire"):
        before = chains(study).by_name.get(chain.after)
        starters = {one.starter for one in cranks(study)}
        wires = chain.conductors()
        if before is None or starters.isdisjoint(before.loads) or not wires:
            continue
        box = wires[-1].b.name
        for name in chains(study).feeds.get(box, ()):
            yield (
                f"{chains(study).by_name[name].title}: its breaker closed, for the light; what "
                "it draws comes on top of the row."
            )


CLICKS = (
    "The contactor clicks once in and once out; its far post reads the voltage of the bus while it "
    "is pressed, 0 V else; a light that says engaged is lit for as long. Breaker open again."
)


def _starter_cables(study: Study) -> list[str]:
    """The wires to the posts of what cranks."""
    names = dict.fromkeys(one.starter for one in cranks(study))
    return [
        f"{marks(study)[c.id]} from {' to '.join(wire_ends(study, c))}"
        for name in names
        for chain in chains(study).of("circuit")
        if name in chain.loads
        for c in chain.conductors()
        if c.b.name == name and c.b.contact != "-"
    ]


def _field(study: Study, found: PowerUp) -> Iterator[Block]:
    some = [one for one in found.steps if one.group == "field"]
    senses = [f"In goes the {one}." for one in thin_fuses(study, starting=False)]
    wires = _field_wires(study)
    back = [BACK_IN] if some else []
    if back or wires or senses:
        yield Items(items=(*back, *wires, *senses), boxes=True)
    if some:
        yield Paragraph(text=CARE["field"], kind="caution")
        table = steps(study, "first-power-field", "Alternator field, last of all", some)
        yield TableBlock(table=table)


BACK_IN = (
    "Regulator and overvoltage trip back in, plugged and bolted, the lamp out; field wire and "
    "sense wire each read through to their own terminal."
)
WHO = ("Done", "Looked at")


def _field_wires(study: Study) -> list[str]:
    """Each wire to the field of an alternator, which is live from here on."""
    return [
        f"{marks(study)[wire.id]} from {' to '.join(wire_ends(study, wire))}: "
        "on its terminal and tight; against the case of the machine it reads 0 V until the step "
        "below."
        for chain in chains(study).of("circuit")
        for wire in chain.conductors()
        if wire.b.kind == "source" and wire.b.contact == "F"
    ]


def _supply(study: Study, found: PowerUp, name: str) -> str:
    """Voltage and polarity, before anything is joined."""
    emf, title = found.supplies_v[name], study.system.title("sources", name)
    other = ", the other battery's leads covered" if len(found.supplies_v) > 1 else ""
    return (
        f"Supply for {title}: set it to {emf:.2f} V (the full battery at rest) and its limit "
        f"to {units.show(default('supply-limit-least').si, 'a')} before it is joined to "
        f"anything; then join it to the leads of {title}{other}. A meter across them, red on "
        f"the positive lead, reads +{emf:.2f} V: a minus stops all."
    )


def _batteries_in(study: Study, found: PowerUp) -> Iterator[str]:
    """Each battery joined through a fuse first, and the fuse out again."""
    yield "Supply off and off the leads. All breakers open, all switches off."
    if found.starting:
        yield (
            "Starter cable back on its post and tight; the breaker of START stays open until the "
            "crank test."
        )
    if _alternators(study):
        yield LEADS_BACK
    apart = ", that of START stays open" if found.starting else ""
    for n, name in enumerate(found.supplies_v):
        title = study.system.title("sources", name)
        yield (
            f"{title} in, negative cable last, the first time through an ammeter and a fuse "
            f"between post and cable: {joining_fuse(found, name)}. All stays off: the fuse holds, "
            "else something draws that must not."
        )
        closing = "" if n else f"every breaker closed, every fuse in and counted{apart}; "
        yield (
            f"{title}: {closing}with all switches off and every door shut the ammeter stands at "
            f"{_standing(found, name)}. Read: ______ A. If it is more, the last one closed tells "
            "where."
        )
        yield (
            f"{title}: negative off again, the fuse out, the cable straight on its post. No "
            "switch is closed before: the fuse is made for nothing else."
        )
    if has_engine(study):
        yield ENGINE_OFF
    yield GROUND_TEST


def _standing(found: PowerUp, battery: str) -> str:
    """What is drawn with all plugged in, all breakers closed and every switch off."""
    row = found.standing.get(battery)
    if row is None or row.total_a is None:
        return "? A, which nobody gave"
    return f"{row.total_a:.2f} A, and on top what memories and sense wires draw"


def joining_fuse(found: PowerUp, battery: str) -> str:
    """The least standard fuse above what a battery gives with all switched off."""
    off = found.standing.get(battery)
    if off is None or off.total_a is None:
        return (
            "the least standard one above the standing current, which nobody gave: begin with "
            f"{units.show(default('supply-limit-least').si, 'a')}"
        )
    standing = off.total_a
    size = next((r for r in ratings_of("fuse", DEFAULT_CLASS["fuse"]) if r > standing), None)
    said = "?" if size is None else units.show(size, "a")
    return (
        f"{said}, the least standard one above the standing current of {standing:.2f} A (our own "
        "rule)"
    )


def _alternators(study: Study) -> list[str]:
    return [n for n, s in study.document.sources.items() if s.kind == "alternator"]


def _trip(study: Study) -> Iterator[Block]:
    """The overvoltage trip of every alternator, tried where it can do no harm."""
    some = _alternators(study)
    if not some:
        return
    yield Paragraph(text=CARE["overvoltage"], kind="caution")
    yield Items(items=tuple(_trips(study, name) for name in some), boxes=True)


def _trips(study: Study, name: str) -> str:
    source = study.document.sources[name]
    title = study.system.title("sources", name)
    protected = getattr(source, "overvoltage_protection", None)
    if protected is False:
        return f"{title}: your file says that it has no overvoltage trip. Fit one before it turns."
    if protected is None:
        return f"{title}: your file does not say whether it has an overvoltage trip. Find out."
    setpoint = getattr(source, "setpoint_v", 0.0)
    return (
        f"{title}, overvoltage trip: a second supply with a limit of "
        f"{units.show(default('supply-limit-least').si, 'a')} on its sense input alone, a lamp in "
        f"place of the field. At {setpoint:.1f} V (the set-point) the lamp is lit or pulses. Raise "
        "the voltage slowly: the trip opens at ? V (its maker's sheet says where and how soon), "
        "the lamp goes out and stays out until it is reset. Opened at: ______ V."
    )
