"""How long the batteries last in every case that is looked at, and which of them to plan with.

In: the endurance, the losses along the flight, the failures. Out: `Lasts` in one order, from which
every page takes its minutes. The least of those that a rule asks for is to be planned with.
"""

import math
from typing import Literal

from msgspec import Struct

from elec.answers.failures.failures import Effect, worst_effects
from elec.answers.time.endurance import Endurance, endurance, usual_endurance
from elec.answers.time.loss import Loss, losses
from elec.study import Study, analysis
from elec.units import whole_minutes
from elec.working import unrounded

Kind = Literal["sum", "usual", "cold", "worst minute", "failure"]


class Lasts(Struct, frozen=True, kw_only=True):
    """One case."""

    kind: Kind
    minutes: float | None
    """None: not known; infinite: more than 24 h."""
    lost: str
    """What is lost, and when."""
    of: Endurance | Loss | Effect

    @property
    def printed(self) -> str:
        """For print: whole minutes, never more than there are."""
        if self.minutes is None:
            return "?"
        return "more than 1440" if math.isinf(self.minutes) else whole_minutes(self.minutes)


@analysis
def _asked(study: Study) -> tuple[Lasts, ...]:
    """The cases of which the published minutes are asked; the others are shown beside them.

    Empty where there is no battery or no phase.
    """
    found = endurance(study)
    if found is None:
        return ()
    lost = _lost(study, found)
    rows = [
        Lasts(kind="sum", minutes=found.hand_min, lost=lost, of=found),
        Lasts(kind="cold", minutes=_simulated(found), lost=lost, of=found),
    ]
    worst = losses(study)
    if worst is not None:
        one = worst.worst
        title = study.system.title("phases", one.phase)
        into = f"{whole_minutes(one.into_s / 60)} min into {title} by {worst.condition}"
        minutes = one.lasts_s / 60 if one.ends_with else math.inf
        text = f"{_all_alternators(study)} lost {into}"
        rows.append(Lasts(kind="worst minute", minutes=minutes, lost=text, of=one))
    return tuple(rows)


@analysis
def lasting_cases(study: Study) -> tuple[Lasts, ...]:
    """Every case; empty where there is no battery or no phase."""
    usual = usual_endurance(study)
    if usual is None:
        return ()
    first, *others = _asked(study)
    lost = _lost(study, usual)
    rows = [first, Lasts(kind="usual", minutes=_simulated(usual), lost=lost, of=usual), *others]
    soonest = _soonest(study)
    if soonest is not None:
        title = study.system.title("phases", soonest.holds_in)
        text = f"{soonest.failure.title}, by {soonest.condition}; the loads of {title} to the end"
        rows.append(Lasts(kind="failure", minutes=soonest.holds_min, lost=text, of=soonest))
    return tuple(rows)


def planned(study: Study) -> Lasts | None:
    """The case to plan with: the least of those asked; None where one of them is not known."""
    asked = _asked(study)
    known = [one for one in asked if one.minutes is not None]
    found = endurance(study)
    if not known or len(known) < len(asked) or found is None:
        return None
    return min(known, key=lambda one: one.minutes or 0.0)


def _lost(study: Study, found: Endurance) -> str:
    where = f"{study.system.title('phases', found.cruise)} by {found.condition}"
    return f"{_all_alternators(study)} lost in {where}" if found.alternator else where


def plan_with(study: Study) -> str:
    """The sentence that says which of all minutes to plan with; empty where none is known."""
    one = planned(study)
    if one is None:
        return ""
    day = ", by the published sum"
    if one.kind != "sum" and isinstance(one.of, Loss | Endurance):
        day = f" on a {one.of.day.title}"
    lead = "Plan with" if endurance_known(study) else "Plan with less than"
    return f"{lead} {one.printed} min: {one.lost}{day}."


def endurance_known(study: Study) -> bool:
    """Whether every current is known, so that the minutes are no upper bound."""
    found = endurance(study)
    return found is not None and not found.unknown


def _simulated(found: Endurance) -> float | None:
    return math.inf if found.longest else found.simulated_min


def _all_alternators(study: Study) -> str:
    count = sum(source.kind == "alternator" for source in study.document.sources.values())
    return "the alternator" if count == 1 else "every alternator"


def _soonest(study: Study) -> Effect | None:
    """The single failure, beyond a load's own circuit, that empties a battery soonest."""
    held = [
        one
        for one in worst_effects(study)
        if one.holds_min is not None and not one.failure.branches
    ]
    return min(held, key=lambda one: unrounded(one.holds_min or 0.0), default=None)


__all__ = ["Kind", "Lasts", "endurance_known", "lasting_cases", "plan_with", "planned"]
