"""Published and hand-computed figures beside what elec computes, for `published-cases.md`.

Each case names its source and how its figure got here: *seen* in the document's text, from
*memory* of it, or *computed* by hand from the published formula. A tolerance is half of the last
printed digit where nothing else is said.
"""

from collections.abc import Callable, Iterator

from msgspec import Struct

from elec.physics import contact, damage, drop, fault, heat, protection, switch
from elec.physics.atmosphere import pressure_ratio
from elec.standards import AWGS, CurveBand, breaker_band, copper, fuse_band, table
from elec.standards.wire import COPPER_ZERO_DEGC
from elec.wiring.wires import bare_ohm

FOOT_M = 0.3048
AC = "AC 43.13-1B"
TABLE_11_9 = f"{AC} table 11-9 with a heat balance"


class Shown(Struct, frozen=True, kw_only=True):
    """One figure: what the source says, what elec computes, how far they may be apart and why."""

    group: str
    what: str
    source: str
    certainty: str
    printed: float
    unit: str
    compute: Callable[[], float]
    within: float
    why: str = "half of the last digit"


def cases() -> Iterator[Shown]:
    """Every case, in the order of the document."""
    yield from _drops()
    yield from _example_2()
    yield from _harness_1()
    yield from _harness_2()
    yield from _protector_chart()
    yield from _temperature()
    yield from _switches_and_contacts()
    yield from _short_circuit_laws()
    yield from _damage()
    yield from _devices()
    yield from _faults()


def _free(awg: str, rise: float) -> float:
    wire = copper(awg)
    return heat.free_air_current_a(
        free_air_b=wire.free_air_b, free_air_m=wire.free_air_m, rise_k=rise
    )


def _thin(feet: float) -> float:
    return heat.altitude_factor(pressure_ratio=pressure_ratio(altitude_m=feet * FOOT_M))


def _among(wires: float, loading: float) -> float:
    return heat.bundle_factor(wires=wires, loading=loading)


def _drops() -> Iterator[Shown]:
    rows = (
        ("6", 107.0, 0.942, 0.0005), ("4", 90.0, 0.504, 0.0005), ("14", 100.0, 6.12, 0.005),
        ("10", 39.0, 0.98, 0.005), ("10", 156.0, 3.93, 0.005), ("10", 273.0, 6.88, 0.005),
    )  # fmt: skip
    for awg, feet, printed, within in rows:

        def lost(awg: str = awg, feet: float = feet) -> float:
            return drop.wire_drop_v(
                resistance_20degc_ohm_per_m=copper(awg).resistance_20degc_ohm_per_m,
                length_m=feet * FOOT_M, current_a=20, conductor_degc=20, joint_ohm=0,
                zero_degc=COPPER_ZERO_DEGC)  # fmt: skip

        yield Shown(
            group="Voltage drop", what=f"AWG {awg}, {feet:g} ft, 20 A", printed=printed, unit="V",
            source=f"{AC} tables 11-7, 11-8", certainty="seen", compute=lost, within=within,
        )  # fmt: skip

    def size() -> float:
        runs = {
            awg: drop.longest_run_m(
                allowed_v=1, current_a=20,
                resistance_ohm_per_m=copper(awg).resistance_20degc_ohm_per_m,
            )
            for awg in AWGS
        }  # fmt: skip
        return float(next(awg for awg, run in runs.items() if run >= 50 * FOOT_M))

    yield Shown(
        group="Voltage drop", what="28 V, 50 ft with the ground wire, 20 A: gauge", printed=8,
        unit="AWG", source=f"{AC} 11-67 example 1", certainty="seen", compute=size, within=0,
        why="a gauge is right or wrong",
    )  # fmt: skip


CURVE = "3.3 % for each factor read off a curve"


def _example_2() -> Iterator[Shown]:
    def shown(  # noqa: PLR0917 - rows of a table
            what: str, printed: float, unit: str, within: float, certainty: str,
              compute: Callable[[], float], why: str = CURVE) -> Shown:  # fmt: skip
        return Shown(
            group="Harness, 11-67 example 2", what=what, source=f"{AC} page 11-27", unit=unit,
            certainty=certainty, printed=printed, compute=compute, within=within, why=why,
        )  # fmt: skip

    free = _free("14", 150)
    yield shown("AWG 14, 150 K, free air", 47, "A", 0.5, "seen", lambda: free)
    yield shown("20 000 ft", 0.91, "", 0.005, "seen", lambda: _thin(20000))
    yield shown("thin air", 42.8, "A", 0.5, "computed", lambda: free * _thin(20000))
    yield shown("8 wires at 60 %", 0.6, "", 0.005, "seen", lambda: _among(8, 0.6))
    allowed = free * _thin(20000) * _among(8, 0.6)
    yield shown("allowed current", 26, "A", 0.5, "seen", lambda: allowed)
    yield shown("temperature at 20 A of 26 A", 182, "degC", 0.5, "memory", lambda: (
        heat.careful_temperature_degc(
            current_a=20, allowed_current_a=26, ambient_degc=50, rated_degc=200)))  # fmt: skip
    yield shown("length of 15.5 ft at 182 °C", 9.5, "ft", 0.05, "memory", lambda: (
        15.5 / drop.warm_factor(conductor_degc=182, zero_degc=COPPER_ZERO_DEGC)))  # fmt: skip


