"""The power distribution as a one-line diagram: sources, feeders, buses, and a row per circuit.

What fits goes on one sheet, with closer rows if need be. Otherwise the first sheet shows sources
and feeders, each bus with a flag to its circuits, and further sheets list the circuits bus by bus.
"""

from collections.abc import Callable, Sequence

from msgspec.structs import replace

from elec.drawings.inputs import CircuitRow, OneLine
from elec.drawings.layout.bars import Arranged, LayoutProblem, Own, Side, arrange
from elec.drawings.sheet import Sheet, label
from elec.drawings.sheets import branch_rows, paper, parts
from elec.drawings.sheets import plan as plans
from elec.drawings.sheets.feeder_ink import draw
from elec.kept import takes_over

TEXTS_MM = (plans.TEXT_MM, 34.0, 24.0, 16.0)
"""The widest that names may be; the first with which every sheet is wide enough is taken."""
MORE_MM = (1.0, 0.0)
"""By so much more than they need rows of circuits lie apart; the first that fits is taken."""


@takes_over
def one_line(record: OneLine) -> list[Sheet]:
    """The sheets of the one-line diagram, numbered on from the record's title block."""
    for given in (record, plans.narrow(record), plans.together(record)):
        whole = _whole(plans.plan_of(given))
        if whole:
            return [whole]
    plan, pages = _fitting(record)
    found = branch_rows.sheets(record, plan.branches, plans.feeds(plan), _last(plan, pages))
    sheets = _feeder_sheets(plan, pages, found.where)
    shared = branch_rows.sheets(
        record, plan.branches, plans.feeds(plan), (sheets[-1], pages[-1].bottom_mm + 3.0)
    )
    for sheet in sheets:
        free = shared.free.get(sheet.title.label)
        notes = branch_rows.notes(sheet, record)
        branch_rows.strip(sheet, notes, free, further=record.of_feeders)
    return [*sheets, *found.sheets]


def _fitting(record: OneLine) -> tuple[plans.OneLinePlan, list[Arranged]]:
    """The sheets of feeders: each wire between its devices where there is width for it.

    Else they are written together, and names cut shorter until nothing is wider than a sheet.
    """
    width, _ = plans.room(_sheet(plans.plan_of(record), 1, "", ""))
    slim = plans.plan_of(plans.narrow(record), TEXTS_MM[0])
    apart = _pages(slim)
    if len(apart) == 1 and _right(apart) <= width:
        return _at_ease(record, slim, apart, width) or (slim, apart)
    for text_mm in TEXTS_MM:
        plan = plans.plan_of(plans.together(record), text_mm)
        pages = _pages(plan)
        if _right(pages) <= width:
            break
    if _right(apart) <= width and _parted(apart) <= _parted(pages):
        return slim, apart
    return plan, pages


def _at_ease(
    record: OneLine, slim: plans.OneLinePlan, apart: Sequence[Arranged], width: float
) -> tuple[plans.OneLinePlan, list[Arranged]] | None:
    """With all that is said of a feeder in its two lines, where that has width, too."""
    plan = plans.plan_of(record, TEXTS_MM[0])
    more = max((plans.run_mm(f) - plans.run_mm(slim.links[k]) for k, f in plan.links.items()
                if k in slim.links), default=0.0)  # fmt: skip
    if _right(apart) + more > width:
        return None  # it would be laid out for nothing
    spread = _pages(plan)
    fits = _right(spread) <= width and _parted(spread) <= _parted(apart)
    return (plan, spread) if fits else None


def _right(pages: Sequence[Arranged]) -> float:
    return max(page.right_mm for page in pages)


def _parted(pages: Sequence[Arranged]) -> tuple[int, int]:
    """How many sheets, and how many ends of feeders that are cut."""
    return len(pages), sum(isinstance(key, tuple) for page in pages for key in page.y)


def _last(plan: plans.OneLinePlan, pages: Sequence[Arranged]) -> tuple[Sheet, float]:
    """A stand-in for the last sheet of feeders, to find out where the circuits go."""
    number = plan.record.title.sheet + len(pages) - 1
    return _sheet(plan, number, "", ""), pages[-1].bottom_mm + 3.0


# --- everything on one sheet ------------------------------------------------------------------


def _sheet(plan: plans.OneLinePlan, number: int, title: str, description: str) -> Sheet:
    block = replace(plan.record.title, sheet=number, title=title, document_type="one-line diagram")
    sheet = paper.page(plan.record.size, block, description)
    x, y = sheet.frame[0] + 3.0, sheet.frame[1] + 1.5 + parts.SMALL_MM
    sheet.text(x, y, plan.record.nominal, bold=True, ref="nominal")
    return sheet


