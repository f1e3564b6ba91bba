"""What each alternator has left in each phase.

In: how the sources share the load. Out: `Margin` by phase, condition and alternator, each against
its own output at that engine speed and its own rating. One that stands by idles and has none.
"""

from collections.abc import Callable, Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from elec.answers.base.points import points
from elec.answers.loads.loads import loads
from elec.answers.loads.sharing import (
    IDLE_SHARE,
    Share,
    alternators,
    shares,
    shares_all_well,
)
from elec.model.system import Condition
from elec.physics.load import average_a
from elec.standards import cited
from elec.study import Study, analysis
from elec.wiring.cases import NORMAL
from elec.wiring.hand import where
from elec.wiring.limits import Limit, limit
from elec.wiring.sources import output
from elec.working import Step, Term, Working, computed, total

SHORT_A = 0.05
"""Less than this out of the batteries is rounding, or a clock on a hot bus."""


class Margin(Struct, frozen=True, kw_only=True):
    """One alternator, or several that are added, in one phase. None: not known."""

    share: Share
    about: str
    """The phase; with the alternator where several carry in some phase."""
    rated_a: float | None
    unknown: tuple[str, ...]
    """Loads whose current is not known; the sums leave them out."""
    landing: bool
    """Pitot heat and landing light are on together."""
    lasts_s: float
    left: Working
    """What its loads take, what it can give, what is left."""
    used: Working | None
    """What lasting loads ask, over its rating; None where that is not known."""

    @property
    def phase(self) -> str:
        """The phase."""
        return self.share.phase

    @property
    def condition(self) -> Condition:
        """Day or night."""
        return self.share.condition

    @property
    def sources(self) -> tuple[str, ...]:
        """The alternator, or those whose outputs are added."""
        return self.share.sources

    @property
    def can_a(self) -> float | None:
        """What it can deliver at the engine speed of the phase."""
        return self.share.can_a

    @property
    def used_part(self) -> float | None:
        """What lasting loads ask of it over its rating."""
        return None if self.used is None else self.used.value

    @property
    def used_without_lights(self) -> float | None:
        """The same without landing lights."""
        lights = self.share.lights_a
        return None if not self.rated_a else (self.share.asked_a - lights) / self.rated_a

    @property
    def spare_a(self) -> float | None:
        """What is left for more loads and for charging; negative where others have to help."""
        return None if self.can_a is None else self.left.value

    @property
    def short(self) -> bool:
        """The batteries on its side, or other alternators, have to help."""
        return self.spare_a is not None and self.spare_a < -SHORT_A

    @property
    def drained_ah(self) -> float:
        """What the batteries on its side lose over the phase; 0 where they lose nothing."""
        return max(0.0, self.share.drawn_a) * self.lasts_s / 3600 if self.short else 0.0


@analysis
def margins_by_condition(study: Study) -> Mapping[tuple[str, Condition, str], Margin]:
    """All well: by phase, condition and what it is about; those that stand by are left out."""
    found = shares_all_well(study)
    several = len({share.sources for share in found if _carries(study, share)}) > 1
    made = [_margin(study, share, several) for share in found if _shown(study, share, found)]
    return {(m.phase, m.condition, m.about): m for m in made}


@analysis
def alone(study: Study) -> tuple[Margin, ...]:
    """Each alternator while the others have failed, before and after shedding; none for one."""
    return tuple(
        _margin(study, share, several=True)
        for share in shares(study)
        if share.situation != "all well"
    )


def left_a(margin: Margin) -> float:
    """What is left, in A, where what it gives is known."""
    assert margin.spare_a is not None  # noqa: S101 - asked of such alone
    return margin.spare_a


def margins(study: Study) -> tuple[Margin, ...]:
    """Of every phase and alternator the worse of day and night: least left, then most asked."""
    return worst(study, lambda m: (-(m.spare_a or 0.0), m.share.asked_a, len(m.unknown)))


def worst(study: Study, key: Callable[[Margin], tuple[float, ...]]) -> tuple[Margin, ...]:
    """Of every phase and alternator that condition, day or night, for which the key is greatest."""
    found: dict[str, Margin] = {}
    for margin in margins_by_condition(study).values():
        before = found.get(margin.about)
        if before is None or key(margin) > key(before):
            found[margin.about] = margin
    return tuple(found.values())


