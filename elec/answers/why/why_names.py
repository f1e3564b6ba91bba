"""What a builder may ask about by name, and what he may have meant.

In: the system and the names that he reads off tables, drawings and wires. Out: `WhySubject` by
name.
"""

from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from typing import Literal

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.answers.connect.pins import pins
from elec.finding import Place
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains
from elec.wiring.ends import end_id

Kind = Literal[
    "circuit",
    "device",
    "equipment",
    "feeder",
    "bus",
    "source",
    "ground connection",
    "ground",
    "thin wire",
    "switch",
    "wire",
    "cable",
    "connector",
    "contact",
    "way",
    "place",
    "phase",
]
KINDS: tuple[Kind, ...] = (
    "circuit", "device", "equipment", "feeder", "bus", "source", "ground connection", "ground",
    "thin wire", "switch", "wire", "cable", "connector", "contact", "way", "place", "phase",
)  # fmt: skip
"""In the order in which things of one name are answered."""

NEAR = 0.6
"""How alike two names must be to be taken for each other, 0 to 1."""


class WhySubject(Struct, frozen=True, kw_only=True):
    """One thing that can be asked about."""

    kind: Kind
    name: str
    """Its identifier: of a device its chain, of a wire its conductor, of a way its number."""
    title: str
    """For print."""
    ask: str
    """The name to ask by."""
    place: Place

    @property
    def kind_words(self) -> str:
        """The kind in words that tell it from others of the same name."""
        words = {"device": "protective device", "equipment": "piece of equipment"}
        return words.get(self.kind, self.kind)


def plain(name: str) -> str:
    """A name as it is compared: small letters, one kind of gap.

    >>> plain("Landing  Light"), plain("landing_light")
    ('landing-light', 'landing-light')
    """
    return "-".join(name.casefold().replace("_", " ").replace("-", " ").split())


def find(study: Study, name: str) -> tuple[WhySubject, ...]:
    """Everything of that name, circuits first; an exact name beats one that is merely alike.

    A terminal that a wire ends on (`lamp.+`, `starter.load`) means the thing that it is of.
    """
    exact = _exact(study).get(name.strip(), ())
    found = exact or _alike(study).get(plain(name), ())
    if not found and name.strip() in _every_end(study):
        return find(study, name.strip().partition(".")[0])
    return found


