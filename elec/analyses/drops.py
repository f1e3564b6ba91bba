"""What is lost on the way.

Out and back, at conductor temperature, with contacts, switch and device.

In: sizing, runs. Out: `LoadDrop` by circuit and load, `FeederDrop` by feeder and ground.
"""

from collections.abc import Mapping

from elec.analyses.chains import Chain, Conductor, Part, chains
from elec.analyses.circuit_model import part_ohm
from elec.analyses.demand import worst_circuit_amps
from elec.analyses.devices import allowed_drop_v, drop_limit_v, is_intermittent
from elec.analyses.limits import limit
from elec.analyses.runs import runs
from elec.analyses.sizing import cranking, sizing
from elec.record import dataclass
from elec.standards import AWGS, copper, default
from elec.study import Study, analysis
from elec.working import Step, Term, Working


@dataclass(frozen=True, kw_only=True)
class LoadDrop:
    """The drop between the bus and one load and back.

    None where it cannot be told; `unknown` says why.
    """

    circuit: str
    load: str
    current_a: float
    lost_v: float | None
    limit_v: float
    limit_origin: str
    intermittent: bool
    wires_v: float
    """The part that the wires lose; the rest is lost in contacts, switch and device."""
    out_m: float
    back_m: float
    awg: str
    hottest_degc: float
    next_awg: str | None
    """The gauge that would pass, where this one does not and one does."""
    next_v: float | None
    """What that gauge would lose."""
    longest_m: float | None
    """The longest run out (and as much back) that would pass at this gauge."""
    working: Working
    unknown: str = ""


@dataclass(frozen=True, kw_only=True)
class FeederDrop:
    """The drop along a feeder or a ground connection at its greatest lasting current.

    And while cranking.
    """

    chain: str
    current_a: float
    lost_v: float | None
    limit_v: float
    cranking_a: float
    cranking_v: float | None
    cranking_limit_v: float
    working: Working
    unknown: str = ""


@analysis
def load_drops(study: Study) -> Mapping[tuple[str, str], LoadDrop]:
    """The drop to every load of every circuit."""
    found = {}
    for chain in chains(study).of("circuit"):
        for load in chain.loads:
            found[chain.name, load] = _LoadDrop(study, chain, load).result()
    return found


