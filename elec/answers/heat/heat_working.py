"""The hand calculation of a conductor's heat in one spot of its run.

In: the conductor, the bundle it lies in there, what it carries. Out: numbers and their `Working`.
"""

import math
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.model.system import Condition
from elec.physics.atmosphere import pressure_pa
from elec.physics.cylinder import (
    BUNDLE_W_PER_M_K,
    INSULATION_W_PER_M_K,
    first_principles_current_a,
)
from elec.physics.heat import (
    GREATEST_RISE_K,
    LEAST_LOADING,
    ampacity_a,
    bundle_factor,
    bundle_loading,
    careful_temperature_degc,
    conductor_temperature_degc,
    free_air_current_a,
)
from elec.standards import NotCovered, WireKind, WireSize, cited, default, table
from elec.study import Study
from elec.wiring.chains import Conductor
from elec.wiring.hand import COMPUTED, computed, height_steps, looked_up
from elec.wiring.surroundings import Bundle
from elec.working import Step, Term, Working


class HeatSpot(Struct, frozen=True, kw_only=True, dict=True):
    """One conductor in one bundle."""

    study: Study
    conductor: Conductor
    wire: WireSize
    kind: WireKind
    bundle: Bundle
    rated_degc: float
    amps: float
    loading: float
    factor: float
    height: Term
    altitude: Term
    together_a: float
    """What all wires of the bundle carry in its worst moment."""
    capacity_a: float
    """What they could carry, each without neighbours."""
    moment: tuple[str, Condition]

    @property
    def _law(self) -> dict[str, float]:
        return {
            "free_air_b": self.wire.free_air_b,
            "free_air_m": self.wire.free_air_m,
            "ambient_degc": self.bundle.ambient.value,
            "bundle_factor": self.factor,
            "altitude_factor": self.altitude.value,
        }

    @cached_property
    def allowed_a(self) -> float:
        """The current that it may carry here."""
        return ampacity_a(rated_degc=self.rated_degc, **self._law)

    @cached_property
    def expected_degc(self) -> float | None:
        """Its temperature here by the power law; None beyond the curves."""
        try:
            return conductor_temperature_degc(current_a=self.amps, **self._law)
        except NotCovered:
            return None

    @property
    def careful_degc(self) -> float | None:
        """Its temperature here by the circular's formula; None above the allowed current."""
        allowed = self.allowed_a
        if allowed <= 0 or self.amps > allowed:
            return None
        return careful_temperature_degc(
            current_a=self.amps,
            allowed_current_a=allowed,
            ambient_degc=self.bundle.ambient.value,
            rated_degc=self.rated_degc,
        )


def rating_working(spot: HeatSpot) -> Working:
    """What the wire may carry, and the share of it that is used."""
    steps = (*_surrounded(spot), _allowed(spot), *_second_opinion(spot))
    return _share_working(spot, steps)


def warm_working(spot: HeatSpot, *, worked: bool) -> Working:
    """How warm the wire gets; `worked` where its heat in that spot is worked out beside it."""
    steps = [*_temperatures(spot)]
    if worked:
        steps = [_with_origin(step, f"heat of {_mark(spot)}") for step in steps]
    else:
        steps = [*_surrounded(spot), _allowed(spot), *steps]
    return Working(
        title=f"Temperature of {_named(spot)}",
        steps=tuple(steps),
        binds=spot.bundle.title,
        limit=_rated(spot) if spot.expected_degc is not None else None,
    )


def _with_origin(step: Step, origin: str) -> Step:
    """The step, its computed terms said to come from another calculation."""
    terms = tuple(replace(t, origin=origin) if t.origin == COMPUTED else t for t in step.terms)
    return replace(step, terms=terms)


def _share_working(spot: HeatSpot, steps: tuple[Step, ...]) -> Working:
    allowed = spot.allowed_a
    limit = None
    if allowed > 0:
        share = computed(
            "u",
            spot.amps / allowed,
            "",
            "share of what it may carry",
            formula="I / Iz",
            terms=(_current(spot), _allowed(spot).result),
        )
        steps = (*steps, share)
        limit = Term(symbol="", value=1.0, unit="", meaning="all that it may carry")
    return Working(
        title=f"Heat of {_named(spot)}", steps=steps, binds=spot.bundle.title, limit=limit
    )


