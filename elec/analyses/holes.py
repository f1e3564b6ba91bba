"""How thick the bundle on each way is, and what the holes and tubes it passes leave for it.

In: runs, gauges, cable tables. Out: `Passage` by way. A tight bundle is computed (circle
packing), then made looser by the share that ties and hands add; what has no published diameter is
named, not guessed.
"""

from collections.abc import Mapping
from functools import cache

from elec.analyses.chains import Chain, chains, coaxial, cores_of, gauge_of
from elec.analyses.laid import laid
from elec.analyses.limits import limit
from elec.analyses.runs import runs
from elec.analyses.sizing import sizing
from elec.analyses.wires import size_of
from elec.physics.bundle import bare_hole_diameter_mm, conduit_diameter_mm, diameter_mm
from elec.record import dataclass
from elec.standards import AWGS, NotCovered, cited, copper, default, table
from elec.study import Study, analysis
from elec.working import Step, Term, Working

INCH_MM = 25.4


@dataclass(frozen=True, kw_only=True)
class Opening:
    """A hole or tube and what it must have for this bundle."""

    kind: str
    """`hole with grommet`, `bare hole`, `tube`."""
    given_m: float
    needed_m: float


@dataclass(frozen=True, kw_only=True)
class Passage:
    """The bundle on one way. `diameter_m` is None where a member's size is not known."""

    way: int
    title: str
    wires: int
    """Wires, cores and coaxial lines on the whole way."""
    bundles: int
    each: int
    """Of these in the fullest bundle."""
    diameter_m: float | None
    """Of that bundle, as it lies."""
    all_m: float | None
    """Of all that lie on the way together, which a hole has to pass."""
    openings: tuple[Opening, ...]
    unknown: tuple[str, ...]
    """Cables without a published diameter."""
    working: Working


@dataclass(frozen=True, kw_only=True)
class Member:
    """One wire or one cable of a bundle; its diameter is None where no document gives it."""

    label: str
    """A conductor's id, or a cable's name."""
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
    return {
        way: _passage(study, way, [(m.label, m.diameter_mm, m.conductors) for m in lying])
        for way, lying in members(study).items()
    }


def _items(study: Study, chain: Chain) -> list[tuple[tuple[int, ...], Member]]:
    """The ways of each of a chain's wires; a cable is one item."""
    if chain.kind == "cable":
        conductors = chain.conductors()
        if not conductors:
            return []
        legs = tuple(leg.index for leg in runs(study)[conductors[0].id].legs)
        entry = study.document.cables[chain.name]
        thick = cable_diameter_mm(entry.type)
        if entry.diameter_m is not None:
            thick = entry.diameter_m * 1000
        cable = Member(
            label=chain.name,
            diameter_mm=thick,
            conductors=len(conductors),
            coaxial=any(c.role == "coax" for c in conductors),
        )
        return [(legs, cable)]
    items: list[tuple[tuple[int, ...], Member]] = []
    for conductor in chain.conductors():
        legs = tuple(leg.index for leg in runs(study)[conductor.id].legs)
        size = size_of(study, conductor, sizing(study).gauges[conductor.id].awg).diameter_mm
        items.append((legs, Member(label=conductor.id, diameter_mm=size)))
    return items


@cache
def cable_diameter_mm(kind: str) -> float | None:
    """Outside diameter of a cable by its type; None where no document gives it.

    >>> round(cable_diameter_mm("RG-400"), 2)
    4.95
    """
    if coaxial(kind) or table("elec/coax").select(cable=kind):
        rows = table("elec/coax").select(cable=kind)
        return (
            rows[0].number("diameter_in") * INCH_MM if rows and rows[0].has("diameter_in") else None
        )
    awg, cores = gauge_of(kind), cores_of(kind)
    if awg is None or awg not in AWGS:
        return None
    if "shielded" in kind:
        try:
            row = table("elec/shielded_cable").row(awg=awg, cores_count=float(cores))
        except NotCovered:
            return None
        return row.number("diameter_in") * INCH_MM
    return diameter_mm(diameters_mm=[copper(awg).diameter_mm] * cores)


