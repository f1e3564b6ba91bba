"""What is lost on the way.

Out and back, at conductor temperature, with contacts, switch and device.

In: sizing, runs. Out: `LoadDrop` by circuit and load, `FeederDrop` by feeder and ground.
"""

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property

from msgspec import Struct

from elec.answers.drop.drop_working import Carried, feeder_working, load_working, lost_v
from elec.physics.drop import longest_run_m
from elec.sizing.devices import allowed_drop_v, drop_limit_v, is_intermittent
from elec.sizing.feeder_current import rated
from elec.sizing.order import cranking
from elec.sizing.sizing import sizing
from elec.standards import AWGS, default
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, chains
from elec.wiring.demand import worst_circuit_amps
from elec.wiring.limits import limit
from elec.wiring.runs import runs
from elec.wiring.wires import joints_ohm
from elec.working import Term, Working


class LoadDrop(Struct, frozen=True, kw_only=True, dict=True):
    """The drop between the bus and one load and back.

    None where it cannot be told; `unknown` says why.
    """

    circuit: str
    load: str
    current_a: float
    lost_v: float | None
    limit_v: float
    limit_origin: str
    at_peak: bool
    """Whether the limit is that of a load that pulses, at its peak."""
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
    build: Callable[[], Working]
    unknown: str = ""

    @cached_property
    def working(self) -> Working:
        """Every wire and contact on the way; ends with what is lost, against its limit."""
        return self.build()


class FeederDrop(Struct, frozen=True, kw_only=True, dict=True):
    """The drop along a feeder or a ground connection.

    At its greatest lasting current or its source's rated one, whichever is greater; and while
    cranking.
    """

    chain: str
    current_a: float
    rated: str
    """What the current is where the source's rating decides; empty: the greatest lasting one."""
    lost_v: float | None
    limit_v: float
    cranking_a: float
    cranking_v: float | None
    cranking_limit_v: float
    build: Callable[[bool], Working]
    unknown: str = ""
    """Why it cannot be told, and what to do about it."""
    why: str = ""
    """The former alone."""

    @property
    def cranks(self) -> bool:
        """Whether it takes part in cranking."""
        return self.cranking_a >= default("heavy-cable").value

    @cached_property
    def working(self) -> Working:
        """Every wire at its lasting current; ends with what is lost, against its limit."""
        return self.build(False)

    @cached_property
    def cranking(self) -> Working:
        """The same while the starter turns."""
        return self.build(True)


@analysis
def load_drops(study: Study) -> Mapping[tuple[str, str], LoadDrop]:
    """The drop to every load of every circuit."""
    found = {}
    for chain in chains(study).of("circuit"):
        for load in chain.loads:
            found[chain.name, load] = _LoadDrop(study, chain, load).result()
    return found


def drop_about(study: Study, circuit: str, load: str) -> str:
    """How a finding names a drop: by its load, and the circuit where several feed it."""
    several = len(chains(study).feeds.get(load, ())) > 1
    return f"{load} by {circuit}" if several else load


