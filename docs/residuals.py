"""How far the compact law and the model from first principles are from what was published.

In: the published tables. Out: the tables of `heat-residuals.md`, written by `generate.py`.
"""

import math
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from elec.physics.atmosphere import pressure_pa, pressure_ratio
from elec.physics.cylinder import (
    BUNDLE_W_PER_M_K,
    INSULATION_W_PER_M_K,
    first_principles_current_a,
)
from elec.physics.heat import altitude_factor, bundle_factor, free_air_current_a
from elec.standards import AWGS, WireSize, copper, default, table
from elec.wiring.wires import bare_ohm

FOOT_M = 0.3048


class Point(Struct, frozen=True, kw_only=True):
    """One published figure and what both ways of computing say instead."""

    region: str
    what: str
    published: float
    compact: float
    first: float

    @property
    def compact_off(self) -> float:
        """Part of the published figure that the compact law is above it."""
        return self.compact / self.published - 1

    @property
    def first_off(self) -> float:
        """The same of the model from first principles."""
        return self.first / self.published - 1


def first_a(
    wire: WireSize, *, ambient: float, hot: float, wires: float, loading: float, altitude_m: float
) -> float:
    """The current by first principles, with the constants of the residuals."""
    return first_principles_current_a(
        diameter_m=wire.diameter_mm / 1000,
        conductor_diameter_m=wire.conductor_diameter_mm / 1000,
        resistance_ohm_per_m=bare_ohm(wire, 1.0, hot),
        ambient_degc=ambient,
        conductor_degc=hot,
        pressure_pa=pressure_pa(altitude_m=altitude_m),
        wires=wires,
        loading=loading,
        emissivity=default("emissivity").value,
        insulation_w_per_m_k=INSULATION_W_PER_M_K,
        bundle_w_per_m_k=BUNDLE_W_PER_M_K,
    )


def compact_a(
    wire: WireSize, *, ambient: float, hot: float, wires: float, loading: float, altitude_m: float
) -> float:
    """The current by the compact law that decides in elec."""
    free = free_air_current_a(
        free_air_b=wire.free_air_b, free_air_m=wire.free_air_m, rise_k=hot - ambient
    )
    thin = altitude_factor(pressure_ratio=pressure_ratio(altitude_m=altitude_m))
    return free * bundle_factor(wires=wires, loading=loading) * thin


def points() -> Iterator[Point]:
    """Every published figure that a formula can be held against."""
    yield from _free_air()
    yield from _bundle()
    yield from _altitude()
    yield from _wire_table()
    yield from _examples()


def _free_air() -> Iterator[Point]:
    for row in table("mil_w_5088/free_air"):
        awg, rise = row.text("awg"), row.number("rise_k")
        derived = AWGS.index(awg) >= AWGS.index("8")
        read = row.cite.document == "mil_w_5088"
        region = "free air, read off the curves" if read else "free air, worked examples"
        if derived:
            region = "free air, AWG 8 and thicker (from table 11-9)"
        here = {
            "ambient": 60.0,
            "hot": 60.0 + rise,
            "wires": 1.0,
            "loading": 1.0,
            "altitude_m": 0.0,
        }
        yield Point(
            region=region,
            what=f"AWG {awg}, {rise:g} K",
            published=row.number("current_a"),
            compact=compact_a(copper(awg), **here),
            first=first_a(copper(awg), **here),
        )


def _bundle() -> Iterator[Point]:
    wire = copper("20")
    here = {"ambient": 60.0, "hot": 200.0, "altitude_m": 0.0}
    alone = first_a(wire, wires=1.0, loading=1.0, **here)
    for row in table("mil_w_5088/bundle_derating"):
        count, percent = row.number("wires_count"), row.number("loading_percent")
        if count < 2:
            continue
        span = next(name for most, name in ((5, "2 to 5"), (10, "6 to 10"), (40, "11 to 35"))
                    if count <= most)  # fmt: skip
        yield Point(
            region=f"bundle, {span} wires",
            what=f"{count:g} wires, {percent:g} %",
            published=row.number("factor"),
            compact=bundle_factor(wires=count, loading=percent / 100),
            first=first_a(wire, wires=count, loading=percent / 100, **here) / alone,
        )


