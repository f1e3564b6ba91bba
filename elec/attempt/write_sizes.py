"""What was chosen, put into the builder's files: ratings that were `auto`, gauges left out.

In: a study, the files it was read from. Out: the edits. What is given stays as it is, and so does
what could not be chosen.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from elec.read.edit import Edits, Value
from elec.read.poles import control_of
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.units import show_gauge
from elec.wiring.chains import Chain, chains, known_ohm
from elec.wiring.coils import coil_loads

DEVICES = ("breaker", "fuse", "limiter", "link")
BEHIND = (*DEVICES, "unprotected", "contactor", "switch", "bus", "to", "signal", "kind", "place")
"""A gauge is put behind the first of these keys that is there."""


def put_sizes(study: Study, edits: Edits, only: Sequence[str] = ()) -> tuple[int, int]:
    """Put chosen ratings and gauges into the edits; gives how many of each.

    Args:
        study: a study of the system that the edits begin with.
        edits: where to put them.
        only: the chains to write; left out, all.

    Raises:
        CannotEdit: the files cannot be changed so.
    """
    ratings: dict[tuple[str | int, ...], Value] = {}
    gauges: dict[tuple[str | int, ...], Value] = {}
    for chain in chains(study).by_name.values():
        if not only or chain.name in only:
            path = _written(study, edits, chain)
            if edits.get(path) is None:
                continue  # made of what another entry says
            ratings.update(_rating(study, edits, chain, path))
            if chain.far is not None:
                ratings.update(_rating(study, edits, chain.far, chain.far.path))
            gauges.update(_gauge(study, chain, path))
    edits.set_all(ratings)
    edits.set_all(gauges, after=BEHIND)
    return len(ratings), len(gauges)


def _written(study: Study, edits: Edits, chain: Chain) -> tuple[str | int, ...]:
    """Where a chain stands in the files; of a circuit that a coil or a bridge makes, that."""
    if chain.seconds:
        return _spread(study, edits, chain, chain.path)
    if chain.kind == "wire" and (told := _told(study, chain)) is not None:
        return _spread(study, edits, chain, told)
    switch = coil_loads(study).get(chain.name)
    if chain.kind == "circuit" and switch is not None and edits.get(chain.path) is None:
        return ("switches", switch, "coil")
    turned = ("circuits", chain.name.removesuffix(control_of("")), "reverse")
    if chain.kind == "circuit" and edits.get(chain.path) is None and edits.get(turned):
        if isinstance(edits.get(turned), str):  # `reverse: relays`, which says more now
            edits.set(turned, {"by": str(edits.get(turned))})
        return turned
    return chain.path


def _told(study: Study, chain: Chain) -> tuple[str | int, ...] | None:
    """The key of a source or a contactor that a thin wire was made of; None where of none."""
    document, where = study.document, study.system.where
    place = where(*chain.path)
    keys: list[tuple[str | int, ...]] = [
        *(("sources", name, key) for name in document.sources for key in ("sense", "warning-lamp")),
        *(("switches", name, "engaged-light") for name in document.switches),
    ]
    spot = (place.file, place.line, place.column)
    for key in keys:
        here = where(*key)
        if (here.file, here.line, here.column) == spot:
            return key
    return None


def _spread(
    study: Study, edits: Edits, chain: Chain, path: tuple[str | int, ...]
) -> tuple[str | int, ...]:
    """The short form (`sense: main`) as a mapping, if anything is to be put into it."""
    device = sizing(study).devices.get(chain.name)
    chosen = device is not None and device.chosen and device.rating_a is not None
    written = edits.get(path)
    if isinstance(written, str) and (chosen or any(True for _ in _gauge(study, chain, path))):
        edits.set(path, {"to" if path[-1] in ("engaged-light", "second") else "from": written})
    return path


def _rating(
    study: Study, edits: Edits, chain: Chain, path: tuple[str | int, ...]
) -> Iterator[tuple[tuple[str | int, ...], Value]]:
    device = sizing(study).devices.get(chain.name)
    if device is None or not device.chosen or device.rating_a is None:
        return
    words = f"{device.rating_a:g} A"
    at = (*path, device.kind)
    written = edits.get(at)
    if isinstance(written, Mapping):
        yield (*at, "rating"), words
        return
    repeated = None if written is not None else _repeated(edits, path, device.kind)
    yield at, {**repeated, "rating": words} if isinstance(repeated, Mapping) else words


def _repeated(edits: Edits, path: tuple[str | int, ...], key: str) -> Any:
    """What an entry that is `like:` another repeats of it."""
    seen = set()
    while path not in seen:
        seen.add(path)
        entry = edits.get(path)
        if not isinstance(entry, Mapping):
            return None
        if key in entry:
            return entry[key]
        if "like" not in entry:
            return None
        path = (path[0], entry["like"])
    return None


def _gauge(
    study: Study, chain: Chain, path: tuple[str | int, ...]
) -> Iterator[tuple[tuple[str | int, ...], Value]]:
    if chain.kind == "cable" or chain.path[0] == "sources":
        return
    if known_ohm(study, chain) is not None:
        return
    found = [sizing(study).gauges[c.id] for c in chain.conductors()]
    if found and all(gauge.chosen and gauge.satisfied for gauge in found):
        yield (*path, "gauge"), show_gauge(found[0].awg)
