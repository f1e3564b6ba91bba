"""How the coil of every contactor and relay is fed, and whether it can be turned on and off.

In: chains, the netlist. Out: `CoilPath` by contactor. Whether it pulls in is traced from all coils
at rest and the engine stopped: what a battery reaches closes, and so on until nothing more does.
"""

from collections.abc import Iterator, Mapping

import numpy as np
from msgspec import Struct

from elec.answers.base.points import points
from elec.answers.connect.panel import kind_of
from elec.model.source import ExternalPower
from elec.model.switch import Coil
from elec.network.circuit import circuit_of
from elec.network.trace import Feeding
from elec.sizing.order import cranking
from elec.sizing.starter_cables import starts_only
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL, Scenario
from elec.wiring.chains import Chain, Part
from elec.wiring.coils import COILED, CONTACTS, coil_chain, contact_rows, contacts, held


class CoilPath(Struct, frozen=True, kw_only=True):
    """One contactor or relay with its coil."""

    switch: str
    title: str
    kind: str
    coil: Coil | None
    contacts: tuple[tuple[Chain, Part], ...]
    circuit: Chain | None
    """What feeds its coil; None where that is not said."""
    begins: str = ""
    """What its coil's current comes from, for print."""
    openers: tuple[Part, ...] = ()
    """Switches and contacts in its circuit, in the order of the current."""
    ground_side: bool = False
    """The switch stands between coil and ground."""
    chosen: tuple[str, ...] = ()
    """What the builder left open and elec chose, in words."""
    starts: bool = True
    """It pulls in from rest in every state that needs it closed, as far as wires tell."""
    stuck_in: str = ""
    """The state in which it does not."""


@analysis
def coil_paths(study: Study) -> Mapping[str, CoilPath]:
    """Every contactor and relay, and every other switch that has a coil."""
    found = {}
    for name, poles in contacts(study).items():
        entry = study.document.switches.get(name)
        coil = entry.coil if entry is not None else None
        kind = kind_of(study, poles[0][1])
        if kind in COILED or coil is not None:
            found[name] = _path(study, name, kind, coil, poles)
    return found


def _path(
    study: Study, name: str, kind: str, coil: Coil | None, poles: tuple[tuple[Chain, Part], ...]
) -> CoilPath:
    circuit = coil_chain(study, name)
    title = study.system.title("switches", name)
    if circuit is None or coil is None:
        return CoilPath(
            switch=name, title=title, kind=kind, coil=coil, contacts=poles, circuit=circuit
        )
    entry = study.document.circuits[circuit.name]
    start = circuit.rows[0].parts[0]
    load = coil.load or ""
    own_post = start.kind == "post" and start.name == name
    asked = () if own_post and _plugged(study, poles) else _states(study, poles)
    stuck = next(
        (s for s in asked if held(study, load, s) and load not in _from_rest(study)[s.name]), None
    )
    return CoilPath(
        switch=name,
        title=title,
        kind=kind,
        coil=coil,
        contacts=poles,
        circuit=circuit,
        begins="its own line post" if own_post else start.label,
        openers=tuple(_openers(circuit, load)),
        ground_side=entry.switched == "ground",
        chosen=tuple(_chosen(study, circuit, coil)),
        starts=stuck is None,
        stuck_in=stuck.title if stuck is not None else "",
    )


def _plugged(study: Study, poles: tuple[tuple[Chain, Part], ...]) -> bool:
    """Whether its line post is live from what is plugged in outside, and so its coil."""
    sources, feeders = study.document.sources, study.document.feeders
    return any(
        chain.kind == "feeder"
        and isinstance(sources.get(feeders[int(chain.path[1])].from_), ExternalPower)
        for chain, _ in poles
    )


def _openers(circuit: Chain, load: str) -> Iterator[Part]:
    """Feed first, then the way back, each once."""
    found = {
        part.id: part
        for row in circuit.rows
        if row.equipment == load
        for part in row.parts
        if part.kind in CONTACTS
    }
    yield from found.values()


def _chosen(study: Study, circuit: Chain, coil: Coil) -> Iterator[str]:
    if coil.draw is None or coil.circuit is not None or circuit.path[1] != coil.load:
        return  # written by hand
    entry = study.document.circuits[circuit.name]
    if coil.bus is None:
        yield "fed from its own line post"
    if coil.switched is None:
        side = "between coil and ground" if entry.switched == "ground" else "in the feed"
        yield f"switched {side}"
    if entry.post is not None and entry.switched == "ground" and coil.jumper is None:
        yield "a jumper on the contactor"
    if coil.device() is None and circuit.device is not None:
        yield f"a {circuit.device.kind}"


# -- from rest -------------------------------------------------------------------------------------


def _states(study: Study, poles: tuple[tuple[Chain, Part], ...] = ()) -> tuple[Scenario, ...]:
    """The states that are solved; of a contact in a circuit, as a starter's, all well alone."""
    found = {case.scenario.name: case.scenario for case in points(study).cases}
    if any(chain.kind != "feeder" for chain, _ in poles):
        return tuple(s for s in found.values() if s == NORMAL)
    return tuple(found.values())


@analysis
def _from_rest(study: Study) -> Mapping[str, frozenset[str]]:
    """State → coils that pull in from rest."""
    found = {}
    at = points(study)
    for state in _states(study):
        case = next(i for i, c in enumerate(at.cases) if c.scenario == state)
        found[state.name] = _pulled_in(study, case)
    return found


def _pulled_in(study: Study, case: int) -> frozenset[str]:
    netlist, values = points(study).model.netlist, points(study).model.values
    rows = contact_rows(study, netlist)
    ohm = values.resistance_ohm[:, case]
    link = ohm == 0.0
    link[[row for own in rows.values() for row in own]] = False
    circuit = circuit_of(netlist, link)
    batteries = [
        b.name
        for b, r in zip(netlist.batteries, values.battery_resistance_ohm[:, case], strict=True)
        if np.isfinite(r)
    ]
    closed_now: frozenset[str] = frozenset()
    while True:
        wires = np.isfinite(ohm)
        wires[[row for coil, own in rows.items() if coil not in closed_now for row in own]] = False
        feeding = Feeding(circuit, wires[:, None])
        new = frozenset(
            coil
            for coil in rows
            if any(feeding.between(b, f"{coil}#feed", f"{coil}#return") for b in batteries)
        )
        if new <= closed_now:
            return closed_now
        closed_now |= new


def never_open(study: Study, found: CoilPath) -> bool:
    """Whether its contact has to open at times and nothing in its coil's circuit does.

    That of a starter has to: nothing else takes the starter off.
    """
    opens = any(
        study.document.feeders[int(chain.path[1])].used != "always"
        if chain.kind == "feeder"
        else starts_only(study, chain, cranking(study))
        for chain, _ in found.contacts
    )
    return found.circuit is not None and opens and not found.openers


__all__ = ["CoilPath", "coil_paths", "never_open"]
