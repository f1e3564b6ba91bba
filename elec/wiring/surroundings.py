"""Where each conductor gets warm.

The ways and places it lies in, its neighbours there, air and height.

In: runs, places, ways. Out: `Spots`: groups of conductors that lie together, with ambient
temperature. Which wires share a bundle follows from their runs alone.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec.physics.atmosphere import pressure_ratio
from elec.physics.heat import altitude_factor, bundle_loading, use_ratio
from elec.standards import cited, default
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains
from elec.wiring.laid import laid
from elec.wiring.runs import runs
from elec.working import Term


class Bundle(Struct, frozen=True, kw_only=True):
    """Conductors that lie together on a way (`leg` set) or within a place."""

    id: str
    title: str
    leg: int | None
    place: str | None
    members: tuple[str, ...]
    """All conductors here but coaxial lines."""
    lines: tuple[str, ...]
    """The coaxial lines here."""
    bundles: int
    """In how many separate bundles they lie."""
    ambient: Term
    known: bool = True
    fullest: int = 0
    """Wires in the fullest bundle, as far as it is said which hold what."""

    @property
    def where(self) -> str:
        """Where it lies, for a sentence: `within panel`, `on the way panel to belly`."""
        return self.title if self.place is not None else f"on the way {self.title}"

    @property
    def wires(self) -> float:
        """Wires that lie together in one bundle: shared out evenly, or more where it is said so."""
        count = max(-(-len(self.members) // self.bundles), self.fullest)
        return float(max(1, count))


class Surroundings(Struct, frozen=True, kw_only=True):
    """All bundles, and the ones that each conductor is in."""

    bundles: Mapping[str, Bundle]
    """Those that hold a wire which may get warm."""
    coaxial: Mapping[str, Bundle]
    """Ways and places that hold coaxial lines alone: nothing gets warm there."""
    of: Mapping[str, tuple[str, ...]]
    altitude: Term
    altitude_factor: Term

    def listed(self) -> tuple[Bundle, ...]:
        """All of them, ways first."""
        every = (*self.bundles.values(), *self.coaxial.values())
        return tuple(sorted(every, key=lambda bundle: bundle.leg is None))


@analysis
def surroundings(study: Study) -> Surroundings:
    """Group conductors by the ways and places they lie in."""
    members: dict[str, list[str]] = {}
    lines: dict[str, list[str]] = {}
    of: dict[str, list[str]] = {}
    everything = {c.id: c for c in chains(study).conductors()}
    for conductor in everything.values():
        for key in _keys(study, conductor):
            kept = lines if conductor.role == "coax" else members
            kept.setdefault(key, []).append(conductor.id)
            of.setdefault(conductor.id, []).append(key)
    every = {
        key: _bundle(study, key, tuple(members.get(key, ())), tuple(lines.get(key, ())))
        for key in (*members, *(key for key in lines if key not in members))
    }
    found = {key: bundle for key, bundle in every.items() if bundle.members}
    altitude = _altitude(study)
    factor = altitude_factor(pressure_ratio=pressure_ratio(altitude_m=altitude.value))
    thin = f"factor for thin air at {altitude.value / 0.3048:.0f} ft"
    return Surroundings(
        bundles=found,
        coaxial={key: bundle for key, bundle in every.items() if not bundle.members},
        of={name: tuple(k for k in keys if k in found) for name, keys in of.items()},
        altitude=altitude,
        altitude_factor=Term("z", factor, "", thin, cited(altitude_factor)),
    )


def _keys(study: Study, conductor: Conductor) -> tuple[str, ...]:
    run = runs(study)[conductor.id]
    if run.legs:
        return tuple(f"way:{leg.index}" for leg in run.legs)
    if len(run.places) == 1:
        return (f"place:{run.places[0]}",)
    return (f"alone:{conductor.id}",)


def _bundle(study: Study, key: str, members: tuple[str, ...], lines: tuple[str, ...]) -> Bundle:
    kind, _, name = key.partition(":")
    if kind == "way":
        index = int(name)
        way = study.document.ways[index]
        title = way.title
        return Bundle(
            id=key,
            title=title,
            leg=index,
            place=None,
            members=members,
            lines=lines,
            bundles=way.bundles,
            ambient=_way_ambient(study, index),
            fullest=_fullest(study, index, members),
        )
    if kind == "place":
        most = int(default("within-place-bundle").value)
        return Bundle(
            id=key,
            title=f"within {name.replace('-', ' ')}",
            leg=None,
            place=name,
            members=members,
            lines=lines,
            bundles=max(1, -(-len(members) // most)),
            ambient=place_ambient(study, name),
        )
    return Bundle(
        id=key,
        title="a run that is not known",
        leg=None,
        place=None,
        members=members,
        lines=lines,
        bundles=1,
        ambient=system_ambient(study),
        known=False,
    )


def _fullest(study: Study, way: int, members: tuple[str, ...]) -> int:
    found = laid(study).get(way)
    return 0 if found is None else found.fullest(name.rpartition("/")[0] for name in members)


def system_ambient(study: Study) -> Term:
    """The temperature around wires where neither place nor way says.

    The system's, else the default.
    """
    given = study.system.about.ambient_degc
    usual = default("ambient")
    if given is None:
        return Term("Ta", usual.value, "degC", usual.meaning, usual.origin)
    origin = str(study.system.where("system", "ambient"))
    return Term("Ta", given, "degC", "temperature around the wire", origin)


def engine_ambient(study: Study, place: str) -> Term | None:
    """What is assumed of a place that holds an alternator: an engine compartment."""
    sources = study.document.sources.values()
    if not any(s.kind == "alternator" and s.place == place for s in sources):
        return None
    usual = default("engine-ambient")
    meaning = f"temperature at {place.replace('-', ' ')}, where an alternator sits"
    return Term("Ta", usual.value, "degC", meaning, usual.origin)


def place_ambient(study: Study, place: str) -> Term:
    """The temperature at a place: its own; an engine compartment's where warmer; the system's."""
    spot = study.document.places.get(place)
    if spot is None or spot.ambient_degc is None:
        around, engine = system_ambient(study), engine_ambient(study, place)
        return engine if engine is not None and engine.value > around.value else around
    origin = str(study.system.where("places", place, "ambient"))
    meaning = f"temperature at {place.replace('-', ' ')}"
    return Term("Ta", spot.ambient_degc, "degC", meaning, origin)


def _way_ambient(study: Study, index: int) -> Term:
    """The way's own temperature, else that of its hotter end."""
    way = study.document.ways[index]
    if way.ambient_degc is not None:
        meaning = f"temperature on the way {way.between[0]} to {way.between[1]}"
        origin = str(study.system.where("ways", index, "ambient"))
        return Term("Ta", way.ambient_degc, "degC", meaning, origin)
    return max((place_ambient(study, place) for place in way.between), key=lambda term: term.value)


def _altitude(study: Study) -> Term:
    given, usual = study.system.about.ceiling_m, default("ceiling")
    if given is None:
        return Term("h", usual.si, "m", usual.meaning, usual.origin)
    return Term("h", given, "m", "greatest height", str(study.system.where("system", "ceiling")))


def loading(amps: float, capacity_a: float, wires: float) -> float:
    """Loading of a bundle, 0 to 1: the sum of currents over the sum of harness capacities.

    `capacity_a` is the sum of the wires' capacities alone, at this ambient and height.

    >>> round(loading(50.6, 489.8, 35.0), 1)  # AC 43.13-1B 11-69, first harness: 20 %
    0.2
    """
    if not capacity_a:
        return 1.0
    return _LOADING(use_ratio=_USED(together_a=amps, capacity_a=capacity_a), wires=wires)


_USED = use_ratio.plain(together_a=0.0, capacity_a=1.0)
_LOADING = bundle_loading.plain(use_ratio=0.0, wires=1.0)
"""The compiled formulas, for the rounds of the search."""