def _whole(plan: plans.OneLinePlan) -> Sheet | None:
    first = plan.record.title.sheet
    about = (
        f"Power distribution of the system: {len(plan.record.sources)} sources, "
        f"{len(plan.bars)} buses and studs, {len(plan.record.branches)} circuits, one row each."
    )
    sheet = _sheet(plan, first, "Power distribution", about)
    width, bottom = plans.room(sheet)
    rows = {_branch_key(b): (b.bar, branch_rows.extent_mm(b)) for b in plan.record.branches}
    if sum(sum(extent) for _, extent in rows.values()) > bottom - sheet.frame[1]:
        return None
    order = None
    for more in MORE_MM:
        owns = [
            Own(id=key, bar=bar, above_mm=up + more / 2, below_mm=down + more / 2)
            for key, (bar, (up, down)) in rows.items()
        ]
        problem = replace(
            plans.problem_of(plan, plans.ends(plan), owns, sheet), top_mm=sheet.frame[1] + 8.0
        )
        found = arrange(problem, width_mm=width, order=order)
        order = found.order
        cut = any(isinstance(key, tuple) for key in found.y)
        if found.bottom_mm <= bottom and found.right_mm <= width and not cut:
            draw(sheet, plan, found, {})
            columns = branch_rows.columns(sheet.frame[2] - 3.0, plan.record.branches)
            branch_rows.head(sheet, columns, sheet.frame[1] + 5.0)
            for branch in plan.record.branches:
                y = found.y[_branch_key(branch)]
                branch_rows.draw(sheet, branch, found.x[branch.bar], y, columns)
            free = (sheet.frame[0] + 5.0, found.bottom_mm + 4.0, sheet.frame[2] - 5.0,
                    sheet.block[1] - 1.0)  # fmt: skip
            notes = branch_rows.notes(sheet, plan.record)
            branch_rows.strip(sheet, notes, free, further=plan.record.of_feeders)
            return sheet
    return None


def _branch_key(branch: CircuitRow) -> str:
    return f"circuit {branch.bar} {branch.id}"


OTHER_END = (("out", "in"), ("in", "out"))


# --- feeders alone ----------------------------------------------------------------------------


def _feeder_sheets(
    plan: plans.OneLinePlan, pages: Sequence[Arranged], where: dict[str, tuple[int, int]]
) -> list[Sheet]:
    """Sources and feeders on as many sheets as they need.

    `where` gives for each bar the first and last sheet of its circuits.
    """
    first = plan.record.title.sheet
    sheets: list[Sheet] = []
    spots: dict[tuple[str, str], tuple[str, str]] = {}
    for i, found in enumerate(pages):
        probe = _sheet(plan, first + i, "", "")
        for key, y in found.y.items():
            if isinstance(key, tuple):
                feeder, out = plan.links[key[0]], key[1] == "out"
                # where its flag begins: behind all of the feeder, or at the bar that it leads to
                x = found.x[feeder.source] + plans.run_mm(feeder) if out else found.x[feeder.target]
                spots[key] = (probe.title.label, probe.zone(x, y))
    for i, found in enumerate(pages):
        title, about = _titled(i, len(pages), alone=set(where.values()) <= {(first, first)})
        sheet = _sheet(plan, first + i, title, about)
        # a flag says where the feeder goes on: the zone of its other end, not its own
        lead = {
            (link, a): _goes_on(spots[link, b], sheet)
            for link in plan.links for a, b in OTHER_END if (link, b) in spots
        }  # fmt: skip
        draw(sheet, plan, found, lead)
        for bar, branches in plan.branches.items():
            if f"circuits {bar}" in found.y:
                names = tuple(label(sheet.title.code, n) for n in where.get(bar, ()))
                here = set(names) == {sheet.title.label}
                text = _circuits_text(branches, () if here else names, here=here)
                y, x = found.y[f"circuits {bar}"], found.x[bar]
                sheet.line(((x, y), (x + 4.0, y)), width_mm=0.5, ref=f"circuits {bar}", net=bar)
                link = f"sheet-{names[0]}" if names else ""
                parts.draw_flag(sheet, x + 4.0, y, text, ref=f"circuits {bar}", link=link)
        sheets.append(sheet)
    return sheets


def _titled(i: int, count: int, *, alone: bool) -> tuple[str, str]:
    """Title and description of a sheet of feeders; `alone` where all circuits are on the first."""
    if alone and count == 1:
        about = "Sources, feeders and buses, under them the circuits of each bus, one row each."
        return "Power distribution", about
    part = f", part {i + 1}" if count > 1 else ""
    about = "Sources, feeders and buses; circuits of buses are listed on other sheets."
    return f"Power distribution: sources and feeders{part}", about


