"""The power distribution as bars and rows, with the room that their texts need."""

from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct, field
from msgspec.structs import replace

from elec.drawings.inputs import Bar, CircuitRow, DrawnFeeder, DrawnWire, OneLine, Source
from elec.drawings.layout.bars import BarBox, FeederLink, LayoutProblem, Own, Side
from elec.drawings.metrics import clip
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import branch_rows, parts
from elec.drawings.symbols import shape

LEVER_MM = 6.0
"""From the contacts of a changeover to the pivot of its lever."""
TEXT_MM = 60.0
"""The widest that a name on the diagram may be."""
REFERENCE = " · P88/C8"
"""Room kept in a flag for where its other end is."""
SOURCE_SYMBOLS = {"battery": "battery", "alternator": "alternator", "external": "external"}


class OneLinePlan(Struct, kw_only=True, dict=True):
    """The system as bars and rows."""

    record: OneLine
    bars: dict[str, Bar]
    posts: dict[str, Source]
    links: dict[str, DrawnFeeder]
    sides: dict[str, tuple[Source, DrawnFeeder]]
    branches: dict[str, list[CircuitRow]] = field(default_factory=dict)

    @cached_property
    def row_mm(self) -> float:
        """The least width of a circuit's row from its bar to the right edge."""
        return branch_rows.least_mm(self.record.branches)


def plan_of(record: OneLine, text_mm: float = TEXT_MM) -> OneLinePlan:
    """Sort out which sources need a bar of their own, and what hangs on what."""
    record = _clipped(_changed_over(record), text_mm)
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
    plan = OneLinePlan(record=record, bars=bars, posts=posts, links={}, sides={})
    for feeder in record.feeders:
        if feeder.source in sources and feeder.source not in posts:
            plan.sides[feeder.id] = (sources[feeder.source], feeder)
        else:
            plan.links[feeder.id] = feeder
    for branch in record.branches:
        plan.branches.setdefault(branch.bar, []).append(branch)
    return plan


def together(record: OneLine) -> OneLine:
    """The record with the wires of each feeder written together, which takes less width.

    Lengths stand in the order of the marks, which end in the gauge.
    """
    return replace(record, feeders=tuple(map(_together, record.feeders)))


def narrow(record: OneLine) -> OneLine:
    """The record with each wire between its devices, in as little width as that takes."""
    return replace(
        record,
        feeders=tuple(replace(one, narrow=bool(one.pieces)) for one in record.feeders),
    )


def _together(feeder: DrawnFeeder) -> DrawnFeeder:
    wires = [piece for piece in feeder.pieces if piece.mark]
    gauge = "" if all(map(_said, wires)) else feeder.gauge
    lengths = ", ".join(wire.length for wire in wires)
    return replace(feeder, pieces=(), gauge=gauge, length=lengths or feeder.length)


def _said(wire: DrawnWire) -> bool:
    """Whether the mark of a wire ends in its gauge: then no feeder repeats it, on any sheet."""
    return wire.mark.endswith(wire.gauge.removeprefix("AWG "))


def _changed_over(record: OneLine) -> OneLine:
    """The record with each changeover that feeders of one target share as one thing."""
    sharing: dict[tuple[str, str], list[DrawnFeeder]] = {}
    for feeder in record.feeders:
        for device in feeder.devices:
            if device.kind == "changeover":
                sharing.setdefault((device.label, feeder.target), []).append(feeder)
    bars, feeders = list(record.bars), list(record.feeders)
    for (label, target), found in sharing.items():
        if len(found) < 2:
            continue
        name = f"changeover {label}"
        bars.insert(0, Bar(id=name, label=label, kind="changeover"))
        wires: tuple[DrawnWire, ...] = ()
        for feeder in found:
            count = next(i for i, d in enumerate(feeder.devices) if d.kind == "changeover")
            here = replace(
                feeder, target=name, devices=feeder.devices[:count],
                pieces=feeder.pieces[: count + 1],
            )  # fmt: skip
            feeders[feeders.index(feeder)] = here
            behind = feeder.devices[count + 1 :]
            wires = _alike(wires, feeder.pieces[count + 1 :])
        gauges = tuple(wire.gauge for wire in wires)
        shared = DrawnFeeder(
            id=name, source=name, target=target, devices=behind, pieces=wires, gauges=gauges
        )
        feeders.append(shared)
    return replace(record, bars=tuple(bars), feeders=tuple(feeders))


