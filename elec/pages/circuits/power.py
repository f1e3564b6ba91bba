"""The first power-up: a safe order, and what the meters should say at each step."""

from elec.answers.time.power_up import PowerStep, power_up
from elec.pages.columns import amps, text, volts
from elec.pages.table import Table, Value
from elec.study import Study

BOX = ""
"""A cell to write in."""


def first_power(study: Study) -> Table | None:
    """One breaker at a time, with what the meters should say."""
    found = power_up(study)
    if found is None:
        return None
    head = (
        "master on, all breakers open",
        "",
        "",
        None if found.idle_a is None else found.idle_a,
        found.supply_v,
        BOX,
        BOX,
    )
    idle = found.idle_a or 0.0
    return Table(
        id="first-power",
        title="First power-up",
        columns=(
            text("close", "Close"),
            text("switch", "Switch on", 2),
            text("bus", "Bus", 2),
            amps("total_a", "Ammeter"),
            volts("bus_v", "Bus"),
            text("read_amps", "Read, A"),
            text("read_volts", "Read, V"),
        ),
        rows=(head, *(_power(study, one, idle) for one in found.steps)),
        note=_power_note(found.left_out),
    )


def _power(study: Study, one: PowerStep, idle_a: float) -> tuple[Value, ...]:
    total: Value = None if one.added_a is None else idle_a + one.added_a
    return (
        f"{one.title}: {one.device}",
        one.switch,
        study.system.title("buses", one.bus),
        total,
        one.bus_v,
        BOX,
        BOX,
    )


def _power_note(left_out: tuple[str, ...]) -> str:
    left = f" Not tried at rest: {', '.join(left_out)}." if left_out else ""
    return (
        "A supply with a current limit in place of the battery, boxes plugged in one by one; open "
        "each breaker again before the next. A fifth more or less: look before you go on. A "
        "question mark: its current is not known; set the limit low and read it. "
        "The order and its figures are our own; the makers' instructions come first." + left
    )


POWER_STEPS = (
    (
        "Battery out, all breakers open, switches off, boxes unplugged. Ring-out and insulation "
        "sheets are signed."
    ),
    "Each bus to ground with an ohmmeter: below 1 Ω stop, below 10 Ω find out what it is.",
    (
        "A supply in place of the battery, limit 1 A. Master on: the contactor pulls in, nothing "
        "else draws."
    ),
    (
        "Limit 5 A. Close one breaker at a time: the voltage stands at the power contact of each "
        "unplugged connector, at no other contact, with the right polarity; ground contacts read "
        "below 0.1 Ω."
    ),
    "Each switch in both positions, each interlock, each contact that it should switch.",
    "Plug in one box at a time and go through the table below.",
    (
        "Battery in, through a fuse the first time. Each phase of flight as far as it goes on the "
        "ground; drops at the heavy loads."
    ),
    (
        "Essential feed and standby source: alternator field off, look at the buses; do not "
        "raise the bus to try an over-voltage trip with avionics on."
    ),
    (
        "Engine running: bus voltage at idle and above, low-voltage warning, each load on and off "
        "while radio and instruments are watched; then the interference test and the compass swing."
    ),
)
"""A safe order for the first power (own method; the makers' instructions come first)."""
