"""How warm every conductor gets in the warmest spot of its run, with the working.

In: sizing, surroundings. Out: `WireHeat` by conductor. The published curves through their compact fits decide; the
circular's own temperature formula stands beside it as the careful number.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from elec.analyses.chains import Conductor, chains
from elec.analyses.demand import worst_circuit_amps
from elec.analyses.runs import runs
from elec.analyses.sizing import Moment, Sizing, cranking, factor_of, rated_degc, sizing
from elec.analyses.surroundings import Bundle, surroundings
from elec.physics.heat import ampacity_a, careful_temperature_degc, conductor_temperature_degc
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


def _worst(study: Study, done: Sizing, conductor: Conductor, spots: tuple[str, ...]) -> WireHeat:
    around = surroundings(study)
    wire = copper(done.gauges[conductor.id].awg)
    rated = rated_degc(conductor, study)
    z = around.altitude_factor.value

    def allowed(key: str) -> float:
        bundle = around.bundles[key]
        return ampacity_a(
            free_air_b=wire.free_air_b,
            free_air_m=wire.free_air_m,
            ambient_degc=bundle.ambient.value,
            rated_degc=rated,
            bundle_factor=factor_of(bundle.wires, done.loading.get(key, 0.0)),
            altitude_factor=z,
        )

    key = min(spots, key=allowed)
    return _heat(study, done, conductor, wire, around.bundles[key], rated, allowed(key))


def _lasting(study: Study, done: Sizing, conductor: str) -> tuple[float, Moment | None]:
    short = cranking(study)
    found = {m: a for m, a in done.currents_a.get(conductor, {}).items() if m[0] not in short}
    if not found:
        return 0.0, None
    moment = max(found, key=lambda m: found[m])
    return found[moment], moment


def _heat(
    study: Study,
    done: Sizing,
    conductor: Conductor,
    wire: WireSize,
    bundle: Bundle,
    rated: float,
    allowed: float,
) -> WireHeat:
    amps, moment = _lasting(study, done, conductor.id)
    share = done.loading.get(bundle.id, 0.0)
    f = factor_of(bundle.wires, share)
    z = surroundings(study).altitude_factor
    expected: float | None
    careful: float | None = None
    try:
        expected = conductor_temperature_degc(
            current_a=amps,
            free_air_b=wire.free_air_b,
            free_air_m=wire.free_air_m,
            ambient_degc=bundle.ambient.value,
            bundle_factor=f,
            altitude_factor=z.value,
        )
    except NotCovered:
        expected = None
    if allowed > 0 and amps <= allowed:
        careful = careful_temperature_degc(
            current_a=amps,
            allowed_current_a=allowed,
            ambient_degc=bundle.ambient.value,
            rated_degc=rated,
        )
    return WireHeat(
        conductor=conductor.id,
        awg=wire.awg,
        current_a=amps,
        moment=moment,
        allowed_a=allowed,
        spot=bundle.id,
        title=bundle.title,
        wires=bundle.wires,
        loading=share,
        ambient_degc=bundle.ambient.value,
        rated_degc=rated,
        expected_degc=expected,
        careful_degc=careful,
        working=_working(study, conductor, wire, bundle, rated, amps, share, f, allowed, expected),
        unknown=_unknown(study, conductor),
    )


def _unknown(study: Study, conductor: Conductor) -> str:
    if worst_circuit_amps(study).get(conductor.chain, 0.0) is None:
        return "the current of a load on this circuit is not known"
    return runs(study)[conductor.id].unknown if not runs(study)[conductor.id].legs else ""


def _working(
    study: Study,
    conductor: Conductor,
    wire: WireSize,
    bundle: Bundle,
    rated: float,
    amps: float,
    share: float,
    f: float,
    allowed: float,
    expected: float | None,
) -> Working:
    z = surroundings(study).altitude_factor
    cite = "AC 43.13-1B figure 11-4 through its fit I = b * dT^m"
    n = Term(
        symbol="N", value=min(bundle.wires, 40.0), unit="", meaning=f"wires together {bundle.title}"
    )
    p = Term(
        symbol="p",
        value=max(share, 0.2),
        unit="",
        meaning="share of the bundle's capacity in use, at least 0.2",
        origin="sum of the currents over the sum of the capacities",
    )
    b = Term(symbol="b", value=wire.free_air_b, unit="", meaning=f"AWG {wire.awg}", origin=cite)
    m = Term(symbol="m", value=wire.free_air_m, unit="", meaning=f"AWG {wire.awg}", origin=cite)
    tr = Term(
        symbol="Tr",
        value=rated,
        unit="degC",
        meaning="rating of the insulation",
        origin="insulation table",
    )
    bundle_step = Step(
        result=Term(symbol="f", value=f, unit="", meaning="bundle factor", origin="computed"),
        formula="1 / sqrt(1 + 0.42 * (N - 1) * p)",
        terms=(n, p),
        source="AC 43.13-1B figure 11-5",
        note="Wires that lie together warm each other; each may carry only this part of what it may carry alone.",
    )
    allowed_step = Step(
        result=Term(
            symbol="Iz",
            value=allowed,
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
        value=amps,
        unit="A",
        meaning=f"what it carries: {conductor.a.label or conductor.a.id} to {conductor.b.label or conductor.b.id}",
        origin="greatest lasting current of the loads behind it",
    )
    steps: tuple[Step, ...] = (bundle_step, allowed_step)
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
        title=f"Heat of {conductor.id}, AWG {wire.awg}, {bundle.title}",
        steps=steps,
        binds=bundle.title,
    )