def _harness_1() -> Iterator[Shown]:
    def shown(what: str, printed: float, unit: str, part: float,
              compute: Callable[[], float]) -> Shown:  # fmt: skip
        return Shown(
            group="Harness, 11-69 example 1", what=what, source=f"{AC} 11-69 example 1", unit=unit,
            certainty="memory", printed=printed, compute=compute, within=part * printed, why=CURVE,
        )  # fmt: skip

    f20, f22 = _free("20", 140), _free("22", 140)
    pack, thin = _among(35, 0.2), _thin(60000)
    yield shown("AWG 20, 140 K, free air", 21.5, "A", 0.02, lambda: f20)
    yield shown("AWG 22, 140 K, free air", 16.2, "A", 0.02, lambda: f22)
    yield shown("35 wires at 20 %", 0.52, "", 0.025, lambda: pack)
    yield shown("AWG 22 in the bundle", 8.4, "A", 0.03, lambda: f22 * pack)
    yield shown("AWG 20 in the bundle", 11.2, "A", 0.03, lambda: f20 * pack)
    yield shown("60 000 ft", 0.79, "", 0.005, lambda: thin)
    yield shown("AWG 22 allowed", 6.6, "A", 0.033, lambda: f22 * pack * thin)
    yield shown("AWG 20 allowed", 8.8, "A", 0.033, lambda: f20 * pack * thin)
    whole = (25 * f22 + 10 * f20) * pack * thin
    yield shown("capacity of the harness", 253, "A", 0.033, lambda: whole)
    yield shown("20 % of it", 50.6, "A", 0.033, lambda: 0.2 * whole)


def _harness_2() -> Iterator[Shown]:
    def shown(what: str, printed: float, unit: str, part: float,
              compute: Callable[[], float]) -> Shown:  # fmt: skip
        return Shown(
            group="Harness, 11-69 example 2", what=what, source=f"{AC} 11-69 example 2", unit=unit,
            certainty="memory", printed=printed, compute=compute, within=part * printed, why=CURVE,
        )  # fmt: skip

    free, pack, thin = _free("12", 175), _among(12, 1.0), _thin(20000)
    yield shown("AWG 12, 175 K, free air", 68, "A", 0.02, lambda: free)
    yield shown("12 wires at 100 %", 0.43, "", 0.025, lambda: pack)
    yield shown("in the bundle", 29.2, "A", 0.04, lambda: free * pack)
    yield shown("20 000 ft", 0.91, "", 0.005, lambda: thin)
    yield shown("allowed current", 26.6, "A", 0.035, lambda: free * pack * thin)
    yield shown("capacity of the harness", 319.2, "A", 0.035, lambda: 12 * free * pack * thin)


CHART = (
    ("22", 5.0, 90), ("20", 7.5, 103), ("18", 10.0, 104), ("16", 15.0, 136), ("14", 20.0, 135),
    ("12", 30.0, 157), ("10", 40.0, 162), ("8", 50.0, 125), ("6", 80.0, 154), ("4", 100.0, 139),
    ("2", 125.0, 125),
)  # fmt: skip


def _protector_chart() -> Iterator[Shown]:
    """The chart's breaker on its wire in the chart's conditions."""
    for awg, breaker, warm in CHART:
        yield Shown(
            group="Protector chart", what=f"breaker for AWG {awg}", unit="A", printed=breaker,
            source=f"{AC} table 11-3, page 11-15", certainty="seen", within=0,
            compute=lambda awg=awg: table("ac4313/protector").value("breaker_a", awg=awg),  # type: ignore[misc]
            why="a table is copied right or wrong",
        )  # fmt: skip
        yield Shown(
            group="Protector chart", what=f"AWG {awg} at {breaker:g} A, 57 °C, 15 wires 20 %, "
            "30 000 ft", unit="degC", printed=warm, certainty="computed", within=1.0,
            source=f"{AC} table 11-3 and its basis",
            compute=lambda awg=awg, a=breaker: _warm(awg, a, 57.2, 0.67 * 0.875),  # type: ignore[misc]
            why="whole degrees, factors 0.67 and 0.875 as read",
        )  # fmt: skip


