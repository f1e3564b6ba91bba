"""The power distribution as a one-line diagram: sources, feeders, buses, and a row per circuit.

What fits goes on one sheet, with closer rows if need be. Otherwise the first sheet shows sources
and feeders, each bus with a flag to its circuits, and further sheets list the circuits bus by bus.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from elec.drawings.inputs import Bar, Branch, Feeder, OneLine, Source
from elec.drawings.layout.bars import Arranged, BarBox, Link, Own, Problem, Side, arrange
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import branch_rows, parts
from elec.drawings.symbols import shape

PITCHES_MM = (8.4, 7.6, 6.8)
"""Distances of circuit rows that are tried, widest first; under 6.8 mm texts would touch."""
REFERENCE = " · sheet 88 C8"
"""Room kept in a flag for where its other end is."""
SOURCE_SYMBOLS = {"battery": "battery", "alternator": "alternator", "external": "external"}


@dataclass(kw_only=True)
class _Plan:
    """The system as bars and rows."""

    record: OneLine
    bars: dict[str, Bar]
    posts: dict[str, Source]
    links: dict[str, Feeder]
    sides: dict[str, tuple[Source, Feeder]]
    branches: dict[str, list[Branch]] = field(default_factory=dict)


def one_line(record: OneLine) -> list[Sheet]:
    """The sheets of the one-line diagram, numbered on from the record's title block."""
    plan = _plan(record)
    whole = _whole(plan)
    if whole:
        return [whole]
    pages = _pages(plan)
    found = branch_rows.sheets(record, plan.branches, _feeds(plan), _last(plan, pages))
    sheets = _feeder_sheets(plan, pages, found.where)
    branch_rows.sheets(record, plan.branches, _feeds(plan), (sheets[-1], pages[-1].bottom_mm + 6.0))
    for sheet in sheets:
        branch_rows.strip(sheet, record)
    return [*sheets, *found.sheets]


def _last(plan: _Plan, pages: Sequence[Arranged]) -> tuple[Sheet, float]:
    """A stand-in for the last sheet of feeders, to find out where the circuits go."""
    number = plan.record.title.sheet + len(pages) - 1
    return _sheet(plan, number, "", ""), pages[-1].bottom_mm + 6.0


# --- the system as bars and rows --------------------------------------------------------------


def _plan(record: OneLine) -> _Plan:
    sources = {s.id: s for s in record.sources}
    bars = {b.id: b for b in record.bars}
    for feeder in record.feeders:
        for end in (feeder.source, feeder.target):
            if end not in sources and end not in bars:
                raise ValueError(f"feeder {feeder.id} ends at {end}, which is not in the drawing")
    ends = [f.source for f in record.feeders] + [b.bar for b in record.branches]
    targets = {f.target for f in record.feeders}
    posts = {
        s.id: s
        for s in record.sources
        if s.id in targets or ends.count(s.id) != 1 or s.id in {b.bar for b in record.branches}
    }
    plan = _Plan(record=record, bars=bars, posts=posts, links={}, sides={})
    for feeder in record.feeders:
        if feeder.source in sources and feeder.source not in posts:
            plan.sides[feeder.id] = (sources[feeder.source], feeder)
        else:
            plan.links[feeder.id] = feeder
    for branch in record.branches:
        plan.branches.setdefault(branch.bar, []).append(branch)
    return plan


def _label(plan: _Plan, end: str) -> str:
    return plan.bars[end].label if end in plan.bars else plan.posts[end].label


def _feeds(plan: _Plan) -> dict[str, str]:
    """For each bar what feeds it, in words."""
    texts: dict[str, list[str]] = {}
    for feeder in plan.links.values():
        texts.setdefault(feeder.target, []).append(_label(plan, feeder.source))
    for source, feeder in plan.sides.values():
        texts.setdefault(feeder.target, []).append(source.label)
    return {bar: ", ".join(dict.fromkeys(names)) for bar, names in texts.items()}


