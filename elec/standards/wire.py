"""Wire sizes and wire types, put together from the tables that describe them.

In: tables. Out: `WireSize`, `copper(awg)`, `aluminium(awg)`, `battery_cable(awg)`, `WireKind`, the
standard gauges from thin to thick.
"""

import math
from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from elec.standards.cite import Cite
from elec.standards.table import NotCovered, table

AWGS = (
    *("26", "24", "22", "20", "18", "16", "14", "12", "10", "8"),
    *("6", "4", "2", "1", "0", "00", "000", "0000"),
)
"""Standard gauges from thin to thick."""

MM2_PER_CIRCULAR_MIL = 5.067075e-4
OHM_PER_M_PER_OHM_PER_KFT = 1 / 304.8
KG_PER_M_PER_LB_PER_KFT = 1.48816e-3
MM_PER_INCH = 25.4

COPPER_ZERO_DEGC = -234.5
"""Where the straight line of copper's resistance would vanish (AC 43.13-1B page 11-22)."""
ALUMINIUM_ZERO_DEGC = -238.1
"""The same of aluminium (AC 43.13-1B page 11-22)."""
COPPER_HEAT_J_PER_K_MM3 = 3.45e-3
ALUMINIUM_HEAT_J_PER_K_MM3 = 2.50e-3
"""Heat per volume behind the short-circuit constants 226 and 148 (IEC 60949)."""
ALUMINIUM_OF_COPPER = 148 / 226
"""Short-circuit constants of aluminium and copper (IEC 60949)."""
ALUMINIUM_G_PER_CM3 = 2.70
"""Density of the metal (handbooks, from memory)."""
INSULATION_G_PER_CM3 = 1.70
"""Density of ETFE (makers' sheets, from memory)."""
LAY = 1.02
"""By how much strands are longer than their wire (common practice, from memory)."""
STRANDS_FILL = 1.30
"""Area of the circle around strands, over that of their metal (common practice, from memory)."""

COARSE_IN_TABLE_11_9 = frozenset({"1", "0", "00", "000", "0000"})
"""Sizes that table 11-9 prints with two digits only: 0.06 may mean 0.055 to 0.065."""


class WireSize(Struct, frozen=True, kw_only=True):
    """A wire of one gauge, copper where nothing else is said.

    `resistance_20degc_ohm_per_m` is the greatest that the document allows, at 20 °C;
    `resistance_note` says which document. Diameters are those of thin-wall ETFE wire, from
    memory; `free_air_b` and `free_air_m` give I = b·ΔT^m in free air at sea level.
    """

    awg: str
    area_mm2: float
    resistance_20degc_ohm_per_m: float
    resistance_note: str
    diameter_mm: float
    conductor_diameter_mm: float
    mass_kg_per_m: float
    free_air_b: float
    free_air_m: float
    table_current_a: tuple[tuple[float, float], ...] = ()
    """Pairs (conductor rating in °C, current in A) of table 11-9; empty where it has no row."""
    cites: tuple[Cite, ...] = ()
    zero_degc: float = COPPER_ZERO_DEGC
    """Where the straight line of its resistance over temperature would vanish."""
    heat_j_per_k_mm3: float = COPPER_HEAT_J_PER_K_MM3
    """Heat that its conductor takes up."""
    heat_note: str = ""
    """What its free-air law was multiplied with, where it is not the published curve itself."""

    @property
    def is_copper(self) -> bool:
        """Whether its conductor is copper."""
        return self.zero_degc == COPPER_ZERO_DEGC

    @property
    def conducts_like_mm2(self) -> float:
        """Area of copper that conducts as well.

        >>> round(copper("2").conducts_like_mm2, 1), round(aluminium("2").conducts_like_mm2, 1)
        (33.7, 22.6)
        """
        like = copper(self.awg)
        if self.is_copper:
            return self.area_mm2
        return like.area_mm2 * like.resistance_20degc_ohm_per_m / self.resistance_20degc_ohm_per_m

    @property
    def copper_mm2(self) -> float:
        """Area of copper that bears as great a short-circuit current: 148/226 of aluminium's.

        >>> round(copper("4").copper_mm2, 1), round(aluminium("4").copper_mm2, 1)
        (21.6, 14.1)
        """
        return self.area_mm2 * (1.0 if self.is_copper else ALUMINIUM_OF_COPPER)

    @property
    def position(self) -> int:
        """Place in the order of gauges: the greater, the thicker."""
        return AWGS.index(self.awg)


def _resistance(awg: str) -> tuple[float, Cite]:
    """Choose between the two tables of greatest resistance, in ohm per 1000 ft.

    Table 11-9 leads, since the builder can look it up. Where it prints two digits only, or
    has no row, the wire specification's value is taken.
    """
    if awg != "26" and awg not in COARSE_IN_TABLE_11_9:
        row = table("ac4313/wire_copper").row(awg=awg)
        return row.number("resistance_20degc_ohm_per_kft"), row.cite
    row = table("mil_w_22759/wire_copper").row(awg=awg)
    return row.number("resistance_20degc_ohm_per_kft"), row.cite


