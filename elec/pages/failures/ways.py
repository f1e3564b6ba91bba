"""How many independent ways feed what is essential, and which two failures take it."""

from collections.abc import Sequence

from elec.answers.failures.failure_double import doubles
from elec.answers.failures.failure_list import Failure
from elec.answers.failures.failure_reach import apart, parted
from elec.answers.failures.feed_ways import feed_ways
from elec.answers.failures.shared_places import shared_places
from elec.pages.columns import count, listed, text
from elec.pages.table import Cell, Table, Value
from elec.study import Study

MOST = 6
"""So many names stand in a cell; the rest is counted."""


def feed_ways_table(study: Study) -> Table:
    """One row for each bus with essential loads, and for each essential pair."""
    return Table(
        id="feed-ways",
        title="Independent ways that feed what is essential",
        columns=(
            text("fed", "Fed"),
            count("by_wire", "Ways, no wire, device or switch shared"),
            count("independent", "No source or bus shared either"),
            text("sources", "From", 2),
            text("shared", "All go through"),
            text("places", "Places that all pass"),
        ),
        rows=tuple(
            (
                found.title,
                found.ways.by_wire,
                found.ways.independent,
                listed(
                    [study.system.title("sources", name) for name in _sources(found.ways.starts)]
                ),
                _cell([_thing(study, failure) for failure in found.shared])
                if found.shared
                else "nothing",
                None if places is None else listed(places) or "none",
            )
            for found in feed_ways(study)
            for places in (shared_places(study, found.ends),)
        ),
        note="Counted with every feeder closed that can be closed, those for an emergency too. All "
        "go through: one failure that cuts every way to it, or takes all that hangs on it; of a "
        "pair, that takes both; the main ground is left out of pairs. Pairs: ways to either of the "
        "two. Places that all pass: what is done to all wires and devices there, by fire or water, "
        "takes all ways, whatever their bundles; returns are not asked. What follows from it: "
        "failure-single, failure-pair-bundle and the other pair checks.",
    )


def doubles_table(study: Study) -> Table:
    """Which two failures take what neither takes alone."""
    rows: list[tuple[Value, ...]] = []
    for one in doubles(study):
        titles = [study.system.title("equipment", name) for name in one.taken]
        rows.append(
            (
                _cell([failure.title for failure in one.first]),
                _cell([failure.title for failure in one.second]),
                listed(titles),
                "the engine stops" if one.engine else "",
            )
        )
    kept = range(4 if any(row[3] for row in rows) else 3)
    columns = (
        text("first", "Any of these"),
        text("second", "with any of these"),
        text("taken", "Essential, nothing takes over"),
        text("engine", "Engine"),
    )
    return Table(
        id="failure-pairs",
        title="What two failures take together",
        columns=tuple(columns[k] for k in kept),
        rows=tuple(tuple(row[k] for k in kept) for row in rows),
        note="Only what neither of the two takes alone. In cruise, by what is cut off, after "
        "changing over where that helps; voltages, and how long a battery holds, are not asked. "
        "Sources, devices, switches, feeders, buses, connectors and grounds; cut ways are left "
        "out. The engine first, then the most loads.",
    )


def doubles_lead(study: Study) -> tuple[str, ...]:
    """How many pairs there are, in a sentence."""
    found = doubles(study)
    if not found:
        return ("No two failures together take an essential load that neither takes alone.",)
    pairs = sum(len(one.first) * len(one.second) for one in found)
    rows = "row" if len(found) == 1 else "rows"
    told = f"{pairs} pairs of failures together take an essential load that neither takes alone"
    try_it = "try what stands by (second feeder, second battery) before each flight."
    return (
        f"{told}, folded into {len(found)} {rows}.",
        f"Two at once are rare, but the first may be there before you start: {try_it}",
    )


def _sources(posts: Sequence[str]) -> list[str]:
    return [post.removesuffix(".+") for post in posts]


def _thing(study: Study, failure: Failure) -> str:
    """What all ways go through; of a way with several bundles whether one hole holds them."""
    name = failure.about.replace("-", " ")
    if parted(study, failure):
        return f"{name} (in several bundles)"
    return f"the one hole of {name}" if apart(study, failure) else name


def _cell(titles: Sequence[str]) -> Cell:
    whole = "; ".join(titles)
    if len(titles) <= MOST:
        return Cell(value=whole)
    more = f"; and {len(titles) - MOST + 1} more"
    return Cell(value=whole, text="; ".join(titles[: MOST - 1]) + more)
