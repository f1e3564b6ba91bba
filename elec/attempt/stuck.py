"""Where nothing that may be chosen passes: what stands in the way, and what would help.

In: a study, a chain. Out: `InTheWay` with `Remedy` records, the easiest first. Every one has been
tried: the system is changed in one point, sized again, and asked the same checks; only what passes
is offered.
"""

from collections.abc import Iterator, Mapping
from math import ceil
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.connect.contacts import contact_loads
from elec.answers.connect.pins import SPARE_WORDS
from elec.answers.drop.drops import load_drops
from elec.check import run
from elec.finding import Finding, Verdict
from elec.model.system import Document
from elec.model.wiring import Circuit, Feeder, Protected
from elec.read.draft import dotted
from elec.sizing.choices import choices
from elec.sizing.sizing import sizing
from elec.standards import AWGS, breaker_classes, fuse_families, table
from elec.study import Study, analysis
from elec.units import show, show_gauge
from elec.wiring.chains import Chain, chains
from elec.wiring.contact_class import contact_ranges
from elec.wiring.runs import runs
from elec.wiring.wires import size_of
from elec.working import unrounded, within

ASKED = (
    "connector-current", "connector-wire", "device-clears-fault", "device-holds-inrush",
    "device-holds-load", "device-interrupts", "device-protects-wire", "device-standard-rating",
    "feeder-cranking", "feeder-drop", "switch-rating", "wire-drop", "wire-heat", "wire-strength",
)  # fmt: skip
"""The checks that a device and a gauge have to pass."""


class Remedy(Struct, frozen=True, kw_only=True):
    """One change after which a chain passes."""

    text: str
    """What to do, as a sentence."""
    effort: int
    """1 another wire or device, 2 another class, 3 another contact or bundle, 4 another run, 5
    another circuit (our judgement); the order of the list."""
    added_kg: float
    """What the wires of the system then weigh more."""
    result: str
    """What would then be chosen: `5 A breaker, AWG 18`."""


class InTheWay(Struct, frozen=True, kw_only=True):
    """One chain that fails, what fails of it, and the ways out that were found."""

    chain: str
    findings: tuple[Finding, ...]
    ways: tuple[Remedy, ...]
    tried: int


class _Change(Struct, frozen=True, kw_only=True):
    text: str
    effort: int
    document: Document


def failing(study: Study) -> Mapping[str, tuple[Finding, ...]]:
    """Chain → what fails of its device and its wires; only chains of which something does."""
    return _failing(study)


@analysis
def _failing(study: Study) -> Mapping[str, tuple[Finding, ...]]:
    return _by_chain(study, ASKED)


def _by_chain(study: Study, checks: tuple[str, ...]) -> Mapping[str, tuple[Finding, ...]]:
    """Chain → what these checks say that fails of it."""
    found: dict[str, list[Finding]] = {}
    fails = [f for f in run(study, only=checks) if f.verdict is Verdict.FAIL and f.check in checks]
    landings = _landings(study)
    for finding in fails:
        for name in dict.fromkeys(_chains_of(study, finding, landings)):
            found.setdefault(name, []).append(finding)
    return {name: _once(here) for name, here in found.items()}


def _once(findings: list[Finding]) -> tuple[Finding, ...]:
    """Each sentence once: both wires of a joint say the same of its contact."""
    return tuple({(f.check, f.about, f.sentence): f for f in findings}.values())


def _landings(study: Study) -> Mapping[str, tuple[str, ...]]:
    from elec.answers.connect.pins import pins

    return {
        f"{one.id}.{pin.contact}": tuple(ln.chain for ln in pin.landings)
        for one in pins(study).by_id.values()
        for pin in one.pins
    }


def _chains_of(
    study: Study, finding: Finding, landings: Mapping[str, tuple[str, ...]]
) -> Iterator[str]:
    """The chains that a finding is about."""
    by_name = chains(study).by_name
    about = finding.about
    if finding.check == "connector-current":  # it is about a connector, and its hardest contact
        about = f"{about}.{contact_loads(study)[about].contact}"
    if about in landings:
        yield from landings[about]
        return
    chain = finding.about.split("/")[0]
    if chain in by_name:
        yield chain
        return
    load, _, circuit = finding.about.partition(" by ")
    if circuit:
        yield circuit
    elif load in chains(study).feeds:
        yield from chains(study).feeds[load]
    else:
        yield from _written_at(study).get(finding.place.path, ())


