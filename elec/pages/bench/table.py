"""Papers for the bench: reels to cut from, labels for the wires."""

import math
from collections.abc import Mapping

from elec import units
from elec.answers.base.marks import marks
from elec.answers.connect.pins import colour_of
from elec.answers.connect.pulling import passings
from elec.pages.built import since, state_cell, tick
from elec.pages.circuits.cable import cable_end, longest_m
from elec.pages.columns import count, cut, listed, text
from elec.pages.table import Cell, Table, Value
from elec.physics.wire import mark_count
from elec.sizing.sizing import sizing
from elec.standards import AWGS, default
from elec.study import Study
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.ends import wire_ends
from elec.wiring.limits import Limit, limit, shown
from elec.wiring.runs import runs, twisted_pairs
from elec.wiring.wires import kind_name

INCH_M = 0.0254
HARD_SPACE = "\u00a0"


def single_wires(study: Study) -> list[Conductor]:
    """Every wire that is cut from a reel, the thickest last, then by colour and mark."""
    every = [c for c in chains(study).conductors() if c.cable is None and c.role != "coax"]

    def key(c: Conductor) -> tuple[int, str, str]:
        awg = sizing(study).gauges[c.id].awg
        return (AWGS.index(awg), colour_of(c), kind_name(study, c))

    return sorted(every, key=key)


def cut_list(study: Study) -> Table:
    """Single wires reel by reel, with the length that the reel has given after each cut."""
    rows: list[tuple[Value, ...]] = []
    reel, used = "", 0.0
    after = _after_pulling(study)
    reels = {(awg, colour or "white"): m for awg, colour, m in study.document.stock.reels}
    stocked = bool(reels)
    strip = default("strip-allowance")
    for c in single_wires(study):
        awg = sizing(study).gauges[c.id].awg
        name = f"AWG {awg} {colour_of(c)}, {kind_name(study, c)}"
        used = used if name == reel else 0.0
        length = runs(study)[c.id].length_m
        cut_m = to_cut_m(study, length)
        used += cut_m or 0.0
        rows.append(
            (
                Cell(value=name, text=_short(name) if name == reel else name),
                marks(study)[c.id],
                *wire_ends(study, c),
                cut(study, length),
                cut(study, cut_m),
                Cell(value=used, text=units.cut_length(used, study.system.about.units)),
                *((_left(study, reels.get((awg, colour_of(c))), used),) if stocked else ()),
                _then(study, c, after),
                state_cell(study, c),
                tick(study, c, "terminated"),
                tick(study, c, "cut"),
            )
        )
        reel = name
    return Table(
        id="cut-list",
        title="Cut list",
        columns=(
            text("reel", "Reel"),
            text("mark", "Mark"),
            text("from", "From", 2),
            text("to", "To", 2),
            text("length_m", "Run"),
            text("cut_m", "Cut"),
            text("used_m", "Off the reel", 2),
            *((text("left_m", "Left on it", 2),) if stocked else ()),
            text("then", "Then", 2),
            text("state", "State"),
            text("label", "Label on"),
            text("ok", "Done"),
        ),
        rows=tuple(rows),
        note=(
            "Run: as on the drawings, slack for two new terminations at each end included. Cut: "
            f"{_strip(study)} more at each end for the first strip-back ({strip.why}), rounded up. "
            f"Off the reel: what has been cut from it so far; {_left_said(stocked)}. Label on: "
            "both labels, before the second terminal closes the "
            f"wire.{since(study, single_wires(study))}"
        ),
    )


def _left_said(stocked: bool) -> str:
    """How what is left of a reel is found."""
    if stocked:
        return "left on it: of the length in stock: reels:, empty where none is given"
    return "what is left on it is printed where stock: reels: says how much there was"


def _short(reel: str) -> str:
    """Gauge and colour of a reel, on one line: its first row says the insulation, too.

    >>> _short("AWG 22 white, etfe-tin").split()
    ['AWG', '22', 'white']
    """
    return reel.partition(",")[0].replace(" ", HARD_SPACE)


def _then(study: Study, conductor: Conductor, after: Mapping[str, str]) -> str:
    """What is done with it once it is cut: twisted with its partner, terminated after pulling."""
    partner = twisted_pairs(study).get(conductor.id)
    twist = f"twist with its {partner}" if partner else ""
    return "; ".join(filter(None, (twist, after.get(conductor.id, ""))))


def cables_to_cut(study: Study) -> Table:
    """Cables of several cores and coaxial cables, each cut once for all of its cores."""
    rows = []
    for chain in chains(study).of("cable"):
        length = longest_m(study, chain)
        rows.append(
            (
                study.document.cables[chain.name].type,
                f"{chain.function}{chain.number}",
                cable_end(study, chain, first=True),
                cable_end(study, chain, first=False),
                cut(study, length),
                cut(study, to_cut_m(study, length)),
                "☐",
                "☐",
            )
        )
    return Table(
        id="cut-list-cables",
        title="Cables to cut",
        columns=(
            text("type", "Cable"),
            text("mark", "Mark"),
            text("from", "From", 2),
            text("to", "To", 2),
            text("length_m", "Run"),
            text("cut_m", "Cut"),
            text("label", "Label on"),
            text("ok", "Done"),
        ),
        rows=tuple(sorted(rows, key=lambda row: str(row[0]))),
        note=(
            f"Run: of the longest core. Cut: {_strip(study)} more at each end, as for a wire; how "
            "far the jacket comes off says the sheet of the connector: add what it asks beyond "
            "the slack."
        ),
    )


