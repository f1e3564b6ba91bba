"""By what a list can be narrowed: zones, buses, states of work and verdict of all that has a card.

In: the cards and the findings. Out: the same cards with what holds of each. Nothing is judged here:
the verdict is the worst of those findings that are about the thing.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec.structs import replace

from elec.answers.base.marks import marks
from elec.answers.base.ticked import state_of
from elec.answers.connect.pins import pins
from elec.finding import Finding, Verdict
from elec.pages.cards.card import Card
from elec.pages.told import abouts
from elec.study import Study, analysis
from elec.wiring.built import at_least
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.runs import runs

OPEN = "open"
"""Not rung out: there is work left at the wire."""
Wires = tuple[tuple[Chain, Conductor], ...]
_ORDER = tuple(Verdict)


def narrowed(study: Study, cards: Sequence[Card], found: Iterable[Finding]) -> tuple[Card, ...]:
    """The cards with the zones, buses, states and verdict by which a list of them is narrowed."""
    about = _by_name(found)
    return tuple(
        replace(
            one,
            zones=tuple(study.system.title("zones", zone) for zone in _zones(study, one)),
            buses=tuple(study.system.title("buses", bus) for bus in _buses(study, one)),
            states=_each(state_of(study, c) for _, c in _wires(study, one)),
            verdict=_worst(findings),
            said=tuple(f for f in findings if f.verdict is not Verdict.PASS),
        )
        for one in cards
        for findings in [_about(about, _names(study, one))]
    )


def _by_name(found: Iterable[Finding]) -> Mapping[str, list[Finding]]:
    """What findings are about → these findings."""
    about: dict[str, list[Finding]] = {}
    for finding in found:
        for name in abouts(finding):
            about.setdefault(name, []).append(finding)
    return about


def _about(about: Mapping[str, list[Finding]], names: Iterable[str]) -> tuple[Finding, ...]:
    """The findings about any of the names, each once."""
    found = {id(one): one for name in dict.fromkeys(names) for one in about.get(name, ())}
    return tuple(found.values())


def _worst(found: Sequence[Finding]) -> str:
    return min((one.verdict for one in found), key=_ORDER.index).value if found else ""


def _names(study: Study, one: Card) -> Iterator[str]:
    """What findings about a thing may call it; a wire stands for what it is part of, too."""
    yield one.name
    if one.kind == "wire":
        for chain, conductor in _wires(study, one):
            yield from (conductor.id, chain.name)
    elif one.kind == "contact":
        yield from one.wires
        yield from (c.id for _, c in _wires(study, one))


@analysis
def _by_mark(study: Study) -> Mapping[str, Wires]:
    found: dict[str, Wires] = {}
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            mark = marks(study)[conductor.id]
            found[mark] = (*found.get(mark, ()), (chain, conductor))
    return found


def _wires(study: Study, one: Card) -> Wires:
    """Its wires, each with the chain that it belongs to."""
    every = _by_mark(study)
    own = (one.name,) if one.kind == "wire" else one.wires
    return tuple(pair for mark in own for pair in every.get(mark, ()))


def marks_of(study: Study, *, bus: str, zone: str, state: str) -> tuple[str, ...]:
    """Marks of the wires that lie in a zone, hang on a bus and are so far; empty asks for any.

    Args:
        study: the system.
        bus: name of a bus.
        zone: name of a zone.
        state: a state of work, or `OPEN` for all that is not rung out.
    """
    return tuple(
        mark
        for mark, wires in _by_mark(study).items()
        if (not zone or zone in _in_zones(study, _passed(study, wires)))
        and (not bus or bus in _fed_from(study, wires))
        and (not state or any(_is(study, c, state) for _, c in wires))
    )


def _is(study: Study, conductor: Conductor, state: str) -> bool:
    if state == OPEN:
        return not at_least(state_of(study, conductor), "rung out")
    return state_of(study, conductor) == state


def _zones(study: Study, one: Card) -> tuple[str, ...]:
    """The zones in which it lies: where it sits, else all that its wires pass."""
    return _in_zones(study, _places(study, one))


def _in_zones(study: Study, places: frozenset[str]) -> tuple[str, ...]:
    return tuple(
        z for z, zone in study.document.zones.items() if not places.isdisjoint(zone.places)
    )


def _places(study: Study, one: Card) -> frozenset[str]:
    if one.kind == "place":
        return frozenset({one.name})
    if one.kind == "way":
        return frozenset(one.things)
    if one.kind == "equipment":
        return frozenset({study.document.equipment[one.name].place})
    if one.kind in ("connector", "contact"):
        name = one.name if one.kind == "connector" else one.name.rpartition(".")[0]
        return frozenset({pins(study).by_id[name].place})
    return _passed(study, _wires(study, one))


def _passed(study: Study, wires: Wires) -> frozenset[str]:
    return frozenset(p for _, c in wires for p in runs(study)[c.id].places)


def _buses(study: Study, one: Card) -> tuple[str, ...]:
    """The buses that its wires are fed from, or lead to."""
    return (one.name,) if one.kind == "bus" else _fed_from(study, _wires(study, one))


def _fed_from(study: Study, wires: Wires) -> tuple[str, ...]:
    ends = {end for chain, _ in wires for end in (chain.source_end, chain.far_end)}
    return tuple(bus for bus in study.document.buses if bus in ends)


def _each(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words))
