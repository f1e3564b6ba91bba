"""The sentence that answers first, before any table: for loads, endurance, wires, voltages."""

from elec import units
from elec.analyses.drops import LoadDrop, load_drops
from elec.analyses.endurance import endurance
from elec.analyses.loads import Capacity, Total, loads
from elec.analyses.pins import pins
from elec.analyses.points import points
from elec.analyses.sizing import sizing
from elec.standards import default
from elec.study import Study
from elec.tables.columns import listed, phase_title
from elec.tables.endurance import ends_with
from elec.tables.load import battery_current_a, unknown_loads
from elec.tables.voltage import least_voltages


def loads_lead(study: Study) -> tuple[str, ...]:
    """Do the sources carry the loads? The worst phase, what it costs, what is not known."""
    texts = list(_unknown(study))
    running = [
        (total, capacity)
        for total in loads(study).totals
        if (capacity := loads(study).capacity[total.phase]).running
    ]
    if not any(s.kind == "alternator" for s in study.document.sources.values()):
        return (*texts, "There is no alternator; the battery carries the whole flight.")
    if not running:
        return (*texts, "What the alternator gives is not known in any phase.")
    short = [pair for pair in running if _spare(*pair) < 0]
    texts += [_short(study, total, capacity) for total, capacity in short]
    if not short:
        total, capacity = min(running, key=lambda pair: _spare(*pair))
        texts.append(
            f"The sources carry every phase with the engine running. Least is left in "
            f"{_where(study, total)}: {_spare(total, capacity):.1f} A of "
            f"{capacity.available_a:.1f} A."
        )
    texts += _practice(study, running)
    return tuple(texts)


def _unknown(study: Study) -> tuple[str, ...]:
    names = [study.system.title("equipment", name) for name in unknown_loads(study)]
    if not names:
        return ()
    verb = "is" if len(names) == 1 else "are"
    return (
        (
            f"No total that contains them is certain: the current of {listed(names)} {verb} not "
            "known. Read it off the label, or measure it."
        ),
    )


def _spare(total: Total, capacity: Capacity) -> float:
    return (capacity.available_a or 0.0) - total.continuous_a


def _where(study: Study, total: Total) -> str:
    return f"{phase_title(study, total.phase)} by {total.condition}"


def _short(study: Study, total: Total, capacity: Capacity) -> str:
    lasts_s = study.document.phases[total.phase].lasts_s
    drawn = battery_current_a(study, total.phase, total.condition)
    text = (
        f"In {_where(study, total)} the sources fall {-_spare(total, capacity):.1f} A short of "
        f"{total.continuous_a:.1f} A"
    )
    if drawn is None or drawn >= 0:
        return f"{text}."
    charge_ah = -drawn * lasts_s / 3600
    time = units.show(lasts_s, "s")
    return f"{text}: the battery gives {-drawn:.1f} A, {charge_ah:.1f} Ah in {time}."


def _practice(study: Study, running: list[tuple[Total, Capacity]]) -> list[str]:
    limit = default("alternator-share").si
    over = [
        total
        for total, capacity in running
        if capacity.rated_a is not None and total.continuous_a > limit * capacity.rated_a
    ]
    if any(capacity.rated_a is None for _, capacity in running):
        return []
    if over:
        places = listed([_where(study, total) for total in over])
        return [f"More than {100 * limit:.0f} % of the rated output is used in {places}."]
    return [f"No phase uses more than {100 * limit:.0f} % of the rated output (AC 43.13-1B 11-35)."]


def endurance_lead(study: Study) -> tuple[str, ...]:
    """How long does the battery last, what ends it, and is that enough?"""
    found = endurance(study)
    if found is None:
        return ("There is no battery, or no phases are given: nothing to say about endurance.",)
    texts = []
    if found.unknown:
        names = listed([study.system.title("equipment", name) for name in found.unknown])
        texts.append(f"Not certain: the current of {names} is not known. It will be less.")
    when = f"{phase_title(study, found.cruise)} by {found.condition}"
    start = f"With the alternator lost in {when}," if found.alternator else f"In {when},"
    if found.minutes is None:
        return (*texts, f"{start} the time on the battery cannot be told.")
    target = default("endurance-target").value
    time = "more than 24 h" if found.longest else f"{found.minutes:.0f} min"
    texts.append(
        f"{start} the battery carries what is left on for {time}: the shorter of the ampere-minute "
        f"sum and the simulation, which ends with {ends_with(study, found)}."
    )
    if found.alternator:
        enough = "above" if found.minutes >= target else "below"
        texts.append(f"That is {enough} the design target of {target:.0f} min.")
    return tuple(texts)