def rule_of(study: Study, margin: Margin) -> Limit:
    """The limit that the use of a rating keeps to.

    The wider one where pitot heat and landing light are on together and it would keep to the usual
    one without the light.
    """
    usual, landing = limit(study, "generator-share"), limit(study, "generator-share-landing")
    share, without = margin.used_part, margin.used_without_lights
    if not margin.landing or share is None or without is None or usual.allows(share):
        return usual
    return landing if landing.allows(share) and usual.allows(without) else usual


def keeps_rule(study: Study, margin: Margin) -> bool:
    """Whether the use of a rating keeps to its limit; a use that is not known is not judged."""
    return margin.used_part is None or rule_of(study, margin).allows(margin.used_part)


def _carries(study: Study, share: Share) -> bool:
    rated = sum(alternators(study)[name].rated_a() or 0.0 for name in share.sources)
    return max(share.given_a, share.asked_a) > IDLE_SHARE * rated or share.drawn_a > SHORT_A


def _shown(study: Study, share: Share, every: tuple[Share, ...]) -> bool:
    """Those that carry; where none does in a phase, all of them."""
    beside = [s for s in every if (s.phase, s.condition) == (share.phase, share.condition)]
    return _carries(study, share) or not any(_carries(study, s) for s in beside)


def _margin(study: Study, share: Share, several: bool) -> Margin:
    ratings = [alternators(study)[name].rated_a() for name in share.sources]
    steps = [output(study, n, alternators(study)[n], share.phase) for n in share.sources]
    known = tuple(step for step in steps if step is not None)
    total_ = loads(study).total(share.phase, share.condition)
    found = Margin(
        share=share,
        about=f"{share.phase} {' + '.join(share.sources)}" if several else share.phase,
        rated_a=sum(r for r in ratings if r is not None) if None not in ratings else None,
        unknown=total_.unknown,
        landing=_on(study, share, "pitot heat") and _on(study, share, "landing light"),
        lasts_s=study.document.phases[share.phase].lasts_s,
        left=Working(title="", steps=()),
        used=None,
    )
    found = replace(found, left=_left(study, found, known), used=_used(study, found, ratings))
    return found if found.used is None else replace(found, used=_by_rule(study, found, found.used))


def _on(study: Study, share: Share, role: str) -> bool:
    return any(
        (line.phase, line.condition) == (share.phase, share.condition)
        and not line.coil
        and study.document.equipment[line.equipment].role == role
        for line in loads(study).lines
    )


def names_of(study: Study, sources: tuple[str, ...]) -> str:
    """`primary alternator`; several that are added: `A + B`."""
    return " + ".join(study.system.title("sources", name) for name in sources)


def the(study: Study, sources: tuple[str, ...]) -> str:
    """`the primary alternator`, in a sentence; one with a number needs no article."""
    names = names_of(study, sources)
    return names if names[-1:].isdigit() else f"the {names}"


def _title(study: Study, margin: Margin) -> str:
    phase = study.system.title("phases", margin.phase)
    situation = "" if margin.share.situation == "all well" else f", {margin.share.situation}"
    return f"{names_of(study, margin.sources)} in {phase} by {margin.condition}{situation}"


def _left(study: Study, margin: Margin, outputs: tuple[Step, ...]) -> Working:
    """What its loads take in the solved network, against what it can give."""
    carried = _carried(margin)
    steps = [carried]
    if margin.can_a is not None:
        gives = [replace(step.result, symbol=f"G{n}") for n, step in enumerate(outputs, 1)]
        steps += [replace(s, result=r) for s, r in zip(outputs, gives, strict=True)]
        gives = _instead(margin, gives)
        steps.append(
            computed("L", "A", "left for more loads and for charging", f"{total(gives)} - I",
                     (*gives, carried.result))
        )  # fmt: skip
    return Working(title=f"What is left of {_title(study, margin)}", steps=tuple(steps))


def _instead(margin: Margin, gives: list[Term]) -> list[Term]:
    """What counts instead of the outputs where it gives no more, or is held back."""
    share, can = margin.share, margin.can_a or 0.0
    if share.drawn_a > SHORT_A:
        meaning, amps = "what it gives there", share.given_a
    elif abs(sum(term.value for term in gives) - can) > 1e-9:
        meaning, amps = "what it can give: its own limit or its field holds it back", can
    else:
        return gives
    term = Term(symbol="G", value=amps, unit="A", meaning=meaning, origin="solved network")
    return [term]


