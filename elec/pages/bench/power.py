"""The first power-up: a safe order, and what the meters should say at each step."""

import math
from collections.abc import Iterator, Sequence

from elec import units
from elec.answers.base.marks import marks
from elec.answers.build.care import care_of, has_engine
from elec.answers.time.cranking import Crank, cranks
from elec.answers.time.power_up import GROUPS, Group, PathRow, PowerStep, PowerUp, power_up
from elec.cautions import CARE
from elec.pages.circuits.reversing import moves
from elec.pages.columns import amps, listed, text, volts
from elec.pages.document import Block, Items, Paragraph, TableBlock
from elec.pages.table import Cell, Table, Value
from elec.standards import default
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.ends import end_text

BOX = ""
"""A cell to write in."""
TITLES: dict[Group, str] = {
    "warnings": "what warns",
    "lights": "lights",
    "rest": "what moves or heats",
    "electronics": "electronics",
    "engine": "the engine's",
    "field": "field",
}
NO_ENGINE = (
    "This aircraft has no engine: propeller, ignition, fuel, starter and alternator have no steps "
    "here."
)
BEFORE = (
    (
        "Every battery out of the aircraft or its leads off and covered. All breakers open, fuses "
        "out, all switches off, every box unplugged, antennas off their boxes."
    ),
    "Ring-out and insulation sheets are signed.",
    "Each bus to ground with an ohmmeter: below 1 Ω stop, below 10 Ω find out what it is.",
)
PLUGS = (
    (
        "Boxes still unplugged, the limit at 1 A. Close one breaker at a time: the voltage stands "
        "at the power contact of each plug that it feeds, at no other contact, with the right "
        "polarity."
    ),
    "Each switch in both positions, each interlock, each contact that it should switch.",
    "Now plug in one box at a time and go down the table; open each breaker again before the next.",
)
BATTERY_IN = (
    "Battery in, negative cable last, through a fuse the first time; each phase of flight as far "
    "as it goes on the ground; drops at the heavy loads."
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
    yield Items(items=(*BEFORE, *_supplies(study, found)), boxes=True)
    yield TableBlock(table=paths(study, found))
    yield Items(items=PLUGS, boxes=True)
    usual = [one for one in found.steps if one.group not in ("engine", "field")]
    for text_ in care_of(study, dict.fromkeys(load for one in usual for load in one.loads)):
        yield Paragraph(text=text_, kind="caution")
    yield TableBlock(table=steps(study, "first-power", "Circuit by circuit", usual))
    turned = tuple(moves(study))
    if turned:
        yield Items(items=turned, boxes=True)
    for group, title, care in (
        ("engine", "The engine's circuits", "propeller"),
        ("field", "Alternator field, last of all", "field"),
    ):
        some = [one for one in found.steps if one.group == group]
        if some:
            yield Paragraph(text=CARE[care], kind="caution")
            if group == "field":
                yield from _field_wires(study)
            yield TableBlock(table=steps(study, f"first-power-{group}", title, some))
    yield from _trip(study)
    yield Items(items=(BATTERY_IN,), boxes=True)
    for one in cranks(study):
        yield Paragraph(text=CARE["crank"], kind="caution")
        yield TableBlock(table=crank(study, one))
    if engine:
        yield Items(items=ENGINE_RUNS, boxes=True)


def _field_wires(study: Study) -> Iterator[Block]:
    """Each wire to the field of an alternator, which is live from here on."""
    texts = [
        f"{marks(study)[wire.id]} from {end_text(study, wire.a)} to {end_text(study, wire.b)}: "
        "on its terminal and tight; against the case of the machine it reads 0 V until the step "
        "below."
        for chain in chains(study).of("circuit")
        for wire in chain.conductors()
        if wire.b.kind == "source" and wire.b.contact == "F"
    ]
    if texts:
        yield Items(items=tuple(texts), boxes=True)


def _supplies(study: Study, found: PowerUp) -> Iterator[str]:
    """Voltage and polarity, before anything is joined."""
    several = len(found.supplies_v) > 1
    for name, emf in found.supplies_v.items():
        title = study.system.title("sources", name)
        other = ", the other battery's leads covered" if several else ""
        yield (
            f"Supply for {title}: set it to {emf:.2f} V (the full battery at rest) and its limit "
            f"to {units.show(default('supply-limit-least').si, 'a')} before it is joined to "
            f"anything; then join it to the leads of {title}{other}. A meter across them, red on "
            f"the positive lead, reads +{emf:.2f} V: a minus stops all."
        )


def paths(study: Study, found: PowerUp) -> Table:
    """What every bus has with each contact closed by itself, and with everything off."""
    several = len(found.supplies_v) > 1
    head = (text("supply", "Supply at"),) if several else ()
    return Table(
        id="first-power-paths",
        title="Each way by itself",
        columns=(
            *head,
            text("close", "Closed, all else off"),
            text("alive", "Must read, V"),
            text("dead", "Must read 0 V"),
            amps("limit_a", "Limit", digits=1),
            amps("total_a", "Ammeter"),
            text("read_amps", "Read, A"),
            text("ok", "Done"),
        ),
        rows=tuple(_path(study, one, several=several) for one in found.paths),
        note=(
            "Breakers and limiters of the feeders closed; those of the circuits closed in the row "
            "with everything off, whose current is the standing current, and open in all others, "
            "where coils alone draw. Read with a test lamp from the bus to ground: an open bus "
            "floats, and a diode leaks a little; without the lamp a bus behind a diode reads up "
            "to 0.3 V more. A bus that is alive and should not be has a diode the wrong way round "
            "or a second feed. What the memory or the sense wire of a box draws stands in no label."
        ),
    )


def _path(study: Study, one: PathRow, *, several: bool) -> tuple[Value, ...]:
    head = (study.system.title("sources", one.battery),) if several else ()
    alive = ", ".join(f"{_bus(study, b)} {v:.2f}" for b, v in one.bus_v.items())
    unknown = f" (without {listed(_named(study, one.unknown))})" if one.unknown else ""
    return (
        *head,
        (" and ".join(one.closed) or "nothing: every switch off") + unknown,
        alive or "none",
        ", ".join(_bus(study, bus) for bus in one.dead) or "none",
        one.limit_a,
        None if one.total_a is None else _seen(one.total_a),
        BOX,
        "☐",
    )


def _told(value: float | None) -> float | str | None:
    """A voltage; a bus that no source reaches has none."""
    return "none" if value is None or math.isnan(value) else value


def _seen(amperes: float) -> Cell:
    """A current as an ammeter shows it: no trace of the computing."""
    rounded = round(amperes, 2)
    return Cell(value=rounded, text=f"{rounded:.2f}")


def _bus(study: Study, bus: str) -> str:
    return study.system.title("buses", bus)


def _named(study: Study, loads: Sequence[str]) -> list[str]:
    return [study.system.title("equipment", load) for load in loads]


def steps(study: Study, name: str, title: str, some: Sequence[PowerStep]) -> Table:
    """One breaker at a time, with what the meters should say."""
    grouped = len({one.group for one in some}) > 1
    several = len({one.battery for one in some}) > 1
    rows = []
    before = ""
    for one in sorted(some, key=lambda step: GROUPS.index(step.group)):
        group = "" if one.group == before else TITLES[one.group]
        rows.append(_step(study, one, group if grouped else None, several=several))
        before = one.group
    return Table(
        id=name,
        title=title,
        columns=(
            *((text("group", "First"),) if grouped else ()),
            text("close", "Close"),
            text("switch", "Switch on"),
            text("alive", "Alive by"),
            amps("limit_a", "Limit", digits=1),
            amps("total_a", "Ammeter"),
            volts("bus_v", "Bus"),
            text("start", "At switch-on"),
            text("read_amps", "Read, A"),
            text("read_volts", "Read, V"),
        ),
        rows=tuple(rows),
        note={"first-power": _how_limited(), "first-power-engine": UNPLUGGED}.get(name, ""),
    )


UNPLUGGED = (
    "Up to: with coils and injectors unplugged less flows; the voltage stands at their open plugs. "
    "A pump that runs dry runs for a second."
)


def _how_limited() -> str:
    share = default("supply-limit-share")
    return (
        f"Limit: {100 * share.si:.0f} % above the greatest of ammeter, switch-on and pulse, up to "
        f"the next {units.show(default('supply-limit-step').si, 'a')}; set it for each row. A "
        "lamp's filament comes up slowly against it. A supply that cannot give so much lets a "
        "motor start slowly: no fault, if the ammeter then falls to its figure. A question mark: "
        "nobody gave the current; begin at 1 A and read it. Ammeter: all that is on, the coils of "
        "the contacts that are closed and no others. Order and figures are our own; the makers' "
        "instructions come first."
    )


def _step(study: Study, one: PowerStep, group: str | None, *, several: bool) -> tuple[Value, ...]:
    ways = " and ".join(one.closed)
    at = f"supply at {study.system.title('sources', one.battery)}" if several else ""
    total = None if one.total_a is None else _seen(one.total_a)
    if total is not None and one.group == "engine":
        total = Cell(value=total.value, text=f"up to {total.text}")
    return (
        *(() if group is None else (group,)),
        f"{one.title}: {one.device}",
        one.switch,
        ", ".join(filter(None, (_bus(study, one.bus), at, ways)))
        if one.battery
        else f"{_bus(study, one.bus)}: no battery reaches it",
        one.limit_a,
        total,
        one.bus_v,
        "" if one.start_a is None else f"{one.start_a:.1f} A",
        BOX,
        BOX,
    )


def _trip(study: Study) -> Iterator[Block]:
    """The overvoltage trip of every alternator, tried where it can do no harm."""
    some = [n for n, s in study.document.sources.items() if s.kind == "alternator"]
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


def crank(study: Study, one: Crank) -> Table:
    """What each bus keeps while the starter turns, and in its first turn."""
    phase = study.system.title("phases", one.phase)
    starter = study.system.title("equipment", one.starter)
    assumed = " (assumed: the file gives none)" if one.assumed else ""
    rows = tuple(
        (_bus(study, bus), _told(volts_), _told(one.first.bus_v.get(bus)), BOX, BOX)
        for bus, volts_ in one.turning.bus_v.items()
    )
    return Table(
        id=f"crank-test-{one.phase}",
        title=f"Crank test with the ignition dead: {phase}",
        columns=(
            text("bus", "Bus"),
            volts("turning_v", "While it turns"),
            volts("first_v", "In the first turn"),
            text("read_turning", "Least read, V"),
            text("read_first", "Least in the first turn, V"),
        ),
        rows=rows,
        note=(
            f"Battery in and full, {one.condition} loads of {phase} on; {starter} takes "
            f"{one.running_a:.0f} A while it turns and {one.first_a:.0f} A in the first "
            f"{units.show(one.first_s, 's')}{assumed}, which a meter for least values or a scope "
            "sees and a plain voltmeter does not. With the spark plugs out it turns lightly and "
            "every bus stays above these figures; below them, look for a joint that warms. Write "
            "down which boxes restart."
        ),
    )
