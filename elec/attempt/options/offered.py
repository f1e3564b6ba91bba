"""Which alternatives there are for a circuit or a feeder: each a change of the text.

In: a study, the chain, its text. Out: `Offer` records in a fixed order. Offered is what stands
beside what is built: the next gauges, ratings and classes, the other kind of device, other wire,
ground points, buses and ways. Nothing here judges them.
"""

import re
from collections.abc import Collection, Iterator, Mapping

from msgspec import Struct

from elec.attempt.plan import Edit
from elec.model.panel import FREE
from elec.model.wiring import Circuit, Feeder
from elec.read.draft import Path
from elec.read.edit import Edits, Value
from elec.sizing.sizing import sizing
from elec.standards import (
    AWGS,
    NotCovered,
    breaker_classes,
    breaker_ratings_a,
    fuse_ratings_a,
    wire_kind_names,
)
from elec.study import Study
from elec.units import show_gauge
from elec.wiring.chains import Chain, chains
from elec.wiring.runs import runs

MOST = 3
"""So many of one kind are offered: other grounds, buses, ways, classes."""
USUAL_WIRE = "etfe-tin"
_ONE_RATING = re.compile(r"-\d+a$")
"""Classes whose curve was published for one rating alone."""


class Offer(Struct, frozen=True, kw_only=True):
    """One alternative: what is done, as edits of the text."""

    title: str
    edits: tuple[Edit, ...]
    assumes: str = ""
    """What it takes for granted."""


def offers(study: Study, edits: Edits, name: str) -> tuple[Offer, ...]:
    """Alternatives of a circuit or feeder.

    Args:
        study: the system as it is.
        edits: its text, which is only read.
        name: the circuit's or feeder's name.
    """
    chain = chains(study).by_name[name]
    entry: Circuit | Feeder
    more: tuple[Offer, ...] = ()
    if chain.kind == "circuit":
        held = study.document.circuits[name]
        entry, more = held, (*_grounds(study, chain), *_buses(study, chain, held))
    else:
        entry = study.document.feeders[int(chain.path[1])]
        more = tuple(_second_feeds(study, entry.to))
    return (
        *_gauges(study, chain),
        *_ratings(study, edits, chain, entry),
        *_devices(study, edits, chain, entry),
        *_wires(study, chain, entry),
        *more,
        *_ways(study, chain, entry),
    )


def _one(title: str, path: Path, value: "Value | None", assumes: str = "") -> Offer:
    return Offer(title=title, edits=(Edit(path=path, value=value),), assumes=assumes)


def _gauges(study: Study, chain: Chain) -> Iterator[Offer]:
    """One gauge thinner, one thicker than the thickest of its own wires."""
    found = [sizing(study).gauges[c.id].awg for c in chain.conductors()]
    if not found:
        return
    at = max(AWGS.index(awg) for awg in found)
    for word, index in (("thinner", at - 1), ("thicker", at + 1)):
        if 0 <= index < len(AWGS):
            title = f"{word} wire: {show_gauge(AWGS[index])}"
            yield _one(title, (*chain.path, "gauge"), show_gauge(AWGS[index]))


def _ratings(study: Study, edits: Edits, chain: Chain, entry: Circuit | Feeder) -> Iterator[Offer]:
    """The next smaller and the next larger rating that is made."""
    found, held = sizing(study).devices.get(chain.name), entry.device()
    if found is None or held is None or found.rating_a is None or found.kind == "link":
        return
    try:
        made = breaker_ratings_a() if found.kind == "breaker" else fuse_ratings_a(found.family)
    except NotCovered:
        return
    below = [rating for rating in made if rating < found.rating_a][-1:]
    above = [rating for rating in made if rating > found.rating_a][:1]
    for word, rating in [*(("smaller", r) for r in below), *(("larger", r) for r in above)]:
        path, value = _device_key(edits, chain, held[0], "rating", f"{rating:g} A")
        yield _one(f"{word} {held[0]}: {rating:g} A", path, value)


def _device_key(edits: Edits, chain: Chain, kind: str, key: str, value: str) -> tuple[Path, Value]:
    """Where a key of a device goes: into its mapping, or instead of the short form."""
    at: Path = (*chain.path, kind)
    written = edits.get(at)
    if isinstance(written, Mapping):
        return (*at, key), value
    if key == "rating":
        return at, value
    return at, {"rating": str(written or "auto"), key: value}


def _devices(study: Study, edits: Edits, chain: Chain, entry: Circuit | Feeder) -> Iterator[Offer]:
    """The other kind of device, its rating chosen; and other classes of the same kind."""
    held, found = entry.device(), sizing(study).devices.get(chain.name)
    if held is None or found is None:
        return
    kind, protection = held
    other = {"breaker": "fuse", "fuse": "breaker", "limiter": "fuse"}.get(kind)
    if other is not None:
        written = edits.get((*chain.path, kind))
        kept = {k: v for k, v in written.items() if k in ("stub", "place")} if isinstance(
            written, Mapping) else {}  # fmt: skip
        value: Value = {"rating": "auto", **kept} if kept else "auto"
        drop = (Edit(path=(*chain.path, kind), value=None),) if written is not None else ()
        put = Edit(path=(*chain.path, other), value=value)
        freed = positions_freed(study, (chain.name,))
        yield Offer(
            title=f"{other} in place of the {kind}, rating chosen", edits=(put, *drop, *freed)
        )
    own = [name for name in study.document.device_classes if name != protection.class_]
    published = breaker_classes() if kind == "breaker" else ()
    classes = [c for c in published if c != found.family and not _ONE_RATING.search(c)]
    for name in (*own[:MOST], *classes[:MOST]):
        path, value = _device_key(edits, chain, kind, "class", name)
        yield _one(f"{kind} of class {name}", path, value)