# --- sizes ------------------------------------------------------------------------------------


def _wire_lines(feeder: Feeder) -> tuple[str, str]:
    below = parts.join(feeder.gauge, feeder.length, feeder.amps)
    return (feeder.mark, below) if feeder.mark else (below, "")


def _wire_mm(feeder: Feeder) -> float:
    return max(parts.width(t) for t in _wire_lines(feeder))


def _run_mm(feeder: Feeder) -> float:
    """The least length of a feeder with all its texts."""
    return 4.0 + _wire_mm(feeder) + 3.0 + _devices_mm(feeder) + 4.0


def _devices_mm(feeder: Feeder) -> float:
    return sum(parts.slot_mm(d) for d in feeder.devices)


def _half_heights(feeder: Feeder) -> tuple[float, float]:
    above = max([4.0, *(parts.device_above_mm(d) for d in feeder.devices)])
    below = max([4.0, *(parts.device_below_mm(d) for d in feeder.devices)])
    return above + 0.8, below + 0.8


def _out_text(plan: _Plan, feeder: Feeder, where: str) -> str:
    return f"to {_label(plan, feeder.target)}{where}"


def _in_text(plan: _Plan, feeder: Feeder, where: str) -> str:
    return f"{parts.join(f'from {_label(plan, feeder.source)}', feeder.mark)}{where}"


def _link(plan: _Plan, feeder: Feeder) -> Link:
    above, below = _half_heights(feeder)
    wire = _run_mm(feeder)
    return Link(
        id=feeder.id,
        source=feeder.source,
        target=feeder.target,
        length_mm=wire,
        above_mm=above,
        below_mm=below,
        out_mm=wire + parts.flag_mm(_out_text(plan, feeder, REFERENCE)),
        in_mm=parts.flag_mm(_in_text(plan, feeder, REFERENCE)) + 6.0,
    )


def _source_mm(source: Source) -> float:
    symbol = shape(SOURCE_SYMBOLS[source.kind]).right_mm
    label = parts.width(source.label, bold=True)
    return max(symbol, label, parts.width(source.detail)) + 1.0


def _source_heights(source: Source) -> tuple[float, float]:
    form = shape(SOURCE_SYMBOLS[source.kind])
    return form.above_mm + 4.4, form.below_mm + (4.4 if source.detail else 1.5)


def _side(source: Source, feeder: Feeder | None, bar: str, row: str) -> Side:
    above, below = _source_heights(source)
    length = _source_mm(source) + (0.0 if feeder else 4.0)
    if feeder:
        up, down = _half_heights(feeder)
        above, below = max(above, up), max(below, down)
        length += _run_mm(feeder)
    return Side(id=row, bar=bar, length_mm=length, above_mm=above, below_mm=below)


def _heading(plan: _Plan, end: str) -> BarBox:
    bar = plan.bars.get(end)
    if bar is None:
        return BarBox(id=end)
    capital = parts.HEAD_MM if bar.kind == "bus" else parts.SMALL_MM
    return BarBox(
        id=end,
        heading_mm=parts.width(bar.label, bold=True, capital_mm=capital),
        heading_height_mm=capital + 2.0,
    )


def _problem(plan: _Plan, ends: Sequence[str], owns: Sequence[Own], sheet: Sheet) -> Problem:
    links = [_link(plan, f) for f in plan.links.values() if f.source in ends and f.target in ends]
    sides = [_side(plan.posts[p], None, p, f"source {p}") for p in plan.posts if p in ends]
    sides += [_side(s, f, f.target, f.id) for s, f in plan.sides.values() if f.target in ends]
    x0, y0, _, _ = sheet.frame
    return Problem(
        bars=tuple(_heading(plan, end) for end in ends),
        links=tuple(links),
        sides=tuple(sides),
        owns=tuple(own for own in owns if own.bar in ends),
        top_mm=y0 + 5.0,
        left_mm=x0 + 5.0,
        open_mm=branch_rows.least_mm(plan.record.branches) + 3.0,
    )