def _carried(margin: Margin) -> Step:
    share = margin.share
    terms = [
        Term(symbol=f"i{n}", value=amps, unit="A", meaning=name.replace(":", ", "),
             origin="solved network, at its share of the time")
        for n, (name, amps) in enumerate(share.loads, 1)
    ]  # fmt: skip
    formula = total(terms)
    rest = share.others_a - share.help_a
    if abs(rest) > 1e-6:
        terms.append(
            Term(symbol="Io", value=rest, unit="A", origin="solved network",
                 meaning="carried by other alternators and the batteries on their side")
        )  # fmt: skip
        formula += " - Io"
    return computed(
        "I", "A", "what its loads take", formula, terms,
        source=f"{cited(average_a)}: each current times its share of the phase",
    )  # fmt: skip


def _used(study: Study, margin: Margin, ratings: list[float | None]) -> Working | None:
    if not margin.rated_a:
        return None
    rated = [
        Term(symbol=f"Ir{n}", value=rating or 0.0, unit="A", meaning=f"rated output of {name}",
             origin=where(study, "sources", name, "rating"))
        for n, (name, rating) in enumerate(zip(margin.sources, ratings, strict=True), 1)
    ]  # fmt: skip
    asked = Term(
        symbol="I5", value=margin.share.asked_a, unit="A",
        meaning="asked of it by all that may be on together for more than five minutes",
        origin="solved network, batteries full, nothing at its limit",
    )  # fmt: skip
    share = computed("s", "", "share of the rated output", f"I5 / ({total(rated)})",
                     (asked, *rated))  # fmt: skip
    return Working(title=f"Use of the rating of {_title(study, margin)}", steps=(share,))


def _by_rule(study: Study, margin: Margin, used: Working) -> Working:
    """The same with the source of the rule that this use keeps to."""
    source = rule_of(study, margin).source
    return replace(used, steps=tuple(replace(step, source=source) for step in used.steps))


class BusDip(Struct, frozen=True, kw_only=True):
    """The lowest voltage of a bus in one phase when everything that may be on is on."""

    phase: str
    condition: Condition
    bus: str
    voltage_v: float
    warning_v: float | None
    """Its own low-voltage warning."""
    alternators: tuple[tuple[str, float, bool], ...]
    """(name, A, at its limit) of each that gives anything."""
    batteries_a: float
    """What batteries give; what others take meanwhile is not set against it."""
    solved: bool


@analysis
def dips(study: Study) -> Mapping[str, BusDip]:
    """The momentary case of every phase in which the engine runs, all sources working."""
    found = points(study)
    buses = [name for name in study.document.buses if name in found.nodes]
    rows = [found.nodes[name] for name in buses]
    result: dict[str, BusDip] = {}
    for index, case in enumerate(found.cases):
        engine = study.document.phases[case.phase].engine
        running = engine is None or engine.state == "running"
        if case.scenario != NORMAL or case.count != "momentary" or not running or not rows:
            continue
        volts = found.solution.voltage_v[rows, index]
        if np.isnan(volts).all():
            continue
        lowest = int(np.nanargmin(volts))
        one = BusDip(
            phase=case.phase,
            condition=case.condition,
            bus=buses[lowest],
            voltage_v=float(volts[lowest]),
            warning_v=study.document.buses[buses[lowest]].warning_v,
            alternators=tuple(
                (branch.name, float(amps), bool(limited))
                for branch, amps, limited in zip(
                    found.model.netlist.alternators,
                    found.solution.alternator_a[:, index],
                    found.solution.alternator_limited[:, index],
                    strict=True,
                )
                if amps > SHORT_A
            ),
            batteries_a=float(np.maximum(-found.solution.battery_a[:, index], 0.0).sum()),
            solved=int(found.solution.state[index]) == 0,
        )
        if case.phase not in result or one.voltage_v < result[case.phase].voltage_v:
            result[case.phase] = one
    return result


__all__ = ["BusDip", "Margin", "alone", "dips", "margins", "margins_by_condition", "worst"]
