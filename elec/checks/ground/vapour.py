"""Does any return current pass a place with fuel vapour, or anything spark there?"""

from collections.abc import Iterator

from elec.answers.grounds.grounding import ground_points
from elec.check import check
from elec.checks.answer import Path, answer, begun, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.coils import coil_loads, contacts
from elec.wiring.ends import DEVICES


@check(
    "No ground point, contact, device, load or battery sits where fuel vapour may be",
    sources=(Cite("ac4313", "11-186d", "seen"),),
    heats=True,
)
def ground_vapour(study: Study) -> Iterator[Finding]:
    """A ground that works loose sparks; near a tank or a fuel line that is enough.

    Bring the returns out of there by wire. Say `fuel-vapour: yes` on each place where vapour may
    be: elec knows only what you mark. The contacts of a switch or relay spark whenever they open,
    so do the brushes of a motor and a breaker or fuse that opens, a lamp gets hot, and a battery's
    posts spark when a nut is loose: only a part that is made for it may sit there, which its maker
    says. What draws nothing (`passive`) is not asked.
    """
    marked = [name for name, spot in study.document.places.items() if spot.fuel_vapour]
    for name, point in ground_points(study).items():
        vapour = point.place in marked
        place = study.system.title("places", point.place)
        title = study.system.title("grounds", name)
        yield answer(
            study,
            name,
            passes(not vapour),
            f"{title} sits at {place}, where fuel vapour may be."
            if vapour
            else f"{title} sits at {place}, which is not marked for fuel vapour.",
            at=("grounds", name),
            remedy="Move it out of there, and let the returns reach it by wire.",
        )
    for about, path, title, spot in _sparking(study):
        if spot in marked:
            yield answer(
                study,
                about,
                Verdict.CANNOT_TELL,
                f"{title}, {study.system.title('places', spot)}: unknown whether it lights fuel "
                "vapour.",
                at=path,
                remedy="Move it out of there; or take one that its maker seals or allows for it, "
                "and accept this with that reason.",
            )


def _sparking(study: Study) -> Iterator[tuple[str, Path, str, str | None]]:
    """What may light vapour: how `accept` names it, where it is written, its title and place.

    A load, a switch and a circuit may have one name: loads and devices are told apart by a dot.
    """
    document, title = study.document, study.system.title
    standing = {name: entry.place for name, entry in document.switches.items()}
    standing |= {name: poles[0][1].place for name, poles in contacts(study).items()}
    for name, place in standing.items():
        yield name, ("switches", name), title("switches", name), place
    for name, source in document.sources.items():
        yield name, ("sources", name), title("sources", name), source.place
    for name, entry in document.equipment.items():
        moved = coil_loads(study).get(name)
        inside = moved is not None and standing[moved] == entry.place  # asked as its contactor
        if not entry.passive and not inside:
            yield f"{name}.load", ("equipment", name), title("equipment", name), entry.place
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind in DEVICES:
                said = f"the {part.kind} of {chain.title}"
                yield f"{chain.name}.{part.kind}", chain.path, begun(said), part.place