def positions_freed(study: Study, names: Collection[str]) -> tuple[Edit, ...]:
    """The positions of devices on panels that hold their kind, free where another is taken."""
    return tuple(
        Edit(path=("panels", panel, "rows", r, c), value=FREE)
        for panel, entry in study.document.panels.items()
        if entry.holds != "switches"
        for r, row in enumerate(entry.rows)
        for c, name in enumerate(row)
        if name in names
    )


def _wires(study: Study, chain: Chain, entry: Circuit | Feeder) -> Iterator[Offer]:
    """Other wire types, the file's own first."""
    now = entry.wire or study.document.system.wire or USUAL_WIRE
    for name in wire_types(study):
        if name != now:
            yield _one(f"wire {name}", (*chain.path, "wire"), name)


def wire_types(study: Study) -> tuple[str, ...]:
    """The file's own wire types, then the published ones that are not for thermocouples."""
    published = [name for name in wire_kind_names() if not name.startswith("thermocouple")]
    return tuple(dict.fromkeys((*study.document.wire_types, *published)))[: MOST + 1]


def _grounds(study: Study, chain: Chain) -> Iterator[Offer]:
    """Other ground points, where its loads return by wires."""
    here = {
        row.parts[-1].name
        for row in chain.rows
        if row.role == "return" and row.parts and row.parts[-1].kind == "ground"
    }
    if not here:
        return
    others = [name for name in study.document.grounds if name not in here]
    for name in others[:MOST]:
        title = f"returns to {study.system.title('grounds', name)}"
        yield _one(title, (*chain.path, "ground-point"), name)


def _buses(study: Study, chain: Chain, entry: Circuit) -> Iterator[Offer]:
    """Other buses."""
    others = [name for name in study.document.buses if name != entry.bus]
    for name in others[:MOST]:
        yield _one(f"on {study.system.title('buses', name)}", (*chain.path, "bus"), name)


def _second_feeds(study: Study, bus: str) -> Iterator[Offer]:
    """Another feeder to the bus that it feeds, from what does not feed it yet."""
    if bus not in study.document.buses:
        return
    for source in feed_from(study, bus)[:MOST]:
        title = study.system.title("buses", bus)
        yield Offer(
            title=f"a second feed of {title} from {_titled(study, source)}",
            edits=(Edit(path=("feeders", ""), value=second_feed(source, bus)),),
            assumes="closed by a switch of its own in an emergency, a fuse at both ends",
        )


def _titled(study: Study, name: str) -> str:
    section = "buses" if name in study.document.buses else "sources"
    return study.system.title(section, name)


def feed_from(study: Study, bus: str) -> list[str]:
    """Sources and buses that no feeder joins to a bus."""
    joined = {bus}
    for feeder in study.document.feeders:
        if bus in (feeder.from_, feeder.to):
            joined |= {feeder.from_, feeder.to}
    sources = [n for n, one in study.document.sources.items() if one.kind != "external-power"]
    return [name for name in (*sources, *study.document.buses) if name not in joined]


def second_feed(source: str, bus: str, avoid: str = "") -> Value:
    """A feeder for an emergency, with a switch of its own and a fuse at both ends."""
    name = f"second feed {source} {bus}".replace("-", " ")
    return {
        "name": name,
        "from": source,
        "to": bus,
        "fuse": "auto",
        "far-end": {"fuse": "auto"},
        "switch": name.replace(" ", "-"),
        "used": "emergency",
        **({"avoid": avoid} if avoid else {}),
    }


def _ways(study: Study, chain: Chain, entry: Circuit | Feeder) -> Iterator[Offer]:
    """Round a way that it lies on, or round a place on it, where that is asked by name."""
    if entry.length_m is not None:
        return
    for title, name in ways_round(study, chain)[:MOST]:
        value: Value = [*entry.avoid, name] if entry.avoid else name
        yield _one(f"laid round {title}", (*chain.path, "avoid"), value)


def ways_round(study: Study, chain: Chain) -> list[tuple[str, str]]:
    """Ways and places that the chain's wires pass and could keep out of: title and name."""
    found: dict[str, str] = {}
    for conductor in chain.conductors():
        run = runs(study)[conductor.id]
        for leg in run.legs:
            way = study.document.ways[leg.index]
            if way.name is not None:
                found.setdefault(way.name, f"the way {way.name}")
        for place in run.places[1:-1]:
            found.setdefault(place, study.system.title("places", place))
    return [(title, name) for name, title in found.items()]
