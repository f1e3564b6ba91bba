"""What a short in each wire and at each bus does, with every source feeding."""

import math

from elec.answers.short.short_clearing import ShortCourse
from elec.answers.short.shorts import Short, Shorted, shorts
from elec.pages.columns import amps, listed, text
from elec.pages.table import Cell, Column, Table, Value
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains

MOST = 4
"""So many names stand in a cell; the rest is counted."""


def shorts_table(study: Study) -> Table:
    """Feeders end by end, circuits and thin wires by the end that takes longest, then buses."""
    rows = [
        _row(study, shorted, short, course, changed=course is short.changed)
        for shorted in shorts(study).by_name.values()
        for short, course in _shown(shorted)
    ]
    return Table(
        id="shorts",
        title="What a short does",
        columns=(
            text("wire", "Shorted"),
            text("end", "At"),
            amps("drives_a", "Drives", digits=0),
            text("opens", "Opens, at the latest"),
            Column(key="heat_fraction", head="Heat borne", unit="%", digits=0),
            text("lost", "Essential, lost for good"),
            text("feeds_on", "Feeds on"),
            text("may", "May open too", 2),
        ),
        rows=tuple(rows),
        note=(
            "Against the main ground, in cruise, loads off, batteries full, each alternator with "
            "what it gives for a moment. Opens: each device in its longest time, one after the "
            "other, beyond the end of its curve by the square of the current. Heat borne: of what "
            "brings the wire that suffers most to its damage. Lost for good: at once and after "
            "changing over, nothing taking over. May open too: before the others, if it is quick "
            "and they are slow. Changed over: with the feeders for an emergency closed, what "
            "opened before still open."
        ),
    )


def _shown(shorted: Shorted) -> list[tuple[Short, ShortCourse]]:
    """Every end of a feeder or bus in both states; of a circuit the one that takes longest."""
    every = [
        (short, course)
        for short in shorted.shorts
        for course in short.courses
        if course is short.normal or course.opened or not short.normal.live
    ]
    if shorted.kind not in ("circuit", "wire"):
        return every
    worst = max(every, key=_burden, default=None)
    return [] if worst is None else [worst]


def _burden(pair: tuple[Short, ShortCourse]) -> tuple[float, float]:
    """What lasts longest; of those that never end the greatest, of others the smallest current."""
    course = pair[1]
    endless = math.isinf(course.cleared_s)
    return course.cleared_s, course.drives_a if endless else -course.drives_a


def _row(
    study: Study, shorted: Shorted, short: Short, course: ShortCourse, *, changed: bool
) -> tuple[Value, ...]:
    heat = max((slow for _, slow in course.heated.values()), default=0.0)
    lost = () if changed else short.taken
    titles = [study.system.title("equipment", name) for name in lost]
    shown = (
        titles if len(titles) <= MOST else [*titles[: MOST - 1], f"{len(titles) - MOST + 1} more"]
    )
    beyond = bool(set(lost) & set(shorted.beyond))
    sources = [study.system.title("sources", name) for name in course.left_from]
    return (
        shorted.title,
        (short.at or "the bus") + (", changed over" if changed else ""),
        course.drives_a,
        "; ".join(
            f"{_device(study, one.device, shorted)} {one.at_s:.2g} s" for one in course.opened
        )
        or "nothing",
        None if course.unsure else Cell(value=100 * heat) if math.isfinite(heat) else "burns",
        Cell(value=listed(titles), text=listed(shown), verdict="fail" if beyond else None)
        if titles
        else "",
        f"{listed(sources)} {course.left_a:.0f} A" if sources else "",
        "; ".join(
            (
                *(_device(study, key, shorted) for key in course.may),
                *(f"management of {name}" for name in _managements(study, short)),
            )
        ),
    )


def _managements(study: Study, short: Short) -> tuple[str, ...]:
    """Batteries whose management system opens, or may."""
    names = () if short.cut is None else short.cut.batteries
    return tuple(study.system.title("sources", name) for name in names)


def _device(study: Study, key: str, shorted: Shorted) -> str:
    device = sizing(study).devices[key]
    if device.chain == shorted.name:
        return f"its {device.label}{', far end' if device.at_far_end else ''}"
    chain = chains(study).named(key)
    return f"{device.label} of {chain.name.replace('-', ' ')}"