def wires_lead(study: Study) -> tuple[str, ...]:
    """Is any drop above its limit, and where is it closest?"""
    drops = list(load_drops(study).values())
    known = [drop for drop in drops if drop.lost_v is not None]
    over = [drop for drop in known if _part(drop) > 1 + 1e-9]
    texts = []
    if over:
        names = listed([study.system.title("equipment", drop.load) for drop in over])
        texts.append(f"More is lost on the way than is allowed to: {names}.")
    elif known:
        worst = max(known, key=_part)
        title = study.system.title("equipment", worst.load)
        texts.append(
            f"Every known drop is within its limit; the closest is {title}, {worst.lost_v:.2f} V "
            "of "
            f"{worst.limit_v:.2f} V."
        )
    if len(known) < len(drops):
        lost = [study.system.title("equipment", d.load) for d in drops if d.lost_v is None]
        texts.append(f"The drop cannot be told for {listed(lost)}.")
    chosen = sum(gauge.chosen for gauge in sizing(study).gauges.values())
    texts.append(f"{chosen} of {len(sizing(study).gauges)} gauges were chosen here.")
    return tuple(texts)


def _part(drop: LoadDrop) -> float:
    return (drop.lost_v or 0.0) / drop.limit_v if drop.limit_v > 0 else float("inf")


def protection_lead(study: Study) -> tuple[str, ...]:
    """How many devices there are, and which could not be chosen."""
    devices = sizing(study).devices
    chosen = sum(device.chosen for device in devices.values())
    texts = [f"{len(devices)} protective devices, {chosen} of them with a rating chosen here."]
    lost = [f"{name.replace('-', ' ')} ({d.unknown})" for name, d in devices.items() if d.unknown]
    if lost:
        texts.append(f"No rating can be told for {listed(lost)}.")
    return tuple(texts)


def voltage_lead(study: Study) -> tuple[str, ...]:
    """Does everything get the voltage that it needs, in every case?"""
    every = least_voltages(study)
    found = [least for least in every if least.margin_v is not None]
    unsolved = len(points(study).unsolved())
    texts = []
    if unsolved:
        texts.append(
            f"{unsolved} of {len(points(study).cases)} cases have no solution: the sources cannot "
            "deliver what is asked of them there."
        )
    if not found:
        return (*texts, "No load has a voltage in any case.")
    below = [least for least in found if (least.margin_v or 0.0) < 0]
    if below:
        names = listed([f"{least.title} ({least.least_v:.1f} V)" for least in below])
        return (*texts, f"Below the voltage that it works down to in some case: {names}.")
    worst = min(found, key=lambda least: least.margin_v or 0.0)
    texts.append(
        f"Wherever power reaches it, everything keeps the voltage it needs; the closest is "
        f"{worst.title}, {worst.least_v:.1f} V where {worst.minimum_v:.1f} V is needed, in "
        f"{worst.where}."
    )
    return tuple(texts)


def pins_lead(study: Study, names: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Do two wires claim one contact? Is a named contact without a wire?

    Args:
        study: the run.
        names: connectors or equipment that are asked for; left out, all.
    """
    found = pins(study)
    asked = [one for name in names for one in found.of(name)] if names else found.by_id.values()
    every = [(one, pin) for one in asked for pin in one.pins]
    texts = []
    for state, words in (
        ("double", "More than one wire claims"),
        ("unwired", "No wire reaches"),
        ("one half", "Only one half is wired of"),
    ):
        claimed = [f"{one.id}.{pin.contact}" for one, pin in every if pin.state == state]
        if claimed:
            texts.append(f"{words} {listed(claimed)}.")
    if not texts:
        used = sum(pin.state == "used" for _, pin in every)
        texts.append(f"{used} contacts are in use, each with the one wire that belongs there.")
    return tuple(texts)