def _altitude() -> Iterator[Point]:
    wire = copper("20")
    here = {"ambient": 60.0, "hot": 200.0, "wires": 1.0, "loading": 1.0}
    ground = first_a(wire, altitude_m=0.0, **here)
    for row in table("ac4313/altitude_derating"):
        feet = row.number("altitude_ft")
        if feet > 0:
            height = feet * FOOT_M
            yield Point(
                region="height",
                what=f"{feet:g} ft",
                published=row.number("factor"),
                compact=altitude_factor(pressure_ratio=pressure_ratio(altitude_m=height)),
                first=first_a(wire, altitude_m=height, **here) / ground,
            )


def _wire_table() -> Iterator[Point]:
    for awg in AWGS[: AWGS.index("10") + 1]:
        for rated, printed in copper(awg).table_current_a:
            here = {"ambient": 70.0, "hot": rated, "wires": 33.0, "loading": 0.2,
                    "altitude_m": 60000 * FOOT_M}  # fmt: skip
            yield Point(
                region=f"table 11-9, {rated:g} °C, AWG 24 to 10 (whole amperes)",
                what=f"AWG {awg}, {rated:g} °C",
                published=printed,
                compact=compact_a(copper(awg), **here),
                first=first_a(copper(awg), **here),
            )


def _examples() -> Iterator[Point]:
    for awg, ambient, wires, loading, feet, printed in (
        ("22", 60.0, 35.0, 0.2, 60000.0, 6.6),
        ("20", 60.0, 35.0, 0.2, 60000.0, 8.8),
        ("12", 25.0, 12.0, 1.0, 20000.0, 26.6),
        ("14", 50.0, 8.0, 0.6, 20000.0, 26.0),
    ):
        here = {"ambient": ambient, "hot": 200.0, "wires": wires, "loading": loading,
                "altitude_m": feet * FOOT_M}  # fmt: skip
        yield Point(
            region="whole harness examples, 11-67 and 11-69",
            what=f"AWG {awg}, {wires:g} wires {loading * 100:g} %, {feet:g} ft",
            published=printed,
            compact=compact_a(copper(awg), **here),
            first=first_a(copper(awg), **here),
        )


def rms(values: Sequence[float]) -> float:
    """Root of the mean square."""
    return math.sqrt(sum(v * v for v in values) / len(values))


def regions() -> dict[str, list[Point]]:
    """Points by region, in order."""
    found: dict[str, list[Point]] = {}
    for point in points():
        found.setdefault(point.region, []).append(point)
    return found


def _percent(value: float) -> str:
    shown = f"{value * 100:+.1f} %"
    return "0.0 %" if shown in {"+0.0 %", "-0.0 %"} else shown


def _furthest(values: Iterable[float]) -> float:
    return max(values, key=abs)


def summary() -> str:
    """One row a region."""
    rows = [
        (
            "| region | points | compact: mean | rms | furthest "
            "| first principles: mean | rms | furthest |"
        ),
        "|---|---|---|---|---|---|---|---|",
    ]
    for region, found in regions().items():
        cells = [region, str(len(found))]
        for offs in ([p.compact_off for p in found], [p.first_off for p in found]):
            mean = sum(offs) / len(offs)
            cells += [_percent(mean), f"{rms(offs) * 100:.1f} %", _percent(_furthest(offs))]
        rows.append("| " + " | ".join(cells) + " |")
    return "\n".join(rows) + "\n"


def every_point() -> str:
    """One row a published figure."""
    rows = [
        "| region | point | published | compact | | first principles | |",
        "|---|---|---|---|---|---|---|",
    ]
    rows += [
        f"| {p.region} | {p.what} | {p.published:g} | {p.compact:.3g} | {_percent(p.compact_off)} "
        f"| {p.first:.3g} | {_percent(p.first_off)} |"
        for p in points()
    ]
    return "\n".join(rows) + "\n"
