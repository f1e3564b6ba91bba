"""Does audio run through a loop with the power returns?"""

from collections.abc import Iterator

from elec import units
from elec.answers.grounds.audio_grounds import (
    AudioLoop,
    AudioShield,
    audio_loops,
    audio_shields,
    quiet_v,
)
from elec.answers.grounds.shield_loops import ShieldLoop, ground_rings, shield_loops
from elec.check import check
from elec.checks.answer import answer, count, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Shields of audio and slow signals close no loop, nor audio returns one with power returns",
    sources=(
        Cite("ac4313", "11-186f", "seen"),
        Cite("trade", "audio shields at one end; loop 50 dB under 1 V", "memory"),
    ),
)
def ground_loop(study: Study) -> Iterator[Finding]:
    """What loads lose in a shared return is heard as whine: 5 A over 5 mΩ are 25 mV.

    elec goes by the names of signals (phones, microphone, audio, speaker; low or return for the
    wire back). The whole of the current counts, though only its ripple is heard. Put boxes that
    exchange audio on one ground block, or use inputs that are isolated, and accept it with that
    reason.

    Looked at is every loop of shields, returns, ground wires and structure. A shield of audio or of
    a slow signal (temperature, probe, sender, level, pressure) is to end once: what flows in it is
    added to the signal. Coaxial lines and shields of data (high and low, data, bus) end at both
    sides by intention. Boxes that touch the structure by their screws are not in the file.
    """
    for shield in audio_shields(study):
        yield _shield(study, shield)
    for loop in audio_loops(study):
        yield _loop(study, loop)
    audio = {shield.cable for shield in audio_shields(study)}
    yield from _others(study, [one for one in shield_loops(study) if one.cable not in audio])
    if ground_rings(study):
        yield _rings(study)


def _others(study: Study, loops: list[ShieldLoop]) -> Iterator[Finding]:
    """Loops without audio: slow signals each, the rest in one line a kind."""
    slow = [one for one in loops if not one.coaxial and one.nature == "slow"]
    for one in slow:
        yield answer(
            study,
            one.cable,
            Verdict.ADVISE,
            f"{one.title} carries a slow signal, and its shield closes a loop{_round(study, one)}.",
            at=(*study.document.cable_path(one.cable), "shield"),
            remedy="Ground it at the box that reads the signal alone: shield: from, or to.",
        )
    for about, verdict, what, these in (
        (
            "coaxial lines",
            Verdict.PASS,
            "as radio frequency needs it",
            [one for one in loops if one.coaxial],
        ),
        (
            "data shields",
            Verdict.PASS,
            "as digital signals need it",
            [one for one in loops if not one.coaxial and one.nature == "fast"],
        ),
        (
            "other shields",
            Verdict.CANNOT_TELL,
            "whether their signals are fast or slow is not said by their names",
            [one for one in loops if not one.coaxial and not one.nature],
        ),
    ):
        if these:
            yield _kind(study, about, verdict, what, these)


def _kind(
    study: Study, about: str, verdict: Verdict, what: str, these: list[ShieldLoop]
) -> Finding:
    """All loops of one kind in one line."""
    shields = "coaxial line" if these[0].coaxial else "shield"
    ends = (
        "ends at both sides and closes a loop"
        if len(these) == 1
        else ("end at both sides and close loops")
    )
    names = listed((f"{one.title}{_round(study, one)}" for one in these), most=4)
    return answer(
        study,
        about,
        verdict,
        f"{count(len(these), shields)} {ends}, {what}: {names}.",
        at=study.document.cable_path(these[0].cable),
        remedy="See the manuals of the boxes: slow and audio signals at one end (shield: from, or "
        "to), digital ones at both; name the signals by what they carry.",
    )


def _round(study: Study, one: ShieldLoop) -> str:
    """What a loop goes through and how long it is, as far as known."""
    through = f" through {listed(one.through)}" if one.through else ""
    if one.length_m is None:
        return through
    return f"{through} ({units.show(one.length_m, 'm', study.system.about.units)} round)"


def _rings(study: Study) -> Finding:
    """Loops without a shield: ways back that lie side by side."""
    rings = ground_rings(study)
    return answer(
        study,
        "grounds",
        Verdict.PASS,
        f"{count(len(rings), 'loop')} of returns, ground wires and structure "
        f"{'has' if len(rings) == 1 else 'have'} no shield in it: ways back side by side.",
        at=("grounds",),
    )


def _shield(study: Study, one: AudioShield) -> Finding:
    at = study.document.cable_path(one.cable)
    if one.ends is None or (one.ends == "both" and not one.has_return):
        why = (
            "at which end its shield is grounded is not said"
            if one.ends is None
            else "its shield ends at both sides and may be its return; that depends on the jack"
        )
        return answer(
            study,
            one.cable,
            Verdict.CANNOT_TELL,
            f"{one.title} carries audio; {why}.",
            at=at,
            remedy="Ground it at one end; a shield that is the return is kept off the structure.",
        )
    if one.ends == "both":
        ring = next((loop for loop in shield_loops(study) if loop.cable == one.cable), None)
        return answer(
            study,
            one.cable,
            Verdict.ADVISE,
            f"{one.title} carries audio, and its shield is grounded at both ends: a loop"
            f"{_round(study, ring) if ring else ''}.",
            at=(*at, "shield"),
            remedy="Ground it at the audio box alone: shield: from, or to.",
        )
    where = "nowhere" if one.ends == "none" else "at one end"
    return answer(
        study,
        one.cable,
        Verdict.PASS,
        f"{one.title} carries audio, and its shield is grounded {where}: no loop.",
        at=(*at, "shield"),
    )


def _loop(study: Study, one: AudioLoop) -> Finding:
    about = f"{one.first}, {one.second}"
    names = " and ".join(_title(study, name) for name in (one.first, one.second))
    if one.noise_v is None:
        return answer(
            study,
            about,
            Verdict.CANNOT_TELL,
            f"An audio return joins {names}; {one.unknown}.",
            at=one.path,
            remedy="Give the currents and ground wires that are missing.",
        )
    grounds = [study.system.title("grounds", g) for g in one.grounds]
    where = (
        f"both are on {grounds[0]}"
        if grounds[0] == grounds[1]
        else f"they are on {grounds[0]} and {grounds[1]}"
    )
    put = (
        f"loads put up to {one.noise_v * 1000:.1f} mV across that loop"
        if one.noise_v
        else "no power return lies between them"
    )
    return compare(
        study,
        about,
        at=one.path,
        value=one.noise_v,
        limit=quiet_v(),
        unit="V",
        says=f"An audio return joins {names}; {where}, and {put}.",
        remedy="Put both on one ground block, or use an isolated input, and accept it so.",
        otherwise=Verdict.ADVISE,
        working=lambda: one.working,
    )


def _title(study: Study, name: str) -> str:
    section = "equipment" if name in study.document.equipment else "grounds"
    return study.system.title(section, name)
