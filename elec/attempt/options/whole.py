"""Alternatives of the whole system: its voltage, its sources, its wire, its kind of device.

In: a study, its text. Out: `Offer` records in a fixed order, each a change of the text.
"""

from collections.abc import Iterator, Mapping
from typing import Any

from elec.attempt.options.offered import Offer, positions_freed, wire_types
from elec.attempt.options.volts import other_voltage
from elec.attempt.plan import Edit
from elec.model.source import Alternator, LeadAcid, Lithium
from elec.read.edit import Edits, Value
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains

LARGER = 1.5
"""By so much a larger battery is larger (our choice: the next size of most makers)."""
_OF_ONE = (
    "name",
    "field-circuit",
    "field-wire",
    "sense",
    "warning-lamp",
    "crowbar",
    "make",
    "note",
)
"""Keys of a source that a second one like it does not share."""


def whole_offers(study: Study, edits: Edits) -> tuple[Offer, ...]:
    """Alternatives of the system."""
    return (
        *other_voltage(study, edits, (*sizes_freed(study, edits),)),
        *_second_sources(study, edits),
        *_larger_batteries(study, edits),
        *_wires(study),
        *_fuses(study, edits),
        *_chosen_anew(study, edits),
    )


def _second_sources(study: Study, edits: Edits) -> Iterator[Offer]:
    """A second alternator like the first, a second battery like the first, on the same bus."""
    kinds: tuple[tuple[str, type | tuple[type, ...]], ...] = (
        ("alternator", Alternator),
        ("battery", (LeadAcid, Lithium)),
    )
    for word, kind in kinds:
        every = [name for name, one in study.document.sources.items() if isinstance(one, kind)]
        written = edits.get(("sources", every[0])) if every else None
        if not isinstance(written, Mapping):
            continue
        first, count = every[0], len(every)
        feeder = _feeder_of(edits, first)
        if feeder is None:
            continue
        bus = feeder["to"] if feeder["from"] == first else feeder["from"]
        name = next(n for k in range(count + 1, 100) if (n := f"{word}-{k}") not in _taken(study))
        source: Value = {k: v for k, v in written.items() if k not in _OF_ONE}
        joined = "contactor" if word == "battery" else ""
        line: dict[str, Value] = {"from": name, "to": bus, "limiter": "auto"}
        if word == "alternator":  # its device stands at the bus, as at the first one
            line = {"from": bus, "to": name, "limiter": "auto"}
        if joined:
            line[joined] = f"{name}-master"
        title = study.system.title("sources", first)
        yield Offer(
            title=f"a {'second' if count == 1 else 'further'} {word} like {title}, on {bus}",
            edits=(
                Edit(path=("sources", name), value=source),
                Edit(path=("feeders", ""), value=line),
            ),
            assumes="its field, regulator and controls are not in it"
            if word == "alternator"
            else "its contactor's coil is not in it",
        )


def _taken(study: Study) -> set[str]:
    return {*study.document.sources, *study.document.buses}


def _feeder_of(edits: Edits, source: str) -> Mapping[str, Any] | None:
    """The first feeder that a source hangs on, as it is written."""
    return next(
        (
            one
            for one in edits.get(("feeders",)) or ()
            if source in (one.get("from"), one.get("to"))
        ),
        None,
    )


def _larger_batteries(study: Study, edits: Edits) -> Iterator[Offer]:
    for name, one in study.document.sources.items():
        if not isinstance(one, LeadAcid | Lithium):
            continue
        at = ("sources", name)
        changes = [Edit(path=(*at, "capacity"), value=f"{one.capacity_ah * LARGER:.4g} Ah")]
        if one.resistance_ohm is not None:
            value = f"{one.resistance_ohm / LARGER * 1000:.4g} mΩ"
            changes.append(Edit(path=(*at, "resistance"), value=value))
        if one.mass_kg is not None:
            changes.append(Edit(path=(*at, "mass"), value=f"{one.mass_kg * LARGER:.4g} kg"))
        if any(edits.get((*at, key)) is not None for key in ("rates", "resistance-by-temperature")):
            continue  # its maker's tables hold for it alone
        title = study.system.title("sources", name)
        yield Offer(
            title=f"{title} half as large again, {one.capacity_ah * LARGER:.3g} Ah",
            edits=tuple(changes),
            assumes="mass in proportion, resistance the inverse",
        )


def _wires(study: Study) -> Iterator[Offer]:
    now = study.document.system.wire
    for name in wire_types(study):
        if name not in (now, "etfe-tin" if now is None else now):
            yield Offer(
                title=f"wire {name} where none is named",
                edits=(Edit(path=("system", "wire"), value=name),),
            )


def _fuses(study: Study, edits: Edits) -> Iterator[Offer]:
    """Fuses for all breakers of circuits, or the other way."""
    for kind, other in (("breaker", "fuse"), ("fuse", "breaker")):
        found = [
            name
            for name, one in study.document.circuits.items()
            if getattr(one, kind) is not None and edits.get(("circuits", name, kind)) is not None
        ]
        if len(found) > len(study.document.circuits) / 2:
            puts = [Edit(path=("circuits", name, other), value="auto") for name in found]
            drops = [Edit(path=("circuits", name, kind), value=None) for name in found]
            yield Offer(
                title=f"{other}s in place of {kind}s in {len(found)} circuits, ratings chosen",
                edits=(*puts, *drops, *positions_freed(study, found)),
            )


def _chosen_anew(study: Study, edits: Edits) -> Iterator[Offer]:
    found = tuple(sizes_freed(study, edits))
    ratings = sum(edit.value is not None for edit in found)
    if found:
        yield Offer(
            title=f"all sizes left to be chosen ({ratings} ratings, {len(found) - ratings} gauges)",
            edits=found,
        )


def sizes_freed(study: Study, edits: Edits) -> Iterator[Edit]:
    """Every rating and gauge of circuits and feeders that is given, left to be chosen."""
    for chain in chains(study).by_name.values():
        device = sizing(study).devices.get(chain.name)
        if chain.kind not in ("circuit", "feeder") or edits.get(chain.path) is None:
            continue
        if device is not None and device.kind != "link" and not device.chosen:
            at = (*chain.path, device.kind)
            written = edits.get(at)
            inner = (*at, "rating") if isinstance(written, Mapping) else at
            if written is not None and edits.get(inner) is not None:
                yield Edit(path=inner, value="auto")
        if edits.get((*chain.path, "gauge")) is not None:
            yield Edit(path=(*chain.path, "gauge"), value=None)