def _ends(plan: _Plan) -> list[str]:
    return [*plan.posts, *plan.bars]


def _room(sheet: Sheet) -> tuple[float, float]:
    """Width for the rows, and the y where they must end."""
    x0, _, x1, _ = sheet.frame
    return x1 - x0 - 8.0, sheet.block[1] - 3.0


# --- everything on one sheet ------------------------------------------------------------------


def _sheet(plan: _Plan, number: int, title: str, description: str) -> Sheet:
    block = plan.record.title
    return Sheet(
        size=plan.record.size,
        title=replace(block, sheet=number, title=title, document_type="one-line diagram"),
        id=f"sheet-{number}",
        description=description,
    )


def _whole(plan: _Plan) -> Sheet | None:
    first = plan.record.title.sheet
    about = (
        f"Power distribution of the system: {len(plan.record.sources)} sources, "
        f"{len(plan.bars)} buses and studs, {len(plan.record.branches)} circuits, one row each."
    )
    sheet = _sheet(plan, first, "Power distribution", about)
    width, bottom = _room(sheet)
    if len(plan.record.branches) * PITCHES_MM[-1] > bottom - sheet.frame[1]:
        return None
    order = None
    for pitch in PITCHES_MM:
        owns = [
            Own(id=_branch_key(b), bar=b.bar, above_mm=pitch / 2, below_mm=pitch / 2)
            for b in plan.record.branches
        ]
        problem = replace(_problem(plan, _ends(plan), owns, sheet), top_mm=sheet.frame[1] + 8.0)
        found = arrange(problem, width_mm=width, order=order)
        order = found.order
        if found.bottom_mm <= bottom and found.right_mm <= width:
            _draw(sheet, plan, found, {})
            columns = branch_rows.columns(sheet.frame[2] - 3.0, plan.record.branches)
            branch_rows.head(sheet, columns, sheet.frame[1] + 5.0)
            for branch in plan.record.branches:
                y = found.y[_branch_key(branch)]
                branch_rows.draw(sheet, branch, found.x[branch.bar], y, columns)
            branch_rows.strip(sheet, plan.record)
            return sheet
    return None


def _branch_key(branch: Branch) -> str:
    return f"circuit {branch.bar} {branch.id}"


# --- feeders alone ----------------------------------------------------------------------------


def _feeder_sheets(
    plan: _Plan, pages: Sequence[Arranged], where: dict[str, tuple[int, int]]
) -> list[Sheet]:
    """Sources and feeders on as many sheets as they need.

    `where` gives for each bar the first and last sheet of its circuits.
    """
    first = plan.record.title.sheet
    sheets: list[Sheet] = []
    spots: dict[tuple[str, str], str] = {}
    for i, found in enumerate(pages):
        probe = _sheet(plan, first + i, "", "")
        for key, y in found.y.items():
            if isinstance(key, tuple):
                bar = plan.links[key[0]].source if key[1] == "out" else plan.links[key[0]].target
                spots[key] = f" · sheet {first + i} {probe.zone(found.x[bar], y)}"
    for link in plan.links:
        for end, other in (("out", "in"), ("in", "out")):
            spots.setdefault((link, end), spots.get((link, other), ""))
    for i, found in enumerate(pages):
        title = "Sources and feeders" + (f", part {i + 1}" if len(pages) > 1 else "")
        about = "Sources, feeders and buses; the circuits of each bus are listed on other sheets."
        sheet = _sheet(plan, first + i, title, about)
        _draw(sheet, plan, found, spots)
        for bar, branches in plan.branches.items():
            if f"circuits {bar}" in found.y:
                text = _circuits_text(branches, where.get(bar))
                y, x = found.y[f"circuits {bar}"], found.x[bar]
                sheet.line(((x, y), (x + 4.0, y)), width_mm=0.5, ref=f"circuits {bar}", net=bar)
                link = f"sheet-{where[bar][0]}" if bar in where else ""
                parts.draw_flag(sheet, x + 4.0, y, text, ref=f"circuits {bar}", link=link)
        sheets.append(sheet)
    return sheets


