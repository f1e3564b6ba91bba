"""The tables beside a hand calculation: what was tried, what counts when, who shares what."""

import numpy as np

from elec import units
from elec.answers.base.marks import marks
from elec.answers.base.points import points
from elec.answers.drop.why_network import Balance, lowest_case
from elec.answers.heat.heat import bundle_use, heat
from elec.answers.loads.loads import LoadLine, loads
from elec.pages.columns import amps, degc, gauge, phase_title, share, text, volts
from elec.pages.table import Cell, Table, Value
from elec.sizing.candidates import Candidate, Candidates
from elec.sizing.devices import Device, ratings_of
from elec.sizing.sizing import rated_degc, sizing
from elec.study import Study
from elec.wiring.chains import chains


def gauges_tried(study: Study, found: Candidates) -> Table:
    """Every gauge that was tried, with the numbers that speak for it or against it."""
    rows: list[tuple[Value, ...]] = [
        (
            gauge(one.awg),
            Cell(value=one.allowed_a, verdict="fail" if one.warm else None),
            one.needed_a,
            one.spot,
            Cell(value=one.lost_v, verdict="fail" if one.loses else None),
            one.limit_v,
            _drop_about(study, one.about),
            _verdict(found, one),
        )
        for one in found.tried
    ]
    return Table(
        id=f"gauges-{_slug(found.chain)}",
        title="Gauges tried, from thin to thick",
        columns=(
            text("gauge_awg", "AWG"),
            amps("allowed_a", "May carry", digits=1),
            amps("needed_a", "Needs to", digits=1),
            text("spot", "Where it may carry least", 2),
            volts("lost_v", "Loses"),
            volts("limit_v", "of"),
            text("about", "To", 3),
            text("verdict", "Does it?"),
        ),
        rows=tuple(rows),
        note="Needs to: the rating of its device, else what it carries for longer than a start.",
    )


def _slug(name: str) -> str:
    return "-".join(name.split())


def _drop_about(study: Study, about: str) -> str:
    if about in study.document.equipment:
        return study.system.title("equipment", about)
    return about


def _verdict(found: Candidates, one: Candidate) -> str:
    word = f"no: {one.obstacle}" if one.obstacle else "yes"
    if not one.taken:
        return word if one.obstacle else "yes, and thinner than what is there"
    return f"{word}; {'given' if found.given else 'taken'}"


def ratings_tried(device: Device) -> Table:
    """The standard ratings around the one that the device has."""
    known = ratings_of(device.kind, device.family)
    needed, rating = device.needed_a or 0.0, device.rating_a
    enough = [one for one in known if device.holds_load(one)]
    lower = [one for one in known if not device.holds_load(one)][-1:]
    last = rating if rating is not None else (enough[0] if enough else 0.0)
    shown = [*lower, *(one for one in enough if one <= max(last, enough[0]))]
    if rating is not None and rating not in shown:
        shown = sorted([*shown, rating])
    rows: list[tuple[Value, ...]] = [
        (one, needed, _inrush_words(device, one), _rating_verdict(device, one)) for one in shown
    ]
    return Table(
        id=f"ratings-{_slug(device.chain)}",
        title="Ratings tried",
        columns=(
            amps("rating_a", "Rating", digits=1),
            amps("needed_a", "Needs at least"),
            text("inrush", "Inrush"),
            text("verdict", "Does it?"),
        ),
        rows=tuple(rows),
        note="Chosen is what the maker of the box asks for; else, from a floor on, the smallest "
        "rating of your stock or else that is made which holds load and inrush; of small ones that "
        "lose much voltage themselves a greater one, up to 5 A.",
    )


def _inrush_words(device: Device, rating: float) -> str:
    if device.inrush_a is None or device.inrush_s is None:
        return ""
    what = f"{device.inrush_a:.3g} A, {1000 * device.inrush_s:.0f} ms"
    held = device.holds_inrush(rating)
    if held is None:
        return f"{what}: no curve"
    opens = (
        f"may open after {units.show(held[1], 's')}" if np.isfinite(held[1]) else "never opens it"
    )
    return f"{what}: {opens}"