def _named(spot: HeatSpot) -> str:
    return f"{_mark(spot)}, AWG {spot.wire.awg}, {spot.bundle.where}"


def _mark(spot: HeatSpot) -> str:
    return marks(spot.study)[spot.conductor.id]


def _surrounded(spot: HeatSpot) -> tuple[Step, ...]:
    """Bundle factor and height factor."""
    bundle = spot.bundle
    count = Term(
        symbol="N",
        value=bundle.wires,
        unit="",
        meaning=f"wires in one bundle {bundle.where}",
        origin=_counted(spot),
    )
    used = _loading(spot, count)
    factor = bundle_step(used[-1].result, count)
    return (*used, factor, *height_steps(spot.height, spot.altitude))


def _counted(spot: HeatSpot) -> str:
    """How many conductors share the way, and in how many bundles."""
    members, bundles = len(spot.bundle.members), spot.bundle.bundles
    counted = f"{members} conductors"
    return f"{counted} in {bundles} bundles" if bundles > 1 else f"{counted} counted from the runs"


def _loading(spot: HeatSpot, count: Term) -> tuple[Step, ...]:
    if spot.capacity_a <= 0:
        meaning = "share of the bundle's capacity in use: there is none in air this hot"
        return (looked_up(Term(symbol="p", value=spot.loading, unit="", meaning=meaning,
                               origin="temperature around the wires")),)  # fmt: skip
    phase, condition = spot.moment
    moment = f"{phase}, {condition}" if phase else "no moment with a current"
    together = Term(
        symbol="S",
        value=spot.together_a,
        unit="A",
        meaning=f"currents of all wires here together, {moment}",
        origin=f"sum of {spot.bundle.title}",
    )
    capacity = Term(
        symbol="C",
        value=spot.capacity_a,
        unit="A",
        meaning="what each could carry here without neighbours, together",
        origin=f"sum of {spot.bundle.title}",
    )
    return loading_steps(together, capacity, count)


def loading_steps(together: Term, capacity: Term, count: Term) -> tuple[Step, Step]:
    """From the sums of a bundle to the share of its capacity in use."""
    share = computed(
        "a",
        together.value / capacity.value,
        "",
        "currents over what the wires could carry without neighbours",
        formula="S / C",
        terms=(together, capacity),
    )
    return share, bundle_loading.step(share.result, count)


def bundle_step(used: Term, count: Term) -> Step:
    """What each wire of a bundle may carry of what it could alone."""
    note = f"{bundle_factor.note} {_read_off_bundle(count.value, used.value)}"
    return bundle_factor.step(count, used, note=note)


def _read_off_bundle(wires: float, loading: float) -> str:
    """The point of the bundle curves that lies nearest, to compare."""
    rows = [row for row in table("mil_w_5088/bundle_derating") if row.has("factor")]
    near = min(
        rows,
        key=lambda r: (
            abs(math.log(r.number("wires_count") / max(1.0, wires))),
            abs(r.number("loading_percent") - 100 * max(loading, LEAST_LOADING)),
        ),
    )
    return (
        f"Read off nearest to it: {near.number('factor'):g} at {near.number('wires_count'):g} "
        f"wires and {near.number('loading_percent'):g} %."
    )


def _read_off_free_air(awg: str, rise_k: float) -> str:
    """The point of the free-air curve of a gauge that lies nearest, to compare."""
    rows = table("mil_w_5088/free_air").select(awg=awg)
    if not rows:
        return ""
    near = min(rows, key=lambda row: abs(row.number("rise_k") - rise_k))
    amps, rise = near.number("current_a"), near.number("rise_k")
    return f"; the curve nearest to it: {amps:g} A at {rise:g} K in free air ({near.cite})"