def near(study: Study, name: str, more: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Up to three names that are written much like this one, the nearest first.

    Args:
        study: the system.
        name: what was asked.
        more: other names that could have been meant, such as those of checks.
    """
    known = {
        key: one.ask
        for key, found in _alike(study).items()
        for one in found
        if one.kind != "wire" or key == plain(one.ask)  # nobody knows a wire by its place in a row
    }
    known |= {plain(text): text for text in more}
    asked = plain(name)
    begun = [key for key in known if key.startswith(asked)] if len(asked) > 1 else []
    keys = [*get_close_matches(asked, known, 3, NEAR), *sorted(begun, key=len)]
    return tuple(dict.fromkeys(known[key] for key in keys))[:3]


@analysis
def subjects(study: Study) -> tuple[WhySubject, ...]:
    """Everything that can be asked about."""
    order = {kind: number for number, kind in enumerate(KINDS)}
    return tuple(sorted(_all(study), key=lambda one: order[one.kind]))


@analysis
def _every_end(study: Study) -> frozenset[str]:
    """Every terminal that a wire ends on, as tables and findings write it."""
    ends = (end_id(part) for wire in chains(study).conductors() for part in (wire.a, wire.b))
    return frozenset(end for end in ends if "." in end)


@analysis
def _exact(study: Study) -> Mapping[str, tuple[WhySubject, ...]]:
    return _index(study, exact=True)


@analysis
def _alike(study: Study) -> Mapping[str, tuple[WhySubject, ...]]:
    return _index(study, exact=False)


def _index(study: Study, *, exact: bool) -> Mapping[str, tuple[WhySubject, ...]]:
    found: dict[str, dict[WhySubject, None]] = {}
    for one in subjects(study):
        names = [one.ask, one.name] if exact and one.kind != "device" else [one.ask]
        if not exact:
            names = [one.ask, one.title, *_other_names(study, one)]
            names += [one.name] if one.kind not in ("device", "way") else []
        for name in names:
            found.setdefault(name if exact else plain(name), {})[one] = None
    return {name: tuple(ones) for name, ones in found.items()}


def _other_names(study: Study, one: WhySubject) -> Iterator[str]:
    """Further ways in which people say it."""
    if one.kind == "device":
        chain = chains(study).named(one.name)
        kind = chain.device.kind if chain.device else ""
        for name in (chain.name, chain.title):
            for word in (kind, "device"):
                yield f"{name} {word}"
                yield f"{word} of {name}"
                yield f"{name}/{word}"
                yield f"{name}.{word}"
    elif one.kind == "way":
        way = study.document.ways[int(one.name)]
        yield f"{way.between[0]} to {way.between[1]}"
        yield f"{way.between[1]} to {way.between[0]}"
        yield f"{way.between[0]} {way.between[1]}"
    elif one.kind == "place":
        yield f"within {one.name}"
    elif one.kind == "wire":
        yield from _terminals(study).get(one.name, ())


@analysis
def _terminals(study: Study) -> Mapping[str, tuple[str, ...]]:
    """Wire → the terminals without a connector that it ends on, as tables print them."""
    known = {f"{c.id}.{pin.contact}" for c in pins(study).by_id.values() for pin in c.pins}
    found = {}
    for conductor in chains(study).conductors():
        ends = (end_id(part) for part in (conductor.a, conductor.b) if part.contact)
        found[conductor.id] = tuple(end for end in ends if end not in known)
    for chain in chains(study).of("wire"):
        start = study.document.wires[int(chain.path[1])].from_
        if chain.device is not None and "." in start:  # the fuse stands between
            for conductor in chain.conductors():
                found[conductor.id] += (start,)
    return found


def _all(study: Study) -> Iterator[WhySubject]:
    for chain in chains(study).by_name.values():
        yield from _of_chain(study, chain)
    yield from _entries(study)
    for connector in pins(study).by_id.values():
        where = study.system.where(*connector.path)
        yield WhySubject(kind="connector", name=connector.id, title=connector.title,
                      ask=connector.id, place=where)  # fmt: skip
        for pin in connector.pins:
            name = f"{connector.id}.{pin.contact}"
            yield WhySubject(kind="contact", name=name, title=f"{connector.title}, {pin.contact}",
                          ask=name, place=where)  # fmt: skip


def _of_chain(study: Study, chain: Chain) -> Iterator[WhySubject]:
    where = study.system.where(*chain.path)
    kinds: Mapping[str, Kind] = {
        "circuit": "circuit", "feeder": "feeder", "ground": "ground connection", "cable": "cable",
    }  # fmt: skip
    kind: Kind | None = "thin wire" if chain.hot else kinds.get(chain.kind)
    if kind is not None:
        yield WhySubject(kind=kind, name=chain.name, title=chain.title, ask=chain.name, place=where)
    if chain.device is not None:
        word = chain.device.kind
        yield WhySubject(
            kind="device", name=chain.name, title=f"{word} of {chain.title}",
            ask=f"{chain.name} {word}", place=study.system.where(*chain.path, word),
        )  # fmt: skip
    if chain.far is not None and chain.far.device is not None:
        word = chain.far.device.kind
        yield WhySubject(
            kind="device", name=chain.far.name, title=f"{word} of {chain.far.title}",
            ask=chain.far.name, place=study.system.where(*chain.far.path, word),
        )  # fmt: skip
    for conductor in chain.conductors():
        mark = marks(study)[conductor.id]
        yield WhySubject(kind="wire", name=conductor.id, title=mark, ask=mark, place=where)


def _entries(study: Study) -> Iterator[WhySubject]:
    document, title, where = study.document, study.system.title, study.system.where
    sections: tuple[tuple[Kind, str, Mapping[str, object]], ...] = (
        ("equipment", "equipment", document.equipment),
        ("bus", "buses", document.buses),
        ("source", "sources", document.sources),
        ("ground", "grounds", document.grounds),
        ("place", "places", document.places),
        ("phase", "phases", document.phases),
    )
    for kind, section, entries in sections:
        for name in entries:
            yield WhySubject(kind=kind, name=name, title=title(section, name), ask=name,
                          place=where(section, name))  # fmt: skip
    for index, way in enumerate(document.ways):
        words = way.title
        yield WhySubject(kind="way", name=str(index), title=words, ask=words,
                      place=where("ways", index))  # fmt: skip
    for name, path in _switches(study).items():
        yield WhySubject(kind="switch", name=name, title=title("switches", name), ask=name,
                      place=where(*path))  # fmt: skip


def _switches(study: Study) -> Mapping[str, tuple[str | int, ...]]:
    """Switches with an entry of their own, and those that circuits and feeders name."""
    found: dict[str, tuple[str | int, ...]] = {
        name: ("switches", name) for name in study.document.switches
    }
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind in ("switch", "contactor", "changeover", "shunt") and part.name:
                found.setdefault(part.name, (*chain.path, part.kind))
    return found
