"""Values of one entry that contradict each other, or of which one would not be read.

Works on the plain data beside `elec.read.names`.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from elec import units
from elec.read.draft import Draft, Path
from elec.working import within

EITHER = (
    ("rates", "peukert"),
    ("resistance-by-temperature", "resistance"),
)
"""Keys of a battery that say the same thing: the first, and the one that it stands instead of."""

OF_EACH_MODE = {
    "draw": "the draw",
    "peak": "the peak",
    "duty": "the share of the peak",
    "on": "when it is on",
}
"""Keys of a load, in words, that each mode has for itself: beside `modes:` they are not read."""


def check_given(draft: Draft) -> None:
    """Note what is given twice in two ways, and what cannot both be."""
    for path, source in draft.entries("sources"):
        for first, second in EITHER:
            if first in source and second in source:
                draft.wrong(
                    (*path, second),
                    f"{first}: stands instead of {second}:; leave out one of them",
                    key=True,
                )
        _cold(draft, path, source)
    for path, entry in draft.entries("equipment"):
        _inrush(draft, (*path, "inrush"), entry.get("inrush"))
        for key in OF_EACH_MODE if isinstance(entry.get("modes"), dict) else ():
            if key in entry:
                what = f"with modes: {OF_EACH_MODE[key]} stands in each mode, not here"
                draft.wrong((*path, key), what, key=True)
        _bases(draft, path, entry.get("modes"))
        for below, on in _ons(path, entry):
            if path not in draft.made:  # a coil is on as its load is, where that is told
                _times(draft, below, on)
    for path, entry in draft.entries("circuits"):
        if "switched" in entry and "switch" not in entry and path not in draft.made:
            draft.wrong(
                (*path, "switched"),
                "it says where its switch stands, and no switch: is given; write its name",
                key=True,
            )
    for path, entry in draft.entries("switches"):
        _lets_go(draft, path, entry.get("coil"))
    _shared(draft)


def _lets_go(draft: Draft, path: Path, coil: Any) -> None:
    """A coil that lets go at more than it pulls in with is none: two values are swapped."""
    if not isinstance(coil, dict):
        return
    of: Any = coil
    if "load" in coil:
        own = (load for (_, name), load in draft.entries("equipment") if name == coil["load"])
        of = next(own, None)
    goes = units.measure(str(coil.get("drops-out", "")))
    for key, what in (("minimum", "pulls in with"), ("draw", "draws")):
        holds = units.measure(str(of.get(key, ""))) if isinstance(of, dict) else None
        if goes and holds and goes[0] == holds[0] and not within(goes[1], holds[1]):
            draft.wrong(
                (*path, "coil", "drops-out"),
                f"it cannot let go at {coil['drops-out']}, above the {of[key]} that it {what} "
                f"({key}:); give both from its maker's sheet",
            )


def _bases(draft: Draft, path: Path, modes: Any) -> None:
    """The first mode is the base; another one that says no `on:` would stand in for all of it."""
    names = list(modes) if isinstance(modes, dict) else []
    for name in names[1:]:
        mode = modes[name]
        if isinstance(mode, dict) and "on" not in mode and "like" not in mode:
            draft.wrong(
                (*path, "modes", name),
                f"how long it is on in this mode is not said, and it takes the place of "
                f"{names[0]}, the first; write on: {_usual(draft)}",
                key=True,
            )


def _usual(draft: Draft) -> str:
    """`{cruise: 10 %}`, of a phase of the file."""
    phases = draft.data.get("phases")
    names = list(phases) if isinstance(phases, dict) else []
    return f"{{{names[-1] if names else 'cruise'}: 10 %}}, or on: always"


def _shared(draft: Draft) -> None:
    """A changeover that feeders from several places share stands at one of them, or between."""
    places: dict[Any, Any] = {
        name: entry.get("place")
        for section in ("sources", "buses")
        for (_, name), entry in draft.entries(section)
    }
    for path, entry in draft.entries("switches"):
        if "place" in entry:
            continue
        begins = {
            str(places.get(feeder.get("from"))): None
            for _, feeder in draft.entries("feeders")
            if feeder.get("changeover") == path[1]
        }
        if len(begins) > 1:
            draft.wrong(
                path,
                f"where it is is missing (place:); feeders from {' and '.join(begins)} share it",
                key=True,
            )


def _inrush(draft: Draft, path: Path, inrush: Any) -> None:
    """How large it is, said in one way."""
    if not isinstance(inrush, dict) or path in draft.spoiled:
        return
    sizes = [key for key in ("factor", "current") if key in inrush]
    if len(sizes) > 1:
        draft.wrong(
            (*path, "factor"), "there is also a current; leave out one of the two", key=True
        )
    elif not sizes and "lasts" in inrush and not (inrush.keys() - {"lasts"}):
        draft.wrong(
            path,
            "how large it is is missing: write factor: 8 (times its current), or current: 20 A",
            key=True,
        )


def _cold(draft: Draft, path: Path, source: Mapping[str, Any]) -> None:
    """A machine gives no less when it is cold."""
    hot, cold = (_curve(source.get(key)) for key in ("output", "cold-output"))
    for text, rpm, amps in cold:
        least = _at(hot, rpm)
        if least is not None and amps < least:
            draft.wrong(
                (*path, "cold-output", text),
                f"cold it gives {amps:g} A at {rpm:g} rpm, hot {least:g} A; cold it gives more. "
                "Are output and cold-output swapped?",
            )
            return


def _curve(value: Any) -> list[tuple[str, float, float]]:
    """The points of an output curve with their keys, rising in speed; unreadable ones left out."""
    points = []
    for key, text in value.items() if isinstance(value, dict) else ():
        rpm, amps = _number(key, "speed"), _number(text, "current")
        if rpm is not None and amps is not None:
            points.append((key, rpm, amps))
    return sorted(points, key=lambda point: point[1])


def _at(curve: list[tuple[str, float, float]], rpm: float) -> float | None:
    """The current at a speed between two points, None outside."""
    for (_, low, a), (_, high, b) in pairwise(curve):
        if low <= rpm <= high and high > low:
            return a + (b - a) * (rpm - low) / (high - low)
    return next((a for _, speed, a in curve if speed == rpm), None)


def _ons(path: Path, entry: Mapping[str, Any]) -> Iterator[tuple[Path, Any]]:
    yield (*path, "on"), entry.get("on")
    modes = entry.get("modes")
    for name, mode in modes.items() if isinstance(modes, dict) else ():
        if isinstance(mode, dict):
            yield (*path, "modes", name, "on"), mode.get("on")


def _times(draft: Draft, path: Path, on: Any) -> None:
    """A time in a phase is no longer than the phase."""
    phases = draft.data.get("phases")
    if not isinstance(on, dict) or not isinstance(phases, dict):
        return
    for name, text in on.items():
        phase = phases.get(name)
        lasts = _number(phase.get("lasts") if isinstance(phase, dict) else None, "time")
        asked = _number(text, "time")
        if lasts is not None and asked is not None and asked > lasts:
            draft.wrong(
                (*path, name),
                f"{units.show(asked, 's')} are longer than {name}, which lasts "
                f"{units.show(lasts, 's')}; write 100 %, or a shorter time, or let it last longer",
            )


def _number(text: Any, dimension: str) -> float | None:
    """A value; None where it cannot be read, which is said elsewhere."""
    if not isinstance(text, str):
        return None
    try:
        return float(units.parse(text, dimension))
    except units.UnitError:
        return None