def _alike(wires: tuple[DrawnWire, ...], more: tuple[DrawnWire, ...]) -> tuple[DrawnWire, ...]:
    """Pieces that several feeders have behind their changeover, each with all its marks."""
    if len(wires) != len(more):
        return more
    return tuple(
        replace(one, mark=_listed(one.mark, other.mark), length=_listed(one.length, other.length))
        for one, other in zip(wires, more, strict=True)
    )


def _listed(*texts: str) -> str:
    """Texts that differ, one after the other."""
    return ", ".join(dict.fromkeys(filter(None, texts)))


def _clipped(record: OneLine, text_mm: float) -> OneLine:
    """The record with texts that no sheet has room for cut; the finished-sheet check says so."""
    return replace(
        record,
        sources=tuple(
            replace(s, label=clip(s.label, text_mm, bold=True), detail=clip(s.detail, text_mm))
            for s in record.sources
        ),
        bars=tuple(
            replace(b, label=clip(b.label, text_mm, parts.HEAD_MM, bold=True)) for b in record.bars
        ),
        feeders=tuple(
            replace(
                f,
                devices=tuple(
                    replace(
                        d,
                        label=clip(d.label, min(text_mm, parts.LABEL_ROOM_MM), bold=True),
                        rating=clip(d.rating, min(text_mm, parts.LABEL_ROOM_MM)),
                    )
                    for d in f.devices
                ),
                mark=clip(f.mark, 2 * text_mm),
                gauge=clip(f.gauge, text_mm / 2),
                length=clip(f.length, text_mm),
                amps=clip(f.amps, text_mm / 4),
                sized=clip(f.sized, text_mm / 2),
                cranks=clip(f.cranks, text_mm / 2),
            )
            for f in record.feeders
        ),
    )


def label(plan: OneLinePlan, end: str) -> str:
    """The text of a bar or of a source."""
    return plan.bars[end].label if end in plan.bars else plan.posts[end].label


def feeds(plan: OneLinePlan) -> dict[str, str]:
    """For each bar what feeds it, in words."""
    texts: dict[str, list[str]] = {}
    for feeder in plan.links.values():
        texts.setdefault(feeder.target, []).append(label(plan, feeder.source))
    for source, feeder in plan.sides.values():
        texts.setdefault(feeder.target, []).append(source.label)
    return {bar: ", ".join(dict.fromkeys(names)) for bar, names in texts.items()}


# --- sizes ------------------------------------------------------------------------------------


def wire_lines(feeder: DrawnFeeder) -> tuple[str, str]:
    """What stands over and under a feeder."""
    below = parts.join(feeder.length, feeder.amps)
    above = parts.join(feeder.mark, feeder.gauge, feeder.cranks, feeder.sized)
    return (above, below) if above else (below, "")


def piece_lines(feeder: DrawnFeeder, k: int) -> tuple[str, ...]:
    """What stands under and over a piece, and over that; one of them says it of the feeder, too.

    That is the first with a wire; where width is short its longest one.
    """
    piece = feeder.pieces[k]
    gauge = "" if _said(piece) else piece.gauge
    if feeder.narrow:
        main = k == feeder.ahead
        under = parts.join(piece.length, feeder.amps if main else "")
        over = parts.join(piece.mark, gauge, piece.colour, feeder.cranks if main else "")
        return (under, over, feeder.sized) if main else (under, over)
    first = next((i for i, one in enumerate(feeder.pieces) if one.mark), 0)
    more = (feeder.cranks, feeder.sized) if k == first else ()
    amps = feeder.amps if k == first else ""
    over = parts.join(piece.mark, gauge, piece.colour, *more)
    return parts.join(piece.length, amps), over


def piece_mm(feeder: DrawnFeeder, k: int) -> float:
    """Width of a piece with its texts."""
    wide = max(map(parts.width, piece_lines(feeder, k)))
    return wide + 2.0 if wide else 0.5


def wire_mm(feeder: DrawnFeeder) -> float:
    """Width of a feeder's texts."""
    if feeder.pieces:
        return sum(piece_mm(feeder, k) for k in range(len(feeder.pieces)))
    return max(parts.width(t) for t in wire_lines(feeder))


def run_mm(feeder: DrawnFeeder) -> float:
    """The least length of a feeder with all its texts."""
    apart = 0.0 if feeder.pieces else 3.0  # each piece has that in its own width
    return 4.0 + wire_mm(feeder) + apart + devices_mm(feeder) + 4.0


