"""The hand calculation of the race between a wire that heats up and the device that shall open.

In: the wire, the device's band, the worst short-circuit current. Out: `Working`.
"""

import math
from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.heat.heat import WireHeat
from elec.physics.damage import (
    INSULATION_HEAT_J_PER_K_MM3,
    even_warming_time_s,
    heat_loss_w_per_k_m,
    heat_made_w_per_k_m,
    insulation_heat_j_per_k_m,
    settled_k,
    warming_time_s,
)
from elec.sizing.devices import Device
from elec.standards import Cite, CurveBand, NotCovered, WireSize, cited, table
from elec.study import Study
from elec.wiring.chains import Chain, Conductor
from elec.wiring.hand import COMPUTED, computed, looked_up, resistance_term
from elec.working import Step, Term, Working


class Race(Struct, frozen=True, kw_only=True):
    """One chain at the current that is worst."""

    chain: Chain
    conductor: Conductor
    device: Device
    band: CurveBand
    wire: WireHeat
    material: str
    """Row of the heat capacities; empty: only copper counts."""
    insulation: str
    body: float
    """Heat that a metre takes, J/(K·m)."""
    insulation_share: float
    """Part of the insulation's heat that counts."""
    loss: float
    """Heat that a metre loses, W/(K·m)."""
    start_degc: float
    damage_degc: float
    amps: float
    damage_s: float
    opens_s: float


def race_working(study: Study, race: Race) -> Working:
    """Heat that the wire takes and loses, the time that it bears, the time of the device."""
    size = race.wire.wire
    mark = marks(study)[race.conductor.id]
    body = _body(size, race)
    loss = _loss(size, race, mark)
    opens = opening_steps(_current(race), race.device, race.band, race.opens_s)
    bears = tuple(_bears(size, race, mark, body.result, loss.result))
    limit = None
    if math.isfinite(race.damage_s):
        limit = Term(symbol="t", value=race.damage_s, unit="s", meaning="what the wire bears",
                     origin=f"step {2 + len(bears)}")  # fmt: skip
    return Working(
        title=f"{race.device.label} against {mark}, AWG {size.awg}, of {race.chain.title}",
        steps=(body, loss, *bears, *opens),
        limit=limit,
    )


def _current(race: Race) -> Term:
    return Term(
        symbol="I", value=race.amps, unit="A", meaning="short-circuit current that is worst",
        origin="a corner of the device's curve, or the greatest short-circuit current",
    )  # fmt: skip


def _body(size: WireSize, race: Race) -> Step:
    heat = 1000 * size.heat_j_per_k_mm3
    metal = race.wire.kind.conductor
    area = Term(
        symbol="A", value=size.area_mm2, unit="mm²", meaning=metal, origin=str(size.cites[0])
    )
    meaning = f"heat that a metre of AWG {size.awg} takes per kelvin"
    source = Cite("iec_60949", f"{heat:.2f} J/(K cm³) of {metal}", "memory")
    if not race.material or not race.insulation_share:
        return computed("C", race.body, "J/(K m)", meaning, formula=f"{heat:g} * A",
                        terms=(area,), source=str(source))  # fmt: skip
    cover = 1000 * INSULATION_HEAT_J_PER_K_MM3[race.material] * race.insulation_share
    outer = Term(symbol="D", value=size.diameter_mm, unit="mm", meaning="over the insulation",
                 origin=str(table("mil_w_22759/wire_copper").cite))  # fmt: skip
    inner = Term(symbol="d", value=size.conductor_diameter_mm, unit="mm", meaning="conductor",
                 origin=str(table("mil_w_22759/wire_copper").cite))  # fmt: skip
    return computed(
        "C",
        race.body,
        "J/(K m)",
        meaning,
        formula=f"{heat:g} * A + {cover:g} * pi / 4 * (D ** 2 - d ** 2)",
        terms=(area, outer, inner),
        source=f"{source}; {cited(insulation_heat_j_per_k_m)}: "
        f"{INSULATION_HEAT_J_PER_K_MM3[race.material] * 1000:g} J/(K cm³) of {race.material}, "
        f"{race.insulation_share * 100:.0f} % of it in time",
    )