@cache
def copper(awg: str) -> WireSize:
    """Give the copper wire of a gauge: `copper("20")`, `copper("00")`.

    >>> wire = copper("20")
    >>> round(1000 * wire.resistance_20degc_ohm_per_m, 2), wire.resistance_note
    (32.41, 'AC 43.13-1B table 11-9')

    Raises:
        NotCovered: no such gauge.
    """
    if awg not in AWGS:
        raise NotCovered(
            "gauge", f"AWG {awg}", f"{AWGS[0]} to {AWGS[-1]}", "AC 43.13-1B table 11-9"
        )
    resistance, cite = _resistance(awg)
    body = table("mil_w_22759/wire_copper").row(awg=awg)
    heat = table("elec/wire_free_air").row(awg=awg)
    mass = table("elec/wire_mass").row(awg=awg)
    printed = table("ac4313/wire_copper").select(awg=awg)
    return WireSize(
        awg=awg,
        area_mm2=body.number("area_circular_mil") * MM2_PER_CIRCULAR_MIL,
        resistance_20degc_ohm_per_m=resistance * OHM_PER_M_PER_OHM_PER_KFT,
        resistance_note=str(cite),
        diameter_mm=body.number("diameter_in") * MM_PER_INCH,
        conductor_diameter_mm=body.number("conductor_diameter_in") * MM_PER_INCH,
        mass_kg_per_m=mass.number("mass_lb_per_kft") * KG_PER_M_PER_LB_PER_KFT,
        free_air_b=heat.number("free_air_b"),
        free_air_m=heat.number("free_air_m"),
        table_current_a=tuple(
            (rating, row.number(f"current_{rating:.0f}degc_a"))
            for row in printed
            for rating in (105.0, 150.0, 200.0)
        ),
        cites=(cite, body.cite, heat.cite, mass.cite),
    )


def _less_current(published: WireSize, resistance_ohm_per_m: float) -> float:
    """The free-air law of a wire of another resistance: the same heat, I²·R, leaves it."""
    share = math.sqrt(published.resistance_20degc_ohm_per_m / resistance_ohm_per_m)
    return published.free_air_b * share


@cache
def aluminium(awg: str) -> WireSize:
    """Give the aluminium wire of a gauge, AWG 8 and thicker.

    Resistance, area and currents are those of table 11-10 (from memory); the free-air law is that
    of copper of the gauge at the same heat; diameters and mass are computed.

    >>> wire = aluminium("4")
    >>> round(1000 * wire.resistance_20degc_ohm_per_m, 2), wire.table_current_a
    (1.4, ((105.0, 54.0), (150.0, 82.0)))

    Raises:
        NotCovered: no such gauge.
    """
    row = table("ac4313/wire_aluminum").row(awg=awg)
    like = copper(awg)
    area = row.number("area_circular_mil") * MM2_PER_CIRCULAR_MIL
    core = 2 * math.sqrt(STRANDS_FILL * area / math.pi)
    outside = core + like.diameter_mm - like.conductor_diameter_mm
    ring = math.pi / 4 * (outside**2 - core**2)
    ohm = row.number("resistance_20degc_ohm_per_kft") * OHM_PER_M_PER_OHM_PER_KFT
    return WireSize(
        awg=awg,
        area_mm2=area,
        resistance_20degc_ohm_per_m=ohm,
        resistance_note=str(row.cite),
        diameter_mm=outside,
        conductor_diameter_mm=core,
        mass_kg_per_m=(area * ALUMINIUM_G_PER_CM3 * LAY + ring * INSULATION_G_PER_CM3) / 1000,
        free_air_b=_less_current(like, ohm),
        free_air_m=like.free_air_m,
        table_current_a=tuple(
            (rating, row.number(f"current_{rating:.0f}degc_a")) for rating in (105.0, 150.0)
        ),
        cites=(row.cite, *like.cites[2:3]),
        zero_degc=ALUMINIUM_ZERO_DEGC,
        heat_j_per_k_mm3=ALUMINIUM_HEAT_J_PER_K_MM3,
        heat_note="copper's curve at the same heat",
    )


