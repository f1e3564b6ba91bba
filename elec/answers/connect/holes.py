"""How thick the bundle on each way is, and what the holes and tubes it passes leave for it.

In: runs, gauges, cable tables. Out: `Passage` by way. A tight bundle is computed (circle
packing), then made looser by the share that ties and hands add; what has no published diameter is
named, not guessed.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from elec.physics.bundle import (
    bare_hole_diameter_mm,
    conduit_diameter_mm,
    diameter_mm,
    grommet_hole_diameter_mm,
)
from elec.sizing.sizing import wire_of
from elec.standards import AWGS, NotCovered, cited, copper, default, table
from elec.study import Study, analysis
from elec.wiring.chains import Chain, Conductor, chains, cores_of, gauge_of
from elec.wiring.hand import assumed, said
from elec.wiring.laid import laid
from elec.wiring.limits import limit
from elec.wiring.runs import runs
from elec.wiring.surroundings import surroundings
from elec.working import Step, Term, Working, computed

INCH_MM = 25.4
ROOM = {
    "bare hole": "grommet-clearance",
    "hole with grommet": "grommet-room",
    "tube": "conduit-ratio",
}
"""The limit that says what each kind of opening must have besides what passes."""


class Opening(Struct, frozen=True, kw_only=True):
    """A hole or tube and what it must have for this bundle."""

    kind: str
    """`hole with grommet`, `bare hole`, `tube`."""
    given_m: float
    needed_m: float
    passing_m: float
    """Diameter of all that passes it, bundle beside bundle."""
    wires: int
    bundles: int
    working: Working

    @property
    def full(self) -> float:
        """The part of what is given that is needed: above 1 it does not fit."""
        return self.needed_m / self.given_m


class Passage(Struct, frozen=True, kw_only=True):
    """The bundle on one way. `diameter_m` is None where a member's size is not known."""

    way: int
    title: str
    wires: int
    """Wires, cores and coaxial lines on the whole way."""
    bundles: int
    each: int
    """Of these in the fullest bundle."""
    diameter_m: float | None
    """Of the thickest bundle, as it lies."""
    all_m: float | None
    """Around all that lie on the way, bundle beside bundle, which a hole has to pass."""
    openings: tuple[Opening, ...]
    unholed: Mapping[str, float | None]
    """Bundles with fewer holes of their own than another: where they pass is not said. Each with
    the m that a hole with a grommet would need; None where a member's size is not known."""
    unknown: tuple[str, ...]
    """Cables without a published diameter."""
    working: Working


class Member(Struct, frozen=True, kw_only=True):
    """One wire or one cable of a bundle; its diameter is None where no document gives it."""

    label: str
    """A conductor's id, or a cable's name."""
    chain: str
    diameter_mm: float | None
    conductors: int = 1
    coaxial: bool = False


@analysis
def members(study: Study) -> Mapping[int, tuple[Member, ...]]:
    """What lies on each way, in the builder's order; a cable is one member."""
    found: dict[int, list[Member]] = {}
    for chain in chains(study).by_name.values():
        for legs, member in _items(study, chain):
            for leg in legs:
                found.setdefault(leg, []).append(member)
    return {way: tuple(lying) for way, lying in sorted(found.items())}


@analysis
def passages(study: Study) -> Mapping[int, Passage]:
    """The bundle of every way that anything lies on."""
    return {way: _passage(study, way, lying) for way, lying in members(study).items()}


@analysis
def bundles_m(study: Study) -> Mapping[int, Mapping[str, float | None]]:
    """Way with named bundles → how thick each of them is as it lies, as for a hole of its own.

    None where a cable in it has no published diameter.
    """
    found: dict[int, dict[str, float | None]] = {}
    for way, lying in members(study).items():
        for name in laid(study)[way].names if way in laid(study) else ():
            inside = _in_bundle(study, way, name, lying)
            known = all(m.diameter_mm is not None for m in inside)
            found.setdefault(way, {})[name] = _passing(inside)[0] / 1000 if known else None
    return found


