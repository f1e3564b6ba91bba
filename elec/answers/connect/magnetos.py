"""The leads that ground a magneto.

In: chains. Out: the conductors that end on each magneto, with the other end. A magneto is equipment
with `role: magneto`; it sparks unless one of these is grounded.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.model.wiring import Coax
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, Part, chains


class MagnetoLead(Struct, frozen=True, kw_only=True):
    """One conductor that ends on a magneto."""

    chain: Chain
    conductor: Conductor
    far: Part
    shielded: bool


@analysis
def magneto_leads(study: Study) -> Mapping[str, tuple[MagnetoLead, ...]]:
    """Magneto → its leads; none where nothing ends on it."""
    found: dict[str, list[MagnetoLead]] = {
        name: [] for name, one in study.document.equipment.items() if one.role == "magneto"
    }
    for kind in ("wire", "cable"):
        for chain in chains(study).of(kind):
            for conductor in chain.conductors():
                for near, far in ((conductor.a, conductor.b), (conductor.b, conductor.a)):
                    if near.kind == "equipment" and near.name in found:
                        found[near.name].append(_lead(study, chain, conductor, far))
    return {name: tuple(leads) for name, leads in found.items()}


def _lead(study: Study, chain: Chain, conductor: Conductor, far: Part) -> MagnetoLead:
    cable = study.document.cables.get(chain.name)
    shielded = isinstance(cable, Coax) or (cable is not None and "shielded" in cable.type)
    return MagnetoLead(chain=chain, conductor=conductor, far=far, shielded=shielded)


__all__ = ["MagnetoLead", "magneto_leads"]
