"""Audio between boxes on different grounds, and audio shields: what the ground loop puts in.

In: chains, ground points, currents of their wires. Out: `AudioLoop` for each two boxes that an
audio return joins, `AudioShield` for each shielded audio cable. The two boxes' returns, the audio
return between them and what lies between their ground points are one loop; the voltage that loads
put across the part which is not shared is in the audio.
"""

import math
import re
from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from elec.answers.base.points import points
from elec.answers.grounds.grounding import GroundPoint, ground_points
from elec.answers.grounds.loops import LoopPiece
from elec.model.wiring import Coax
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, chains
from elec.working import Step, Term, Working, computed

AUDIO = re.compile(
    r"(?<![a-z])(?:phones?|headphones?|headset|microphones?|mic|audio|speaker|music|sidetone)(?![a-z])"
)
"""Words in the name of a signal that make it audio (our list)."""
BACK = re.compile(r"(?<![a-z])(?:low|lo|return|ground|common)$")
"""How the name of an audio return ends."""


class AudioLoop(Struct, frozen=True, kw_only=True):
    """Two boxes, or a box and a ground point, that an audio return joins."""

    first: str
    second: str
    """Equipment, or a ground point where the audio return ends on one."""
    grounds: tuple[str, str]
    path: tuple[str | int, ...]
    noise_v: float | None
    """The most that loads put across the loop; None where that cannot be told."""
    working: Working
    unknown: str = ""


class AudioShield(Struct, frozen=True, kw_only=True):
    """A shielded cable with audio in it."""

    cable: str
    title: str
    ends: str | None
    """`from`, `to`, `both`, `none`; None where nothing is said."""
    has_return: bool
    """Whether a core brings the audio back; without one the shield does."""


def quiet_v() -> float:
    """What a loop may put into usual audio.

    >>> round(quiet_v() * 1000, 2)
    3.16
    """
    return default("audio-level").value * math.pow(10.0, default("audio-quiet").value / 20)


def is_audio(signal: str) -> bool:
    """Whether a signal's name says that it is audio.

    >>> is_audio("pilot-phones-low"), is_audio("push-to-talk"), is_audio("dynamic-data")
    (True, False, False)
    """
    return AUDIO.search(signal.lower()) is not None


@analysis
def audio_shields(study: Study) -> tuple[AudioShield, ...]:
    """Every shielded cable with audio in it, in the builder's order."""
    found = []
    for chain in chains(study).of("cable"):
        cable = study.document.cables[chain.name]
        signals = [c.signal for c in chain.conductors() if is_audio(c.signal)]
        shielded = "shielded" in cable.type or cable.shield is not None
        if signals and shielded and not isinstance(cable, Coax) and not cable.spare:
            found.append(
                AudioShield(
                    cable=chain.name,
                    title=chain.title,
                    ends=cable.shield,
                    has_return=any(BACK.search(s.lower()) for s in signals),
                )
            )
    return tuple(found)


@analysis
def audio_loops(study: Study) -> tuple[AudioLoop, ...]:
    """Every two ends of audio returns with grounds of their own, once each."""
    at = {load: name for name, point in ground_points(study).items() for load in point.loads}
    found: dict[tuple[str, str], AudioLoop] = {}
    for conductor, path in _returns(study):
        ends = []
        for part in (conductor.a, conductor.b):
            ground = part.name if part.kind == "ground" else at.get(part.name)
            if ground in ground_points(study):
                ends.append((part.name, ground))
        if len(ends) == 2 and ends[0][0] != ends[1][0]:
            (first, a), (second, b) = sorted(ends)
            if a is not None and b is not None and (first, second) not in found:
                found[first, second] = _loop(study, (first, second), (a, b), path)
    return tuple(found.values())


def _returns(study: Study) -> Iterator[tuple[Conductor, tuple[str | int, ...]]]:
    for kind in ("wire", "cable"):
        for chain in chains(study).of(kind):
            for conductor in chain.conductors():
                signal = conductor.signal.lower()
                if conductor.role == "signal" and is_audio(signal) and BACK.search(signal):
                    yield conductor, chain.path


def _loop(
    study: Study, ends: tuple[str, str], grounds: tuple[str, str], path: tuple[str | int, ...]
) -> AudioLoop:
    sides = [_pieces(ground_points(study)[ground]) for ground in grounds]
    title = f"Ground loop of {ends[0]} and {ends[1]}"
    unknown = next((g for g, side in zip(grounds, sides, strict=True) if side is None), "")
    noise: float | None = None
    steps: tuple[Step, ...] = ()
    if unknown:
        unknown = f"no way is known from {unknown} to the main ground"
    else:
        one, two = (side or {} for side in sides)
        shared = one.keys() & two.keys()
        found = [
            _side(study, ground, [piece for key, piece in side.items() if key not in shared])
            for ground, side in zip(grounds, (one, two), strict=True)
        ]
        lost = [step.result.value for step in found if step is not None]
        if len(lost) < 2:
            unknown = "the current or resistance of a wire between their grounds is not known"
        else:
            noise = max(lost)
            steps = tuple(step for step in found if step is not None and step.terms)
    return AudioLoop(
        first=ends[0],
        second=ends[1],
        grounds=grounds,
        path=path,
        noise_v=noise,
        working=Working(title=title, steps=steps),
        unknown=unknown,
    )


def _pieces(point: GroundPoint) -> dict[str, LoopPiece] | None:
    return None if point.route is None else {piece.name: piece for piece in point.route.pieces}


def _most_a(study: Study, name: str) -> float | None:
    """The greatest current of a wire, or of a joint without one; None where it is not known."""
    wired = sizing(study).currents_a.get(name)
    if wired:
        return max(abs(a) for a in wired.values())
    if name not in points(study).rows:
        return None
    amps = np.abs(points(study).current_a(name)[points(study).select(count="momentary")])
    amps = amps[np.isfinite(amps)]
    return float(amps.max()) if amps.size else None


def _side(study: Study, ground: str, pieces: list[LoopPiece]) -> Step | None:
    """What loads lose between a ground and where the other's way joins; None if not known."""
    terms: list[Term] = []
    formula: list[str] = []
    for k, piece in enumerate(pieces, 1):
        amps = _most_a(study, piece.name)
        if not piece.known or amps is None:
            return None
        terms += [
            Term(f"I{k}", amps, "A", f"the most through {piece.name}",
                 "the network solved in every case"),
            Term(f"R{k}", piece.hot_ohm, "Ω", f"of {piece.name}, hot",
                 f"resistance of {piece.name}: its gauge, length and joints, or as given"),
        ]  # fmt: skip
        formula.append(f"I{k} * R{k}")
    return computed("V", "V", f"lost on the way from {ground}", " + ".join(formula), terms,
                    source="I × R of the part that is not shared")  # fmt: skip