class _LoadDrop:
    """Adds up one load's way out and back."""

    def __init__(self, study: Study, chain: Chain, load: str) -> None:
        self.study = study
        self.chain = chain
        self.load = load
        self.sizing = sizing(study)
        self.feed = self._heaviest("feed")
        self.back = self._heaviest("return")

    def _heaviest(self, role: str) -> list[Carried]:
        """What lies along the row of that role that loses most."""
        best: list[Carried] = []
        for row in self.chain.rows:
            if row.equipment != self.load or row.role != role:
                continue
            way = [
                Carried(item=part, amps=self._amps_of_part(part))
                for part in row.parts
                if part.inlet != part.outlet
            ]
            way += [Carried(item=c, amps=self._amps(c)) for c in row.conductors if c is not None]
            if not best or self._lost(way) > self._lost(best):
                best = way
        return best

    def _lost(self, way: Sequence[Carried], awg: str = "") -> float:
        return sum(lost_v(self.study, self.chain, one, awg) for one in way)

    def _amps(self, conductor: Conductor) -> float:
        return self.sizing.peaks_a[conductor.id]

    def _amps_of_part(self, part: Part) -> float:
        """What passes a part: as much as the conductor before or behind it."""
        near = [self._amps(c) for c in self.chain.conductors() if part.id in (c.a.id, c.b.id)]
        if near:
            return max(near)
        return max((self._amps(c) for c in self.chain.conductors()), default=0.0)

    def result(self) -> LoadDrop:
        way = [*self.feed, *self.back]
        wires = [(one.item, one) for one in way if isinstance(one.item, Conductor)]
        amps = max((one.amps for _, one in wires), default=0.0)
        ends = joints_ohm() * sum(one.amps for _, one in wires)
        lost, in_wires = self._lost(way), self._lost([one for _, one in wires])
        limit, origin, at_peak = drop_limit_v(self.study, self.load)
        unknown = self._unknown([c for c, _ in wires])
        awg = min((self.sizing.gauges[c.id].awg for c, _ in wires), key=AWGS.index, default="")
        out = self._length_m(self.feed)
        next_awg, next_v = self._next([one for _, one in wires], lost - in_wires, limit, awg)
        return LoadDrop(
            circuit=self.chain.name,
            load=self.load,
            current_a=amps,
            lost_v=None if unknown else lost,
            limit_v=limit,
            limit_origin=origin,
            at_peak=at_peak,
            intermittent=is_intermittent(self.study, self.load),
            wires_v=in_wires - ends,
            out_m=out,
            back_m=self._length_m(self.back),
            awg=awg,
            hottest_degc=max((self.sizing.careful_degc[c.id] for c, _ in wires), default=20.0),
            next_awg=next_awg,
            next_v=next_v,
            longest_m=_longest(in_wires - ends, amps, out, limit - (lost - in_wires + ends)),
            build=lambda: self._working(way, limit, origin),
            unknown=unknown,
        )

    def _length_m(self, way: Sequence[Carried]) -> float:
        lengths = [runs(self.study)[c.item.id].length_m for c in way
                   if isinstance(c.item, Conductor)]  # fmt: skip
        return sum(length or 0.0 for length in lengths)

    def _working(self, way: Sequence[Carried], limit: float, origin: str) -> Working:
        title = self.study.system.title("equipment", self.load)
        return load_working(self.study, self.chain, way, f"Voltage drop to {title} and back",
                            Term("", limit, "V", "allowed", origin))  # fmt: skip

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
        self, wires: Sequence[Carried], others_v: float, limit: float, awg: str
    ) -> tuple[str | None, float | None]:
        """The thinnest gauge that passes and what it loses; None where this one passes or none."""
        if not awg:
            return None, None
        for candidate in AWGS[AWGS.index(awg) :]:
            lost = others_v + self._lost(wires, candidate)
            if lost <= limit:
                return (candidate, lost) if candidate != awg else (None, None)
        return None, None


def _longest(wires_v: float, amps: float, out_m: float, room_v: float) -> float | None:
    """How long the way out may be, the way back in proportion; None where there is no end."""
    if min(wires_v, amps, out_m, room_v) <= 0:
        return None
    return longest_run_m(
        allowed_v=room_v, resistance_ohm_per_m=wires_v / amps / out_m, current_a=amps
    )


@analysis
def feeder_drops(study: Study) -> Mapping[str, FeederDrop]:
    """The drop of every feeder and every ground that a wire connects."""
    found = {}
    for chain in chains(study).by_name.values():
        if chain.kind in ("feeder", "ground") and chain.conductors():
            found[chain.name] = _feeder_drop(study, chain)
    return found


def _feeder_drop(study: Study, chain: Chain) -> FeederDrop:
    done, short = sizing(study), cranking(study)
    unknown = why = ""
    least = rated(study, chain, done.devices)
    found: dict[bool, list[Carried]] = {False: [], True: []}
    lost = {False: 0.0, True: 0.0}
    for conductor in chain.conductors():
        run = runs(study)[conductor.id]
        if run.length_m is None:
            unknown, why = run.unknown, run.why
        for turning in (False, True):
            carried = done.currents_a.get(conductor.id, {})
            amps = max((a for m, a in carried.items() if (m[0] in short) == turning), default=0.0)
            above = least if least is not None and not turning and least.current_a > amps else None
            amps = amps if above is None else above.current_a
            found[turning].append(Carried(item=conductor, amps=amps, rated=above))
            lost[turning] += lost_v(study, chain, found[turning][-1])
    share = limit(study, "feeder-drop")
    nominal = study.system.about.nominal_v
    allowed = share.value * nominal
    cranking_v = limit(study, "drop-intermittent")

    def build(turning: bool) -> Working:
        most = Term("", allowed, "V", "allowed",
                    f"{100 * share.value:g} % of {nominal:g} V: {share.origin}")  # fmt: skip
        if turning:
            most = Term("", allowed_drop_v(study, intermittent=True), "V",
                        "allowed for a short time", cranking_v.origin)  # fmt: skip
        when = " while the starter turns" if turning else ""
        cite = cranking_v.source if turning else share.source
        title = f"Voltage drop of {chain.title}{when}"
        return feeder_working(study, found[turning], title, most, cite)

    return FeederDrop(
        chain=chain.name,
        current_a=max((c.amps for c in found[False]), default=0.0),
        rated=next((c.rated.meaning for c in found[False] if c.rated is not None), ""),
        lost_v=None if unknown else lost[False],
        limit_v=allowed,
        cranking_a=max((c.amps for c in found[True]), default=0.0),
        cranking_v=None if unknown else lost[True],
        cranking_limit_v=allowed_drop_v(study, intermittent=True),
        build=build,
        unknown=unknown,
        why=why,
    )
