"""What a hand moves to change over, and which coils draw on behind a contact that is parted.

In: feeders, contacts, coils. Out: names for print. Changing over opens the feeders for normal use
and closes those for an emergency; who moves a relay moves the switch of its coil.
"""

from msgspec import Struct

from elec.answers.failures.failure_list import Failure
from elec.study import Study, analysis
from elec.wiring.chains import chains
from elec.wiring.coils import CONTACTS, coil_loads, moved_by


class Hands(Struct, frozen=True, kw_only=True):
    """What is moved to change over."""

    closes: tuple[str, ...]
    opens: tuple[str, ...]
    moves: tuple[str, ...]
    """Switches that do both: a relay or switch from one feeder to the other."""
    unsaid: tuple[str, ...]
    """Feeders of which no switch is given that opens or closes them."""

    @property
    def words(self) -> str:
        """`closes ESSENTIAL FEED and opens MASTER`; empty where nothing is known."""
        parts = [
            f"{verb} {' and '.join(names)}"
            for verb, names in (
                ("moves", self.moves),
                ("closes", self.closes),
                ("opens", self.opens),
            )
            if names
        ]
        return f"{', '.join(parts[:-1])} and {parts[-1]}" if len(parts) > 1 else "".join(parts)


@analysis
def hands(study: Study) -> Hands:
    """Every switch of a feeder that is not always in use, in the order of the file."""
    found: dict[str, dict[str, None]] = {"normal": {}, "emergency": {}}
    unsaid: list[str] = []
    for chain in chains(study).of("feeder"):
        used = study.document.feeders[int(chain.path[1])].used
        if used == "always":
            continue
        parts = [part for part in chain.parts() if part.kind in CONTACTS]
        names = [moved_by(study, part.name) or part.label for part in parts]
        found[used] |= dict.fromkeys(name for name in names if name)
        if not any(names):
            unsaid.append(chain.title)
    both = tuple(name for name in found["normal"] if name in found["emergency"])
    return Hands(
        closes=tuple(name for name in found["emergency"] if name not in both),
        opens=tuple(name for name in found["normal"] if name not in both),
        moves=both,
        unsaid=tuple(unsaid),
    )


def drawing_on(study: Study, failure: Failure, lost: tuple[str, ...]) -> tuple[str, ...]:
    """Contactors in a feeder that a failure parts, whose coils are fed on and draw.

    Args:
        study: the run.
        failure: what parts the feeder.
        lost: equipment that is cut off with it.
    """
    coils = {switch: load for load, switch in coil_loads(study).items()}
    return tuple(
        dict.fromkeys(
            part.name
            for chain in chains(study).of("feeder")
            if not failure.opens.isdisjoint(
                (*(c.id for c in chain.conductors()), *(p.id for p in chain.parts()))
            )
            for part in chain.parts()
            if part.kind in CONTACTS
            and coils.get(part.name) in chains(study).feeds
            and coils[part.name] not in lost
            and study.document.feeders[int(chain.path[1])].used != "emergency"
        )
    )


__all__ = ["Hands", "drawing_on", "hands"]
