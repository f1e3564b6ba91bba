"""Lengths as they were given beside the straight line or the ways that they belong to.

In: ways, coordinates of places, given lengths of wires. Out: a `GivenLength` for each that can be
compared.
"""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.chains import chains
from elec.wiring.ways import apart_m, paths_from


class GivenLength(Struct, frozen=True, kw_only=True):
    """A given length and what it is held against."""

    title: str
    path: tuple[str | int, ...]
    given_m: float
    against: str
    """What it is held against, in words."""
    against_m: float
    reach_m: float
    """How much nearer than their places the two ends may lie: places are wide."""

    nearest: bool
    """Whether nothing can be nearer: a straight line; a wire may leave the ways."""

    @property
    def least_m(self) -> float:
        """The shortest that it can be."""
        return max(0.0, self.against_m - self.reach_m)


@analysis
def spans(study: Study) -> Mapping[str, GivenLength]:
    """Every given length that can be compared, by the name of its way or wire."""
    return {**dict(_ways(study)), **dict(_wires(study))}


def _ways(study: Study) -> Iterator[tuple[str, GivenLength]]:
    places = study.document.places
    for index, way in enumerate(study.document.ways):
        one, two = way.between
        straight_m = apart_m(places.get(one), places.get(two))
        if way.length_m is None or straight_m is None:
            continue
        name = way.name or f"{one} to {two}"
        yield (
            name,
            GivenLength(
                title=name,
                path=("ways", index, "length"),
                given_m=way.length_m,
                against=f"the straight line from {one} to {two} by their coordinates",
                against_m=straight_m,
                nearest=True,
                reach_m=_reach_m(study, one, two),
            ),
        )


def _wires(study: Study) -> Iterator[tuple[str, GivenLength]]:
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            one, two = conductor.a.place, conductor.b.place
            if conductor.length_m is None or one == two:
                continue
            path = paths_from(study, one).get(two)
            if path is None or path.length_m is None:
                continue
            mark = marks(study)[conductor.id]
            yield (
                mark,
                GivenLength(
                    title=f"{chain.title}, {mark}",
                    path=(*chain.path, "length"),
                    given_m=conductor.length_m,
                    against=f"the ways from {one} to {two}",
                    against_m=path.length_m,
                    nearest=False,
                    reach_m=_reach_m(study, one, two),
                ),
            )


def _reach_m(study: Study, one: str, two: str) -> float:
    """Half of either place: what sits there is somewhere in it."""
    return sum(_within_m(study, name) for name in (one, two)) / 2


def _within_m(study: Study, name: str) -> float:
    spot = study.document.places.get(name)
    if spot is not None and spot.within_m is not None:
        return spot.within_m
    return default("within-place-length").si


__all__ = ["GivenLength", "spans"]
