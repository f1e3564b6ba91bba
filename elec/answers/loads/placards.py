"""Which loads may not be on together, where all of them ask more of an alternator than is allowed.

In: margins. Out: `Placard`: of some loads only so many at a time, with all others on. What lands
the aircraft stays on, and what feeds the field. AC 43.13-1B 11-35 asks for such placards where the
load can exceed the share of the rating.
"""

from collections.abc import Iterator

from msgspec import Struct

from elec.answers.loads.margins import Margin, keeps_rule, margins_by_condition, rule_of
from elec.study import Study, analysis
from elec.wiring.circuit_model import field_loads
from elec.working import within


class Placard(Struct, frozen=True, kw_only=True):
    """What one placard says, and of which phases and source it comes."""

    sources: tuple[str, ...]
    loads: tuple[str, ...]
    """The loads that it names, the greatest first; empty where leaving off does not help."""
    at_once: int
    """So many of them may be on together with all else; 0: none."""
    margins: tuple[Margin, ...]
    """The phases, by day or night, in which more is asked than allowed; the worst first."""

    @property
    def worst(self) -> Margin:
        """Where most is asked."""
        return self.margins[0]


@analysis
def placards(study: Study) -> tuple[Placard, ...]:
    """All placards that are needed; one for all phases that lead to the same words."""
    found: dict[tuple[tuple[str, ...], tuple[str, ...], int], list[Margin]] = {}
    for margin in margins_by_condition(study).values():
        if not keeps_rule(study, margin):
            loads, at_once = _apart(study, margin)
            found.setdefault((margin.sources, loads, at_once), []).append(margin)
    return tuple(
        Placard(
            sources=sources,
            loads=loads,
            at_once=at_once,
            margins=tuple(sorted(some, key=lambda m: -m.share.asked_a)),
        )
        for (sources, loads, at_once), some in found.items()
    )


def _apart(study: Study, margin: Margin) -> tuple[tuple[str, ...], int]:
    """The loads of which some have to be off, and how many may be on."""
    asked, most = margin.share.asked_a, rule_of(study, margin).value * (margin.rated_a or 0.0)
    free = sorted(_free(study, margin), key=lambda load: -load[1])
    off = next((n for n in range(1, len(free) + 1) if _kept(asked, free[:n], most)), 0)
    named = off
    # one more may be named as long as any choice of so many of them is enough
    while off and named < len(free) and _kept(asked, free[: named + 1][-off:], most):
        named += 1
    return tuple(name for name, _ in free[:named]), named - off


def _kept(asked_a: float, off: list[tuple[str, float]], most_a: float) -> bool:
    return within(asked_a - sum(amps for _, amps in off), most_a, "at most")


def _free(study: Study, margin: Margin) -> Iterator[tuple[str, float]]:
    """What a pilot may leave off: not essential, and no field."""
    for name, amps in margin.share.lasting:
        if not study.document.equipment[name].essential and name not in field_loads(study):
            yield name, amps


__all__ = ["Placard", "placards"]
