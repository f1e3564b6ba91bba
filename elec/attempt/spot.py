"""Where more load is put, and the system with it there, all sizes fixed as they are.

In: a study, a name. Out: `LoadSpot`; studies of changed documents. Nothing here goes through the
text.
"""

from collections.abc import Mapping
from typing import TypeVar

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.answers.loads.loads import loads
from elec.attempt.asked import Unclear
from elec.attempt.plan import near
from elec.model.load import Draw, Equipment, Mode
from elec.model.system import System
from elec.model.wiring import Circuit, Protected, Protection
from elec.sizing.order import cranking
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Chain, chains

PROBE = "more-load"
"""The name of the load that is put there."""

Entry = TypeVar("Entry", bound=Protected)


class LoadSpot(Struct, frozen=True, kw_only=True):
    """Where the load is put, and which findings are asked about (None: all)."""

    kind: str
    bus: str
    place: str
    circuit: str = ""
    about: frozenset[str] | None = None


def spot_of(study: Study, name: str, bus: str | None) -> LoadSpot:
    """Where a name is.

    Args:
        study: the system.
        name: a bus, source, feeder, circuit or place; the first of these that is called so.
        bus: for a place, the bus that the load is fed from; None: the usual one there.

    Raises:
        Unclear: nothing is called so.
    """
    document = study.document
    if name in document.buses:
        return LoadSpot(kind="bus", bus=name, place=document.buses[name].place)
    if name in document.sources:
        return _at_source(study, name)
    feeders = {c.name: c for c in chains(study).of("feeder")}
    if name in feeders:
        return _at_feeder(study, feeders[name])
    if name in document.circuits:
        entry = document.circuits[name]
        load = _first(entry)
        if document.equipment[load].draw is None and not document.equipment[load].modes:
            raise Unclear(f"--room: what {load} draws is not known, so there is nothing to add to")
        return LoadSpot(
            kind="circuit", bus=entry.bus, place=document.equipment[load].place, circuit=name
        )
    if name in document.places:
        if bus is not None and bus not in document.buses:
            raise Unclear(f'--bus: there is no bus "{bus}"{near(bus, document.buses)}')
        return LoadSpot(kind="place", bus=bus or _usual_bus(study, name), place=name)
    spares = [cable for cable, entry in document.cables.items() if entry.spare]
    known = [*document.buses, *document.sources, *feeders, *document.circuits, *spares]
    known += document.places
    raise Unclear(
        "--room: there is no bus, source, feeder, circuit, spare cable or place "
        f'"{name}"{near(name, known)}'
    )


def _at_source(study: Study, name: str) -> LoadSpot:
    ends = [
        other
        for feeder in study.document.feeders
        for end, other in ((feeder.from_, feeder.to), (feeder.to, feeder.from_))
        if end == name and other in study.document.buses
    ]
    if not ends:
        raise Unclear(f"--room: no feeder joins {name} to a bus")
    return LoadSpot(
        kind="source",
        bus=ends[0],
        place=study.document.buses[ends[0]].place,
        about=frozenset({name, "alternator", "battery", "engine"} | set(study.document.phases)),
    )


def _at_feeder(study: Study, chain: Chain) -> LoadSpot:
    ends = [e for e in (chain.far_end, chain.source_end) if e in study.document.buses]
    if not ends:
        raise Unclear(f"--room: {chain.name} ends on no bus")
    names = {chain.name, *(marks(study)[c.id] for c in chain.conductors())}
    names |= {p.name for p in chain.parts() if p.kind in ("switch", "contactor", "changeover")}
    return LoadSpot(
        kind="feeder",
        bus=ends[0],
        place=study.document.buses[ends[0]].place,
        about=frozenset(names),
    )


def _usual_bus(study: Study, place: str) -> str:
    """The bus that most loads of a place hang on, else that of most circuits."""
    document = study.document
    here = [
        c.bus
        for c in document.circuits.values()
        if any(document.equipment[f.partition(".")[0]].place == place for f in c.feeds)
    ]
    every = here or [c.bus for c in document.circuits.values()] or list(document.buses)
    return max(dict.fromkeys(every), key=every.count)