def curves() -> str:
    """Where the free-air law of a gauge comes from."""
    return f"{cited(free_air_current_a)}, through its fit I = b * dT^m"


def fit(wire: WireSize) -> tuple[Term, Term]:
    """The two numbers of the free-air law of a gauge."""
    meaning = f"AWG {wire.awg}"
    less = f"{meaning}, {wire.heat_note}" if wire.heat_note else meaning
    return (
        Term(symbol="b", value=wire.free_air_b, unit="", meaning=less, origin=curves()),
        Term(symbol="m", value=wire.free_air_m, unit="", meaning=meaning, origin=curves()),
    )


def _rated(spot: HeatSpot) -> Term:
    return Term(
        symbol="Tr",
        value=spot.rated_degc,
        unit="degC",
        meaning="rating of the insulation",
        origin=f"{spot.kind.name}: {spot.kind.origin}",
    )


def _factor(spot: HeatSpot) -> Term:
    return Term(symbol="f", value=spot.factor, unit="", meaning="bundle factor", origin="computed")


def _thin(spot: HeatSpot) -> Term:
    found = spot.altitude
    return Term(
        symbol=found.symbol, value=found.value, unit="", meaning=found.meaning, origin="computed"
    )


def _allowed(spot: HeatSpot) -> Step:
    b, m = fit(spot.wire)
    rated, around = _rated(spot), spot.bundle.ambient
    rise = rated.value - around.value
    note = f"±7 %{_read_off_free_air(spot.wire.awg, rise)}"
    if rise <= 0:
        note = "the air is as hot as the insulation may get"
    elif rise > GREATEST_RISE_K:
        note += f"; the curves end at {GREATEST_RISE_K:g} K"
    return ampacity_a.step(b, rated, around, m, _factor(spot), _thin(spot), note=note)


def _second_opinion(spot: HeatSpot) -> tuple[Step, ...]:
    """What a warm cylinder of that size may carry, from first principles; it decides nothing."""
    around = spot.bundle.ambient.value
    if spot.rated_degc <= around:
        return ()
    wire = spot.wire
    amps = first_principles_current_a(
        diameter_m=wire.diameter_mm / 1000,
        conductor_diameter_m=wire.conductor_diameter_mm / 1000,
        resistance_ohm_per_m=wire.resistance_ohm_per_m(spot.rated_degc),
        ambient_degc=around,
        conductor_degc=spot.rated_degc,
        pressure_pa=pressure_pa(altitude_m=spot.height.value),
        wires=spot.bundle.wires,
        loading=min(1.0, max(spot.loading, LEAST_LOADING)),
        emissivity=default("emissivity").value,
        insulation_w_per_m_k=INSULATION_W_PER_M_K,
        bundle_w_per_m_k=BUNDLE_W_PER_M_K,
    )
    return (
        looked_up(
            Term(symbol="Ix", value=amps, unit="A", meaning="second opinion from first principles",
                 origin="docs/heat-residuals.md: warm cylinder, convection, radiation, conduction"),
            note="it checks the law and decides nothing",
        ),
    )  # fmt: skip


def _current(spot: HeatSpot) -> Term:
    a, b = spot.conductor.a, spot.conductor.b
    return Term(
        symbol="I",
        value=spot.amps,
        unit="A",
        meaning=f"what it carries for longer than a start, {a.label or a.id} to {b.label or b.id}",
        origin=f"current of {_mark(spot)}",
    )


def _temperatures(spot: HeatSpot) -> tuple[Step, ...]:
    """The careful one of the circular, and last the one to expect."""
    steps: list[Step] = []
    around, current = spot.bundle.ambient, _current(spot)
    if spot.careful_degc is not None:
        allowed = _allowed(spot).result
        steps.append(careful_temperature_degc.step(around, _rated(spot), current, allowed))
    if spot.expected_degc is not None:
        b, m = fit(spot.wire)
        terms = (around, current, _factor(spot), _thin(spot), b, m)
        steps.append(conductor_temperature_degc.step(*terms))
    return tuple(steps)
