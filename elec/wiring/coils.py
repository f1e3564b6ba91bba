"""Which load is the coil of which contactor or relay, and when it is energised.

In: chains, the document. Out: coil → contactor, contactor → its contacts. A contact in a feeder is
closed as that feeder is used; one in a circuit while a load of the circuit is on, which the coil's
own `on` says. Behind a relay that changes over lies a wire that more than one feeder feeds: it is
laid once, with the feeder that stands first in the file, and the devices of all guard it.
"""

from collections.abc import Mapping

from elec.network.netlist import Netlist
from elec.study import Study, analysis
from elec.wiring.cases import Scenario, closed
from elec.wiring.chains import CONTACTS, Chain, Conductor, Part, chains

COILED = ("contactor", "relay")
"""What a coil moves."""


@analysis
def coil_loads(study: Study) -> Mapping[str, str]:
    """Equipment that is a coil → its contactor or relay."""
    return {
        entry.coil.load: name
        for name, entry in study.document.switches.items()
        if entry.coil is not None and entry.coil.load is not None
    }


@analysis
def contacts(study: Study) -> Mapping[str, tuple[tuple[Chain, Part], ...]]:
    """Switch, contactor or relay → its contacts, each with the chain that it stands in."""
    found: dict[str, list[tuple[Chain, Part]]] = {}
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind in CONTACTS:
                found.setdefault(part.name, []).append((chain, part))
    return {name: tuple(poles) for name, poles in found.items()}


@analysis
def limit_switches(study: Study) -> frozenset[str]:
    """Switches that stop a motor at an end of its travel: closed until it is there."""
    turned = (c.reverse for c in study.document.circuits.values() if c.reverse is not None)
    return frozenset(limit for one in turned for limit in one.limits)


def held(study: Study, load: str, scenario: Scenario) -> bool:
    """Whether a load may be on in a scenario: a coil only where a contact of it is closed."""
    switch = coil_loads(study).get(load)
    poles = [(c, part) for c, part in contacts(study).get(switch or "", ()) if not part.resting]
    if not poles or any(chain.kind != "feeder" for chain, _ in poles):
        return True
    feeders = study.document.feeders
    return any(closed(feeders[int(chain.path[1])], scenario) for chain, _ in poles)


def coil_chain(study: Study, switch: str) -> Chain | None:
    """The circuit that feeds the coil of a contactor; None where none does."""
    entry = study.document.switches.get(switch)
    load = entry.coil.load if entry is not None and entry.coil is not None else None
    names = chains(study).feeds.get(load or "", ())
    return chains(study).by_name[names[0]] if names else None


def moved_by(study: Study, switch: str) -> str:
    """What the hand moves to close a contactor: the switches in its coil's circuit."""
    chain = coil_chain(study, switch)
    parts = () if chain is None else chain.parts()
    return " and ".join(part.label for part in parts if part.kind in CONTACTS)


def contact_rows(study: Study, netlist: Netlist, *, resting: bool = False) -> dict[str, list[int]]:
    """Coil that a circuit feeds → the resistors of a netlist that it closes.

    With `resting` the other contacts of relays that change feeders over: they close without it.
    """
    row = {branch.name: row for row, branch in enumerate(netlist.resistors)}
    return {
        coil: [
            row[part.id]
            for _, part in contacts(study).get(switch, ())
            if part.id in row
            and part.resting is resting
            and (part.kind == "changeover" or not resting)
        ]
        for coil, switch in coil_loads(study).items()
        if coil in chains(study).feeds
    }


@analysis
def behind_common(study: Study) -> Mapping[str, tuple[Chain, tuple[Conductor, ...]]]:
    """Feeder that ends on a common terminal → the feeder that goes on, and its wires from there."""
    ends = {
        chain.rows[0].parts[-1].inlet: chain.name
        for chain in chains(study).of("feeder")
        if chain.rows[0].parts[-1].kind == "post"
    }
    found = {}
    for chain in chains(study).of("feeder"):
        row = chain.rows[0]
        for at, part in enumerate(row.parts):
            if part.outlet in ends and chain.name != ends[part.outlet]:
                wires = tuple(c for c in row.conductors[at:] if c is not None)
                found[ends[part.outlet]] = (chain, wires)
    return found


def wires_behind(study: Study, chain: Chain) -> tuple[Conductor, ...]:
    """The wires that the device of a chain is to guard: its own, and what it leads on to."""
    _, shared = behind_common(study).get(chain.name, (chain, ()))
    return (*chain.conductors(), *shared)


def feeding(study: Study, chain: Chain) -> tuple[str, ...]:
    """The other feeders whose current flows through a part of a feeder."""
    return tuple(n for n, (first, _) in behind_common(study).items() if first.name == chain.name)


__all__ = [
    "COILED", "CONTACTS", "behind_common", "coil_chain", "coil_loads", "contact_rows", "contacts",
    "feeding", "held", "limit_switches", "moved_by", "wires_behind",
]  # fmt: skip