def _warm(awg: str, amps: float, ambient: float, factors: float) -> float:
    wire = copper(awg)
    return heat.conductor_temperature_degc(
        current_a=amps, free_air_b=wire.free_air_b, free_air_m=wire.free_air_m,
        ambient_degc=ambient, bundle_factor=factors, altitude_factor=1.0,
    )  # fmt: skip


def _temperature() -> Iterator[Shown]:
    for warm, printed in ((60.0, 1.157), (80.0, 1.236), (105.0, 1.334), (150.0, 1.511)):
        yield Shown(
            group="Temperature", what=f"resistance of copper at {warm:g} °C over 20 °C", unit="",
            printed=printed, source=f"{AC} page 11-22", certainty="computed", within=0.0005,
            compute=lambda warm=warm: drop.warm_factor(  # type: ignore[misc]
                conductor_degc=warm, zero_degc=COPPER_ZERO_DEGC),
        )  # fmt: skip
    yield Shown(
        group="Temperature", what="AWG 20, 7.5 A, 40 °C, 15 wires 50 %, 10 000 ft", unit="degC",
        printed=109.9, source=f"{AC} figures 11-4 to 11-6", certainty="computed", within=0.1,
        compute=lambda: _warm("20", 7.5, 40.0, _among(15, 0.5) * _thin(10000)),
        why="another program's rounding of b and m",
    )  # fmt: skip


def _switches_and_contacts() -> Iterator[Shown]:
    for amps, volts, load, printed in (
        (4.0, 28.0, "lamp", 32.0), (4.0, 12.0, "lamp", 20.0), (5.0, 12.0, "motor", 10.0),
    ):  # fmt: skip
        yield Shown(
            group="Switches and contacts", what=f"{amps:g} A {load} at {volts:g} V: switch rating",
            unit="A", printed=printed, source=f"{AC} table 11-4", certainty="seen", within=0,
            compute=lambda a=amps, v=volts, k=load: switch.needed_rating_a(  # type: ignore[misc]
                current_a=a, nominal_v=v, load=k),
            why="a factor is right or wrong",
        )  # fmt: skip
    yield Shown(
        group="Switches and contacts", what="7.5 A contact, 10 of 20 loaded", unit="A",
        printed=3.22, source="contact specification, loading factor", certainty="seen",
        compute=lambda: 7.5 * contact.loading_factor(loaded=10, contacts=20), within=0.015,
        why="factors printed with three digits",
    )  # fmt: skip


def _short_circuit_laws() -> Iterator[Shown]:
    tabled = ((70.0, 160.0, 115.0), (90.0, 250.0, 143.1), (150.0, 230.0, 98.3))
    for start, limit, printed in tabled:
        yield Shown(
            group="Short-circuit laws", what=f"k from {start:g} to {limit:g} °C",
            unit="A s^0.5/mm²",
            printed=printed, source="IEC 60364-5-54", certainty="memory", within=0.06,
            compute=lambda a=start, b=limit: damage.adiabatic_k(start_degc=a, limit_degc=b),  # type: ignore[misc]
        )  # fmt: skip
    laws: tuple[tuple[str, float, str, float, str, str, Callable[[], float]], ...] = (
        ("PVC wire 2.5 mm², 1 s", 287.5, "A", 0.05, "IEC 60364-5-54", "computed", lambda: (
            damage.short_time_current_a(adiabatic_k=115, area_mm2=2.5, duration_s=1))),
    )  # fmt: skip
    for what, printed, unit, within, source, certainty, compute in laws:
        yield Shown(
            group="Short-circuit laws", what=what, printed=printed, unit=unit, source=source,
            certainty=certainty, compute=compute, within=within,
        )  # fmt: skip


POINT_150: dict[str, float] = {"22": 5, "20": 7, "18": 9, "16": 11, "10": 26, "8": 57, "4": 103}
"""Amperes of table 11-9 at 150 °C."""