def _but(device: Device) -> str:
    """Why a smaller rating that holds was not taken."""
    return f"yes, but: {device.decided}" if device.decided else "yes, but loses"


def _rating_verdict(device: Device, rating: float) -> str:
    taken = rating == device.rating_a
    word = "yes"
    if not device.holds_load(rating):
        word = "no: too small for the load"
    elif device.inrush_a is not None and device.inrush_s is not None:
        held = device.holds_inrush(rating)
        word = "no: the inrush may open it" if held is not None and not held[0] else word
    if taken:
        return f"{word}; {'taken' if device.chosen else 'given'}"
    return word if word != "yes" or device.rating_a is None or not device.chosen else _but(device)


def counted_by_phase(study: Study, load: str) -> Table:
    """What a load counts for in every phase by day and night."""
    lines = [ln for ln in loads(study).lines if ln.equipment == load and not ln.coil]
    return Table(
        id=f"counted-{load}",
        title="What counts in each phase",
        columns=(
            text("phase", "Phase"),
            text("condition", "By"),
            volts("at_v", "At", digits=1),
            amps("connected_a", "When on"),
            amps("five_minute_a", "5 min"),
            amps("continuous_a", "Continuous"),
        ),
        rows=tuple(_line_row(study, line) for line in lines),
        note="Wire and device are chosen for the most it draws; the sums of a phase count the "
        "continuous current, the worst five minutes stand beside it.",
    )


def _line_row(study: Study, line: LoadLine) -> tuple[Value, ...]:
    at_v = loads(study).total(line.phase, line.condition).voltage_v
    return (
        phase_title(study, line.phase), line.condition, at_v, line.connected_a,
        line.five_minute_a, line.continuous_a,
    )  # fmt: skip


def voltages_by_phase(study: Study, load: str) -> Table:
    """The lowest voltage at a load's terminals in every phase, over all states of the sources."""
    found = points(study)
    rows: list[tuple[Value, ...]] = []
    for phase in study.document.phases:
        case, volts_ = lowest_case(study, load, phase)
        if case is None:
            continue
        one = found.cases[case]
        rows.append((phase_title(study, phase), one.condition, one.scenario.title, volts_))
    return Table(
        id=f"terminal-{load}",
        title="Lowest voltage at its terminals",
        columns=(
            text("phase", "Phase"), text("condition", "By"), text("sources", "Sources"),
            volts("lowest_v", "Lowest"),
        ),
        rows=tuple(rows),
        note="Everything that may be on at one moment is on, whichever sources work.",
    )  # fmt: skip


def bus_shares(found: Balance) -> Table:
    """What each circuit and feeder takes out of a bus in its worst case."""
    through = found.through_a
    return Table(
        id=f"shares-{found.node}",
        title="Shares of what flows out",
        columns=(text("to", "To"), amps("current_a", "Current"), share("share", "Share")),
        rows=tuple(
            (flow.title, flow.amps, flow.amps / through if through else None)
            for flow in found.outgoing
        ),
        note=f"{found.title}, {found.volts:.2f} V on the bus.",
    )


def bundle_members(study: Study, key: str) -> Table:
    """Every wire of a bundle: what it carries in the worst moment, and may carry."""
    use, made = bundle_use(study)[key], {c.id: c for c in chains(study).conductors()}
    rows: list[tuple[Value, ...]] = [
        (
            marks(study)[member],
            gauge(sizing(study).gauges[member].awg),
            carried,
            alone,
            heat(study)[member].current_a if member in heat(study) else "",
            rated_degc(made[member], study),
        )
        for (member, carried), (_, alone) in zip(use.carried_a, use.alone_a, strict=True)
    ]
    return Table(
        id=f"members-{key.replace(':', '-')}",
        title="Wires that lie here",
        columns=(
            text("mark", "Mark"), text("gauge_awg", "AWG"), amps("current_a", "Carries then"),
            amps("alone_a", "Could alone"), amps("most_a", "Carries at most", 2),
            degc("rated_degc", "Rated", 3),
        ),
        rows=tuple(rows),
        note="Carries then: in the moment in which all of them together carry most. Could alone: "
        "in this air and height without neighbours.",
    )  # fmt: skip