@cache
def battery_cable(awg: str) -> WireSize:
    """Give the fine-stranded battery cable of a gauge, AWG 6 and thicker, from memory.

    Its thicker insulation gives off more heat than the published wire's; no credit is taken.

    >>> round(1000 * battery_cable("2").resistance_20degc_ohm_per_m, 3)
    0.525

    Raises:
        NotCovered: no such gauge.
    """
    row = table("elec/battery_cable").row(awg=awg)
    like = copper(awg)
    ohm = row.number("resistance_20degc_ohm_per_kft") * OHM_PER_M_PER_OHM_PER_KFT
    return WireSize(
        awg=awg,
        area_mm2=row.number("area_circular_mil") * MM2_PER_CIRCULAR_MIL,
        resistance_20degc_ohm_per_m=ohm,
        resistance_note=str(row.cite),
        diameter_mm=row.number("diameter_in") * MM_PER_INCH,
        conductor_diameter_mm=row.number("conductor_diameter_in") * MM_PER_INCH,
        mass_kg_per_m=row.number("mass_lb_per_kft") * KG_PER_M_PER_LB_PER_KFT,
        free_air_b=_less_current(like, ohm),
        free_air_m=like.free_air_m,
        table_current_a=like.table_current_a,
        cites=(row.cite, *like.cites[2:3]),
        heat_note="the aircraft wire's curve at the same heat",
    )


@cache
def alloy(conductor: str, awg: str) -> WireSize:
    """Give a leg of thermocouple wire: solid, of an alloy; diameters and mass as copper's.

    The area is that of the gauge's definition, 0.127 mm · 92^((36 - n) / 39) across (ASTM B258).

    >>> round(alloy("nickel-chromium", "20").resistance_20degc_ohm_per_m, 2)
    1.36

    Raises:
        NotCovered: no such alloy, or no such gauge.
    """
    row = table("elec/alloys").row(conductor=conductor)
    like = copper(awg)
    area = math.pi / 4 * (0.127 * 92 ** ((36 - int(awg)) / 39)) ** 2
    ohm = row.number("resistivity_nohm_m") * 1e-3 / area
    return replace(
        like,
        area_mm2=area,
        resistance_20degc_ohm_per_m=ohm,
        resistance_note=str(row.cite),
        free_air_b=_less_current(like, ohm),
        table_current_a=(),
        cites=(row.cite, *like.cites[1:]),
        zero_degc=20.0 - 1.0 / row.number("growth_share"),
        heat_note="copper's curve at the same heat",
    )


class WireKind(Struct, frozen=True, kw_only=True):
    """A wire type: its insulation and conductor, and the gauges it is made in.

    `own` holds the figures that the builder gave for single gauges of a type of his own.
    """

    name: str
    what: str
    conductor: str
    """`copper`, `aluminium`, or an alloy of thermocouple wire."""
    rated_degc: float
    damaged_degc: float
    """Counts as damaged at this temperature."""
    damaged_note: str
    heat: str
    """Insulation whose heat capacity counts in a short circuit; empty: the conductor alone."""
    thinnest: str
    thickest: str
    origin: str
    """Where the ratings come from: a table or a line of the builder's file."""
    damaged_mark: str = ""
    """How its damage temperature was got, as a page says it; empty where the builder gave it."""
    own: tuple[WireSize, ...] = ()

    def made(self, awg: str) -> bool:
        """Whether the type is made in a gauge."""
        return awg in AWGS and AWGS.index(self.thinnest) <= AWGS.index(awg) <= AWGS.index(
            self.thickest
        )

    def published(self, awg: str) -> WireSize:
        """The figures of a gauge before the rating of the type is looked at.

        Raises:
            NotCovered: the type is not made in this gauge.
        """
        for size in self.own:
            if size.awg == awg:
                return size
        if not self.made(awg):
            span = f"AWG {self.thinnest} to AWG {self.thickest}"
            raise NotCovered("gauge", f"AWG {awg}", span, f"wire type {self.name}")
        return published_size(self.name, self.conductor, awg)


def published_size(kind: str, conductor: str, awg: str) -> WireSize:
    """The published figures of a gauge of a wire type."""
    if conductor == "aluminium":
        return aluminium(awg)
    if conductor != "copper":
        return alloy(conductor, awg)
    return battery_cable(awg) if kind == "battery-cable" else copper(awg)


@cache
def wire_kind(name: str) -> WireKind:
    """Give a published wire type: `wire_kind("etfe-tin")`.

    >>> kind = wire_kind("aluminium")
    >>> kind.rated_degc, kind.thinnest, kind.made("22")
    (105.0, '8', False)

    Raises:
        NotCovered: no such type.
    """
    row = table("elec/insulation").row(insulation=name)
    return WireKind(
        name=name,
        what=row.text("what"),
        conductor=row.text("conductor"),
        rated_degc=row.number("rated_degc"),
        damaged_degc=row.number("damage_degc"),
        damaged_note=row.text("why"),
        heat=row.text("heat"),
        thinnest=row.text("awg_thin"),
        thickest=row.text("awg_thick"),
        origin=str(row.cite),
        damaged_mark=row.cite.remark,
    )


@cache
def wire_kind_names() -> tuple[str, ...]:
    """Name the published wire types."""
    return tuple(row.text("insulation") for row in table("elec/insulation"))