def _bears(awg: str, amps: float, share: float = 0.0) -> float:
    """Seconds from 70 to 230 °C as table 11-9 lies: of the metal alone or with insulation."""
    wire = copper(awg)
    ohm = wire.resistance_20degc_ohm_per_m
    body = damage.heat_capacity_j_per_k_m(
        area_mm2=wire.area_mm2,
        heat_j_per_k_mm3=wire.heat_j_per_k_mm3,
        insulation_j_per_k_mm3=share * damage.insulation_heat_j_per_k_mm3(insulation="etfe"),
        diameter_mm=wire.diameter_mm,
        conductor_diameter_mm=wire.conductor_diameter_mm,
    )
    return damage.damage_time_s(
        current_a=amps, heat_capacity_j_per_k_m=body, heat_loss_w_per_k_m=_loss(awg),
        resistance_20degc_ohm_per_m=ohm, ambient_degc=70, start_degc=70, limit_degc=230,
        zero_degc=-234.5,
    )  # fmt: skip


def _loss(awg: str) -> float:
    return damage.heat_loss_w_per_k_m(
        zero_degc=-234.5,
        current_a=POINT_150[awg], conductor_degc=150, ambient_degc=70,
        resistance_20degc_ohm_per_m=copper(awg).resistance_20degc_ohm_per_m,
    )  # fmt: skip


def _damage() -> Iterator[Shown]:
    def shown(  # noqa: PLR0917 - rows of a table
            what: str, printed: float, unit: str, within: float, compute: Callable[[], float],
            why: str = "half of the last digit",
    ) -> Shown:  # fmt: skip
        return Shown(
            group="Damage of a wire", what=what, source=TABLE_11_9, certainty="computed", unit=unit,
            printed=printed, compute=compute, within=within, why=why,
        )  # fmt: skip

    body = damage.heat_capacity_j_per_k_m(
        area_mm2=copper("20").area_mm2, heat_j_per_k_mm3=copper("20").heat_j_per_k_mm3,
        insulation_j_per_k_mm3=0.0, diameter_mm=0.0, conductor_diameter_mm=0.0,
    )  # fmt: skip
    ohm = copper("20").resistance_20degc_ohm_per_m
    yield shown("AWG 20, 70 to 230 °C, hardly any loss: I²t at 20 kA", 7048, "A²s", 7, lambda: (
        20000**2 * damage.damage_time_s(
            current_a=20000, heat_capacity_j_per_k_m=body, heat_loss_w_per_k_m=_loss("20"),
            resistance_20degc_ohm_per_m=ohm, ambient_degc=70, start_degc=70, limit_degc=230,
            zero_degc=-234.5)),
        "0.1 %: what is lost meanwhile")  # fmt: skip
    for limit, printed in ((150.0, 7.0), (230.0, 9.007)):
        yield shown(f"AWG 20, current that just reaches {limit:g} °C", printed, "A", 0.0006,
                    lambda limit=limit: damage.lasting_current_a(  # type: ignore[misc]
                        heat_loss_w_per_k_m=_loss("20"), resistance_20degc_ohm_per_m=ohm,
                        ambient_degc=70, limit_degc=limit, zero_degc=-234.5))  # fmt: skip
    for amps, printed in ((9.1, 379.0), (10.0, 153.0), (15.0, 39.5), (21.0, 17.79), (35.0, 5.967),
                          (70.0, 1.451), (140.0, 0.3604)):  # fmt: skip
        yield shown(f"AWG 20, {amps:g} A, 70 to 230 °C", printed, "s", printed * 0.004,
                    lambda amps=amps: _bears("20", amps),  # type: ignore[misc]
                    "0.4 %: digits of the constants")  # fmt: skip
    yield shown("AWG 22, 15 A", 13.20, "s", 0.06, lambda: _bears("22", 15.0),
                "0.4 %: digits of the constants")  # fmt: skip
    for awg, amps, printed in (("16", 20.25, 99.0), ("16", 30.0, 36.6), ("16", 52.5, 10.9),
                               ("4", 135.0, 1823.0), ("4", 200.0, 293.0), ("4", 350.0, 77.0),
                               ("4", 600.0, 24.9), ("10", 54.0, 187.0)):  # fmt: skip
        yield shown(f"AWG {awg}, {amps:g} A, 70 to 230 °C", printed, "s", printed * 0.01,
                    lambda awg=awg, amps=amps: _bears(awg, amps),  # type: ignore[misc]
                    "1 %: digits of the constants")  # fmt: skip
    yield shown("AWG 22, 20 A, metal alone", 7.1, "s", 0.05, lambda: _bears("22", 20.0))
    yield shown("AWG 22, 20 A, with 70 % of its insulation", 13.2, "s", 1.3,
                lambda: _bears("22", 20.0, 0.7), "10 %: a thinner core there")  # fmt: skip


def _most(band: CurveBand, multiple: float) -> float:
    return protection.greatest_opening_time_s(band=band, multiple=multiple)