def _items(study: Study, chain: Chain) -> Iterator[tuple[tuple[int, ...], Member]]:
    """The ways of each of a chain's wires; a cable is one item."""
    for conductor, member in _named(study, chain):
        yield tuple(leg.index for leg in runs(study)[conductor.id].legs), member


def _named(study: Study, chain: Chain) -> Iterator[tuple[Conductor, Member]]:
    """A chain's wires, each as a member; of a cable its first core stands for all."""
    conductors = chain.conductors()
    if chain.kind != "cable":
        for conductor in conductors:
            size = wire_of(study, conductor).diameter_mm
            yield conductor, Member(label=conductor.id, chain=chain.name, diameter_mm=size)
        return
    if not conductors:
        return
    entry = study.document.cables[chain.name]
    thick = cable_diameter_mm(entry.type)
    if entry.diameter_m is not None:
        thick = entry.diameter_m * 1000
    yield (
        conductors[0],
        Member(
            label=chain.name,
            chain=chain.name,
            diameter_mm=thick,
            conductors=len(conductors),
            coaxial=any(c.role == "coax" for c in conductors),
        ),
    )


@cache
def cable_diameter_mm(kind: str) -> float | None:
    """Outside diameter of a cable by its type; None where no document gives it.

    >>> round(cable_diameter_mm("RG-400"), 2)
    4.95
    """
    rows = table("elec/coax").select(cable=kind)
    if rows:
        return rows[0].number("diameter_in") * INCH_MM if rows[0].has("diameter_in") else None
    awg, cores = gauge_of(kind), cores_of(kind)
    if awg is None or awg not in AWGS:
        return None
    if "shielded" in kind:
        found = shielded(awg, cores, "diameter_in")
        return None if found is None else found * INCH_MM
    return diameter_mm(diameters_mm=[copper(awg).diameter_mm] * cores)


def shielded(awg: str, cores: int, column: str) -> float | None:
    """A figure of a shielded cable of so many cores; None where the table has no such cable."""
    try:
        return table("elec/shielded_cable").row(awg=awg, cores_count=float(cores)).number(column)
    except NotCovered:
        return None


@analysis
def thickness_m(study: Study) -> Mapping[str, float | None]:
    """Bundle of `surroundings` → how thick it is as it lies, ties included.

    None where a cable in it has no published diameter. Every page that prints a bundle's thickness
    asks here.
    """
    found: dict[str, float | None] = {}
    for bundle in surroundings(study).listed():
        key, inside = bundle.id, {*bundle.members, *bundle.lines}
        if bundle.leg is not None:
            passage = passages(study).get(bundle.leg)
            found[key] = passage.diameter_m if passage else None
            continue
        # in the order of the text: a sum depends on its order in the last digit
        here = (c.chain for c in chains(study).conductors() if c.id in inside)
        lying = [
            member
            for name in dict.fromkeys(here)
            for item, member in _named(study, chains(study).by_name[name])
            if item.id in inside
        ]
        sizes = [m.diameter_mm for m in lying if m.diameter_mm is not None]
        known = bool(sizes) and len(sizes) == len(lying)
        found[key] = _loose_mm(sizes) / 1000 if known else None
    return found


def _loose_mm(sizes: list[float]) -> float:
    return diameter_mm(diameters_mm=sizes) * (1 + default("bundle-looseness").si)


