"""Which ground is the main one, which are bonded to the structure, which is nearest."""

from elec.standards import default
from elec.study import Study
from elec.wiring.joined.records import STRUCTURE, Chain
from elec.wiring.material import bears


def main_ground(study: Study) -> str | None:
    """The ground point of the battery negative: `system.ground`, else the first of `grounds`."""
    return study.system.about.ground or next(iter(study.document.grounds), None)


def ground_node(name: str | None) -> str:
    """The network node of a ground point; the structure where there is none."""
    return f"ground:{name}" if name else STRUCTURE


def joined(study: Study, ground: str) -> bool:
    """Whether a ground point is joined to the next one by a known resistance instead of a wire.

    A wire whose resistance was measured (`measured:`) is a wire still. Of the main ground, and of
    structure that names no next point, the resistance is that of its bond to the structure.
    """
    return study.designed.document.grounds[ground].joined and not is_bonded(study, ground)


def known_ohm(study: Study, chain: Chain) -> float | None:
    """The resistance that is given for the way from a ground point to the next one, if it is.

    None for every other chain, and for a second wire, which is computed as it lies.
    """
    return study.document.grounds[chain.ground].resistance_ohm if chain.ground else None


def is_bonded(study: Study, ground: str) -> bool:
    """Whether a ground point is bonded to a structure that carries returns."""
    entry = study.designed.document.grounds[ground]
    alone = entry.kind == "structure" and entry.to is None and not entry.wired
    return bears(study, entry.place) and (alone or ground == main_ground(study))


def bond_ohm(study: Study, ground: str) -> float:
    """The resistance of its bond to the structure: given, or that of a sound joint."""
    given = study.document.grounds[ground].resistance_ohm
    return default("structure-joint-resistance").si if given is None else given


def bonded_grounds(study: Study) -> tuple[str, ...]:
    """Ground points that are bonded to a structure that carries returns."""
    return tuple(name for name in study.document.grounds if is_bonded(study, name))


def nearest_ground(study: Study, place: str) -> str | None:
    """The ground point that a load at a place returns to.

    The nearest by the ways, the builder's order on a tie.
    """
    from elec.wiring.ways import distances

    grounds = study.document.grounds
    if not grounds:
        return None
    far = distances(study, place)
    known = [name for name, ground in grounds.items() if ground.place in far]
    if not known:
        return main_ground(study)
    return min(known, key=lambda name: (far[grounds[name].place], list(grounds).index(name)))