class _LoadDrop:
    """Adds up one load's way out and back."""

    def __init__(self, study: Study, chain: Chain, load: str) -> None:
        self.study = study
        self.chain = chain
        self.load = load
        self.sizing = sizing(study)
        self.feed = self._heaviest("feed")
        self.back = self._heaviest("return")

    def _heaviest(self, role: str) -> list[tuple[Conductor | Part, float, float]]:
        """(conductor or part, current, resistance) along the row of that role that loses most."""
        best: list[tuple[Conductor | Part, float, float]] = []
        for row in self.chain.rows:
            if row.equipment != self.load or row.role != role:
                continue
            items: list[tuple[Conductor | Part, float, float]] = []
            for part in row.parts:
                if part.inlet != part.outlet:
                    amps = self._amps_of_part(part)
                    items.append(
                        (part, amps, part_ohm(self.study, self.chain, part, self.sizing.sizes()))
                    )
            items += [
                (c, self._amps(c), self.ohm(c, self.sizing.gauges[c.id].awg))
                for c in row.conductors
                if c is not None
            ]
            if not best or _sum(items) > _sum(best):
                best = items
        return best

    def _amps(self, conductor: Conductor) -> float:
        return max(self.sizing.currents_a[conductor.id].values(), default=0.0)

    def _amps_of_part(self, part: Part) -> float:
        """What passes a part: as much as the conductor before or behind it."""
        near = [self._amps(c) for c in self.chain.conductors() if part.id in (c.a.id, c.b.id)]
        if near:
            return max(near)
        return max((self._amps(c) for c in self.chain.conductors()), default=0.0)

    def ohm(self, conductor: Conductor, awg: str) -> float:
        """Resistance of a conductor at its temperature, without its end joints."""
        length = runs(self.study)[conductor.id].length_m or 0.0
        hot = (234.5 + self.sizing.temperatures_degc[conductor.id]) / 254.5
        return copper(awg).resistance_20degc_ohm_per_m * length * hot

    def result(self) -> LoadDrop:
        joint = default("joint-resistance").si
        items = [*self.feed, *self.back]
        conductors = [(c, a, r) for c, a, r in items if isinstance(c, Conductor)]
        parts = [(p, a, r) for p, a, r in items if isinstance(p, Part)]
        wires = sum(a * r for _, a, r in conductors)
        fixed = sum(a * r for _, a, r in parts) + sum(2 * joint * a for _, a, _ in conductors)
        limit, origin = drop_limit_v(self.study, self.load)
        unknown = self._unknown([c for c, _, _ in conductors])
        awg = min(
            (self.sizing.gauges[c.id].awg for c, _, _ in conductors), key=AWGS.index, default=""
        )
        room = limit - fixed
        out = sum(
            runs(self.study)[c.id].length_m or 0.0
            for c, _, _ in self.feed
            if isinstance(c, Conductor)
        )
        back = sum(
            runs(self.study)[c.id].length_m or 0.0
            for c, _, _ in self.back
            if isinstance(c, Conductor)
        )
        next_awg, next_v = self._next(conductors, fixed, limit, awg)
        return LoadDrop(
            circuit=self.chain.name,
            load=self.load,
            current_a=max((a for _, a, _ in conductors), default=0.0),
            lost_v=None if unknown else wires + fixed,
            limit_v=limit,
            limit_origin=origin,
            intermittent=is_intermittent(self.study, self.load),
            wires_v=wires,
            out_m=out,
            back_m=back,
            awg=awg,
            hottest_degc=max(
                (self.sizing.temperatures_degc[c.id] for c, _, _ in conductors), default=20.0
            ),
            next_awg=next_awg,
            next_v=next_v,
            longest_m=out * room / wires if wires > 0 and room > 0 else None,
            working=self._working(conductors, parts, limit, origin),
            unknown=unknown,
        )

    def _unknown(self, conductors: list[Conductor]) -> str:
        if worst_circuit_amps(self.study)[self.chain.name] is None:
            return "the current of a load on this circuit is not known"
        return next(
            (
                runs(self.study)[c.id].unknown
                for c in conductors
                if runs(self.study)[c.id].length_m is None
            ),
            "",
        )

    def _next(
        self,
        conductors: list[tuple[Conductor, float, float]],
        fixed: float,
        limit: float,
        awg: str,
    ) -> tuple[str | None, float | None]:
        """The thinnest gauge that passes and what it loses; None where this one passes or none."""
        if not awg:
            return None, None
        for candidate in AWGS[AWGS.index(awg) :]:
            lost = fixed + sum(a * self.ohm(c, candidate) for c, a, _ in conductors)
            if lost <= limit:
                return (candidate, lost) if candidate != awg else (None, None)
        return None, None

    def _working(
        self,
        conductors: list[tuple[Conductor, float, float]],
        parts: list[tuple[Part, float, float]],
        limit: float,
        origin: str,
    ) -> Working:
        steps: list[Step] = []
        terms: list[Term] = []
        for i, (conductor, amps, _) in enumerate(conductors, 1):
            step = self._wire_step(i, conductor, amps)
            steps += [*runs(self.study)[conductor.id].steps[:0], step]
            terms.append(step.result)
        for j, (part, amps, ohm) in enumerate(parts, 1):
            terms.append(
                Term(
                    symbol=f"k{j}",
                    value=amps * ohm,
                    unit="V",
                    meaning=f"{part.label or part.kind}: {amps:.3g} A through {ohm * 1000:.3g} mΩ",
                    origin="device and contact resistances, from memory",
                )
            )
        total = Step(
            result=Term(
                symbol="V",
                value=sum(t.value for t in terms),
                unit="V",
                meaning=f"lost on the way; {limit:.2f} V is allowed ({origin})",
                origin="computed",
            ),
            formula=" + ".join(t.symbol for t in terms),
            terms=tuple(terms),
            source="AC 43.13-1B 11-66 and table 11-6",
        )
        title = self.study.system.title("equipment", self.load)
        return Working(title=f"Voltage drop to {title} and back", steps=(*steps, total))

    def _wire_step(self, i: int, conductor: Conductor, amps: float) -> Step:
        done = self.sizing
        wire = copper(done.gauges[conductor.id].awg)
        run = runs(self.study)[conductor.id]
        length = run.length_m or 0.0
        degc = done.temperatures_degc[conductor.id]
        joint = default("joint-resistance")
        ends = f"{conductor.a.label or conductor.a.id} to {conductor.b.label or conductor.b.id}"
        return Step(
            result=Term(
                symbol=f"v{i}",
                value=amps
                * (
                    wire.resistance_20degc_ohm_per_m * length * (234.5 + degc) / 254.5
                    + 2 * joint.si
                ),
                unit="V",
                meaning=f"AWG {wire.awg}, {ends}",
                origin="computed",
            ),
            formula="I * (R * L * (234.5 + T) / 254.5 + 2 * j)",
            terms=(
                Term(symbol="I", value=amps, unit="A", meaning="current", origin="loads behind it"),
                Term(
                    symbol="R",
                    value=wire.resistance_20degc_ohm_per_m,
                    unit="ohm/m",
                    meaning="resistance at 20 °C",
                    origin=wire.resistance_note,
                ),
                Term(
                    symbol="L",
                    value=length,
                    unit="m",
                    meaning="length",
                    origin=run.steps[-1].result.origin if run.steps else "",
                ),
                Term(
                    symbol="T",
                    value=degc,
                    unit="degC",
                    meaning="conductor temperature",
                    origin="heat of this wire",
                ),
                Term(
                    symbol="j",
                    value=joint.si,
                    unit="ohm",
                    meaning=joint.meaning,
                    origin=joint.origin,
                ),
            ),
            source="AC 43.13-1B pages 11-22, 11-23",
        )


