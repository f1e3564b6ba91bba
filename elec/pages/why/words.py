"""The short answers: why a wire has its gauge, a device its rating, a load its voltage.

In: analyses. Out: sentences, the answer before the numbers.
"""

import math

from elec import units
from elec.answers.drop.drops import feeder_drops, load_drops
from elec.answers.heat.heat import WireHeat, heat
from elec.answers.short.damage import opens_in_time
from elec.pages.circuits.wire import hottest
from elec.sizing.candidates import Candidate, Candidates, candidates
from elec.sizing.devices import Device
from elec.sizing.sizing import guarding, sizing
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.ends import wire_ends
from elec.wiring.runs import runs


def gauge_reason(study: Study, chain: Chain) -> str:
    """As `The wire of beacon is AWG 20 because AWG 22 loses 0.52 V and 0.50 V is allowed.`."""
    found = candidates(study, chain)
    if found is None or found.taken is None:
        return f"No current decides the gauge of {chain.title}."
    taken = found.taken
    name = units.show_gauge(taken.awg)
    if found.given:
        words = _given_words(found, taken)
        return (
            f"The wire of {chain.title} is {name} because it is given "
            f"({_where(study, chain)}): {words}"
        )
    begin = f"The wire of {chain.title} is {name} because "
    before = _before(found, taken)
    if taken.obstacle:
        return f"{begin}none does better, and it does not do: {_against(study, taken)}."
    if before is not None:
        return f"{begin}{units.show_gauge(before.awg)} {_against(study, before)}."
    return f"{begin}nothing asks for more than the least gauge for strength: {_for(taken)}."


def _where(study: Study, chain: Chain) -> str:
    return str(study.system.where(*chain.path, "gauge"))


def _given_words(found: Candidates, taken: Candidate) -> str:
    passing = next((one for one in found.tried if not one.obstacle), None)
    if taken.obstacle:
        better = f"; {units.show_gauge(passing.awg)} would" if passing else ""
        return f"it does not do ({taken.obstacle}){better}."
    if passing is None or passing is taken:
        return "it is the thinnest that does."
    return f"it does, and {units.show_gauge(passing.awg)} would do as well."


def _before(found: Candidates, taken: Candidate) -> Candidate | None:
    index = found.tried.index(taken)
    return found.tried[index - 1] if index else None


def _against(study: Study, one: Candidate) -> str:
    """Why a gauge does not do, with the number that decides."""
    why = one.obstacle
    if why is None:
        return "does"
    if why.kind == "short comes back":
        return f"must be {why}, whose short-circuit current comes back through it"
    if why.kind == "heat":
        carries, needed = _amps(one.allowed_a), _amps(one.needed_a)
        return f"may carry {carries} {one.where}, and {needed} is needed"
    if why.kind != "drop":
        return f"does not do: {why}"
    to = ""
    if one.about in study.document.equipment:
        to = f" to {study.system.title('equipment', one.about)}"
    elif one.about:
        to = f" while {one.about}"
    lost, most = _apart(one.lost_v, one.limit_v)
    return f"loses {lost}{to} and {most} is allowed"


def _for(one: Candidate) -> str:
    texts = []
    if one.allowed_a is not None:
        texts.append(f"it may carry {_amps(one.allowed_a)} of {_amps(one.needed_a)} needed")
    if one.lost_v is not None:
        lost, most = _apart(one.lost_v, one.limit_v)
        texts.append(f"it loses {lost} of {most}")
    return " and ".join(texts)


def _amps(value: float | None) -> str:
    return "? A" if value is None else f"{value:.3g} A"


def _apart(value: float | None, limit: float | None) -> tuple[str, str]:
    """Two voltages with as many digits as it takes to tell them apart."""
    if value is None or limit is None:
        return "? V", "? V"
    digits = 2
    while digits < 6 and value != limit and f"{value:.{digits}f}" == f"{limit:.{digits}f}":
        digits += 1
    return f"{value:.{digits}f} V", f"{limit:.{digits}f} V"