def _circuits_text(branches: Sequence[Branch], where: tuple[int, int] | None) -> str:
    count = f"{len(branches)} circuits" if len(branches) > 1 else "1 circuit"
    if where is None:
        return f"{count}: sheets 88–88"
    a, b = where
    return f"{count}: sheet {a}" if a == b else f"{count}: sheets {a}–{b}"


def _pages(plan: _Plan) -> list[Arranged]:
    probe = _sheet(plan, 1, "", "")
    width, bottom = _room(probe)
    owns = [
        Own(
            id=f"circuits {bar}",
            bar=bar,
            above_mm=4.0,
            below_mm=4.0,
            length_mm=4.0 + parts.flag_mm(_circuits_text(branches, None)),
        )
        for bar, branches in plan.branches.items()
    ]
    whole = arrange(_problem(plan, _ends(plan), owns, probe), width_mm=width)
    if whole.bottom_mm <= bottom:
        return [whole]
    pages: list[Arranged] = []
    rest = list(whole.order)
    while rest:
        for count in range(len(rest), 0, -1):
            part = rest[:count]
            problem = _part(plan, part, owns, probe)
            found = arrange(problem, width_mm=width, order=whole.order)
            if found.bottom_mm <= bottom or count == 1:
                pages.extend([found] if count > 1 else _halves(problem, width, bottom))
                rest = rest[count:]
                break
    return pages


def _halves(problem: Problem, width: float, bottom: float) -> list[Arranged]:
    """One page, or, for a single bar with too many rows, the bar continued on more pages."""
    found = arrange(problem, width_mm=width)
    many = len(problem.sides) + len(problem.owns)
    if found.bottom_mm <= bottom or many < 2 or problem.links:
        return [found]
    a, b = (len(problem.sides) + 1) // 2, (len(problem.owns) + 1) // 2
    first = replace(problem, sides=problem.sides[:a], owns=problem.owns[:b])
    second = replace(problem, sides=problem.sides[a:], owns=problem.owns[b:])
    return [*_halves(first, width, bottom), *_halves(second, width, bottom)]


def _part(plan: _Plan, ends: Sequence[str], owns: Sequence[Own], sheet: Sheet) -> Problem:
    """The bars of one sheet; feeders to other sheets become rows with flags."""
    problem = _problem(plan, ends, owns, sheet)
    stubs: list[Own] = []
    sides: list[Side] = []
    for feeder in plan.links.values():
        link = _link(plan, feeder)
        if feeder.source in ends and feeder.target not in ends:
            stubs.append(
                Own(
                    id=(feeder.id, "out"),
                    bar=feeder.source,
                    above_mm=link.above_mm,
                    below_mm=link.below_mm,
                    length_mm=link.out_mm,
                )
            )
        elif feeder.target in ends and feeder.source not in ends:
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


# --- ink --------------------------------------------------------------------------------------


def _draw(sheet: Sheet, plan: _Plan, found: Arranged, spots: dict[tuple[str, str], str]) -> None:
    for bar in found.span:
        _draw_bar(sheet, plan, found, bar)
    for key, y in found.y.items():
        if isinstance(key, tuple):
            feeder, where = plan.links[key[0]], spots.get(key, "")
            if key[1] == "out":
                _draw_out(sheet, feeder, found.x[feeder.source], y, _out_text(plan, feeder, where))
            else:
                _draw_in(sheet, feeder, found.x[feeder.target], y, _in_text(plan, feeder, where))
        elif key in plan.links:
            feeder = plan.links[key]
            _draw_feeder(sheet, feeder, found.x[feeder.source], found.x[feeder.target], y)
        elif key in plan.sides:
            source, feeder = plan.sides[key]
            end = _draw_source(sheet, found, _side(source, feeder, feeder.target, ""), source, y)
            wide = end[1]
            sheet.line(((end[0], y), (wide, y)), width_mm=0.5, ref=feeder.id, net=feeder.id)
            _draw_feeder(sheet, feeder, wide, found.x[feeder.target], y)
        elif key.startswith("source "):
            name = key.removeprefix("source ")
            source = plan.posts[name]
            start, _ = _draw_source(sheet, found, _side(source, None, name, ""), source, y)
            sheet.line(((start, y), (found.x[name], y)), width_mm=0.5, ref=name, net=f"{name} post")


