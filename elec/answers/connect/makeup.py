"""How a switch or relay has to be made for its circuits: poles, throws, positions.

In: chains, the builder's `switches:`. Out: `Makeup` by name. Panels, their engraving and what to
buy say it from here.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.study import Study, analysis
from elec.wiring.chains import Chain, Part, chains
from elec.wiring.ends import SWITCHED

POSITIONS = 2
"""Of a switch that is on or off, and of a relay."""


class Makeup(Struct, frozen=True, kw_only=True):
    """What the wiring asks of a switch, relay or contactor."""

    poles: int
    throws: int
    """Of the pole that has most: contacts that its common one is joined with in turn."""
    positions: int
    """Of its lever, as named in the file or as its throws ask; of a relay two."""

    @property
    def plain(self) -> bool:
        """One pole that is closed or open."""
        return (self.poles, self.throws, self.positions) == (1, 1, POSITIONS)

    @property
    def text(self) -> str:
        """In words; nothing of one pole that is closed or open.

        >>> Makeup(poles=2, throws=2, positions=3).text, Makeup(poles=3, throws=1, positions=2).text
        ('2-pole, 2-throw, 3-position', '3-pole')
        """
        if self.plain:
            return ""
        said = [f"{self.poles}-pole"]
        if self.throws > 1:
            said.append(f"{self.throws}-throw")
        if self.positions > POSITIONS:
            said.append(f"{self.positions}-position")
        return ", ".join(said)

    def bought(self, kind: str) -> str:
        """As one asks for it over the counter, also of one pole that is closed or open.

        >>> Makeup(poles=1, throws=1, positions=2).bought("switch")
        '1-pole, 1-throw, 2-position'
        >>> Makeup(poles=2, throws=2, positions=2).bought("relay")
        '2-pole, 2-throw'
        >>> Makeup(poles=1, throws=1, positions=2).bought("button")
        '1-pole, 1-throw, springs back'
        """
        ways = {"button": ", springs back", "relay": "", "contactor": ""}
        return f"{self.poles}-pole, {self.throws}-throw" + ways.get(
            kind, f", {self.positions}-position"
        )


@analysis
def makeups(study: Study) -> Mapping[str, Makeup]:
    """Each switch, relay and contactor that a circuit or feeder goes through."""
    used: dict[str, list[tuple[Chain, Part]]] = {}
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind in SWITCHED:
                used.setdefault(part.name, []).append((chain, part))
    return {name: _makeup(study, name, parts) for name, parts in used.items()}


def _makeup(study: Study, name: str, parts: list[tuple[Chain, Part]]) -> Makeup:
    poles: dict[str, set[str]] = {}
    for chain, part in parts:
        poles.setdefault(_common(chain, part), set()).update(_throws(study, chain, part))
    throws = max(map(len, poles.values()))
    entry = study.document.switches.get(name)
    named = len(entry.positions) if entry is not None else 0
    relay = any(part.kind == "contactor" for _, part in parts)
    turns = throws > 1 and not relay and any(_turned(study, chain) for chain, _ in parts)
    least = POSITIONS + 1 if turns else POSITIONS  # such a switch is off in the middle
    return Makeup(poles=len(poles), throws=throws, positions=named or least)


def _common(chain: Chain, part: Part) -> str:
    """What the throws of one pole have in common: of a changeover its own wire, else a terminal."""
    return chain.name if part.kind == "changeover" else part.inlet


def _throws(study: Study, chain: Chain, part: Part) -> tuple[str, ...]:
    """The contacts that a part stands for: both of a pole that turns a motor or changes over."""
    both = part.kind == "changeover" or (_turned(study, chain) and _bridge(part))
    return ("up", "down") if both else (part.outlet,)


def _turned(study: Study, chain: Chain) -> bool:
    circuit = study.document.circuits.get(chain.name)
    return circuit is not None and circuit.reverse is not None


def _bridge(part: Part) -> bool:
    """Whether a part is a pole of a bridge, and no limit switch beside it."""
    return all(part.terminals)


__all__ = ["Makeup", "makeups"]
