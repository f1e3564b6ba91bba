"""Which places and zones all that feeds a bus, or either of a pair, goes through.

In: what leads from the sources, the runs of its wires. Out: titles. A place is no single thing of
the list of failures: wires in separate bundles, and what sits there, are lost in it together.
Looked at is where wires are laid now, not where else they could be.
"""

from collections.abc import Collection, Mapping, Sequence

from elec.answers.failures.feed_ways import links_between, posts
from elec.answers.failures.ways_apart import leading
from elec.study import Study, analysis
from elec.wiring.chains import chains
from elec.wiring.graph import Link, Steps, fewest_steps, steps_of
from elec.wiring.runs import runs


def shared_places(study: Study, members: Sequence[Collection[str]]) -> tuple[str, ...] | None:
    """Titles of what every way from a source to any of the members goes through.

    A zone is named only where none of its places is: ways go through one or the other of them.

    Args:
        study: the run.
        members: where each ends: a bus, or the contacts at which circuits of a pair end.

    Returns:
        None where a wire on one of the ways lies nobody knows where.
    """
    links = leading(links_between(study), posts(study), [end for ends in members for end in ends])
    lies = {link: _lies(study).get(link.id) for link in links}
    if not all(lies.values()):
        return None
    steps = steps_of(links)
    some = [_on_one_way(study, steps, ends) for ends in members]
    areas = [("places", name, {name}) for name in study.document.places]
    areas += [("zones", name, {*zone.places}) for name, zone in study.document.zones.items()]
    named: set[str] = set()
    titles = []
    for kind, name, area in areas:
        if area & named or not all(area & places for places in some):
            continue
        lost = {link for link, places in lies.items() if places and places & area}
        if all(_cut(study, steps, ends, lost) for ends in members):
            named |= area
            titles.append(study.system.title(kind, name))
    return tuple(titles)


@analysis
def _lies(study: Study) -> Mapping[str, frozenset[str]]:
    """Places of every part and conductor; none where its way is not known."""
    found: dict[str, frozenset[str]] = {}
    for chain in chains(study).by_name.values():
        found |= {part.id: frozenset((part.place,)) for part in chain.parts()}
        for conductor in chain.conductors():
            run = runs(study)[conductor.id]
            known = run.legs or len(run.places) < 2
            found[conductor.id] = frozenset(run.places if known else ())
    return found


def _on_one_way(study: Study, steps: Steps, ends: Collection[str]) -> set[str]:
    """The places of one way: what is on every way is on this one."""
    way = fewest_steps(steps, posts(study), ends)
    return {place for link, _ in way or () for place in _lies(study)[link.id]}


def _cut(study: Study, steps: Steps, ends: Collection[str], lost: Collection[Link]) -> bool:
    """Whether no way to any of the ends is left without these links."""
    return fewest_steps(steps, posts(study), ends, lost) is None
