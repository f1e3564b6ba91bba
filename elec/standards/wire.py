"""Copper wire sizes, put together from the tables that describe them.

In: tables. Out: `WireSize`, `copper(awg)`, the standard gauges from thin to thick.
"""

from functools import cache

from elec.record import dataclass
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

COARSE_IN_TABLE_11_9 = frozenset({"1", "0", "00", "000", "0000"})
"""Sizes that table 11-9 prints with two digits only: 0.06 may mean 0.055 to 0.065."""


@dataclass(frozen=True, kw_only=True)
class WireSize:
    """A copper aircraft wire of one gauge.

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
        resistance_note=cite.full,
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