def _sum(items: list[tuple[Conductor | Part, float, float]]) -> float:
    return sum(a * r for _, a, r in items)


@analysis
def feeder_drops(study: Study) -> Mapping[str, FeederDrop]:
    """The drop of every feeder and ground connection."""
    found = {}
    for chain in chains(study).by_name.values():
        if chain.kind in ("feeder", "ground"):
            found[chain.name] = _feeder_drop(study, chain)
    return found


def _feeder_drop(study: Study, chain: Chain) -> FeederDrop:
    done, short = sizing(study), cranking(study)
    joint = default("joint-resistance")
    terms: list[Term] = []
    steps: list[Step] = []
    lasting = crank = 0.0
    lost = cranked = 0.0
    unknown = ""
    for i, conductor in enumerate(chain.conductors(), 1):
        run = runs(study)[conductor.id]
        if run.length_m is None:
            unknown = run.unknown
        amps = done.currents_a.get(conductor.id, {})
        steady = max((a for m, a in amps.items() if m[0] not in short), default=0.0)
        turning = max((a for m, a in amps.items() if m[0] in short), default=0.0)
        wire = copper(done.gauges[conductor.id].awg)
        degc = done.temperatures_degc[conductor.id]
        ohm = wire.resistance_20degc_ohm_per_m * (run.length_m or 0.0) * (234.5 + degc) / 254.5
        ohm += 2 * joint.si
        lost += steady * ohm
        cranked += turning * ohm
        lasting, crank = max(lasting, steady), max(crank, turning)
        steps.append(
            Step(
                result=Term(
                    symbol=f"v{i}",
                    value=steady * ohm,
                    unit="V",
                    meaning=f"AWG {wire.awg}",
                    origin="computed",
                ),
                formula="I * (R * L * (234.5 + T) / 254.5 + 2 * j)",
                terms=(
                    Term(
                        symbol="I",
                        value=steady,
                        unit="A",
                        meaning="current",
                        origin="solved network",
                    ),
                    Term(
                        symbol="R",
                        value=wire.resistance_20degc_ohm_per_m,
                        unit="ohm/m",
                        meaning="resistance at 20 °C",
                        origin=wire.resistance_note,
                    ),
                    Term(symbol="L", value=run.length_m or 0.0, unit="m", meaning="length"),
                    Term(symbol="T", value=degc, unit="degC", meaning="conductor temperature"),
                    Term(
                        symbol="j",
                        value=joint.si,
                        unit="ohm",
                        meaning=joint.meaning,
                        origin=joint.origin,
                    ),
                ),
                source="AC 43.13-1B pages 11-22, 11-23",
            )
        )
        terms.append(steps[-1].result)
    share = limit(study, "feeder-drop")
    allowed = share.value * study.system.about.nominal_v
    steps.append(
        Step(
            result=Term(
                symbol="V",
                value=lost,
                unit="V",
                meaning=f"lost; {allowed:.2f} V is allowed",
                origin="computed",
            ),
            formula=" + ".join(t.symbol for t in terms),
            terms=tuple(terms),
            source=str(share.cite),
        )
    )
    return FeederDrop(
        chain=chain.name,
        current_a=lasting,
        lost_v=None if unknown else lost,
        limit_v=allowed,
        cranking_a=crank,
        cranking_v=None if unknown else cranked,
        cranking_limit_v=allowed_drop_v(study, intermittent=True),
        working=Working(title=f"Voltage drop of {chain.title}", steps=tuple(steps)),
        unknown=unknown,
    )