def _draw_bar(sheet: Sheet, plan: _Plan, found: Arranged, bar: str) -> None:
    x, (top, bottom) = found.x[bar], found.span[bar]
    entry = plan.bars.get(bar)
    thick = 1.6 if entry and entry.kind == "bus" else 0.9
    sheet.line(((x, top), (x, bottom)), width_mm=thick, kind="bar", ref=bar, net=bar)
    if entry:
        capital = parts.HEAD_MM if entry.kind == "bus" else parts.SMALL_MM
        sheet.text(
            x + 2.0, found.heading[bar] - 1.2, entry.label, capital_mm=capital, bold=True, ref=bar
        )


def _draw_source(
    sheet: Sheet, found: Arranged, side: Side, source: Source, y: float
) -> tuple[float, float]:
    """A source at the left of its row; gives the x of its terminal and of the end of its texts."""
    name = SOURCE_SYMBOLS[source.kind]
    form = shape(name)
    left = sheet.frame[0] + 5.0
    x = left if found.layer[side.bar] == 0 else found.x[side.bar] - side.length_mm + 1.0
    end = sheet.symbol(name, (x, y), ref=source.id, net=f"{source.id} post")
    sheet.text(x, y - form.above_mm - 1.2, source.label, bold=True, ref=source.id)
    sheet.text(x, y + form.below_mm + 0.8 + parts.SMALL_MM, source.detail, ref=source.id)
    return end, x + _source_mm(source)


def _draw_wire(sheet: Sheet, feeder: Feeder, x: float, y: float) -> None:
    above, below = _wire_lines(feeder)
    sheet.text(x, y - parts.OVER_LINE_MM, above, ref=feeder.id)
    sheet.text(x, y + parts.OVER_LINE_MM + parts.SMALL_MM, below, ref=feeder.id)


def _draw_feeder(sheet: Sheet, feeder: Feeder, start: float, end: float, y: float) -> None:
    """A feeder from x to x: its wire's texts at the source's end, its devices at the other."""
    _draw_wire(sheet, feeder, start + 4.0, y)
    middle = end - 4.0 - _devices_mm(feeder)
    at = start
    for device in feeder.devices:
        slot = parts.slot_mm(device)
        a, b = parts.draw_device(sheet, device, middle + slot / 2, y, net=feeder.id, ref=feeder.id)
        sheet.line(((at, y), (a, y)), width_mm=0.5, ref=feeder.id, net=feeder.id)
        at, middle = b, middle + slot
    sheet.line(((at, y), (end, y)), width_mm=0.5, ref=feeder.id, net=feeder.id)


def _draw_out(sheet: Sheet, feeder: Feeder, start: float, y: float, text: str) -> None:
    """A feeder that ends in a flag."""
    end = start + _run_mm(feeder)
    _draw_feeder(sheet, feeder, start, end, y)
    parts.draw_flag(sheet, end, y, text, ref=feeder.id)


def _draw_in(sheet: Sheet, feeder: Feeder, end: float, y: float, text: str) -> None:
    """The flag at the other end of that feeder."""
    point = end - 4.0
    parts.draw_flag(sheet, point - parts.flag_mm(text), y, text, ref=feeder.id)
    sheet.line(((point, y), (end, y)), width_mm=0.5, ref=feeder.id, net=feeder.id)
