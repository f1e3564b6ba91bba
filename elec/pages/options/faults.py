"""The smallest change against single faults, as an answer."""

from elec import units
from elec.attempt.faults.faults import SEVERAL, SingleFault
from elec.attempt.faults.search import MOST_CHANGES
from elec.attempt.faults.smallest import Found, Search
from elec.pages.answers import headline
from elec.pages.columns import count, listed, text
from elec.pages.document import Block, Items, Paragraph, Section, TableBlock
from elec.pages.table import Cell, Column, Table, Value

KINDS = {
    "feed": "second feeds from batteries and other buses",
    "ground": "ground points of returns, batteries and other grounds",
    "second": "second wires of ground blocks",
    "way": "ways and bundles",
}
NONE = (
    "No single fault that is looked at stops the engine or takes an essential bus; there is "
    "nothing to change for that."
)
PROVES_NOTHING = (
    "A search within these changes and these faults alone: it approves nothing and proves nothing "
    "beyond them. What is found is a beginning for a design, not a design."
)


def faults_answer(found: Search) -> Section:
    """What single faults do now, the smallest changes, what was searched."""
    blocks: list[Block] = [Paragraph(text=text_, kind="lead") for text_ in _lead(found)]
    if found.now:
        blocks.append(TableBlock(table=faults_table(found)))
    if found.found:
        blocks.append(TableBlock(table=found_table(found)))
        worse = [line for n, one in enumerate(found.found, 1) for line in _worse(n, one)]
        if worse:
            blocks += [Paragraph(text="What checks say of them:"), Items(items=tuple(worse))]
        blocks.append(Paragraph(text="The lines of number 1; nothing was written:"))
        blocks.append(Paragraph(text=found.found[0].diff, kind="verbatim"))
    blocks += [Paragraph(text=text_, kind="note") for text_ in _searched(found)]
    return Section(
        id="single-faults", title=headline(found.study), blocks=tuple(blocks), new_page=False
    )


def _lead(found: Search) -> list[str]:
    if not found.now:
        return [NONE]
    now = f"{_faults(len(found.now))} {_do(found.now)} now."
    if found.found:
        changes = len(found.found[0].titles)
        word = "One change is" if changes == 1 else f"{changes} changes together are"
        return [f"{now} {word} enough by this search; the lightest way is number 1."]
    if found.result.best_left and found.result.best:
        titles = listed([found.moves[k].title for k in found.result.best])
        left = listed(_titles(found.result.best_left))
        return [
            f"{now} Nothing was found within this search after which none does.",
            f"Nearest comes: {titles}. What is left then: {left}.",
        ]
    return [f"{now} Nothing was found within this search after which none does."]


def _faults(number: int) -> str:
    return "1 single fault" if number == 1 else f"{number} single faults"


def _titles(every: tuple[SingleFault, ...]) -> list[str]:
    return list(dict.fromkeys(one.failure.title for one in every))


def _do(every: tuple[SingleFault, ...]) -> str:
    engine = any(not one.bus for one in every)
    bus = any(one.bus for one in every)
    some = len(every) > 1
    words = [
        *([f"stop{'' if some else 's'} the engine"] if engine else []),
        *([f"take{'' if some else 's'} an essential bus"] if bus else []),
    ]
    return " or ".join(words)


def faults_table(found: Search) -> Table:
    """A row a fault: what it is and what it takes."""
    study = found.study
    rows: list[tuple[Value, ...]] = []
    for one in found.now:
        loads = [study.system.title("equipment", name) for name in one.loads]
        whole = listed(loads)
        short = listed([*loads[:4], f"{len(loads) - 4} more"]) if len(loads) > 4 else whole
        rows.append(
            (
                one.failure.title,
                f"takes {study.system.title('buses', one.bus)}" if one.bus else "stops the engine",
                Cell(value=whole, text=short),
            )
        )
    return Table(
        id="single-faults-now",
        title="What single faults do now",
        columns=(text("fault", "Fault"), text("does", "It"), text("loads", "Gone, nothing takes "
                 "over")),
        rows=tuple(rows),
        note=(
            f"In cruise, by what is cut off, at once or after changing over and shedding. An "
            f"essential bus counts as taken where {SEVERAL} of its essential loads or more are "
            "gone at once, or its only one. Left out, as no feed, ground or way brings them back "
            "or elec counts them apart: the bus bar itself, a way cut whole whose bundles no hole "
            "takes together."
        ),
    )  # fmt: skip


