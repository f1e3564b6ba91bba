"""The sentence that answers first, before any table: for loads, endurance, wires, voltages."""

from collections.abc import Iterator

import numpy as np

from elec import units
from elec.answers.base.points import points
from elec.answers.connect.pins import pins
from elec.answers.drop.drops import LoadDrop, drop_about, load_drops
from elec.answers.failures.planned import plan_with, planned
from elec.answers.loads.margins import (
    Margin,
    alone,
    keeps_rule,
    margins_by_condition,
    rule_of,
    the,
)
from elec.answers.loads.sharing import alternators
from elec.answers.time.endurance import endurance
from elec.answers.time.endurance_limit import endurance_limit
from elec.check import verdict_of
from elec.finding import AGAINST, Verdict
from elec.pages.columns import listed, phase_title
from elec.pages.loads.load import unknown_loads
from elec.pages.loads.voltage import KEEPS, least_voltages
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.cases import NORMAL
from elec.wiring.demand import turning_s, turns
from elec.wiring.sources import has_alternator


def loads_lead(study: Study) -> tuple[str, ...]:
    """Does each source carry its loads? What it costs where not, what is left, the start."""
    texts = list(unknown_words(study))
    start = started(study)
    if not has_alternator(study):
        return (*texts, "There is no alternator; the battery carries the whole flight.", *start)
    every = [m for m in margins_by_condition(study).values() if m.spare_a is not None]
    if not every:
        return (*texts, "What the alternator gives is not known in any phase.", *start)
    texts += [short(study, margin) for margin in every if margin.short]
    for sources in dict.fromkeys(m.sources for m in every):
        texts += _carried(study, [m for m in every if m.sources == sources])
    return (*texts, *_idle(study, every), *_alone(study), *_practice(study), *start)


def _carried(study: Study, its: list[Margin]) -> Iterator[str]:
    """Where an alternator carries its loads, and where least is left."""
    good = [m for m in its if not m.short]
    if not good:
        return
    least = min(good, key=lambda m: m.spare_a or 0.0)
    where = "all its loads in every" if len(good) == len(its) else "its loads in every other"
    yield (
        f"{_capital(the(study, least.sources))} carries {where} phase with the engine "
        f"running. Least is left in {_where(study, least)}: {least.spare_a:.1f} A of "
        f"{least.can_a:.1f} A."
    )


def _idle(study: Study, every: list[Margin]) -> Iterator[str]:
    carrying = {name for m in every for name in m.sources}
    for name in alternators(study):
        if name not in carrying:
            title = _capital(the(study, (name,)))
            yield f"{title} stands by: it gives nothing while the others work."


def _alone(study: Study) -> Iterator[str]:
    """What each alternator carries while the others have failed and loads are shed."""
    shed = [m for m in alone(study) if m.share.situation == "alone, shed" and m.can_a is not None]
    for sources in dict.fromkeys(m.sources for m in shed):
        its = [m for m in shed if m.sources == sources]
        short = [m for m in its if m.short]
        title = _capital(the(study, sources))
        if not any(m.can_a for m in its):
            yield f"{title} alone, loads shed, gives nothing: what feeds its field is shed."
            continue
        if not short:
            least = min(its, key=lambda m: m.spare_a or 0.0)
            yield (
                f"{title} alone, loads shed, carries what stays on in every phase; least is left "
                f"in {_where(study, least)}: {least.spare_a:.1f} A of {least.can_a:.1f} A."
            )
            continue
        most = min(short, key=lambda m: m.spare_a or 0.0)
        phases = listed(list(dict.fromkeys(phase_title(study, m.phase) for m in short)))
        yield (
            f"{title} alone, loads shed, falls short in {phases}: by {-(most.spare_a or 0):.1f} A "
            f"of {most.share.carried_a:.1f} A in {_where(study, most)}."
        )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def started(study: Study) -> Iterator[str]:
    """What a start takes out of the batteries: amperes for seconds, no lasting load."""
    found = points(study)
    for phase, entry in study.document.phases.items():
        if not turns(entry):
            continue
        at = found.select(phase=phase, scenario=NORMAL.name, count="momentary")
        drawn = float(np.maximum(-found.solution.battery_a[:, at], 0.0).sum(axis=0).max(initial=0))
        time_s = min(entry.lasts_s, turning_s(study, phase))
        if drawn > 0:
            yield (
                f"While the starter turns, {units.show(time_s, 's')} in {phase_title(study, phase)}"
                f", the batteries give {drawn:.0f} A: {drawn * time_s / 3600:.2f} Ah."
            )