def _groups(study: Study, way: int, lying: tuple[Member, ...]) -> tuple[tuple[Member, ...], ...]:
    """What lies in each bundle of a way, the thickest bundle first.

    As the builder named them; what he put in none may lie in any. Unnamed bundles share evenly,
    thick and thin.
    """
    count = study.document.ways[way].bundles
    said = laid(study).get(way)
    if said is None:
        order = sorted(lying, key=lambda m: -(m.diameter_mm or 0.0))
        groups = [order[n::count] for n in range(count)]
    else:
        unsaid = [m for m in lying if m.chain not in said.of]
        groups = [
            [m for m in lying if said.of.get(m.chain) == name] + unsaid for name in said.names
        ]
    return tuple(
        sorted(
            (tuple(group) for group in groups if group),
            key=lambda group: -_passing(group)[0],
        )
    )


def _passage(study: Study, way: int, lying: tuple[Member, ...]) -> Passage:
    entry = study.document.ways[way]
    title = entry.title
    unknown = tuple(m.label for m in lying if m.diameter_mm is None)
    groups = _groups(study, way, lying)
    return Passage(
        way=way,
        title=title,
        wires=sum(m.conductors for m in lying),
        bundles=entry.bundles,
        each=max(sum(m.conductors for m in group) for group in groups),
        diameter_m=None if unknown else _passing(groups[0])[0] / 1000,
        all_m=None if unknown else _side_by_side(groups) / 1000,
        openings=tuple(_openings(study, way, title, groups)),
        unholed=dict(_unholed(study, way, title, lying)),
        unknown=unknown,
        working=_working(title, groups),
    )


def _openings(
    study: Study, way: int, title: str, groups: tuple[tuple[Member, ...], ...]
) -> Iterator[Opening]:
    """What each hole and tube of a way must have for all that passes it, bundle beside bundle."""
    entry, lying = study.document.ways[way], members(study)[way]
    for hole in entry.holes:
        inside, named = groups, title
        if hole.bundle is not None:
            inside = (_in_bundle(study, way, hole.bundle, lying),)
            named = f"{hole.bundle} of {title}"
        kind = "hole with grommet" if hole.grommet else "bare hole"
        yield _opening(study, named, kind, hole.diameter_m, inside)
    if entry.conduit_m is not None:
        yield _opening(study, title, "tube", entry.conduit_m, groups)


def _opening(
    study: Study, title: str, kind: str, given_m: float, groups: tuple[tuple[Member, ...], ...]
) -> Opening:
    around = _working(title, groups)
    passing = around.steps[-1].term if around.steps else Term("D", 0.0, "mm", "nothing known", "")
    rule = limit(study, ROOM[kind])
    if kind == "tube":
        needed = conduit_diameter_mm.step(bundle_diameter_mm=passing, ratio=said(rule, rule.value))
    elif kind == "bare hole":
        room = said(rule, rule.value * 1000, unit="mm")
        needed = bare_hole_diameter_mm.step(bundle_diameter_mm=passing, clearance_mm=room)
    else:
        room = said(rule, rule.value * 1000, unit="mm")
        needed = grommet_hole_diameter_mm.step(bundle_diameter_mm=passing, room_mm=room)
    return Opening(
        kind=kind,
        given_m=given_m,
        needed_m=needed.result.value / 1000,
        passing_m=passing.value / 1000,
        wires=sum(m.conductors for m in {m: m for group in groups for m in group}),
        bundles=len(groups),
        working=replace(around, steps=(*around.steps, needed)),
    )


def _unholed(
    study: Study, way: int, title: str, lying: tuple[Member, ...]
) -> Iterator[tuple[str, float | None]]:
    """Bundles of a way that fewer holes name than another: what they pass there is missing."""
    names = laid(study)[way].names if way in laid(study) else ()
    own = Counter(hole.bundle for hole in study.document.ways[way].holes if hole.bundle)
    most = max(own.values(), default=0)
    for name in names:
        inside = _in_bundle(study, way, name, lying)
        if own[name] < most and inside:
            known = all(m.diameter_mm is not None for m in inside)
            hole = _opening(study, f"{name} of {title}", "hole with grommet", 0.0, (inside,))
            yield name, hole.needed_m if known else None


