"""What a change makes of the loads: does any phase draw more than it did?

In: two studies. Out: `LoadDifference`. Phases are compared by their names; where the names differ,
or a current is not known, whether there is an increase cannot be told.
"""

from typing import Literal

from msgspec import Struct

from elec.answers.build.difference import SAME_A
from elec.answers.loads.loads import LoadLine, Total, loads
from elec.study import Study

Counted = Literal["connected", "average"]


class TotalPair(Struct, frozen=True, kw_only=True):
    """All loads in one phase by day or night, before and after."""

    before: Total
    after: Total

    def more_a(self, counted: Counted) -> float:
        """How much more it is; negative: less."""
        if counted == "connected":
            return self.after.connected_a - self.before.connected_a
        return self.after.continuous_a - self.before.continuous_a

    @property
    def grows(self) -> bool:
        """Whether more is connected, or drawn on the average, than before."""
        return max(self.more_a("connected"), self.more_a("average")) >= SAME_A


class LoadDifference(Struct, frozen=True, kw_only=True):
    """What differs between two systems."""

    added: tuple[str, ...]
    gone: tuple[str, ...]
    changed: tuple[str, ...]
    """Equipment that draws otherwise in some phase."""
    pairs: tuple[TotalPair, ...]
    other_phases: tuple[str, ...]
    """Phases, or phases by night, that only one of the two has."""
    unknown: tuple[str, ...]
    """Loads whose current is not known, in the one or the other."""

    @property
    def grows(self) -> bool | None:
        """Whether there is a net increase; None where it cannot be told."""
        if any(pair.grows for pair in self.pairs) and not self.unknown:
            return True
        return None if self.unknown or self.other_phases or not self.pairs else False


def load_difference(before: Study, after: Study) -> LoadDifference:
    """Compare the loads of a system with those of an older one."""
    old, new = _by_load(before), _by_load(after)
    was = {(t.phase, t.condition): t for t in loads(before).totals}
    now = {(t.phase, t.condition): t for t in loads(after).totals}
    totals = (*was.values(), *now.values())
    return LoadDifference(
        added=tuple(name for name in new if name not in old),
        gone=tuple(name for name in old if name not in new),
        changed=tuple(name for name in new if name in old and _other(old[name], new[name])),
        pairs=tuple(TotalPair(before=was[key], after=now[key]) for key in now if key in was),
        other_phases=tuple(dict.fromkeys(phase for phase, _ in was.keys() ^ now.keys())),
        unknown=tuple(dict.fromkeys(name for total in totals for name in total.unknown)),
    )


def _by_load(study: Study) -> dict[str, dict[tuple[str, str], LoadLine]]:
    found: dict[str, dict[tuple[str, str], LoadLine]] = {}
    for line in loads(study).lines:
        if not line.coil:
            found.setdefault(line.equipment, {})[line.phase, line.condition] = line
    return found


def _other(old: dict[tuple[str, str], LoadLine], new: dict[tuple[str, str], LoadLine]) -> bool:
    if old.keys() != new.keys():
        return True
    return any(
        _differs(old[key].connected_a, line.connected_a)
        or _differs(old[key].continuous_a, line.continuous_a)
        for key, line in new.items()
    )


def _differs(was: float | None, now: float | None) -> bool:
    if was is None or now is None:
        return was is not now
    return abs(now - was) >= SAME_A


__all__ = ["Counted", "LoadDifference", "TotalPair", "load_difference"]
