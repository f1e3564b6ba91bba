"""May a zone be closed? What holds it open, what is then out of reach, what is spare there.

In: a zone, runs, the state of building, measured values, findings that fail. Out: `Closing`.
A wire that only passes has to be pulled; one that ends in the zone has to be rung out. What is not
said to be done counts as not done.
"""

from collections.abc import Iterable, Iterator
from typing import Literal

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.answers.base.ticked import lost, standing, state_of
from elec.answers.connect.pins import pins
from elec.answers.doubt.measured import comparisons
from elec.finding import Finding, Place, Verdict
from elec.study import Study
from elec.wiring.built import Built, at_least, built
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.ends import wire_ends
from elec.wiring.runs import runs

PASSING, ENDING, SPARE = "pulled", "rung out", "pulled"
"""How far a wire has to be: one that passes, one that ends there, a spare."""


class Inside(Struct, frozen=True, kw_only=True):
    """A wire or cable in the zone, how far it is and how far it has to be."""

    name: str
    """Its mark; a cable's name."""
    title: str
    what: Literal["passes", "ends there", "spare"]
    state: str
    wanted: str
    place: Place
    wires: int = 1
    noted: str = ""
    """When it was done, and what was worth a remark."""
    lost: str = ""
    """Why its tick does not count, where there is one."""

    @property
    def done(self) -> bool:
        """Whether it is as far as it has to be."""
        return at_least(self.state, self.wanted)


class Holding(Struct, frozen=True, kw_only=True):
    """One reason why the zone stays open."""

    about: str
    text: str
    place: Place


class Closing(Struct, frozen=True, kw_only=True):
    """The answer about one zone."""

    zone: str
    title: str
    closes: str
    inside: tuple[Inside, ...]
    holding: tuple[Holding, ...]
    untested: tuple[Inside, ...]
    """What ends there and is rung out, but not yet tested in service."""
    unreachable: tuple[str, ...]
    """Equipment, connectors, grounds and splices that nobody reaches afterwards."""
    spares: tuple[str, ...]
    photos: tuple[str, ...]

    @property
    def may_close(self) -> bool:
        """Whether nothing holds it open."""
        return not self.holding


def closing(study: Study, zone: str, findings: Iterable[Finding] = ()) -> Closing:
    """Everything about closing a zone.

    Args:
        study: the run.
        zone: its name in the file.
        findings: those of the checks, of which the failed ones about the zone hold it open.
    """
    places = frozenset(study.document.zones[zone].places)
    inside = tuple(_inside(study, places))
    holding = [
        Holding(
            about=one.title,
            text=f"{'a spare' if one.what == 'spare' else one.what}: {one.state}, has to be "
            f"{one.wanted}{f'. {one.lost}' if one.lost else ''}",
            place=one.place,
        )
        for one in inside
        if not one.done
    ]
    names = _names(study, places, inside)
    holding += _off(study, names)
    holding += _failing(findings, names)
    return Closing(
        zone=zone,
        title=study.system.title("zones", zone),
        closes=study.document.zones[zone].closes,
        inside=inside,
        holding=tuple(holding),
        untested=tuple(
            one for one in inside if one.what == "ends there" and one.done and one.state != "tested"
        ),
        unreachable=tuple(_unreachable(study, places)),
        spares=tuple(_spares(study, places)),
        photos=tuple(_photos(study, places)),
    )


def _inside(study: Study, places: frozenset[str]) -> Iterator[Inside]:
    for chain in chains(study).by_name.values():
        if chain.kind == "cable":
            yield from _cable(study, chain, places)
            continue
        for conductor in chain.conductors():
            if not places.isdisjoint(runs(study)[conductor.id].places):
                yield _wire(study, chain, conductor, places)


def _wire(study: Study, chain: Chain, conductor: Conductor, places: frozenset[str]) -> Inside:
    ends = conductor.a.place in places or conductor.b.place in places
    mark = marks(study)[conductor.id]
    start, end = wire_ends(study, conductor)
    found = built(study).by_conductor.get(conductor.id)
    path = ("build", found.name) if found else chain.path
    return Inside(
        name=mark,
        title=f"{mark}, {start} to {end}",
        what="ends there" if ends else "passes",
        state=state_of(study, conductor),
        wanted=ENDING if ends else PASSING,
        place=study.system.where(*path),
        noted=_noted(found),
        lost=_lost(study, conductor),
    )