def _sizes(group: tuple[Member, ...]) -> list[float]:
    return [m.diameter_mm for m in group if m.diameter_mm is not None]


def _passing(group: tuple[Member, ...]) -> tuple[float, int]:
    """How thick in mm it is as one bundle, and how many wires it has."""
    sizes = _sizes(group)
    return _loose_mm(sizes) if sizes else 0.0, sum(m.conductors for m in group)


def _side_by_side(groups: tuple[tuple[Member, ...], ...]) -> float:
    """The circle in mm around bundles that are tied each by itself: they do not mingle."""
    return diameter_mm(diameters_mm=[_loose_mm(sizes) for g in groups if (sizes := _sizes(g))])


def _in_bundle(
    study: Study, way: int, bundle: str, lying: tuple[Member, ...]
) -> tuple[Member, ...]:
    """What lies in a bundle of a way, and what may lie in any of them."""
    of = laid(study)[way].of if way in laid(study) else {}
    return tuple(m for m in lying if of.get(m.chain, bundle) == bundle)


def _working(title: str, groups: tuple[tuple[Member, ...], ...]) -> Working:
    """The circle around all that lies here: of several bundles around each, then around these."""
    bundles = [sizes for group in groups if (sizes := _sizes(group))]
    if len(bundles) < 2:
        steps = [_around(sizes, "D", "diameter of all that lies here") for sizes in bundles]
        return Working(title=f"Bundle {title}", steps=tuple(steps))
    each = [
        _around(sizes, f"D{n}", f"diameter of {'the thickest bundle' if n == 1 else f'bundle {n}'}")
        for n, sizes in enumerate(bundles, 1)
    ]
    sizes = sorted((step.result.value for step in each), reverse=True)
    formula, terms, source = _circle(sizes, "b", "bundle", "the steps above")
    whole = computed("D", "mm", "around all bundles side by side", formula, terms, source=source)
    return Working(title=f"Bundle {title}", steps=(*each, whole))


def _around(sizes: list[float], symbol: str, meaning: str) -> Step:
    """Exact to three circles, by the sum of squares above."""
    formula, terms, source = _circle(
        sorted(sizes, reverse=True), "d", "wire or cable", "wire and cable tables"
    )
    return computed(symbol, "mm", meaning, f"{formula} * (1 + l)",
                    (*terms, assumed("bundle-looseness", "l")), source=source,
                    note="loose bundles are 5 to 10 % larger")  # fmt: skip


def _circle(
    sizes: list[float], letter: str, kind: str, origin: str
) -> tuple[str, tuple[Term, ...], str]:
    """Formula, terms and source of the circle around circles, the thickest first."""
    thick = tuple(
        Term(f"{letter}{n}", size, "mm", f"{words} {kind}", origin)
        for n, (size, words) in enumerate(
            zip(sizes, ("the thickest", "the next", "the third"), strict=False), 1
        )
    )
    one, two = f"{letter}1", f"({letter}1 + {letter}2)"
    exact = "circle around up to three circles (textbook)"
    if len(sizes) == 1:
        return one, thick, exact
    if len(sizes) == 2 or (len(sizes) == 3 and diameter_mm(diameters_mm=sizes) == sum(sizes[:2])):
        return two, thick[:2], exact
    if len(sizes) == 3:
        k1, k2, k3 = (f"2 / {letter}{n}" for n in (1, 2, 3))
        root = f"sqrt({k1} * {k2} + {k2} * {k3} + {k3} * {k1})"
        return f"2 / (2 * {root} - {k1} - {k2} - {k3})", thick, exact
    squares = Term(
        "S",
        sum(size**2 for size in sizes),
        "mm²",
        f"sum of the squared outside diameters, {len(sizes)} of {kind}",
        origin,
    )
    source = f"{cited(diameter_mm)}; never less than the two thickest"
    return f"max(1.2 * sqrt(S), {two[1:-1]})", (squares, *thick[:2]), source