def _loss(size: WireSize, race: Race, mark: str) -> Step:
    wire = race.wire
    return heat_loss_w_per_k_m.step(
        Term(symbol="Iz", value=wire.allowed_a, unit="A", meaning="what it may carry",
             origin=f"heat of {mark}"),
        resistance_term(size),
        Term(symbol="Tr", value=wire.rated_degc, unit="degC", meaning="rating of the insulation",
             origin=wire.kind.origin),
        _ambient(race),
        zero_degc=size.zero_degc,
    )  # fmt: skip


def _ambient(race: Race) -> Term:
    around = race.wire.tight.bundle.ambient
    return Term(symbol="Ta", value=around.value, unit="degC", meaning=around.meaning,
                origin=around.origin)  # fmt: skip


def _bears(size: WireSize, race: Race, mark: str, body: Term, loss: Term) -> Iterator[Step]:
    ambient, zero = _ambient(race), size.zero_degc
    made = heat_made_w_per_k_m.step(
        _current(race),
        resistance_term(size),
        meaning=f"heat that the current makes per kelvin above {zero:g} °C",
        zero_degc=zero,
    )
    yield made
    start = Term(
        symbol="T0", value=race.start_degc, unit="degC", meaning="the wire before the short",
        origin=f"heat of {mark}, {race.wire.title}",
    )  # fmt: skip
    limit = Term(
        symbol="Td", value=race.damage_degc, unit="degC", meaning="where it counts as damaged",
        origin=f"{race.insulation}: {race.wire.kind.damaged_note}; {race.wire.kind.origin}",
    )  # fmt: skip
    if not math.isfinite(race.damage_s) or start.value >= limit.value:
        warm = start.value >= limit.value
        yield Step(
            result=replace(warming_time_s.result, value=race.damage_s, origin=COMPUTED),
            terms=(body, loss, made.result, start, limit, ambient),
            note="it is as warm already" if warm else "this current never brings it so far",
        )
        return
    try:
        settled = settled_k.step(
            loss,
            ambient,
            made.result,
            meaning=f"where the temperature would settle, above {zero:g} °C (negative: nowhere)",
            zero_degc=zero,
        )
    except NotCovered:
        yield even_warming_time_s.step(body, loss, limit, start, ambient, zero_degc=zero)
        return
    yield settled
    terms = (body, loss, made.result, limit, settled.result, start)
    yield warming_time_s.step(*terms, zero_degc=zero)


def opening_steps(current: Term, device: Device, band: CurveBand, opens_s: float) -> Iterator[Step]:
    """The longest time in which a device opens, read off its published band."""
    rating = device.rating_a or 1.0
    origin = f"band of class {device.family}: {band.cite}"
    x = computed(
        "x",
        current.value / rating,
        "",
        "multiple of the rating",
        formula=f"{current.symbol} / In",
        terms=(
            current,
            Term(symbol="In", value=rating, unit="A", meaning="rating of the device",
                 origin="given, or the smallest that holds the load"),
        ),
    )  # fmt: skip
    yield x
    points = [(p.multiple, p.most_s) for p in band.points if p.most_s is not None]
    multiple = x.result.value
    opens = Term(symbol="to", value=opens_s, unit="s", meaning="longest time until it opens",
                 origin=origin)  # fmt: skip
    above = next((i for i, point in enumerate(points) if point[0] > multiple), None)
    if not points or above == 0:
        note = f"it need not open below {points[0][0]:g} times its rating" if points else ""
        yield looked_up(opens, note=note)
        return
    if above is None or points[above - 1][0] == multiple:
        last = points[-1 if above is None else above - 1]
        yield looked_up(opens, note=f"the band's point at {last[0]:g} times the rating"
                        + ("" if above is not None else ", its last one"))  # fmt: skip
        return
    (x1, t1), (x2, t2) = points[above - 1], points[above]
    yield computed(
        "to",
        opens_s,
        "s",
        "longest time until it opens",
        formula="t1 * (t2 / t1) ** (ln(x / x1) / ln(x2 / x1))",
        terms=(
            x.result,
            Term(symbol="x1", value=x1, unit="", meaning="point of the band", origin=origin),
            Term(symbol="t1", value=t1, unit="s", meaning="its longest time", origin=origin),
            Term(symbol="x2", value=x2, unit="", meaning="next point", origin=origin),
            Term(symbol="t2", value=t2, unit="s", meaning="its longest time", origin=origin),
        ),
        note="straight on log-log paper between the points",
    )