def _cable(study: Study, chain: Chain, places: frozenset[str]) -> Iterator[Inside]:
    conductors = chain.conductors()
    entry = study.document.cables[chain.name]
    if not conductors:
        return
    if all(places.isdisjoint(runs(study)[c.id].places) for c in conductors):
        return
    ends = any({c.a.place, c.b.place} & places for c in conductors)
    found = built(study).by_conductor.get(conductors[0].id)
    yield Inside(
        name=chain.name,
        title=f"{chain.title} ({entry.type})",
        what="spare" if entry.spare else "ends there" if ends else "passes",
        state=state_of(study, conductors[0]),
        wanted=SPARE if entry.spare else ENDING if ends else PASSING,
        place=study.system.where(*(("build", found.name) if found else chain.path)),
        wires=len(conductors),
        noted=_noted(found),
        lost=_lost(study, conductors[0]),
    )


def _lost(study: Study, conductor: Conductor) -> str:
    found = lost(study).get(conductor.id)
    if found:
        return f"Its tick {found.entry.name} was {found.said}"
    if standing(study, conductor, "planned") == "not held":
        name = built(study).by_conductor[conductor.id].name
        return (
            f"Its tick {name} does not say what it was given for; look at the wire, and tick it "
            "again with elec done"
        )
    return ""


def _noted(found: Built | None) -> str:
    return ", ".join(filter(None, (found.done.date, found.done.remark))) if found else ""


def _names(study: Study, places: frozenset[str], inside: tuple[Inside, ...]) -> frozenset[str]:
    """What findings and measurements may call things of this zone."""
    found = {one.name for one in inside}
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            if not places.isdisjoint(runs(study)[conductor.id].places):
                found.add(chain.name)
                entry = built(study).by_conductor.get(conductor.id)
                if entry is not None:
                    found.add(entry.name)
    for section in ("equipment", "grounds", "sources", "buses", "plugs", "switches"):
        for name, thing in getattr(study.document, section).items():
            if getattr(thing, "place", None) in places:
                found.add(name)
    return frozenset(found)


def _off(study: Study, names: frozenset[str]) -> Iterator[Holding]:
    for found in comparisons(study):
        if found.about.partition(":")[0] in names and found.agrees is False:
            yield Holding(
                about=found.about,
                text=f"{found.title}: the {found.quantity} that was measured is off. {found.cause}",
                place=study.system.where(*found.path),
            )


def _failing(findings: Iterable[Finding], names: frozenset[str]) -> Iterator[Holding]:
    for finding in findings:
        if finding.verdict is not Verdict.FAIL:
            continue
        first = finding.about.partition(",")[0].partition(".")[0]
        if {finding.about, first} & names:
            yield Holding(
                about=finding.about,
                text=f"{finding.check} fails: {finding.sentence}",
                place=finding.place,
            )


def _unreachable(study: Study, places: frozenset[str]) -> Iterator[str]:
    for section, what in (("equipment", ""), ("grounds", "ground "), ("switches", "")):
        for name, thing in getattr(study.document, section).items():
            if getattr(thing, "place", None) in places:
                yield f"{what}{study.system.title(section, name)}"
    for one in pins(study).by_id.values():
        if one.place in places and one.type != "terminals":
            yield f"connector {one.title}"
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind == "splice" and part.place in places:
                yield f"splice of {chain.title}"


def _spares(study: Study, places: frozenset[str]) -> Iterator[str]:
    for chain in chains(study).of("cable"):
        entry = study.document.cables[chain.name]
        conductors = chain.conductors()
        reached = {p for c in conductors for p in runs(study)[c.id].places}
        if entry.spare and reached & places:
            yield f"{chain.title}: {len(conductors)} of {entry.type}"
    for one in pins(study).by_id.values():
        if one.place in places and one.contacts is not None:
            free = one.contacts - sum(1 for pin in one.pins if pin.landings)
            if free > 0:
                yield f"{one.title}: {free} of {one.contacts} contacts"


def _photos(study: Study, places: frozenset[str]) -> Iterator[str]:
    """What to photograph, tags readable, a scale beside it."""
    for way in study.document.ways:
        if places & set(way.between):
            ends = " to ".join(study.system.title("places", place) for place in way.between)
            yield f"the bundle {way.name or ends}, clamps and holes"
    for name, ground in study.document.grounds.items():
        if ground.place in places:
            yield f"ground {study.system.title('grounds', name)}, its stud and lugs"
    for one in pins(study).by_id.values():
        if one.place in places and one.type != "terminals":
            yield f"connector {one.title}, from both sides"
