"""What a circuit carries: the one current that tables, drawings and explanations print for it.

In: sizing. Out: amperes by circuit, and of some of its wires.
"""

from collections.abc import Sequence

from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import Conductor, chains
from elec.wiring.demand import worst_circuit_amps


def carried_a(study: Study, circuit: str) -> float | None:
    """The most that a circuit carries in any phase: counted, or solved where that is more.

    Args:
        study: the system.
        circuit: its name.

    Returns:
        Amperes in the conductor that carries most, pulses at their root mean square; None where
        a load's current is not known.
    """
    return carried_by_a(study, circuit, chains(study).by_name[circuit].conductors())


def carried_by_a(study: Study, circuit: str, wires: Sequence[Conductor]) -> float | None:
    """The most that any of these wires of a circuit carries in any phase.

    Args:
        study: the system.
        circuit: its name.
        wires: some of its conductors.

    Returns:
        Amperes as of the circuit; None where a load's current is not known.
    """
    if worst_circuit_amps(study)[circuit] is None:
        return None
    found = sizing(study).currents_a
    return max(
        (amps * wire.parallel for wire in wires for amps in found.get(wire.id, {}).values()),
        default=0.0,
    )