def _goes_on(spot: tuple[str, str], sheet: Sheet) -> str:
    """Where a cut feeder goes on: a zone of another sheet, or of this one."""
    there, zone = spot
    return f" · here {zone}" if there == sheet.title.label else f" · {there}/{zone}"


MANY = 100
"""With so many circuits a sheet of them may have a number of two digits; a sheet holds a dozen."""


def _circuits_text(
    branches: Sequence[CircuitRow],
    where: tuple[str, ...],
    *,
    many: bool = False,
    here: bool = False,
) -> str:
    """The text of the flag at a bus; as long as it may be before it is known where they are."""
    wires = sum(one.wire for one in branches)
    circuits = len(branches) - wires
    said = " + ".join(
        f"{count} {what}" if count > 1 else f"1 {what.removesuffix('s')}"
        for count, what in ((circuits, "circuits"), (wires, "wires")) if count
    )  # fmt: skip
    if here:
        return f"{said}: here, below"
    if not where:
        return f"{said}: sheets {'P88–P88' if many else 'P8–P9'}"
    a, b = where
    return f"{said}: sheet {a}" if a == b else f"{said}: sheets {a}–{b}"


def _pages(plan: plans.OneLinePlan) -> list[Arranged]:
    probe = _sheet(plan, 1, "", "")
    width, bottom = plans.room(probe)
    many = len(plan.record.branches) > MANY
    owns = [
        Own(
            id=f"circuits {bar}",
            bar=bar,
            above_mm=4.0,
            below_mm=4.0,
            length_mm=4.0 + parts.flag_mm(_circuits_text(branches, (), many=many)),
        )
        for bar, branches in plan.branches.items()
    ]
    whole = arrange(plans.problem_of(plan, plans.ends(plan), owns, probe), width_mm=width)
    if whole.bottom_mm <= bottom:
        return [whole]
    pages: list[Arranged] = []
    rest = list(whole.order)

    def arranged(count: int) -> Arranged:
        return arrange(_part(plan, rest[:count], owns, probe), width_mm=width, order=whole.order)

    while rest:
        count, found = _most_bars(arranged, len(rest), bottom)
        if count > 1:
            pages.append(found)
        else:
            pages += _halves(_part(plan, rest[:1], owns, probe), width, bottom)
        rest = rest[count:]
    return pages


def _most_bars(
    arranged: Callable[[int], Arranged], most: int, bottom: float
) -> tuple[int, Arranged]:
    """How many of the next bars a sheet holds, at least one: twice as many as long as they fit."""
    fits, found = 1, arranged(1)
    over = most + 1
    while fits + 1 < over:
        count = min(2 * fits, most) if over > most else (fits + over) // 2
        if (tried := arranged(count)).bottom_mm <= bottom:
            fits, found = count, tried
        else:
            over = count
    return fits, found


def _halves(problem: LayoutProblem, width: float, bottom: float) -> list[Arranged]:
    """One page, or, for a single bar with too many rows, the bar continued on more pages."""
    found = arrange(problem, width_mm=width)
    many = len(problem.sides) + len(problem.owns)
    if found.bottom_mm <= bottom or many < 2 or problem.links:
        return [found]
    a, b = (len(problem.sides) + 1) // 2, (len(problem.owns) + 1) // 2
    first = replace(problem, sides=problem.sides[:a], owns=problem.owns[:b])
    second = replace(problem, sides=problem.sides[a:], owns=problem.owns[b:])
    return [*_halves(first, width, bottom), *_halves(second, width, bottom)]


def _part(
    plan: plans.OneLinePlan, ends: Sequence[str], owns: Sequence[Own], sheet: Sheet
) -> LayoutProblem:
    """The bars of one sheet; feeders to other sheets become rows with flags."""
    problem = plans.problem_of(plan, ends, owns, sheet)
    stubs: list[Own] = []
    sides: list[Side] = []
    here = frozenset(ends)
    for feeder in plan.links.values():
        if (feeder.source in here) == (feeder.target in here):
            continue
        link = plans.link_of(plan, feeder)
        if feeder.source in here:
            stubs.append(
                Own(
                    id=(feeder.id, "out"),
                    bar=feeder.source,
                    above_mm=link.above_mm,
                    below_mm=link.below_mm,
                    length_mm=link.out_mm,
                )
            )
        else:
            sides.append(
                Side(
                    id=(feeder.id, "in"),
                    bar=feeder.target,
                    length_mm=link.in_mm,
                    above_mm=3.5,
                    below_mm=3.5,
                )
            )
    return replace(problem, owns=(*problem.owns, *stubs), sides=(*problem.sides, *sides))
