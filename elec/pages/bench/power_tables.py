"""The tables of the first power-up: what the meters should say with each contact, in each row."""

import math
from collections.abc import Collection, Sequence

from elec import units
from elec.answers.connect.reversing import reversing
from elec.answers.time.cranking import Crank
from elec.answers.time.power_up import (
    BATTERIES,
    GROUPS,
    Group,
    ModeStep,
    PathRow,
    PowerStep,
    PowerUp,
    relays_of,
)
from elec.pages.columns import amps, by_hand, listed, text, volts
from elec.pages.table import Cell, Table, Value
from elec.standards import default
from elec.study import Study
from elec.wiring.chains import chains

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


def paths(study: Study, found: PowerUp, battery: str) -> Table:
    """What every bus has with each contact closed by itself, and with everything off."""
    several = len(found.supplies_v) > 1
    return Table(
        id=f"first-power-paths-{battery}" if several else "first-power-paths",
        title="Each way by itself"
        + (f": supply at {study.system.title('sources', battery)}" if several else ""),
        columns=(
            text("close", "Closed, all else off"),
            text("alive", "Must read, V"),
            text("dead", "Must read 0 V"),
            amps("limit_a", "Limit", digits=1),
            amps("total_a", "Ammeter"),
            by_hand("read_amps", "Read, A"),
            text("ok", "Done"),
        ),
        rows=tuple(_path(study, one) for one in found.paths if one.battery == battery),
    )


HOW_READ = (
    "Only the contacts of a row are closed: every circuit's breaker is open and every box "
    "unplugged, so that coils alone draw. Read each bus with a test lamp from it to ground beside "
    "the meter: an open bus floats, and a diode leaks a little; without the lamp a bus behind a "
    "diode reads up to 0.3 V more. A bus that is alive and should not be has a diode the wrong way "
    "round or a second feed: stop and find it."
)
"""How the rows of the ways are read, before the first of them."""


