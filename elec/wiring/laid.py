"""Which chain lies in which bundle, on ways whose bundles the builder has named.

In: ways, chains, runs. Out: `Laid` by way. A way without `bundled` is not among them.
"""

from collections import Counter
from collections.abc import Iterable, Mapping

from msgspec import Struct

from elec.model.route import REST
from elec.study import Study, analysis
from elec.wiring.chains import chains
from elec.wiring.runs import runs


class Laid(Struct, frozen=True, kw_only=True):
    """The bundles of one way."""

    way: int
    names: tuple[str, ...]
    """The bundles in the builder's order."""
    of: Mapping[str, str]
    """Chain → the bundle it lies in."""
    unsaid: tuple[str, ...]
    """Chains on the way that no bundle holds; they may lie in any."""
    strangers: tuple[tuple[str, str], ...]
    """(bundle, name) of what is named there and does not lie on the way."""

    def fullest(self, names: Iterable[str]) -> int:
        """How many lie in the bundle with most, of wires given by the names of their chains."""
        counted = Counter(self.of[name] for name in names if name in self.of)
        return max(counted.values(), default=0)


@analysis
def laid(study: Study) -> Mapping[int, Laid]:
    """Every way whose bundles are named."""
    there: dict[int, dict[str, None]] = {}
    for conductor in chains(study).conductors():
        for leg in runs(study)[conductor.id].legs:
            there.setdefault(leg.index, {})[conductor.chain] = None
    return {
        index: _laid(study, index, tuple(there.get(index, {})))
        for index, way in enumerate(study.document.ways)
        if way.bundled
    }


def _laid(study: Study, index: int, there: tuple[str, ...]) -> Laid:
    way = study.document.ways[index]
    called = {name: _called(study, name) for name in there}
    of: dict[str, str] = {}
    strangers = []
    for bundle, names in way.bundled.items():
        for name in names:
            found = [chain for chain, own in called.items() if own == name]
            of.update(dict.fromkeys(found, bundle))
            if not found and name != REST:
                strangers.append((bundle, name))
    rest = next((bundle for bundle, names in way.bundled.items() if REST in names), None)
    others = tuple(name for name in there if name not in of)
    if rest is not None:
        of.update(dict.fromkeys(others, rest))
    return Laid(
        way=index,
        names=tuple(way.bundled),
        of=of,
        unsaid=others if rest is None else (),
        strangers=tuple(strangers),
    )


def _called(study: Study, name: str) -> str:
    """A chain by the name that the builder gave it: the wire of a ground by that ground."""
    return chains(study).by_name[name].ground or name


__all__ = ["Laid", "laid"]