def _fullest(study: Study, way: int, items: list[tuple[str, float | None, int]]) -> int:
    """Wires and cores in the fullest bundle: shared out evenly, or more where it is said so."""
    even = -(-sum(count for _, _, count in items) // study.document.ways[way].bundles)
    found = laid(study).get(way)
    if found is None:
        return even
    names = [label.rpartition("/")[0] or label for label, _, count in items for _ in range(count)]
    return max(even, found.fullest(names))


def _passage(study: Study, way: int, items: list[tuple[str, float | None, int]]) -> Passage:
    entry = study.document.ways[way]
    title = entry.name or f"{entry.between[0]} to {entry.between[1]}".replace("-", " ")
    unknown = tuple(label for label, size, _ in items if size is None)
    sizes = [size for _, size, _ in items if size is not None]
    loose = 1 + default("bundle-looseness").si
    every = diameter_mm(diameters_mm=sizes) * loose
    wires = sum(count for _, _, count in items)
    each = _fullest(study, way, items)
    one = (
        every * (each / wires) ** 0.5
        if each * entry.bundles > wires
        else every / entry.bundles**0.5
    )
    openings: list[Opening] = []
    for hole in entry.holes:
        if hole.grommet:
            room = limit(study, "grommet-room").value
            openings.append(
                Opening(
                    kind="hole with grommet",
                    given_m=hole.diameter_m,
                    needed_m=every / 1000 + room,
                )
            )
        else:
            extra = limit(study, "grommet-clearance")
            usual = bare_hole_diameter_mm(bundle_diameter_mm=every) / 1000
            needed = every / 1000 + 2 * extra.value if extra.tightened else usual
            openings.append(Opening(kind="bare hole", given_m=hole.diameter_m, needed_m=needed))
    if entry.conduit_m is not None:
        ratio = limit(study, "conduit-ratio")
        usual = conduit_diameter_mm(bundle_diameter_mm=every) / 1000
        needed = ratio.value * every / 1000 if ratio.tightened else usual
        openings.append(Opening(kind="tube", given_m=entry.conduit_m, needed_m=needed))
    return Passage(
        way=way,
        title=title,
        wires=wires,
        bundles=entry.bundles,
        each=each,
        diameter_m=None if unknown else one / 1000,
        all_m=None if unknown else every / 1000,
        openings=tuple(openings),
        unknown=unknown,
        working=_working(title, sizes, every),
    )


def _working(title: str, sizes: list[float], every: float) -> Working:
    """The circle around all that lies here: exact to three, by the sum of squares above."""
    loose = default("bundle-looseness")
    share = Term(symbol="l", value=loose.si, unit="", meaning=loose.meaning, origin=loose.origin)
    formula, terms, source = _circle(sorted(sizes, reverse=True))
    step = Step(
        result=Term(
            symbol="D", value=every, unit="mm", meaning="diameter of the bundle", origin="computed"
        ),
        formula=f"{formula} * (1 + l)" if formula else "",
        terms=(*terms, share) if formula else (),
        source=source,
        note="loose bundles are 5 to 10 % larger",
    )
    return Working(title=f"Bundle {title}", steps=(step,) if sizes else ())


def _circle(sizes: list[float]) -> tuple[str, tuple[Term, ...], str]:
    """Formula, terms and source of a tight bundle's diameter, thickest wire first."""
    thick = tuple(
        Term(symbol=f"d{n}", value=size, unit="mm", meaning=words, origin="wire and cable tables")
        for n, (size, words) in enumerate(
            zip(sizes, ("the thickest", "the next", "the third"), strict=False), 1
        )
    )
    exact = "circle around up to three circles (textbook)"
    if len(sizes) == 1:
        return "d1", thick, exact
    if len(sizes) == 2 or (len(sizes) == 3 and diameter_mm(diameters_mm=sizes) == sum(sizes[:2])):
        return "(d1 + d2)", thick[:2], exact
    if len(sizes) == 3:
        k1, k2, k3 = ("2 / d1", "2 / d2", "2 / d3")
        root = f"sqrt({k1} * {k2} + {k2} * {k3} + {k3} * {k1})"
        return f"2 / (2 * {root} - {k1} - {k2} - {k3})", thick, exact
    squares = Term(
        symbol="S",
        value=sum(size**2 for size in sizes),
        unit="mm²",
        meaning=f"sum of the squared outside diameters of {len(sizes)} wires and cables",
        origin="wire and cable tables",
    )
    source = f"{cited(diameter_mm)}; never less than the two thickest"
    return "max(1.2 * sqrt(S), d1 + d2)", (squares, *thick[:2]), source