# -- the system with sizes fixed and the load in it ------------------------------------------------


def frozen(study: Study) -> Study:
    """The system with every device and gauge that elec chose given as it is now."""
    document, done = study.document, sizing(study)
    circuits = {n: _fixed(study, n, c) for n, c in document.circuits.items()}
    feeders = tuple(
        _fixed(study, chain.name, document.feeders[int(chain.path[1])])
        for chain in chains(study).of("feeder")
    )
    grounds = dict(document.grounds)
    for chain in chains(study).of("ground"):
        name = chain.ground or chain.seconds
        if not (name and chain.conductors()):
            continue
        update: dict[str, object] = {"gauge": done.gauges[chain.conductors()[0].id].awg}
        second = grounds[name].second
        if chain.seconds and second is not None:
            update = {"second": second.model_copy(update=update)}
        grounds[name] = grounds[name].model_copy(update=update)
    return _with(study, {"circuits": circuits, "feeders": feeders, "grounds": grounds})


def _fixed(study: Study, name: str, entry: Entry) -> Entry:
    chain, done = chains(study).by_name[name], sizing(study)
    update: dict[str, object] = {}
    found = done.devices.get(name)
    given = entry.device()
    if found is not None and given is not None and given[1].rating_a is None:
        kept: Protection = given[1].model_copy(update={"rating_a": found.rating_a})
        update[given[0]] = kept
    if chain.conductors() and getattr(entry, "gauge", None) is None:
        update["gauge"] = done.gauges[chain.conductors()[0].id].awg
    return entry.model_copy(update=update)


def probed(base: Study, spot: LoadSpot, current_a: float) -> Study:
    """The system with more load: on a circuit of its own, or drawn by one that is there."""
    document = base.document
    if spot.circuit:
        load = _first(document.circuits[spot.circuit])
        entry = _drawing_more(document.equipment[load], current_a, analysis_volts(base))
        return _with(base, {"equipment": {**document.equipment, load: entry}})
    phases = [name for name in document.phases if name not in cranking(base)]
    entry = Equipment(
        place=spot.place,
        draw=Draw.steady(current_a),
        on=phases or "always",
        basis="estimate",
    )
    circuit = Circuit(bus=spot.bus, breaker=Protection(), feeds=(PROBE,))
    return _with(
        base,
        {
            "equipment": {**document.equipment, PROBE: entry},
            "circuits": {**document.circuits, PROBE: circuit},
        },
    )


def _first(circuit: Circuit) -> str:
    return circuit.feeds[0].partition(".")[0]


def _drawing_more(entry: Equipment, current_a: float, volts: float) -> Equipment:
    def more(draw: Draw | None) -> Draw | None:
        added = None if draw is None else draw.by.measured(current_a, volts)
        if draw is None or added is None:
            return draw
        return draw.with_amount(draw.amount + float(draw.by.amount(added)))

    def raised(one: Equipment | Mode) -> dict[str, Draw | None]:
        """Its draw and, in proportion, its peak."""
        drawn = more(one.draw)
        if one.peak is None or one.draw is None or drawn is None or one.draw.amount == 0:
            return {"draw": drawn}
        peak = one.peak.with_amount(one.peak.amount * drawn.amount / one.draw.amount)
        return {"draw": drawn, "peak": peak}

    modes = {n: m.model_copy(update=raised(m)) for n, m in entry.modes.items()}
    return entry.model_copy(update={**raised(entry), "modes": modes})


def analysis_volts(study: Study) -> float:
    """The voltage of the load analysis, at which amperes and watts are told of each other."""
    highest = max((total.voltage_v for total in loads(study).totals), default=0.0)
    return highest or study.system.about.nominal_v


def _with(study: Study, update: Mapping[str, object]) -> Study:
    # what was measured is in the records already, and would count before what is changed here
    kept: dict[str, object] = (
        {"measured": {}} if "measured" in type(study.document).model_fields else {}
    )
    document = study.document.model_copy(update={**update, **kept})
    return Study(System(document=document, places=study.system.places))
