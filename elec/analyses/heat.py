"""How warm every conductor gets in the warmest spot of its run, with the working.

In: sizing, surroundings. Out: `WireHeat` by conductor. The published curves through their compact
fits decide; the circular's own temperature formula stands beside it as the careful number.
"""

from collections.abc import Mapping

from elec.analyses.chains import Conductor, chains
from elec.analyses.demand import worst_circuit_amps
from elec.analyses.runs import runs
from elec.analyses.sizing import Moment, Sizing, cranking, factor_of, rated_degc, sizing
from elec.analyses.surroundings import Bundle, surroundings
from elec.physics.heat import ampacity_a, careful_temperature_degc, conductor_temperature_degc
from elec.record import dataclass
from elec.standards import NotCovered, WireSize, copper
from elec.study import Study, analysis
from elec.working import Step, Term, Working


@dataclass(frozen=True, kw_only=True)
class WireHeat:
    """One conductor. Currents and temperatures hold in its warmest spot."""

    conductor: str
    awg: str
    current_a: float
    moment: Moment | None
    allowed_a: float
    spot: str
    """Id of the bundle that binds."""
    title: str
    wires: float
    loading: float
    ambient_degc: float
    rated_degc: float
    expected_degc: float | None
    """By the power law; None beyond the curves."""
    careful_degc: float | None
    """By the circular's formula; None where the current is above the allowed one."""
    working: Working
    unknown: str = ""


@analysis
def heat(study: Study) -> Mapping[str, WireHeat]:
    """The heat of every power conductor."""
    found = {}
    done = sizing(study)
    for chain in chains(study).by_name.values():
        if chain.kind in ("wire", "cable"):
            continue
        for conductor in chain.conductors():
            spots = surroundings(study).of.get(conductor.id, ())
            if spots:
                found[conductor.id] = _worst(study, done, conductor, spots)
    return found


@dataclass(frozen=True, kw_only=True)
class _Spot:
    """One conductor in one bundle."""

    conductor: Conductor
    wire: WireSize
    bundle: Bundle
    rated_degc: float
    amps: float
    loading: float
    factor: float
    altitude: Term

    @property
    def allowed_a(self) -> float:
        return ampacity_a(
            free_air_b=self.wire.free_air_b,
            free_air_m=self.wire.free_air_m,
            ambient_degc=self.bundle.ambient.value,
            rated_degc=self.rated_degc,
            bundle_factor=self.factor,
            altitude_factor=self.altitude.value,
        )

    @property
    def expected_degc(self) -> float | None:
        try:
            return conductor_temperature_degc(
                current_a=self.amps,
                free_air_b=self.wire.free_air_b,
                free_air_m=self.wire.free_air_m,
                ambient_degc=self.bundle.ambient.value,
                bundle_factor=self.factor,
                altitude_factor=self.altitude.value,
            )
        except NotCovered:
            return None


def _worst(study: Study, done: Sizing, conductor: Conductor, spots: tuple[str, ...]) -> WireHeat:
    around = surroundings(study)
    amps, moment = _lasting(study, done, conductor.id)
    found = [
        _Spot(
            conductor=conductor,
            wire=copper(done.gauges[conductor.id].awg),
            bundle=around.bundles[key],
            rated_degc=rated_degc(conductor, study),
            amps=amps,
            loading=done.loading.get(key, 0.0),
            factor=factor_of(around.bundles[key].wires, done.loading.get(key, 0.0)),
            altitude=around.altitude_factor,
        )
        for key in spots
    ]
    return _heat(study, min(found, key=lambda spot: spot.allowed_a), moment)


def _lasting(study: Study, done: Sizing, conductor: str) -> tuple[float, Moment | None]:
    short = cranking(study)
    found = {m: a for m, a in done.currents_a.get(conductor, {}).items() if m[0] not in short}
    if not found:
        return 0.0, None
    moment = max(found, key=lambda m: found[m])
    return found[moment], moment


