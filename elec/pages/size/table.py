"""What was chosen for every circuit, feeder and ground, and what the next smaller one lacks."""

from collections.abc import Sequence

from elec.answers.base.nothing_given import from_nothing
from elec.pages.circuits.wire import sheet
from elec.pages.columns import amps, gauge, text
from elec.pages.table import Cell, Table, Value
from elec.sizing.choices import Choice, choices
from elec.study import Study
from elec.units import show_gauge


def sizes(study: Study, only: Sequence[str] = ()) -> Table:
    """Device and gauge of every chain (or of some), what decided each, and what is next below."""
    found = [c for c in choices(study).values() if (c.chain in only if only else _power(c))]
    return Table(
        id="sizes",
        title="What was chosen",
        columns=(
            text("chain", "Circuit, feeder, ground"),
            amps("current_a", "Lasting"),
            text("device", "Device"),
            text("device_decided", "Rating decided by", 2),
            text("device_smaller", "Smaller would not do", 3),
            text("gauge_awg", "AWG"),
            text("gauge_decided", "Gauge decided by"),
            text("gauge_thinner", "Thinner would not do", 2),
        ),
        rows=tuple(_row(choice) for choice in found),
        note=(
            "Given: you wrote it, and it is only checked. Where nothing is said of a smaller "
            "rating or a thinner gauge, there is none, or the given one could be smaller."
        ),
    )


def _power(choice: Choice) -> bool:
    """Whether it brings power: all but signal wires."""
    return choice.kind != "wire" or choice.thin


def _row(choice: Choice) -> tuple[Value, ...]:
    return (
        Cell(value=choice.title, ref=sheet(choice.chain) if choice.kind == "circuit" else None),
        choice.current_a,
        _label(choice),
        choice.device_why,
        next_smaller(choice),
        gauge(choice.awg),
        choice.gauge_why if choice.satisfied else f"nothing passes: {choice.gauge_why}",
        next_thinner(choice),
    )


def _label(choice: Choice) -> str:
    if choice.device is not None:
        far = f", far end {choice.far_device.label}" if choice.far_device else ""
        return choice.device.label + far
    return "none" if choice.kind in ("circuit", "feeder") else ""


def thinner_signals(study: Study) -> tuple[int, str]:
    """How many signal wires would be chosen otherwise than given, and the gauges of these."""
    bare = choices(from_nothing(study).study)
    found = [
        bare[name].awg
        for name, given in choices(study).items()
        if not _power(given) and bare[name].awg != given.awg
    ]
    return len(found), " and ".join(show_gauge(awg) for awg in dict.fromkeys(found))


def next_smaller(choice: Choice) -> str:
    """`1 A: 1.8 A or more holds the load of 1.4 A`; empty where a smaller one would do."""
    if choice.smaller_a is None or not choice.smaller_why:
        return ""
    return f"{choice.smaller_a:g} A: {choice.smaller_why}"


def next_thinner(choice: Choice) -> str:
    """`AWG 24: it would lose 0.62 V of 0.50 V`; empty where a thinner one would do."""
    if not choice.thinner or not choice.thinner_why:
        return ""
    return f"{show_gauge(choice.thinner)}: {choice.thinner_why}"


def given_and_chosen(study: Study, only: Sequence[str] = ()) -> Table:
    """What is given beside what would be chosen if nothing were; only what differs."""
    bare = choices(from_nothing(study).study)
    rows = []
    for name, given in choices(study).items():
        chosen = bare[name]
        if (name not in only if only else not _power(given)) or not _differs(given, chosen):
            continue
        rows.append(
            (
                given.title,
                _label(given),
                _label(chosen),
                chosen.device_why,
                gauge(given.awg),
                gauge(chosen.awg),
                chosen.gauge_why,
            )
        )
    return Table(
        id="from-nothing",
        title="Given, and chosen from nothing",
        columns=(
            text("chain", "Circuit, feeder, ground"),
            text("device_given", "Device now"),
            text("device_chosen", "Chosen"),
            text("device_decided", "Rating decided by", 2),
            text("gauge_given_awg", "AWG now"),
            text("gauge_chosen_awg", "Chosen"),
            text("gauge_decided", "Gauge decided by", 2),
        ),
        rows=tuple(rows),
        note=(
            "All are chosen together: what one gives up, another may need. A rating that its maker "
            "asks for, a contact, or a wire already laid is a good reason to keep what is given."
        ),
    )


def _differs(given: Choice, chosen: Choice) -> bool:
    ratings = [c.device.rating_a if c.device else None for c in (given, chosen)]
    return given.awg != chosen.awg or ratings[0] != ratings[1]
