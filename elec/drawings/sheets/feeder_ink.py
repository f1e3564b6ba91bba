"""Bars, sources and feeders on a sheet, where the layout put them."""

from elec.drawings.ink import Box
from elec.drawings.inputs import DrawnFeeder, Source
from elec.drawings.layout.bars import Arranged, Side
from elec.drawings.sheet import Item, Sheet
from elec.drawings.sheets import parts
from elec.drawings.sheets import plan as plans
from elec.drawings.sheets.levers import draw_levers
from elec.drawings.symbols import shape


def draw(
    sheet: Sheet, plan: plans.OneLinePlan, found: Arranged, spots: dict[tuple[str, str], str]
) -> None:
    """Everything that an arrangement has placed; `spots` says where cut feeders go on."""
    for bar in found.span:
        _draw_bar(sheet, plan, found, bar)
    for key, y in found.y.items():
        if isinstance(key, tuple):
            feeder, where = plan.links[key[0]], spots.get(key, "")
            if key[1] == "out":
                _draw_out(
                    sheet, feeder, found.x[feeder.source], y, plans.out_text(plan, feeder, where)
                )
            else:
                _draw_in(
                    sheet, feeder, found.x[feeder.target], y, plans.in_text(plan, feeder, where)
                )
        elif key in plan.links:
            feeder = plan.links[key]
            entry = plan.bars.get(feeder.source)
            lever = LEVER_MM if entry and entry.kind == "changeover" else 0.0
            start = found.x[feeder.source] + lever
            _draw_feeder(sheet, feeder, start, found.x[feeder.target], y)
        elif key in plan.sides:
            source, feeder = plan.sides[key]
            end = _draw_source(
                sheet, found, plans.side_of(source, feeder, feeder.target, ""), source, y
            )
            wide = end[1]
            thick = _piece_mm(feeder, 0)
            sheet.line(((end[0], y), (wide, y)), width_mm=thick, ref=feeder.id, net=feeder.id)
            _draw_feeder(sheet, feeder, wide, found.x[feeder.target], y)
        elif key.startswith("source "):
            name = key.removeprefix("source ")
            source = plan.posts[name]
            start, _ = _draw_source(sheet, found, plans.side_of(source, None, name, ""), source, y)
            sheet.line(((start, y), (found.x[name], y)), width_mm=0.5, ref=name, net=f"{name} post")
    feeders = [*plan.links.values(), *(feeder for _, feeder in plan.sides.values())]
    for bar in found.span:
        if bar not in plan.bars:  # of a source with several feeders
            _name_post(sheet, bar, found.x[bar] - 1.5, found.span[bar])
    draw_levers(sheet, ((d.ref, d.lever) for feeder in feeders for d in feeder.devices))


def _name_post(sheet: Sheet, bar: str, right: float, span: tuple[float, float]) -> None:
    """Name a bar as the post of its source, at an end where that is clear of everything."""
    left = right - parts.width(POST)
    for base in (span[0] + parts.SMALL_MM, span[1] - 0.5):
        box = (left - 0.5, base - parts.SMALL_MM - 0.5, right, base + 1.0)
        if not any(_meets(item, box) for item in sheet.items):
            sheet.text(left, base, POST, ref=bar)
            return


def _meets(item: Item, box: Box) -> bool:
    """Whether an item lies in a box; a line only where one of its pieces does."""
    boxes = [
        (min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)) for (ax, ay), (bx, by) in item.segments
    ] or [item.box]
    return any(b[0] < box[2] and b[2] > box[0] and b[1] < box[3] and b[3] > box[1] for b in boxes)


def _draw_bar(sheet: Sheet, plan: plans.OneLinePlan, found: Arranged, bar: str) -> None:
    x, (top, bottom) = found.x[bar], found.span[bar]
    entry = plan.bars.get(bar)
    if entry and entry.kind == "changeover":
        _draw_changeover(sheet, plan, found, bar)
        return
    thick = 1.6 if entry and entry.kind == "bus" else 0.9
    sheet.line(((x, top), (x, bottom)), width_mm=thick, kind="bar", ref=bar, net=bar)
    if entry:
        capital = parts.HEAD_MM if entry.kind == "bus" else parts.SMALL_MM
        sheet.text(
            x + 2.0, found.heading[bar] - 1.2, entry.label, capital_mm=capital, bold=True, ref=bar
        )


POST = "+ post"
LEVER_MM = plans.LEVER_MM


def _draw_changeover(sheet: Sheet, plan: plans.OneLinePlan, found: Arranged, bar: str) -> None:
    """A contact for each feeder that leads to it, the lever between two of them, and its name."""
    x, label = found.x[bar], plan.bars[bar].label
    into = [f.id for f in plan.links.values() if f.target == bar]
    into += [f.id for _, f in plan.sides.values() if f.target == bar]
    levels = sorted(found.y[key] for key in into if key in found.y)
    pivot = found.y.get(bar, found.span[bar][0])
    for y in levels:
        sheet.circle((x, y), 0.6, kind="rule", width_mm=0.35, ref=bar)
    sheet.circle((x + LEVER_MM, pivot), 0.6, kind="rule", width_mm=0.35, ref=bar)
    between = sum(levels[:2]) / 2 if len(levels) > 1 else pivot - 2.0
    lever = ((x + LEVER_MM, pivot), (x + 1.2, between))
    sheet.line(lever, width_mm=0.5, kind="rule", ref=bar)
    sheet.text(x - 2.0, found.heading[bar] - 1.2, label, bold=True, ref=bar)


