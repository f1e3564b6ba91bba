"""Which light shows that the contactor of a starter is closed, and whether it can light.

In: coils, chains, `engaged-light`. Out: `Engaged` by contactor of a starter.
"""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from elec.answers.connect.coils import coil_paths
from elec.sizing.order import cranking
from elec.sizing.starter_cables import starts_only
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains


class Engaged(Struct, frozen=True, kw_only=True):
    """The contactor of one starter."""

    chain: Chain
    """The circuit of the starter."""
    light: Literal["given", "none", "not said"]
    contact: str = ""
    """The light, or its contact, as written."""
    returns: bool = False
    """Whether a way back of its current is known: without one it cannot light."""

    @property
    def lamp(self) -> str:
        """The equipment that lights."""
        return self.contact.partition(".")[0]


@analysis
def engaged(study: Study) -> Mapping[str, Engaged]:
    """Contactor of a starter → its light."""
    found = {}
    for name, path in coil_paths(study).items():
        starting = next(
            (chain for chain, _ in path.contacts if starts_only(study, chain, cranking(study))),
            None,
        )
        if starting is not None:
            found[name] = _engaged(study, name, starting)
    return found


def _engaged(study: Study, name: str, starting: Chain) -> Engaged:
    entry = study.document.switches.get(name)
    said = entry.engaged_light if entry is not None else None
    if said is None:
        return Engaged(chain=starting, light="not said")
    if said.to == "none":
        return Engaged(chain=starting, light="none")
    lamp = said.to.partition(".")[0]
    return Engaged(chain=starting, light="given", contact=said.to, returns=_returns(study, lamp))


def _returns(study: Study, lamp: str) -> bool:
    """Whether the current of a light comes back: its circuit's way, or a wire to ground.

    A wire that goes on through a connector is taken to lead there.
    """
    entry = study.document.equipment.get(lamp)
    if entry is None or not entry.passive or lamp in chains(study).feeds:
        return True
    back = ("ground", "bond", "connector", "place")
    return any(
        near.kind == "equipment" and near.name == lamp and far.kind in back
        for kind in ("wire", "cable")
        for chain in chains(study).of(kind)
        if not chain.hot
        for wire in chain.conductors()
        for near, far in ((wire.a, wire.b), (wire.b, wire.a))
    )


__all__ = ["Engaged", "engaged"]
