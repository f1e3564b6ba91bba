"""Which wires, contacts and devices differ between two texts, and what work that is.

In: two studies. Out: `WireChange`, `ContactChange`, `DeviceChange`, `WorkToDo` of all of it. A
wire is the same one where it joins the same ends, whatever it is called; else where it belongs to
the same circuit, does the same and keeps one end. What has to be done to it follows from what
differs: a wire that was cut cannot get thicker, longer or another colour.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from typing import Literal

from msgspec import Struct

from elec import units
from elec.answers.base.marks import gauge_of, marks
from elec.answers.base.ticked import entry_of, state_of
from elec.answers.connect.pins import Pin, colour_of, pins
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study
from elec.wiring.built import STATES, stem
from elec.wiring.chains import Chain, Conductor, chains
from elec.wiring.ends import end_id, end_text
from elec.wiring.runs import runs, way_text
from elec.wiring.wires import kind_name

Does = Literal["add", "take out", "replace", "end anew", "lay anew", "mark anew", "nothing"]
DOES: tuple[Does, ...] = (
    "add", "take out", "replace", "end anew", "lay anew", "mark anew", "nothing",
)  # fmt: skip
"""Work on a wire, the most first."""


class Known(Struct, frozen=True, kw_only=True):
    """A wire as a builder knows it again."""

    id: str
    chain: str
    title: str
    """Of its circuit, feeder, ground or cable."""
    role: str
    mark: str
    stem: str
    """The mark without its gauge."""
    ends: tuple[str, str]
    """Ids of both ends, from and to."""
    from_: str
    to: str
    gauge: str
    kind: str
    """Insulation; of a core the type of its cable."""
    core: str
    colour: str
    length_m: float | None
    cut: str
    """The length to cut, for print; `?` where it is not known."""
    way: str
    places: tuple[str, ...]
    state: str
    """How far it is built, by a tick that holds."""
    ticked: bool
    """Whether a tick that holds says so; else nobody knows how far it is."""

    @property
    def built(self) -> bool:
        """Whether it is cut, by a tick."""
        return self.state != STATES[0]


class WireChange(Struct, frozen=True, kw_only=True):
    """One wire before and after; None where it is new or gone."""

    before: Known | None
    after: Known | None
    differs: tuple[str, ...]
    """Of mark, ends, gauge, type, colour, length, way."""
    does: Does

    @property
    def places(self) -> frozenset[str]:
        """Where somebody has to get at it."""
        both = [one for one in (self.before, self.after) if one is not None]
        if self.does == "mark anew":
            return frozenset(place for one in both for place in (one.places[:1] + one.places[-1:]))
        return frozenset(place for one in both for place in one.places)


class ContactChange(Struct, frozen=True, kw_only=True):
    """What a contact carries and where that leads to; empty where there is nothing."""

    connector: str
    contact: str
    before: str
    after: str


class DeviceChange(Struct, frozen=True, kw_only=True):
    """A protective device; empty where there is none."""

    chain: str
    title: str
    before: str
    after: str


class WorkToDo(Struct, frozen=True, kw_only=True):
    """What has to be done to the harness; only what is ticked is known to be built."""

    counts: Mapping[Does, int]
    built: Mapping[Does, int]
    """Of those, how many are cut or further by their ticks."""
    done: Mapping[Does, int]
    """Of those, how many are cut or further as they are to be, by ticks of the newer text."""
    in_m: float
    """Wire and cores to put in, as far as their lengths are known."""
    out_m: float
    unknown: int
    """Wires whose length is not known."""
    zones: tuple[str, ...]
    """Zones that hold a place where something is to be done."""


def wire_changes(before: Study, after: Study) -> tuple[WireChange, ...]:
    """Wires that differ, the most work first."""
    old, new = known_wires(before), known_wires(after)
    found = [
        WireChange(before=was, after=now, differs=differs, does=_does(was, now, differs))
        for was, now in _paired(old, new)
        if (differs := _differs(was, now))
    ]
    found += [WireChange(before=None, after=now, differs=(), does="add") for now in new]
    found += [WireChange(before=was, after=None, differs=(), does="take out") for was in old]
    return tuple(sorted(found, key=lambda one: DOES.index(one.does)))


def known_wires(study: Study) -> list[Known]:
    """Every wire and core, in the order of the wire schedule."""
    return [
        _known(study, chain, conductor)
        for chain in chains(study).by_name.values()
        for conductor in chain.conductors()
    ]


def _known(study: Study, chain: Chain, one: Conductor) -> Known:
    run = runs(study)[one.id]
    cut = "?" if run.length_m is None else units.cut_length(run.length_m, study.system.about.units)
    return Known(
        id=one.id,
        chain=chain.name,
        title=chain.title,
        role=one.role,
        mark=marks(study)[one.id],
        stem=stem(chain, one),
        ends=(end_id(one.a), end_id(one.b)),
        from_=end_text(study, one.a),
        to=end_text(study, one.b),
        gauge="" if one.role == "coax" else gauge_of(sizing(study).gauges, one),
        kind=study.document.cables[one.cable].type if one.cable else kind_name(study, one),
        core=f"{one.cable}.{one.core}" if one.cable else "",
        colour=colour_of(one),
        length_m=run.length_m,
        cut=cut,
        way=way_text(study, run),
        places=run.places,
        state=state_of(study, one),
        ticked=entry_of(study, one) is not None,
    )


def _paired(old: list[Known], new: list[Known]) -> Iterator[tuple[Known, Known]]:
    """Wires that are the same, taken out of both lists."""
    same: tuple[Callable[[Known], Hashable], ...] = (
        lambda one: (one.chain, frozenset(one.ends), one.role, one.core, one.id),
        lambda one: (one.chain, frozenset(one.ends), one.role, one.core),
        lambda one: (frozenset(one.ends), one.role, one.core),
        lambda one: (one.chain, one.role, one.core, one.stem, one.ends[0]),
        lambda one: (one.chain, one.role, one.core, one.stem, one.ends[1]),
        lambda one: (one.chain, one.role, one.core, one.ends[0]),
        lambda one: (one.chain, one.role, one.core, one.ends[1]),
    )
    for key in same:
        waiting: dict[Hashable, list[Known]] = {}
        for was in old:
            waiting.setdefault(key(was), []).append(was)
        for now in list(new):
            if waiting.get(key(now)):
                was = waiting[key(now)].pop(0)
                old.remove(was)
                new.remove(now)
                yield was, now


def _differs(was: Known, now: Known) -> tuple[str, ...]:
    pairs: dict[str, tuple[object, object]] = {
        "mark": (was.stem, now.stem),
        "ends": (frozenset(was.ends), frozenset(now.ends)),
        "gauge": (was.gauge, now.gauge),
        "type": (was.kind, now.kind),
        "colour": (was.colour, now.colour),
        "length": (was.cut, now.cut),
        "way": (sorted(was.way.split()), sorted(now.way.split())),
    }
    found = [what for what, (had, has) in pairs.items() if had != has]
    if "length" in found and _same_length(was.length_m, now.length_m):
        found.remove("length")  # the same, printed in the other system of units
    return tuple(found)


def _same_length(was_m: float | None, now_m: float | None) -> bool:
    if was_m is None or now_m is None:
        return was_m is now_m
    return abs(now_m - was_m) < SAME_M


SAME_M = 1e-6
"""Far less than any rule shows: lengths that are written in other units are the same."""


def _does(was: Known, now: Known, differs: Iterable[str]) -> Does:
    found = set(differs)
    if found & {"gauge", "type", "colour"} or not _reaches(was.length_m, now.length_m):
        return "replace"
    if "ends" in found:
        return "end anew"
    if "way" in found:
        return "lay anew"
    return "mark anew" if "mark" in found else "nothing"


def _reaches(had_m: float | None, asked_m: float | None) -> bool:
    """Whether a wire that is there is long enough; one of unknown length is not known to be."""
    if had_m is None or asked_m is None:
        return had_m is asked_m
    return asked_m <= had_m + default("cut-tolerance").si


# -- contacts and devices -------------------------------------------------------------------------


def contact_changes(before: Study, after: Study) -> tuple[ContactChange, ...]:
    """Contacts that carry something else, or lead elsewhere, than before."""
    old, new = _contacts(before), _contacts(after)
    return tuple(
        ContactChange(
            connector=key[0], contact=key[1], before=old.get(key, ""), after=new.get(key, "")
        )
        for key in dict.fromkeys([*new, *old])
        if old.get(key, "") != new.get(key, "")
    )


def _contacts(study: Study) -> dict[tuple[str, str], str]:
    every = pins(study).by_id.values()
    return {(one.id, pin.contact): _carries(pin) for one in every for pin in one.pins}


def _carries(pin: Pin) -> str:
    """Signal and where each wire goes: `power, to essential`; the mark is told with the wire."""
    ends = ", ".join(one.goes_to_id for one in pin.landings)
    needs = f", wants AWG {pin.needs_gauge}" if pin.needs_gauge else ""
    said = pin.signal + (f" to {ends}" if ends else "") + needs
    return said.strip() or ("in use" if pin.landings else "")


def device_changes(before: Study, after: Study) -> tuple[DeviceChange, ...]:
    """Devices that are another, new or gone; those at the far end of feeders, too."""
    old, new = (_devices(study) for study in (before, after))
    return tuple(
        DeviceChange(
            chain=name,
            title=(new.get(name) or old[name])[0],
            before=old[name][1] if name in old else "",
            after=new[name][1] if name in new else "",
        )
        for name in dict.fromkeys([*new, *old])
        if (old[name][1] if name in old else "") != (new[name][1] if name in new else "")
    )


def _devices(study: Study) -> dict[str, tuple[str, str]]:
    every = chains(study).by_name
    found = {}
    for key, device in sizing(study).devices.items():
        end = ", far end" if device.at_far_end else ""
        found[key] = (f"{every[device.chain].title}{end}", f"{device.label}, {device.family}")
    return found


# -- work -----------------------------------------------------------------------------------------


def work(before: Study, after: Study, changes: Iterable[WireChange]) -> WorkToDo:
    """How much of which work the changes are, and which zones have to be open for it."""
    every = tuple(changes)
    fresh = [one.after for one in every if one.after and one.does in ("add", "replace")]
    stale = [one.before for one in every if one.before and one.does in ("take out", "replace")]
    touched = {place for one in every if one.does != "nothing" for place in one.places}
    touched |= _moved(before, after)
    return WorkToDo(
        counts={does: sum(one.does == does for one in every) for does in DOES},
        built={
            does: sum(one.does == does and one.before is not None and one.before.built
                      for one in every)
            for does in DOES
        },
        done={
            does: sum(one.does == does and one.after is not None and one.after.built
                      for one in every)
            for does in DOES
        },
        in_m=sum(one.length_m or 0.0 for one in fresh),
        out_m=sum(one.length_m or 0.0 for one in stale),
        unknown=sum(one.length_m is None for one in (*fresh, *stale)),
        zones=tuple(
            name
            for name, zone in {**before.document.zones, **after.document.zones}.items()
            if touched & set(zone.places)
        ),
    )  # fmt: skip


def _moved(before: Study, after: Study) -> set[str]:
    """Places where equipment, grounds, plugs or switches are put in, taken out or moved."""
    found: set[str] = set()
    for section in ("equipment", "sources", "buses", "grounds", "plugs", "switches"):
        old, new = (getattr(study.document, section) for study in (before, after))
        for name in {*old, *new}:
            was, now = (getattr(some.get(name), "place", None) for some in (old, new))
            if was != now:
                found |= {place for place in (was, now) if place}
    return found


__all__ = [
    "DOES", "ContactChange", "DeviceChange", "Does", "Known", "WireChange", "WorkToDo",
    "contact_changes", "device_changes", "known_wires", "wire_changes", "work",
]  # fmt: skip