def _path(study: Study, one: PathRow) -> tuple[Value, ...]:
    alive = ", ".join(f"{_bus(study, b)} {v:.2f}" for b, v in one.bus_v.items())
    unknown = f" (without {listed(_named(study, one.unknown))})" if one.unknown else ""
    return (
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
    batteries = {one.battery for one in some}
    several = len(batteries) > 1
    rows = []
    before = ""
    at = [*study.document.sources, ""]
    for one in sorted(some, key=lambda s: (GROUPS.index(s.group), at.index(s.battery))):
        group = "" if one.group == before else TITLES[one.group]
        rows.append(
            _step(study, one, group if grouped else None, several=several, most=name == MOST)
        )
        before = one.group
    return Table(
        id=name,
        title=title + _where_from(study, batteries),
        columns=(
            *((text("group", "First"),) if grouped else ()),
            text("close", "Close, or put in"),
            text("switch", "Switch on"),
            text("alive", "Alive by"),
            amps("limit_a", "Limit", digits=1),
            amps("total_a", "Ammeter"),
            volts("bus_v", "Bus"),
            text("start", "At switch-on"),
            by_hand("read_amps", "Read, A"),
            by_hand("read_volts", "Read, V"),
        ),
        rows=tuple(rows),
        note=UNPLUGGED if name == MOST else "",
    )


def _where_from(study: Study, batteries: Collection[str]) -> str:
    """At which battery the supply stands, where there are several and all rows have the same."""
    every = [n for n, s in study.document.sources.items() if s.kind in BATTERIES]
    told = [name for name in batteries if name in every]
    if len(every) < 2 or len(batteries) != 1 or not told:
        return ""
    return f": supply at {study.system.title('sources', told[0])}"


def other_modes(study: Study, name: str, some: Sequence[PowerStep]) -> Table:
    """Each further mode of each box, with what the meters should say while it lasts."""
    moded = [one for one in some if one.modes]
    several = len({one.battery for one in moded}) > 1
    at = [*study.document.sources, ""]
    ordered = sorted(some, key=lambda s: (GROUPS.index(s.group), at.index(s.battery)))
    pulses = any(mode.peak_a is not None for one in some for mode in one.modes)
    return Table(
        id=name,
        title="Each other mode of a box" + _where_from(study, {one.battery for one in moded}),
        columns=(
            text("load", "Box"),
            text("mode", "Mode"),
            text("close", "Close, or put in"),
            text("alive", "Alive by"),
            amps("limit_a", "Limit", digits=1),
            amps("total_a", "Ammeter"),
            volts("bus_v", "Bus"),
            *((text("peak", "At each pulse"),) if pulses else ()),
            by_hand("read_amps", "Read, A"),
            by_hand("read_volts", "Read, V"),
        ),
        rows=tuple(
            _mode(study, one, mode, several=several, pulses=pulses)
            for one in ordered
            for mode in one.modes
        ),
        note=(
            "Limit: raised for the row and lowered after it, found as in the table before. "
            "Ammeter: while the mode lasts, with all else that the row has closed; a second is "
            "enough for a meter to settle. A question mark: nobody gave the current; begin at 1 A "
            "and read it."
        ),
    )


def _mode(
    study: Study, one: PowerStep, mode: ModeStep, *, several: bool, pulses: bool
) -> tuple[Value, ...]:
    return (
        study.system.title("equipment", mode.load),
        mode.mode.replace("-", " "),
        f"{one.title}: {one.device}",
        _alive_by(study, one, several=several),
        mode.limit_a,
        None if mode.total_a is None else _seen(mode.total_a),
        mode.bus_v,
        *(("" if mode.peak_a is None else f"{mode.peak_a:.1f} A",) if pulses else ()),
        BOX,
        BOX,
    )


def _alive_by(study: Study, one: PowerStep, *, several: bool) -> str:
    """The bus of a circuit, the supply that brings it alive, and the contacts closed for that."""
    if not one.battery:
        return f"{_bus(study, one.bus)}: no battery reaches it"
    at = f"supply at {study.system.title('sources', one.battery)}" if several else ""
    ways = " and ".join(one.closed)
    return ", ".join(filter(None, (_bus(study, one.bus), at, ways)))


def _closed(study: Study, one: PowerStep) -> str:
    """The devices to close for a row."""
    relays = chains(study).by_name.get(one.relays)
    too = f", and that of {relays.title}" if relays is not None else ""
    return f"{one.title}: {one.device}{too}"


MOST = "first-power-engine"
"""The table whose currents are the most, for something is unplugged."""
UNPLUGGED = (
    "Up to: with coils and injectors unplugged less flows; the voltage stands at their open plugs. "
    "A pump that runs dry runs for a second."
)


def how_limited() -> str:
    """How limits are set and meters read in the tables of circuits, before the first of them."""
    share = default("supply-limit-share")
    return (
        f"Limit: {100 * share.si:.0f} % above the greatest of ammeter, switch-on and pulse, up to "
        f"the next {units.show(default('supply-limit-step').si, 'a')}; set it for each row. Of "
        "lamps above the ammeter alone: a filament comes up slowly against the limit and takes no "
        "harm. A row is a box in its first mode; each other one (transmit, a horn) has a row of "
        "its own in a later table. A supply that cannot give so much lets a "
        "motor start slowly: no fault, if the ammeter then falls to its figure. A question mark: "
        "nobody gave the current; begin at 1 A and read it. Ammeter: all that is on, the coils of "
        "the contacts that are closed and no others. Order and figures are our own; the makers' "
        "instructions come first."
    )


def pressed(study: Study, circuit: str) -> str:
    """Every switch in a hand on the way of a circuit, by its words: `START ARM and START`.

    Limit switches and the contacts of relays move by themselves.
    """
    circuits, switches = study.document.circuits, study.document.switches
    limits = {name for one in circuits.values() if one.reverse for name in one.reverse.limits}
    own = {name for name, one in switches.items() if one.coil is not None}
    parts = chains(study).by_name[circuit].parts()
    hands = (p.label for p in parts if p.kind == "switch" and p.name not in limits | own)
    return " and ".join(dict.fromkeys(hands))


def _switched(study: Study, one: PowerStep) -> str:
    """What to switch on in a row; with a motor that runs both ways its two positions."""
    found = reversing(study)
    bridge = next((b for n, b in found.items() if one.circuit in (n, relays_of(study, n))), None)
    if bridge is None:
        return pressed(study, one.circuit) or one.switch or "no switch"
    first, second = bridge.ways
    control = study.system.title("switches", bridge.control)
    return f"{control}: {first.name}, then {second.name}"


def _step(
    study: Study, one: PowerStep, group: str | None, *, several: bool, most: bool
) -> tuple[Value, ...]:
    total = None if one.total_a is None else _seen(one.total_a)
    if total is not None and most:
        total = Cell(value=total.value, text=f"up to {total.text}")
    return (
        *(() if group is None else (group,)),
        _closed(study, one),
        _switched(study, one),
        _alive_by(study, one, several=several),
        one.limit_a,
        total,
        one.bus_v,
        "" if one.start_a is None else f"{one.start_a:.1f} A",
        BOX,
        BOX,
    )


def starter_a(study: Study, one: Crank) -> float | None:
    """What flows into a starter in its first turn, at the voltage that it has then."""
    feeding = (c for name in chains(study).feeds.get(one.starter, ())
               for c in chains(study).by_name[name].conductors())  # fmt: skip
    last = next((c for c in feeding if c.b.name == one.starter), None)
    return None if last is None else one.first.wire_a.get(last.id)


def crank(study: Study, one: Crank) -> Table:
    """What each bus keeps while the starter turns, and in its first turn."""
    phase = study.system.title("phases", one.phase)
    starter = study.system.title("equipment", one.starter)
    assumed = " (assumed: the file gives none)" if one.assumed else ""
    flows = starter_a(study, one)
    less = flows is not None and flows < one.first_a - 0.5
    left = f" ({flows:.0f} A at the voltage that is left then)" if less else ""
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
            by_hand("read_turning", "Least read, V"),
            by_hand("read_first", "Least in the first turn, V"),
        ),
        rows=rows,
        note=(
            f"Battery in and full, {one.condition} loads of {phase} on; {starter} takes "
            f"{one.running_a:.0f} A while it turns and {one.first_a:.0f} A{left} in the first "
            f"{units.show(one.first_s, 's')}{assumed}, which a meter for least values or a scope "
            "sees and a plain voltmeter does not. With the spark plugs out it turns lightly and "
            "every bus stays above these figures; below them, look for a joint that warms. Write "
            "down which boxes restart."
        ),
    )