@analysis
def _written_at(study: Study) -> Mapping[str, tuple[str, ...]]:
    """Place in the text → the chains that stand there."""
    found: dict[str, list[str]] = {}
    for name, one in chains(study).by_name.items():
        found.setdefault(dotted(one.path), []).append(name)
    return {path: tuple(names) for path, names in found.items()}


def in_the_way(study: Study, name: str) -> InTheWay:
    """What stands in the way of one chain, and what was tried successfully.

    Each of a dozen changes is a whole system sized anew, which no part of it can stand for: what
    a thicker wire or another device takes up is felt by all that hangs on the same sources.
    """
    chain = chains(study).by_name[name]
    before = failing(study)
    wrong = name in before or bool(choices(study)[name].stuck)
    tried = list(_changes(study, chain)) if wrong else []
    ways = [w for change in tried if (w := _way(study, chain, before, change)) is not None]
    ways.sort(key=lambda w: (w.effort, round(w.added_kg, 4), w.text))
    best: dict[tuple[str, float], Remedy] = {}
    for way in ways:  # of those that come to the same, the easiest
        best.setdefault((way.result, round(way.added_kg, 4)), way)
    return InTheWay(
        chain=name,
        findings=before.get(name, ()),
        ways=tuple(best.values()),
        tried=len(tried),
    )


def _way(
    study: Study, chain: Chain, before: Mapping[str, tuple[Finding, ...]], change: _Change
) -> Remedy | None:
    """The way out that a change is; None where the chain, or another one, fails after it."""
    after = Study(replace(study.system, document=change.document))
    try:
        return _tried(study, after, chain, before, change)
    finally:
        after.forget()  # a dozen large systems at a time would not fit


def _tried(
    study: Study,
    after: Study,
    chain: Chain,
    before: Mapping[str, tuple[Finding, ...]],
    change: _Change,
) -> Remedy | None:
    made = [name for name in chains(after).by_name if name not in chains(study).by_name]
    mine = [chain.name, *made]
    failed = tuple(dict.fromkeys(f.check for f in before.get(chain.name, ())))
    if failed and not _by_chain(after, failed).keys().isdisjoint(mine):
        return None  # what failed fails still: mostly so, and the other checks need not be asked
    fails = failing(after)
    done = sizing(after)
    if any(name in fails for name in mine) or fails.keys() - before.keys():
        return None
    for name in mine:
        device = done.devices.get(name)
        if device is not None and device.rating_a is None:
            return None
    device = done.devices.get(chain.name)
    gauges = dict.fromkeys(
        done.gauges[c.id].awg for c in chains(after).by_name[chain.name].conductors()
    )
    words = [device.label] if device is not None else []
    return Remedy(
        text=change.text,
        effort=change.effort,
        added_kg=_mass_kg(after) - _mass_kg(study),
        result=", ".join([*words, *(show_gauge(awg) for awg in gauges)]),
    )


def _mass_kg(study: Study) -> float:
    """What all single wires of known length weigh."""
    gauges = sizing(study).gauges
    return sum(
        (runs(study)[c.id].length_m or 0.0) * size_of(study, c, gauges[c.id].awg).mass_kg_per_m
        for c in chains(study).conductors()
        if c.id in gauges
    )


# -- what may be changed --------------------------------------------------------------------------


def _changes(study: Study, chain: Chain) -> Iterator[_Change]:
    if chain.path[0] in ("circuits", "feeders"):
        yield from _other_gauge(study, chain)
        yield from _other_rating(study, chain)
        yield from _other_class(study, chain)
    if chain.path[0] == "circuits":
        yield from _larger_contact(study, chain)
        yield from _own_plug(study, chain)
        yield from _past_plug(study, chain)
        yield from _shorter(study, chain)
        yield from _more_drop(study, chain)
        yield from _split(study, chain)
    yield from _more_bundles(study, chain)


def _entry(study: Study, chain: Chain) -> Any:
    section = getattr(study.document, str(chain.path[0]))
    return section[chain.path[1]]


