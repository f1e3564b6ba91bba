"""Each alternator alone, loads shed: does it carry what stays on, or how long do batteries help?

In: the shares of the alternators alone. Out: `LeftAlone` by alternator and phase, the worse of day
and night. The help is counted as if the battery that it empties soonest gave all of it.
"""

import math
from collections.abc import Mapping

from msgspec import Struct

from elec.answers.failures.failure_battery import emptied_min
from elec.answers.loads.margins import SHORT_A, Margin, alone
from elec.answers.time.endurance import batteries, endurance
from elec.answers.time.endurance_limit import endurance_limit
from elec.study import Study, analysis
from elec.working import within


class LeftAlone(Struct, frozen=True, kw_only=True):
    """One alternator in one phase, the others failed, loads shed."""

    alternator: str
    margin: Margin
    helped_min: float
    """How long batteries give what it lacks; infinite where it lacks nothing."""
    elsewhere_min: float
    """How long batteries that it does not reach carry their buses; infinite where there is none."""
    asked_min: float
    """So long they should: the phase, at most what is asked of the battery alone."""

    @property
    def known(self) -> bool:
        """Whether output and all currents are known, and the network has a solution."""
        share = self.margin.share
        return self.margin.can_a is not None and not self.margin.unknown and share.solved

    @property
    def dead(self) -> bool:
        """It gives nothing."""
        return not self.margin.can_a

    @property
    def carries(self) -> bool:
        """It carries what stays on, without help."""
        return not self.margin.short and not self.dead

    @property
    def enough(self) -> bool:
        """It carries what stays on, or batteries help for as long as is asked."""
        least = min(self.helped_min, self.elsewhere_min)
        return not self.dead and within(least, self.asked_min, "at least")


@analysis
def left_alone(study: Study) -> Mapping[tuple[str, str], LeftAlone]:
    """By alternator and phase; empty where there are not several."""
    found: dict[tuple[str, str], LeftAlone] = {}
    for margin in alone(study):
        if margin.share.situation != "alone, shed":
            continue
        key = margin.sources[0], margin.phase
        before = found.get(key)
        if before is None or (margin.spare_a or 0.0) < (before.margin.spare_a or 0.0):
            found[key] = _one(study, margin)
    return found


def _one(study: Study, margin: Margin) -> LeftAlone:
    share = margin.share
    drawn = max(0.0, share.drawn_a) if margin.short else 0.0
    lasts = endurance(study)
    asked = margin.lasts_s / 60
    if lasts is not None:
        asked = min(asked, endurance_limit(study, lasts).minutes)
    return LeftAlone(
        alternator=margin.sources[0],
        margin=margin,
        helped_min=_lasts_min(study, drawn),
        elsewhere_min=_lasts_min(study, share.others_a),
        asked_min=asked,
    )


def _lasts_min(study: Study, current_a: float) -> float:
    if current_a <= SHORT_A:
        return math.inf
    return min((emptied_min(study, name, current_a) for name in batteries(study)), default=0.0)


__all__ = ["LeftAlone", "left_alone"]
