"""The hand calculation of the race between a wire that heats up and the device that shall open.

In: the wire, the device's band, the worst short-circuit current. Out: `Working`.
"""

import math
from contextlib import suppress

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.heat.heat import WireHeat
from elec.physics.damage import (
    even_warming_time_s,
    heat_capacity_j_per_k_m,
    heat_loss_w_per_k_m,
    heat_made_w_per_k_m,
    insulation_heat_j_per_k_mm3,
    settled_k,
    warming_time_s,
)
from elec.physics.protection import between_points_s
from elec.sizing.devices import Device
from elec.standards import Cite, CurveBand, NotCovered, cited, table
from elec.study import Study
from elec.wiring.chains import Chain, Conductor
from elec.wiring.hand import resistance_term
from elec.working import COMPUTED, Ref, Step, Term, Working, computed, given, leading_to


class Race(Struct, frozen=True, kw_only=True):
    """One chain at the current that is worst."""

    chain: Chain
    conductor: Conductor
    device: Device
    band: CurveBand
    wire: WireHeat
    insulation_share: float
    """Part of the insulation's heat that counts."""
    start_degc: float
    amps: float
    damage_s: float
    opens_s: float

    @property
    def current(self) -> Term:
        """The worst current."""
        origin = "a corner of the device's curve, or the greatest short-circuit current"
        return given(self.amps, origin, "short-circuit current that is worst")


def race_working(study: Study, race: Race) -> Working:
    """Heat that the wire takes and loses, the time that it bears, the time of the device."""
    size, mark = race.wire.wire, marks(study)[race.conductor.id]
    bears = leading_to(_bears(race, mark))
    limit = None
    if math.isfinite(race.damage_s):
        limit = Term("t", race.damage_s, "s", "what the wire bears", f"step {len(bears)}")
    return Working(
        title=f"{race.device.label} against {mark}, AWG {size.awg}, of {race.chain.title}",
        steps=(*bears, *leading_to(opening(race.current, race.device, race.band, race.opens_s))),
        limit=limit,
    )


def _body(race: Race) -> Step:
    size, kind, part = race.wire.wire, race.wire.kind, race.insulation_share
    metal, heat = kind.conductor, 0.0
    sources = [str(Cite("iec_60949", f"{1000 * size.heat_j_per_k_mm3:.2f} J/(K cm³) of {metal}",
                        "memory"))]  # fmt: skip
    with suppress(NotCovered):
        heat = insulation_heat_j_per_k_mm3(insulation=kind.heat) if part else 0.0
    if heat:
        sources.append(f"{cited(insulation_heat_j_per_k_mm3)}: {heat * 1000:g} J/(K cm³) of "
                       f"{kind.heat}, {part * 100:.0f} % of it in time")  # fmt: skip
    sizes = str(table("mil_w_22759/wire_copper").cite)
    step = heat_capacity_j_per_k_m.step(
        area_mm2=given(size.area_mm2, str(size.cites[0]), metal),
        heat_j_per_k_mm3=size.heat_j_per_k_mm3,
        insulation_j_per_k_mm3=part * heat,
        diameter_mm=given(size.diameter_mm, sizes),
        conductor_diameter_mm=given(size.conductor_diameter_mm, sizes),
        meaning=f"heat that a metre of AWG {size.awg} takes per kelvin",
    )
    return replace(step, source="; ".join(sources))


def _bears(race: Race, mark: str) -> Step:
    wire = race.wire
    size, ambient, zero = wire.wire, wire.tight.bundle.ambient, wire.wire.zero_degc
    body = _body(race)
    loss = heat_loss_w_per_k_m.step(
        current_a=given(wire.allowed_a, f"heat of {mark}", "", Ref("heat", wire.conductor)),
        resistance_20degc_ohm_per_m=resistance_term(size),
        conductor_degc=given(wire.rated_degc, wire.kind.origin),
        ambient_degc=ambient,
        zero_degc=zero,
    )
    made = heat_made_w_per_k_m.step(
        current_a=race.current,
        resistance_20degc_ohm_per_m=resistance_term(size),
        meaning=f"heat that the current makes per kelvin above {zero:g} °C",
        zero_degc=zero,
    )
    start = Term("T0", race.start_degc, "degC", "the wire before the short",
                 f"heat of {mark}, {wire.title}", Ref("temperature", wire.conductor))  # fmt: skip
    limit = Term("Td", wire.kind.damaged_degc, "degC", "where it counts as damaged",
                 f"{wire.kind.name}: {wire.kind.damaged_note}; {wire.kind.origin}")  # fmt: skip
    if not math.isfinite(race.damage_s) or start.value >= limit.value:
        warm = start.value >= limit.value
        return Step(
            result=replace(warming_time_s.result, value=race.damage_s, origin=COMPUTED),
            terms=(body.term, loss.term, made.term, start, limit, ambient),
            note="it is as warm already" if warm else "this current never brings it so far",
        )
    with suppress(NotCovered):
        settled = settled_k.step(
            heat_loss_w_per_k_m=loss,
            ambient_degc=ambient,
            heat_made_w_per_k_m=made,
            meaning=f"where the temperature would settle, above {zero:g} °C (negative: nowhere)",
            zero_degc=zero,
        )
        return warming_time_s.step(
            heat_capacity_j_per_k_m=body, heat_loss_w_per_k_m=loss, heat_made_w_per_k_m=made,
            limit_degc=limit, settled_k=settled, start_degc=start, zero_degc=zero,
        )  # fmt: skip
    return even_warming_time_s.step(
        heat_capacity_j_per_k_m=body, heat_loss_w_per_k_m=loss, limit_degc=limit, start_degc=start,
        ambient_degc=ambient, zero_degc=zero,
    )  # fmt: skip


def opening(current: Term, device: Device, band: CurveBand, opens_s: float) -> Step:
    """The longest time in which a device opens at a current, read off its published band."""
    origin = f"band of class {device.family}: {band.cite}"
    rating = Term("In", device.rating_a or 1.0, "A", "rating of the device",
                  "given, or the smallest that holds the load")  # fmt: skip
    amps = replace(current, symbol="I", unit="A")
    x = computed("x", "", "multiple of the rating", "I / In", (amps, rating))
    points = band.longest_around(x.result.value)
    if len(points) == 2:
        (x1, t1), (x2, t2) = points
        return between_points_s.step(
            multiple=x, before_multiple=given(x1, origin), before_s=given(t1, origin),
            after_multiple=given(x2, origin), after_s=given(t2, origin),
        )  # fmt: skip
    certain = [point for point in band.points if point.most_s is not None]
    note = f"the band's point at {points[0][0]:g} times the rating" if points else ""
    if points and points[0][0] == certain[-1].multiple:
        note += ", its last one"
    elif certain and not points:
        note = f"it need not open below {certain[0].multiple:g} times its rating"
    result = replace(between_points_s.result, value=opens_s, origin=origin)
    return Step(result=result, terms=(x.term,), note=note)