def _heat(study: Study, spot: _Spot, moment: Moment | None) -> WireHeat:
    allowed = spot.allowed_a
    careful: float | None = None
    if allowed > 0 and spot.amps <= allowed:
        careful = careful_temperature_degc(
            current_a=spot.amps,
            allowed_current_a=allowed,
            ambient_degc=spot.bundle.ambient.value,
            rated_degc=spot.rated_degc,
        )
    return WireHeat(
        conductor=spot.conductor.id,
        awg=spot.wire.awg,
        current_a=spot.amps,
        moment=moment,
        allowed_a=allowed,
        spot=spot.bundle.id,
        title=spot.bundle.title,
        wires=spot.bundle.wires,
        loading=spot.loading,
        ambient_degc=spot.bundle.ambient.value,
        rated_degc=spot.rated_degc,
        expected_degc=spot.expected_degc,
        careful_degc=careful,
        working=_working(spot),
        unknown=_unknown(study, spot.conductor),
    )


def _unknown(study: Study, conductor: Conductor) -> str:
    if worst_circuit_amps(study).get(conductor.chain, 0.0) is None:
        return "the current of a load on this circuit is not known"
    return runs(study)[conductor.id].unknown if not runs(study)[conductor.id].legs else ""


def _working(spot: _Spot) -> Working:
    bundle, wire, z = spot.bundle, spot.wire, spot.altitude
    cite = "AC 43.13-1B figure 11-4 through its fit I = b * dT^m"
    n = Term(
        symbol="N", value=min(bundle.wires, 40.0), unit="", meaning=f"wires together {bundle.title}"
    )
    p = Term(
        symbol="p",
        value=max(spot.loading, 0.2),
        unit="",
        meaning="share of the bundle's capacity in use, at least 0.2",
        origin="sum of the currents over the sum of the capacities",
    )
    b = Term(symbol="b", value=wire.free_air_b, unit="", meaning=f"AWG {wire.awg}", origin=cite)
    m = Term(symbol="m", value=wire.free_air_m, unit="", meaning=f"AWG {wire.awg}", origin=cite)
    tr = Term(
        symbol="Tr",
        value=spot.rated_degc,
        unit="degC",
        meaning="rating of the insulation",
        origin="insulation table",
    )
    bundle_step = Step(
        result=Term(
            symbol="f", value=spot.factor, unit="", meaning="bundle factor", origin="computed"
        ),
        formula="1 / sqrt(1 + 0.42 * (N - 1) * p)",
        terms=(n, p),
        source="AC 43.13-1B figure 11-5",
        note="Wires that lie together warm each other: each may carry only this part.",
    )
    allowed_step = Step(
        result=Term(
            symbol="Iz",
            value=spot.allowed_a,
            unit="A",
            meaning="what the wire may carry here",
            origin="computed",
        ),
        formula="b * (Tr - Ta) ** m * f * z",
        terms=(b, tr, bundle.ambient, m, bundle_step.result, z),
        source="AC 43.13-1B 11-66 to 11-69",
        note="±7 %",
    )
    current = Term(
        symbol="I",
        value=spot.amps,
        unit="A",
        meaning="what it carries, "
        f"{spot.conductor.a.label or spot.conductor.a.id} to "
        f"{spot.conductor.b.label or spot.conductor.b.id}",
        origin="greatest lasting current of the loads behind it",
    )
    steps: tuple[Step, ...] = (bundle_step, allowed_step)
    expected = spot.expected_degc
    if expected is not None:
        steps = (
            *steps,
            Step(
                result=Term(
                    symbol="T",
                    value=expected,
                    unit="degC",
                    meaning="temperature to expect",
                    origin="computed",
                ),
                formula="Ta + (I / (f * z * b)) ** (1 / m)",
                terms=(bundle.ambient, current, bundle_step.result, z, b, m),
                source="AC 43.13-1B figure 11-4, turned round",
            ),
        )
    return Working(
        title=f"Heat of {spot.conductor.id}, AWG {wire.awg}, {bundle.title}",
        steps=steps,
        binds=bundle.title,
    )
