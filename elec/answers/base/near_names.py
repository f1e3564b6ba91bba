"""Names that nothing declares: one that stands once and is a slip of another.

In: names of switches, signals of contacts and wires. Out: `Lone` for each that stands once and is
one letter off a name that stands elsewhere: a switch more than once, or under `switches:` where
the other one does not; a signal at all, since it has two ends.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping

from msgspec import Struct

from elec.study import Study, analysis

Path = tuple[str | int, ...]
SHORTEST = 4
"""Words of fewer letters are near each other by chance."""


class Lone(Struct, frozen=True, kw_only=True):
    """A name of a kind that stands once, and the name that was probably meant."""

    kind: str
    name: str
    path: Path
    meant: str
    times: int
    """How often the other stands."""


class Names(Struct, frozen=True, kw_only=True):
    """Every name of a kind with the places where it stands, and the doubtful ones."""

    kind: str
    uses: Mapping[str, tuple[Path, ...]]
    lone: tuple[Lone, ...]


@analysis
def names(study: Study) -> tuple[Names, ...]:
    """The kinds of names that nothing declares."""
    told = frozenset(study.document.switches)
    return (
        _kind("switch", dict(_switches(study)), told),
        _kind("signal", dict(_signals(study)), frozenset()),
    )


def _kind(kind: str, uses: Mapping[str, tuple[Path, ...]], told: frozenset[str]) -> Names:
    lone: list[Lone] = []
    for name, paths in uses.items():
        if len(paths) > 1 or name in ("power", "ground") or name in {one.meant for one in lone}:
            continue
        near = [other for other in uses if slipped(name, other)]
        meant = next((other for other in near if other in told), next(iter(near), None))
        if name in told and meant not in told and meant is not None and len(uses[meant]) == 1:
            continue  # the other one is told
        often = meant in told and name not in told
        often = often or kind == "signal" or (meant is not None and len(uses[meant]) > 1)
        if meant is not None and often:
            found = Lone(kind=kind, name=name, path=paths[0], meant=meant, times=len(uses[meant]))
            lone.append(found)
    return Names(kind=kind, uses=uses, lone=tuple(lone))


def _gathered(found: Iterator[tuple[str, Path]]) -> Iterator[tuple[str, tuple[Path, ...]]]:
    uses: dict[str, list[Path]] = defaultdict(list)
    for name, path in found:
        uses[name].append(path)
    for name, paths in uses.items():
        yield name, tuple(paths)


def _switches(study: Study) -> Iterator[tuple[str, tuple[Path, ...]]]:
    def found() -> Iterator[tuple[str, Path]]:
        for name in study.document.switches:
            yield name, ("switches", name)
        for name, circuit in study.document.circuits.items():
            for key in ("switch", "contactor", "dimmer"):
                if getattr(circuit, key) is not None:
                    yield getattr(circuit, key), ("circuits", name, key)
            for contact in circuit.interlock:
                yield contact, ("circuits", name, "interlock")
            for alone in circuit.contacts.values():
                for contact in alone:
                    yield contact, ("circuits", name, "contacts")
            for limit in circuit.reverse.limits if circuit.reverse is not None else ():
                yield limit, ("circuits", name, "reverse", "limits")
        for index, feeder in enumerate(study.document.feeders):
            for key in ("switch", "contactor", "changeover"):
                if getattr(feeder, key) is not None:
                    yield getattr(feeder, key), ("feeders", index, key)

    return _gathered(found())


def _signals(study: Study) -> Iterator[tuple[str, tuple[Path, ...]]]:
    def found() -> Iterator[tuple[str, Path]]:
        document = study.document
        for name, entry in document.equipment.items():
            for connector, held in entry.connectors.items():
                for pin, contact in held.pins.items():
                    yield (
                        contact.signal,
                        ("equipment", name, "connectors", connector, "pins", pin),
                    )
        for name, inline in document.plugs.items():
            for pin, contact in inline.pins.items():
                yield contact.signal, ("plugs", name, "pins", pin)
        for index, wire in enumerate(document.wires):
            if wire.signal:
                yield wire.signal, ("wires", index, "signal")
        for name, cable in document.cables.items():
            for core, inner in cable.cores.items():
                if inner.signal:
                    yield inner.signal, ("multicores", name, "cores", core, "signal")
        yield "power", ()
        yield "ground", ()

    return _gathered(found())


def slipped(name: str, other: str) -> bool:
    """Whether two names differ by one letter that is left out, doubled, wrong or exchanged.

    Left and right, A and B, 1 and 2, and one and many are meant to be near.

    >>> slipped("natv", "nav-x"), slipped("becaon", "beacon"), slipped("pump-1", "pump-2")
    (False, True, False)
    >>> slipped("fuel-l", "fuel-r"), slipped("light", "lights")
    (False, False)
    """
    if name == other or min(len(name), len(other)) < SHORTEST or abs(len(name) - len(other)) > 1:
        return False
    begin = next(
        (i for i, (a, b) in enumerate(zip(name, other, strict=False)) if a != b),
        min(len(name), len(other)),
    )
    one, two = name[begin:], other[begin:]
    if len(one) == len(two):
        close = one[1:] == two[1:] or (one[:2] == two[1::-1] and one[2:] == two[2:])
        strange = one[:1] + two[:1]
    else:
        longer, shorter = (one, two) if len(one) > len(two) else (two, one)
        close = longer[1:] == shorter
        strange = longer[:1]
    return close and strange.isalpha() and not _alone(name, begin) and not _plural(one, two)


def _alone(name: str, at: int) -> bool:
    """Whether the letter there is a word of its own: the l of fuel-l."""
    left = name[:at].rpartition("-")[2]
    right = name[at + 1 :].partition("-")[0]
    return not left and not right


def _plural(one: str, two: str) -> bool:
    return {one.partition("-")[0], two.partition("-")[0]} == {"", "s"}


__all__ = ["Lone", "Names", "names", "slipped"]