def _devices() -> Iterator[Shown]:
    fast, thermal = breaker_band("fast"), breaker_band("thermal")
    record = "US federal item record 5925-00-226-0377"
    for multiple, least, most in ((2.0, 0.38, 2.5), (4.0, 0.10, 0.54), (6.0, 0.05, 0.27),
                                  (10.0, 0.02, 0.12)):  # fmt: skip
        for what, printed, compute in (
            ("opens not before", least, lambda m=multiple: (
                protection.least_opening_time_s(band=fast, multiple=m))),
            ("opens by", most, lambda m=multiple: _most(fast, m)),
        ):  # fmt: skip
            yield Shown(
                group="Breakers and fuses", what=f"fast breaker at {multiple:g} times, {what}",
                unit="s", printed=printed, source=record, certainty="seen", within=1e-9,
                compute=compute, why="a point of the record",
            )  # fmt: skip
    between: tuple[tuple[str, float, str, float, Callable[[], float]], ...] = (
        ("fast breaker at 3 times, opens by", 1.020, "s", 0.0005, lambda: _most(fast, 3)),
        ("fast breaker at 5 times, opens by", 0.369, "s", 0.0005, lambda: _most(fast, 5)),
        ("fast breaker at 7.1 times, opens not before", 0.0370, "s", 0.00005, lambda: (
            protection.least_opening_time_s(band=fast, multiple=7.1))),
        ("ordinary breaker at 3 times, opens by", 17.1, "s", 0.05, lambda: _most(thermal, 3)),
        ("MAXI 40 A at 85 °C, 75 % of it", 22.5, "A", 0.05, lambda: 0.75 * 40 * (
            protection.fuse_ambient_factor(family="blade-e", ambient_degc=85))),
        ("blade 15 A at 2 times, opens by", 5, "s", 0, lambda: (
            _most(fuse_band("blade-c", 15.0), 2))),
        ("SF51 100 A at 6 times, opens by", 1, "s", 0, lambda: (
            _most(fuse_band("sf51", 100.0), 6))),
    )  # fmt: skip
    for what, printed, unit, within, found in between:
        yield Shown(
            group="Breakers and fuses", what=what, printed=printed, unit=unit,
            source="log-log between the points of the record or sheet", certainty="computed",
            compute=found, within=within,
        )  # fmt: skip


def _loop(awg: str, length: float, device: float, *, volts: float = 11.5) -> float:
    """Hot wire at 150 °C out, structure 5 mΩ, four contacts of 10 mΩ, source 12 mΩ."""
    wire = bare_ohm(copper(awg), length, 150)
    return fault.prospective_current_a(
        source_v=volts, loop_ohm=wire + device + 0.005 + 0.040 + 0.012
    )


def _faults() -> Iterator[Shown]:
    def shown(what: str, printed: float, within: float, compute: Callable[[], float]) -> Shown:
        return Shown(
            group="Short-circuit currents", what=what, unit="A", printed=printed, within=within,
            source="Ohm's law around the loop, 150 °C wire, 11.5 V", certainty="computed",
            compute=compute, why="digits of the resistances",
        )  # fmt: skip

    yield shown("AWG 20, 10 m, 15 A breaker", 20.62, 0.05, lambda: _loop("20", 10, 0.011))
    yield shown("AWG 22, 6 m, 5 A breaker", 19.87, 0.05, lambda: _loop("22", 6, 0.040))
    yield shown("AWG 18, 5 m, 10 A breaker", 50.35, 0.1, lambda: _loop("18", 5, 0.017))
    yield shown("12.8 V behind 7 mΩ", 1829, 0.5, lambda: fault.prospective_current_a(
        source_v=12.8, loop_ohm=0.007))  # fmt: skip
    two_metres = 2 * copper("20").resistance_20degc_ohm_per_m
    yield shown("crowbar, 16 V, 2 m of AWG 20", 126, 0.5, lambda: fault.prospective_current_a(
        source_v=16, loop_ohm=0.012 + 0.040 + 0.010 + two_metres))  # fmt: skip


def listed() -> str:
    """A table of every case, and what elec computes."""
    rows = [
        "| group | case | published | elec | within | source |",
        "|---|---|---|---|---|---|",
    ]
    for one in cases():
        mark = "" if one.certainty == "seen" else f" ({one.certainty})"
        unit = f" {one.unit}".replace("degC", "°C").rstrip()
        rows.append(
            f"| {one.group} | {one.what} | {one.printed:g}{unit} | {one.compute():.4g}{unit} "
            f"| {one.within:.2g}, {one.why} | {one.source}{mark} |"
        )
    return "\n".join(rows) + "\n"