def to_cut_m(study: Study, length_m: float | None) -> float | None:
    """What is cut for a run: with the first strip-back at both ends, rounded up."""
    if length_m is None:
        return None
    return rounded_m(length_m + 2 * default("strip-allowance").si, study.system.about.units)


def _strip(study: Study) -> str:
    strip_m = default("strip-allowance").si
    metric = study.system.about.units == "metric"
    return f"{1000 * strip_m:.0f} mm" if metric else f"{strip_m / INCH_M:g} in"


def _left(study: Study, had_m: float | None, used_m: float) -> Value:
    """What a reel still has; what it lacks where it is too short."""
    if had_m is None:
        return ""
    left = had_m - used_m
    if left < 0:
        short = units.cut_length(-left, study.system.about.units)
        return Cell(value=left, text=f"{short} too short", verdict="fail")
    return Cell(value=left, text=units.show(left, "m", study.system.about.units))


def rounded_m(length_m: float, system: units.UnitSystem) -> float:
    """A length as it is cut: the next whole inch or centimetre up.

    >>> round(rounded_m(1.0, "feet") / 0.0254, 6), rounded_m(1.001, "metric")
    (40.0, 1.01)
    """
    step = 0.01 if system == "metric" else INCH_M
    return math.ceil(length_m / step - 1e-6) * step


def _after_pulling(study: Study) -> dict[str, str]:
    """Wires with a connector that does not go through the holes on its way: which end waits."""
    found: dict[str, str] = {}
    stuck = {p.connector for p in passings(study).values() if p.passes is False}
    for c in chains(study).conductors():
        sides = [
            side
            for side, part in (("From", c.a), ("To", c.b))
            if f"{part.name}.{part.contact.rpartition('.')[0]}" in stuck
        ]
        if sides and runs(study)[c.id].legs:
            found[c.id] = f"pull, then terminate {listed(sides)}"
    return found


def labels(study: Study) -> Table:
    """How many labels each wire and cable needs, and where they go; for a label printer as CSV."""
    end, every = limit(study, "mark-end"), limit(study, "mark-spacing")
    apart = default("sleeve-spacing")
    system = study.system.about.units
    one = [units.show(inches * INCH_M, "m", system) for inches in _one_mark_in(end, every)]
    rows: list[tuple[Value, ...]] = []
    for chain in chains(study).by_name.values():
        if chain.kind == "cable":
            conductors = chain.conductors()[:1]
            mark = f"{chain.function}{chain.number}"
        else:
            conductors, mark = chain.conductors(), ""
        rows += [
            (*_label(study, chain, c, mark or marks(study)[c.id]), state_cell(study, c))
            for c in conductors
        ]
    return Table(
        id="labels",
        title="Labels",
        columns=(
            text("mark", "Mark"),
            count("labels_count", "Labels"),
            text("at", "Where"),
            text("from", "From", 2),
            text("to", "To", 2),
            text("state", "State"),
        ),
        rows=tuple(rows),
        strips=True,
        note=(
            f"A wire: within {shown(end, system)} of both ends and at most every "
            f"{shown(every, system)}; {one[0]} to {one[1]} long one in the middle, shorter none "
            f"({every.source}). Every so many inches or centimetres: one at each end, and between "
            "them one at that distance. From and to stand in the cut list. A cable has "
            "sleeves at both ends and at most every "
            f"{units.show(apart.si, 'm', study.system.about.units)} ({apart.cite}). Readable from "
            "left to right or from the top down, no tie to cut."
            f"{since(study, chains(study).conductors())}"
        ),
    )


def _one_mark_in(end: Limit, every: Limit) -> tuple[int, int]:
    """The least and the greatest length with one mark, in whole inches: as the formula says."""
    end_in, every_in = end.value / INCH_M, every.value / INCH_M
    some = [
        inches
        for inches in range(1, 60)
        if mark_count(length_in=inches, end_in=end_in, every_in=every_in) == 1
    ]
    return some[0], some[-1]


def _label(study: Study, chain: Chain, c: Conductor, mark: str) -> tuple[Value, ...]:
    """The row of a wire, or of a cable's jacket, which names boxes and not one core's contacts."""
    length = runs(study)[c.id].length_m
    sleeve = chain.kind == "cable"
    ends: tuple[Value, ...] = wire_ends(study, c)
    if sleeve:
        ends = (cable_end(study, chain, first=True), cable_end(study, chain, first=False))
    if length is None:
        return (mark, None, "its length is not known", *ends)
    inches = length / INCH_M
    if sleeve:
        number = 2 + max(0, math.ceil(length / default("sleeve-spacing").si - 1e-9) - 1)
        return (mark, number, _where(study, number, length / (number - 1)), *ends)
    end_in, every_in = (limit(study, key).value / INCH_M for key in ("mark-end", "mark-spacing"))
    number = int(mark_count(length_in=inches, end_in=end_in, every_in=every_in))
    if number < 2:
        return (mark, number, "middle" if number else "none needed", *ends)
    return (
        mark,
        number,
        _where(study, number, (inches - 2 * end_in) * INCH_M / (number - 1)),
        *ends,
    )


def _where(study: Study, number: int, apart_m: float) -> str:
    """Two labels at the ends; of more, how far it is from one to the next, from end to end."""
    if number <= 2:
        return "both ends"
    metric = study.system.about.units == "metric"
    apart = f"{apart_m * 100:.0f} cm" if metric else f"{apart_m / INCH_M:.0f} in"
    return f"every {apart}"
