"""Does the charge that start and taxi took come back on the flight?

Whether the charge comes back is said by the course of the flight (`answers.time.flight`).
"""

from collections.abc import Iterator

from elec.answers.time.flight import Flight, Flights, flights
from elec.check import check
from elec.checks.answer import answer, listed, percent
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.units import show
from elec.wiring.sources import has_alternator


@check(
    "What the start and the taxi took out of the battery comes back on the flight",
    sources=(
        Cite("trade", "recharge reserve", "seen"),
        Cite("trade", "ampere-hour law of charging", "memory"),
    ),
)
def battery_recharge(study: Study) -> Iterator[Finding]:
    """A battery that loses a little on every flight is flat one day, and nobody knows why.

    A battery takes less and less the fuller it is, so that minutes of start and taxi need an hour
    to come back. Short flights at night are the worst. Taxi faster, fly longer, or charge it at
    home.
    """
    found = flights(study)
    if found is None or not has_alternator(study):
        return
    for name in found.every[0].start:
        yield _finding(study, found, name)


def _finding(study: Study, found: Flights, name: str) -> Finding:
    title = study.system.title("sources", name)
    lost = [one for one in found.every if one.back_s[name] is None]
    worst = min(found.every, key=lambda one: one.end[name] - one.start[name])
    if lost:
        worst = min(lost, key=lambda one: one.end[name] - one.start[name])
        text = (
            f"{title[:1].upper()}{title[1:]} has {percent(worst.end[name])} at the end of the "
            f"flight ({worst.title}), {percent(worst.start[name])} at its start; it lacks charge "
            f"at the end on {listed(one.title for one in lost)}."
        )
        verdict = Verdict.ADVISE
    else:
        backs = [(back, one) for one in found.every if (back := one.back_s[name]) is not None]
        text = _back(title, name, *max(backs, key=lambda pair: pair[0]))
        unknown = found.unknown + found.unknown_output
        verdict = Verdict.CANNOT_TELL if unknown else Verdict.PASS
        if unknown:
            names = listed(one.replace("-", " ") for one in unknown)
            text += f" Not known, and not counted: {names}."
    return answer(
        study,
        name,
        verdict,
        text,
        at=("sources", name),
        remedy=(
            "Taxi faster or take load off on the ground, fly longer, or charge it at home."
            if lost
            else "Give the missing currents, engine speeds and the alternator's output."
        ),
        value=worst.end[name],
        limit=worst.start[name],
    )


def _back(title: str, name: str, back: float, slow: Flight) -> str:
    name_ = f"{title[:1].upper()}{title[1:]}"
    if not back:
        return f"{name_} never has less than at the start of the flight."
    return (
        f"{name_} has the charge of the start again after {show(back, 's')} at the latest "
        f"({slow.title}); least in between is {percent(slow.least[name][0])}."
    )
