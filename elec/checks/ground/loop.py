"""Does audio run through a loop with the power returns?"""

from collections.abc import Iterator

from elec.analyses.audio_grounds import (
    AudioLoop,
    AudioShield,
    audio_loops,
    audio_shields,
    quiet_v,
)
from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Audio shields end once, and audio returns close no loop through power returns",
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
    reason. Data and radio-frequency shields, which end at both sides, are not asked about.
    """
    for shield in audio_shields(study):
        yield _shield(study, shield)
    for loop in audio_loops(study):
        yield _loop(study, loop)


def _shield(study: Study, one: AudioShield) -> Finding:
    at = ("cables", one.cable)
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
        return answer(
            study,
            one.cable,
            Verdict.ADVISE,
            f"{one.title} carries audio, and its shield is grounded at both ends: a loop.",
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
    good = one.noise_v <= quiet_v()
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
    return answer(
        study,
        about,
        Verdict.PASS if good else Verdict.ADVISE,
        f"An audio return joins {names}; {where}, and {put}.",
        at=one.path,
        remedy="Put both on one ground block, or use an isolated input, and accept it so.",
        value=one.noise_v,
        limit=quiet_v(),
        unit="V",
        working=one.working,
    )


def _title(study: Study, name: str) -> str:
    section = "equipment" if name in study.document.equipment else "grounds"
    return study.system.title(section, name)