def _draw_source(
    sheet: Sheet, found: Arranged, side: Side, source: Source, y: float
) -> tuple[float, float]:
    """A source at the left of its row; gives the x of its terminal and of the end of its texts."""
    name = plans.SOURCE_SYMBOLS[source.kind]
    form = shape(name)
    left = sheet.frame[0] + 5.0
    x = left if found.layer[side.bar] == 0 else found.x[side.bar] - side.length_mm + 1.0
    end = sheet.symbol(name, (x, y), ref=source.id, net=f"{source.id} post")
    sheet.text(x, y - form.above_mm - 1.2, source.label, bold=True, ref=source.id)
    sheet.text(x, y + form.below_mm + 0.8 + parts.SMALL_MM, source.detail, ref=source.id)
    return end, x + plans.source_mm(source)


def _draw_wire(sheet: Sheet, feeder: DrawnFeeder, x: float, y: float) -> None:
    above, below = plans.wire_lines(feeder)
    sheet.text(x, y - parts.OVER_LINE_MM, above, ref=feeder.id)
    sheet.text(x, y + parts.OVER_LINE_MM + parts.SMALL_MM, below, ref=feeder.id)


def _piece_mm(feeder: DrawnFeeder, k: int) -> float:
    """How thick a piece is drawn; one without a wire, where two parts touch, as the feeder is."""
    if feeder.pieces and feeder.pieces[k].mark:
        return parts.line_mm(feeder.pieces[k].gauge)
    return parts.line_mm(*feeder.gauges)


def _draw_feeder(sheet: Sheet, feeder: DrawnFeeder, start: float, end: float, y: float) -> None:
    """A feeder from x to x: the devices before its longest wire, its texts, the others.

    So a breaker beside its battery is not drawn at the far bus, with all of the wire before it.
    """
    if feeder.pieces:
        _draw_pieces(sheet, feeder, start, end, y)
        return
    at, left, thick = start, start + 4.0, parts.line_mm(*feeder.gauges)
    right = end - 4.0 - sum(parts.slot_mm(device) for device in feeder.devices[feeder.ahead :])
    for number, device in enumerate(feeder.devices):
        slot = parts.slot_mm(device)
        middle = (left if number < feeder.ahead else right) + slot / 2
        a, b = parts.draw_device(sheet, device, middle, y, net=feeder.id, ref=feeder.id)
        sheet.line(((at, y), (a, y)), width_mm=thick, ref=feeder.id, net=feeder.id)
        at = b
        if number < feeder.ahead:
            left += slot
        else:
            right += slot
    _draw_wire(sheet, feeder, left + (1.0 if feeder.ahead else 0.0), y)
    sheet.line(((at, y), (end, y)), width_mm=thick, ref=feeder.id, net=feeder.id)


def _draw_pieces(sheet: Sheet, feeder: DrawnFeeder, start: float, end: float, y: float) -> None:
    """A feeder from x to x, with the texts of each wire where it lies between the devices.

    What width is left goes to its longest wire: a breaker beside its battery is drawn there.
    """
    wide = [plans.piece_mm(feeder, k) for k in range(len(feeder.pieces))]
    slots = [parts.slot_mm(device) for device in feeder.devices]
    spare = end - start - 8.0 - sum(wide) - sum(slots)
    wide[feeder.ahead] += max(0.0, spare)
    at, x = start, start + 4.0
    for k, room in enumerate(wide):
        under, *over = plans.piece_lines(feeder, k)
        from_x = x + 1.0 if k else x
        for n, text in enumerate(over):
            base = y - parts.OVER_LINE_MM - parts.LINE_MM * n
            sheet.text(from_x, base, text, ref=feeder.id)
        sheet.text(from_x, y + parts.OVER_LINE_MM + parts.SMALL_MM, under, ref=feeder.id)
        x += room
        if k < len(slots):
            device, middle = feeder.devices[k], x + slots[k] / 2
            a, b = parts.draw_device(sheet, device, middle, y, net=feeder.id, ref=feeder.id)
            thick = _piece_mm(feeder, k)
            sheet.line(((at, y), (a, y)), width_mm=thick, ref=feeder.id, net=feeder.id)
            at, x = b, x + slots[k]
    thick = _piece_mm(feeder, len(wide) - 1)
    sheet.line(((at, y), (end, y)), width_mm=thick, ref=feeder.id, net=feeder.id)


def _draw_out(sheet: Sheet, feeder: DrawnFeeder, start: float, y: float, text: str) -> None:
    """A feeder that ends in a flag."""
    end = start + plans.run_mm(feeder)
    _draw_feeder(sheet, feeder, start, end, y)
    parts.draw_flag(sheet, end, y, text, ref=feeder.id)


def _draw_in(sheet: Sheet, feeder: DrawnFeeder, end: float, y: float, text: str) -> None:
    """The flag at the other end of that feeder."""
    point = end - 4.0
    parts.draw_flag(sheet, point - parts.flag_mm(text), y, text, ref=feeder.id)
    thick = _piece_mm(feeder, -1)
    sheet.line(((point, y), (end, y)), width_mm=thick, ref=feeder.id, net=feeder.id)