def _with(study: Study, chain: Chain, **changes: Any) -> Document:
    """The document with some fields of a chain's entry changed."""
    document = study.document
    section, key = str(chain.path[0]), chain.path[1]
    entry = _entry(study, chain).model_copy(update=changes)
    held = getattr(document, section)
    if isinstance(held, Mapping):
        new: Any = {**held, key: entry}
    else:
        new = tuple(entry if i == key else one for i, one in enumerate(held))
    return document.model_copy(update={section: new})


def _other_gauge(study: Study, chain: Chain) -> Iterator[_Change]:
    given = _entry(study, chain).gauge
    if given is None:
        return
    for awg in AWGS[AWGS.index(given) + 1 : AWGS.index(given) + 6]:
        text = f"Take {show_gauge(awg)} in place of {show_gauge(given)}."
        yield _Change(text=text, effort=1, document=_with(study, chain, gauge=awg))
    text = f"Leave the gauge out in place of {show_gauge(given)}, so that it is chosen."
    yield _Change(text=text, effort=1, document=_with(study, chain, gauge=None))


def _other_rating(study: Study, chain: Chain) -> Iterator[_Change]:
    held: Circuit | Feeder = _entry(study, chain)
    device = held.device()
    if device is None or device[1].rating_a is None:
        return
    kind, protection = device
    auto = protection.model_copy(update={"rating_a": None})
    text = f"Leave the rating out in place of {protection.rating_a:g} A, so that it is chosen."
    yield _Change(text=text, effort=1, document=_with(study, chain, **{kind: auto}))
    if held.gauge is None:
        return
    text = "Leave rating and gauge out, so that both are chosen."
    yield _Change(text=text, effort=1, document=_with(study, chain, gauge=None, **{kind: auto}))


def _other_class(study: Study, chain: Chain) -> Iterator[_Change]:
    held: Protected = _entry(study, chain)
    device, chosen = held.device(), sizing(study).devices.get(chain.name)
    if device is None or chosen is None:
        return
    kind, protection = device
    if kind not in ("breaker", "fuse"):
        return
    for family in breaker_classes() if kind == "breaker" else fuse_families():
        if family == chosen.family:
            continue
        other = protection.model_copy(update={"class_": family, "rating_a": None})
        text = f"Take a {kind} of class {family} in place of {chosen.family}."
        document = _with(study, chain, gauge=None, **{kind: other})
        yield _Change(text=text, effort=2, document=document)


def _larger_contact(study: Study, chain: Chain) -> Iterator[_Change]:
    """Connectors between harnesses on the way, with contacts of another size."""
    for name in _entry(study, chain).through:
        connector = study.document.plugs[name]
        family, _, size = connector.type.rpartition("-")
        sizes = [
            r.text("contact_size") for r in table("elec/contact_ratings").select(family=family)
        ]
        for other in sizes:
            if other == size or not other:
                continue
            new = connector.model_copy(update={"type": f"{family}-{other}"})
            held = {**study.document.plugs, name: new}
            document = _with(study, chain, gauge=None).model_copy(update={"plugs": held})
            title = study.system.title("plugs", name)
            text = f"Take contacts of size {other} in place of size {size} in the {title}."
            yield _Change(text=text, effort=3, document=document)


def _own_plug(study: Study, chain: Chain) -> Iterator[_Change]:
    """A plug of its own beside one on the way, with larger contacts."""
    for name, used in _entry(study, chain).through.items():
        connector = study.document.plugs[name]
        family, _, size = connector.type.rpartition("-")
        sizes = [
            r.text("contact_size") for r in table("elec/contact_ratings").select(family=family)
        ]
        contacts = [c for c in (used.feed, used.return_) if c is not None]
        others = {c for c, pin in connector.pins.items() if pin.signal not in SPARE_WORDS} - {
            *contacts
        }
        # the table goes from thin contacts to thick ones; nobody else there: change that plug
        for other in sizes[sizes.index(size) + 1 :] if size in sizes and others else ():
            own, title = f"{chain.name}-plug", study.system.title("plugs", name)
            if own in study.document.plugs:
                continue
            through = {own if n == name else n: u for n, u in _entry(study, chain).through.items()}
            pins = {c: pin for c, pin in connector.pins.items() if c in contacts}
            new = connector.model_copy(
                update={"type": f"{family}-{other}", "pins": pins, "name": None}
            )
            document = _with(study, chain, gauge=None, through=through)
            document = document.model_copy(update={"plugs": {**document.plugs, own: new}})
            text = (
                f"Give it a plug of its own beside the {title}, with contacts of size {other} "
                f"(size {size} there)."
            )
            yield _Change(text=text, effort=3, document=document)