def device_reason(study: Study, chain: Chain) -> str:
    """`Its breaker is 5 A because the load needs 4.1 A or more …`."""
    device = sizing(study).devices.get(chain.name)
    if device is None:
        text = f"{chain.title[:1].upper()}{chain.title[1:]} has no protective device of its own"
        guard = guarding(study, chain)
        if guard is None:
            return f"{text}."
        before = chains(study).named(guard.chain).title
        return f"{text}; the {guard.label} of {before} guards it."
    begin = f"The {device.kind} of {chain.title} is {_rating(device)} "
    if device.needed_a is None or device.load_a is None:
        return f"{begin}as given; what it must hold is not known: {device.unknown}."
    load, least = _amps(device.load_a), _amps(device.needed_a)
    if device.peak_a is not None:
        load = f"{load} (root mean square), {_amps(device.peak_a)} at the peak"
    needs = f"{load}, with room and as warm as it is there, asks for {least}"
    if device.rating_a is None:
        return f"{begin}because {device.unknown}."
    if device.chosen:
        if device.decided:
            return f"{begin}because of {device.decided}; {needs}."
        held = "load and inrush" if device.inrush_a is not None else "that"
        return f"{begin}because {needs}: it is the next standard rating that holds {held}."
    enough = device.holds_load(device.rating_a)
    where = study.system.where(*chain.path, device.kind)
    word = "enough" if enough else "too little"
    return f"{begin}because it is given ({where}): {needs}, so that it is {word}."


def _rating(device: Device) -> str:
    return "? A" if device.rating_a is None else f"{device.rating_a:g} A"


def state_reason(study: Study, chain: Chain) -> str:
    """What it loses, how warm it gets, what a short does."""
    texts = []
    drops = [load_drops(study)[chain.name, load] for load in chain.loads]
    known = [drop for drop in drops if drop.lost_v is not None]
    if len(known) < len(drops):
        texts.append("what it loses cannot be told")
    if known:
        worst = max(known, key=lambda d: (d.lost_v or 0.0) / d.limit_v)
        lost, most = _apart(worst.lost_v, worst.limit_v)
        title = study.system.title("equipment", worst.load)
        texts.append(f"{lost} of {most} is lost to {title} and back")
    feeder = feeder_drops(study).get(chain.name)
    if feeder is not None and feeder.lost_v is not None:
        lost, most = _apart(feeder.lost_v, feeder.limit_v)
        texts.append(f"{lost} of {most} is lost in its wires at {_amps(feeder.current_a)}")
    hot = hottest(study, chain)
    if hot is not None:
        texts.append(warm_words(hot))
    race = opens_in_time(study).get(chain.name)
    if race is not None and race.opens_s is not None:
        texts.append(
            f"at {_amps(race.current_a)}, the worst short, its device opens within "
            f"{seconds(race.opens_s)} and the wire bears {seconds(race.damaged_s)}"
        )
    text = "; ".join(texts)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def seconds(value: float) -> str:
    """A time for a sentence."""
    return units.show(value, "s") if math.isfinite(value) else "any time"


def warm_words(hot: WireHeat) -> str:
    """How warm a wire gets."""
    if hot.warmest_degc is None:
        return "the wire gets warmer than the curves cover"
    return f"the wire gets to {hot.warmest_degc:.0f} °C of {hot.rated_degc:.0f} °C"


def wire_reason(study: Study, chain: Chain, conductor: Conductor, mark: str) -> tuple[str, ...]:
    """What a wire is, why it has its gauge, and what it makes of its current."""
    start, end = wire_ends(study, conductor)
    run = runs(study)[conductor.id]
    length = (
        f"length not known: {run.unknown}"
        if run.length_m is None
        else units.cut_length(run.length_m, study.system.about.units)
    )
    first = f"{mark} leads from {start} to {end}, {length}; it belongs to {chain.title}."
    gauge = sizing(study).gauges.get(conductor.id)
    if gauge is None:
        return (first, "It is a cable's own core or a coaxial line: no gauge is chosen for it.")
    if chain.kind == "wire" and not chain.hot:
        return (first, f"It is {units.show_gauge(gauge.awg)}: {gauge.decided}.")
    hot = heat(study).get(conductor.id)
    texts = [first, gauge_reason(study, chain)]
    if hot is not None:
        share = hot.current_a / hot.allowed_a if hot.allowed_a else math.inf
        texts.append(
            f"It carries {_amps(hot.current_a)} and may carry {_amps(hot.allowed_a)} "
            f"{hot.where}, {100 * share:.0f} %; {warm_words(hot)}."
        )
    return tuple(texts)