def found_table(found: Search) -> Table:
    """A row a set of changes, the lightest first."""
    return Table(
        id="smallest-changes",
        title="Smallest changes found",
        columns=(
            text("number", "No."),
            text("changes", "Changes"),
            Column(key="more_kg", head="More weight", unit="kg"),
            Column(key="more_m", head="More wire", unit="m"),
            count("fails", "New fails"),
            count("worse", "Other answers worse"),
        ),
        rows=tuple(
            (
                str(n),
                "; ".join(one.titles),
                Cell(value=one.more_kg, text=f"{one.more_kg * 1000:+.0f} g"),
                Cell(value=one.more_m, text=_lengths(one.more_m)),
                sum(change.new_fail for change in one.changes),
                sum(change.worse and not change.new_fail for change in one.changes),
            )
            for n, one in enumerate(found.found, 1)
        ),
        note=(
            "Each was put into the text, read, sized and computed like any other system, over all "
            "phases of flight. Weight: wires, terminals, clamps, as far as masses are known; a "
            "new switch or fuse holder weighs more. "
            + (f"{found.more} more of the same number are heavier." if found.more else "")
        ).strip(),
    )


def _lengths(more_m: float | None) -> str | None:
    """In both, since the wire is bought in the one and the aircraft drawn in the other."""
    if more_m is None:
        return None
    sign = "-" if more_m < 0 else "+"
    feet, metric = (units.show(abs(more_m), "m", system) for system in ("feet", "metric"))
    return f"{sign}{feet} ({sign}{metric})"


def _worse(n: int, one: Found) -> list[str]:
    worse = [change for change in one.changes if change.worse]
    return [f"{n}: {change.finding.sentence} ({change.check})" for change in worse[:4]] + (
        [f"{n}: and {len(worse) - 4} more"] if len(worse) > 4 else []
    )


def _searched(found: Search) -> list[str]:
    if not found.now:
        return [_low(found), PROVES_NOTHING] if found.low else [PROVES_NOTHING]
    kinds = list(dict.fromkeys(move.kind for move in found.moves))
    what = listed([KINDS[kind] for kind in kinds]) if kinds else "nothing that could help"
    done = found.result
    bound = (
        f"all sets of up to {done.changes} of {MOST_CHANGES} changes that may help"
        if done.whole
        else f"the bound of {found.most} sets ended it within sets of {done.changes}, the most "
        "hopeful first"
    )
    if done.sets and (len(done.sets[0]) > done.changes or not done.whole):
        bound += (
            "; then the fewest were put together that each cure some of the faults alone, so a "
            "smaller set is not ruled out"
        )
    searched = (
        f"Searched: {len(found.moves)} changes ({what}); {done.tried} sets of them were tried, "
        f"{bound}; {done.refused} could not be built."
    )
    left_out = (
        "Not searched: another bus or backup for a load, more sources, a second bar or block, "
        "signal wires. A ground on which a source ends counts as lost with all that hangs on it; "
        "any other as loose from the next one."
    )
    lines = [searched, left_out]
    if found.not_in_flight:
        sets = "; ".join(", ".join(titles) for titles in found.not_in_flight)
        lines.append(f"Enough in cruise by what is cut off, not by voltage in all phases: {sets}.")
    if found.low:
        lines.append(_low(found))
    if found.untold:
        lines.append(
            f"Of {found.untold} failures the voltages are not known; of these only what is cut "
            "off counts."
        )
    return [*lines, PROVES_NOTHING]


def _low(found: Search) -> str:
    titles = listed(_titles(found.low))
    return (
        f"By too little voltage in some phase, which is not searched, these do as much: {titles}."
    )