def devices_mm(feeder: DrawnFeeder) -> float:
    """Width of a feeder's devices."""
    return sum(parts.slot_mm(d) for d in feeder.devices)


def half_heights(feeder: DrawnFeeder) -> tuple[float, float]:
    """Room over and under a feeder."""
    high = 4.2 + (parts.LINE_MM if feeder.narrow and feeder.sized else 0.0)
    above = max([high, *(parts.device_above_mm(d) for d in feeder.devices)])
    below = max([4.4, *(parts.device_below_mm(d) for d in feeder.devices)])
    return above + 0.8, below + 0.8


def out_text(plan: OneLinePlan, feeder: DrawnFeeder, where: str) -> str:
    """The text of the flag at the source of a cut feeder."""
    return f"to {label(plan, feeder.target)}{where}"


def in_text(plan: OneLinePlan, feeder: DrawnFeeder, where: str) -> str:
    """The text of the flag at the target of a cut feeder."""
    return f"{parts.join(f'from {label(plan, feeder.source)}', feeder.mark)}{where}"


def link_of(plan: OneLinePlan, feeder: DrawnFeeder) -> FeederLink:
    """A feeder as the layout sees it."""
    above, below = half_heights(feeder)
    wire = run_mm(feeder)
    entry = plan.bars.get(feeder.source)
    wire += LEVER_MM if entry is not None and entry.kind == "changeover" else 0.0
    return FeederLink(
        id=feeder.id,
        source=feeder.source,
        target=feeder.target,
        length_mm=wire,
        above_mm=above,
        below_mm=below,
        out_mm=wire + parts.flag_mm(out_text(plan, feeder, REFERENCE)),
        in_mm=parts.flag_mm(in_text(plan, feeder, REFERENCE)) + 6.0,
    )


def source_mm(source: Source) -> float:
    """Width of a source with its texts."""
    symbol = shape(SOURCE_SYMBOLS[source.kind]).right_mm
    label = parts.width(source.label, bold=True)
    return max(symbol, label, parts.width(source.detail)) + 1.0


def source_heights(source: Source) -> tuple[float, float]:
    """Room over and under a source with its texts."""
    form = shape(SOURCE_SYMBOLS[source.kind])
    return form.above_mm + 4.6, form.below_mm + (4.9 if source.detail else 1.5)


def side_of(source: Source, feeder: DrawnFeeder | None, bar: str, row: str) -> Side:
    """A source as the layout sees it, with its feeder if it has only one."""
    above, below = source_heights(source)
    length = source_mm(source) + (0.0 if feeder else 4.0)
    if feeder:
        up, down = half_heights(feeder)
        above, below = max(above, up), max(below, down)
        length += run_mm(feeder)
    return Side(id=row, bar=bar, length_mm=length, above_mm=above, below_mm=below)


def heading(plan: OneLinePlan, end: str) -> BarBox:
    """A bar as the layout sees it."""
    bar = plan.bars.get(end)
    if bar is None:
        return BarBox(id=end)
    capital = parts.HEAD_MM if bar.kind == "bus" else parts.SMALL_MM
    return BarBox(
        id=end,
        heading_mm=parts.width(bar.label, bold=True, capital_mm=capital),
        heading_height_mm=capital + 2.0,
    )


def problem_of(
    plan: OneLinePlan, ends: Sequence[str], owns: Sequence[Own], sheet: Sheet
) -> LayoutProblem:
    """The bars `ends` and what joins them, as a problem for the layout."""
    links = [link_of(plan, f) for f in plan.links.values() if f.source in ends and f.target in ends]
    sides = [side_of(plan.posts[p], None, p, f"source {p}") for p in plan.posts if p in ends]
    sides += [side_of(s, f, f.target, f.id) for s, f in plan.sides.values() if f.target in ends]
    x0, y0, _, _ = sheet.frame
    return LayoutProblem(
        bars=tuple(heading(plan, end) for end in ends),
        links=tuple(links),
        sides=tuple(sides),
        owns=tuple(own for own in owns if own.bar in ends),
        top_mm=y0 + 5.0,
        left_mm=x0 + 5.0,
        open_mm=plan.row_mm + 3.0,
    )


def ends(plan: OneLinePlan) -> list[str]:
    """All bars: sources with a bar of their own first."""
    return [*plan.posts, *plan.bars]


def room(sheet: Sheet) -> tuple[float, float]:
    """Width for the rows, and the y where they must end."""
    x0, _, x1, _ = sheet.frame
    return x1 - x0 - 8.0, sheet.block[1] - 3.0