def unknown_words(study: Study) -> tuple[str, ...]:
    """Which currents are not known, and what to do; empty where all are."""
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


def _where(study: Study, margin: Margin) -> str:
    return f"{phase_title(study, margin.phase)} by {margin.condition}"


def short(study: Study, margin: Margin) -> str:
    """What an alternator lacks in a phase, and who gives it."""
    share = margin.share
    name = the(study, margin.sources)
    all_ = "all that it can, " if share.limited else ""
    given = f"{all_}{share.given_a:.1f} A" if margin.can_a else "nothing at that engine speed"
    text = f"In {_where(study, margin)} {name} gives {given}"
    if share.drawn_a > 0:
        time = units.show(margin.lasts_s, "s")
        text += (
            f", and the battery gives {share.drawn_a:.1f} A, {_charge(margin.drained_ah)} in {time}"
        )
    return text + (f"; others help with {share.help_a:.1f} A." if share.help_a > 0 else ".")


def _charge(charge_ah: float) -> str:
    """A charge for print: to a tenth, and what is smaller than one not as nothing.

    >>> _charge(0.62), _charge(0.041), _charge(0.0)
    ('0.6 Ah', '0.04 Ah', '0.0 Ah')
    """
    tenth = f"{charge_ah:.1f}"
    return f"{tenth if float(tenth) or not charge_ah else f'{charge_ah:.1g}'} Ah"


def _practice(study: Study) -> Iterator[str]:
    """The most that lasting loads ask of a rating; nothing where a current is not known."""
    every = [m for m in margins_by_condition(study).values() if m.used_part is not None]
    if not every or any(m.unknown for m in every):
        return
    most = max(every, key=lambda m: (not keeps_rule(study, m), m.used_part or 0.0))
    rule, fine = rule_of(study, most), keeps_rule(study, most)
    yield (
        f"{'No more' if fine else 'More'} than {100 * rule.value:.0f} % of a rating is in lasting "
        f"use ({rule.source}). Most is on together for more than five minutes in "
        f"{_where(study, most)}: {most.share.asked_a:.1f} A of {the(study, most.sources)}, rated "
        f"{most.rated_a:g} A, {100 * (most.used_part or 0):.0f} %."
    )


def endurance_lead(study: Study) -> tuple[str, ...]:
    """How long does the battery last, what ends it, and is that enough?"""
    found = endurance(study)
    if found is None:
        return ("There is no battery, or no phases are given: nothing to say about endurance.",)
    texts = []
    if found.unknown:
        names = listed([study.system.title("equipment", name) for name in found.unknown])
        texts.append(f"Not certain: the current of {names} is not known. It will be less.")
    if found.minutes is None:
        return (*texts, "The time on the battery cannot be told: nothing draws from it.")
    asked = endurance_limit(study, found)
    texts.append(plan_with(study))
    least = planned(study)
    if found.alternator and least is not None and least.minutes is not None:
        enough = "above" if asked.met(least.minutes) else "below"
        wanted = units.asked_minutes(asked.minutes)
        texts.append(f"That is {enough} the {wanted} min asked for ({asked.why}).")
    return tuple(text for text in texts if text)


def wires_lead(study: Study) -> tuple[str, ...]:
    """Is any drop above its limit, and where is it closest?"""
    drops = list(load_drops(study).values())
    known = [drop for drop in drops if drop.lost_v is not None]
    over = [drop for drop in known if _drop_verdict(study, drop) in AGAINST]
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


def _drop_verdict(study: Study, drop: LoadDrop) -> Verdict | None:
    return verdict_of(study, drop_about(study, drop.circuit, drop.load), "wire-drop")


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
    below = [one for one in found if verdict_of(study, one.equipment, *KEEPS) in AGAINST]
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