def _past_plug(study: Study, chain: Chain) -> Iterator[_Change]:
    """Past a connector, where its contacts decide."""
    through = _entry(study, chain).through
    for name in through:
        rest = {n: u for n, u in through.items() if n != name}
        text = (
            f"Lead it past the {study.system.title('plugs', name)}, through a joint that takes "
            "its gauge: a splice, or a terminal strip where it has to come apart."
        )
        yield _Change(text=text, effort=4, document=_with(study, chain, gauge=None, through=rest))


def _more_drop(study: Study, chain: Chain) -> Iterator[_Change]:
    """More voltage lost, where contacts take no thicker wire and the load bears it."""
    ranges = [r for c in chain.conductors() if (r := contact_ranges(study).get(c.id)) is not None]
    over = [
        d
        for d in load_drops(study).values()
        if d.circuit == chain.name and d.lost_v is not None and not within(d.lost_v, d.limit_v)
    ]
    if not ranges or not over or any(d.at_peak for d in over):
        return
    equipment, words = dict(study.document.equipment), []
    for one in over:
        # tenths up, as a builder would write it
        allowed_v = ceil(unrounded((one.lost_v or 0.0) * 10)) / 10
        equipment[one.load] = equipment[one.load].model_copy(update={"drop_v": allowed_v})
        words.append(f"{study.system.title('equipment', one.load)} lose {allowed_v:.1f} V")
    text = (
        f"Let {' and '.join(words)}, if its maker says that it works on so much less "
        f"(drop: at it); its contacts take {show_gauge(over[0].awg)} at most."
    )
    document = study.document.model_copy(update={"equipment": equipment})
    yield _Change(text=text, effort=5, document=document)


def _more_bundles(study: Study, chain: Chain) -> Iterator[_Change]:
    """Every way of the run, its wires laid in one bundle more."""
    legs = dict.fromkeys(leg.index for c in chain.conductors() for leg in runs(study)[c.id].legs)
    for index in legs:
        way = study.document.ways[index]
        if getattr(way, "bundled", None):
            continue
        more = way.model_copy(update={"bundles": way.bundles + 1})
        ways = tuple(more if i == index else one for i, one in enumerate(study.document.ways))
        title = way.title
        text = f"Lay the wires of {title} in {way.bundles + 1} bundles."
        document = study.document.model_copy(update={"ways": ways})
        yield _Change(text=text, effort=3, document=document)


def _shorter(study: Study, chain: Chain) -> Iterator[_Change]:
    """The longest run that loses little enough at the gauge that is there."""
    found = [d for (name, _), d in load_drops(study).items() if name == chain.name]
    longest = [d.longest_m for d in found if d.longest_m is not None]
    over = [d for d in found if d.lost_v is not None and not within(d.lost_v, d.limit_v)]
    if not over or not longest or len(longest) < len(over):
        return
    length_m = min(longest) - min(longest) % 0.0254
    if length_m <= 0:
        return
    text = f"Shorten the run to {show(length_m, 'm', study.system.about.units)}."
    yield _Change(text=text, effort=4, document=_with(study, chain, length_m=length_m))


def _split(study: Study, chain: Chain) -> Iterator[_Change]:
    """The last load on a circuit of its own."""
    if len(chain.loads) < 2:
        return
    entry, last = _entry(study, chain), chain.loads[-1]
    rest = tuple(f for f in entry.feeds if f.split(".")[0] != last)
    own = tuple(f for f in entry.feeds if f.split(".")[0] == last)
    document = _with(study, chain, feeds=rest)
    new = entry.model_copy(update={"feeds": own, "number": None, "name": None, "through": {}})
    name = f"{chain.name}-2"
    if name in document.circuits or entry.through:
        return
    circuits = {**document.circuits, name: new}
    text = f"Give {study.system.title('equipment', last)} a circuit of its own."
    document = document.model_copy(update={"circuits": circuits})
    yield _Change(text=text, effort=5, document=document)
