"""How long the contact of a contactor or relay stays closed after its coil's switch has opened.

In: coils, their draw. Out: `Release` by contactor. The current of the coil goes on through what
takes up its surge and dies away; where it has fallen to what the coil lets go at, the contact
begins to open. Its travel comes on top. Where the contact of another relay stands in the circuit of
the coil, that relay lets go before, and its time is added. Nothing is guessed: without inductance
and drop-out of each of these coils it is not known.
"""

import math
from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from elec.answers.connect.coils import CoilPath, coil_paths
from elec.model import laws
from elec.model.source import LeadAcid, Lithium
from elec.model.switch import Coil, Surge
from elec.physics.coil import held_release_s, resistor_release_s
from elec.sizing.order import cranking
from elec.sizing.starter_cables import starts_only
from elec.standards import NotCovered, default
from elec.study import Study, analysis
from elec.units import show
from elec.wiring.hand import assumed, where
from elec.wiring.sources import open_circuit_v
from elec.working import Ref, Step, Term, Working, computed, leading_to


def _soon(time_s: float) -> str:
    return f"{1000 * time_s:.3g} ms" if time_s < 1 else show(time_s, "s")


class Held(Struct, frozen=True, kw_only=True):
    """With one part across the coil."""

    part: str
    """`a diode`, `a suppressor of 27 V`, `a resistor of 100 Ω`."""
    time_s: float
    surge_v: float
    """What the switch that opens has to bear."""
    working: Working

    @property
    def soon(self) -> str:
        """`8.3 ms`."""
        return _soon(self.time_s)


class Before(Struct, frozen=True, kw_only=True):
    """A relay whose contact opens the circuit of a coil, and that has a coil to let go itself."""

    title: str
    """It, and those before it: `relay a and relay b`."""
    hand: str
    """What the hand moves, at the beginning of all of them."""
    times: tuple[Term, ...]
    """Of each in their order, with what is fitted; empty where one cannot be told."""
    unknown: str = ""
    """Why not."""

    @property
    def working(self) -> Working | None:
        """From that hand to the contact of the last one."""
        if not self.times:
            return None
        whole = computed(
            "T", "s", f"from {self.hand} until its contact begins to open",
            " + ".join(term.symbol for term in self.times), self.times,
        )  # fmt: skip
        return Working(title=f"Through {self.title}", steps=(whole,))

    @property
    def soon(self) -> str:
        """`12.4 ms`, or `?`."""
        return "?" if self.working is None else _soon(self.working.steps[-1].result.value)


class Release(Struct, frozen=True, kw_only=True):
    """One coil that is switched off."""

    switch: str
    fitted: Held | None
    """With what is across it; None where not known."""
    others: tuple[Held, ...]
    """What else could be there: a diode, and a suppressor of a usual voltage."""
    starts: bool
    """It is the contactor of a starter."""
    unknown: str = ""
    """Why it cannot be told."""
    before: tuple[Before, ...] = ()
    """Relays that let go before it, each with the time of all in a row."""

    @property
    def every(self) -> tuple[Held, ...]:
        """What is fitted first."""
        return (*((self.fitted,) if self.fitted is not None else ()), *self.others)


@analysis
def releases(study: Study) -> Mapping[str, Release]:
    """Every contactor and relay whose coil is said."""
    alone = {
        name: _release(study, path)
        for name, path in coil_paths(study).items()
        if path.coil is not None
    }
    return {
        name: replace(one, before=tuple(_before(study, alone, name, (name,))))
        for name, one in alone.items()
    }


def _before(
    study: Study, alone: Mapping[str, Release], name: str, behind: tuple[str, ...]
) -> Iterator[Before]:
    """The relays in the circuit of a coil, each with those before it; `behind` come after it."""
    for part in coil_paths(study)[name].openers:
        if part.name == name or part.name not in alone:
            continue
        row = (part.name, *behind)
        title = " and ".join(study.system.title("switches", one) for one in row[:-1])
        if part.name in behind or part.resting:
            why = (
                f"{study.system.title('switches', part.name)} opens it by pulling in, and how soon "
                "it does is not computed"
                if part.resting
                else f"{study.system.title('switches', part.name)} hangs on a coil that it opens"
            )
            yield Before(title=title, hand=part.label, times=(), unknown=why)
            continue
        path = coil_paths(study)[part.name]
        hands = [p.label for p in path.openers if p.name not in alone]
        earlier = tuple(_before(study, alone, part.name, row))
        if hands or not earlier:
            hand = hands[-1] if hands else f"the switch of {path.title}"
            yield _in_a_row(study, alone, title, hand, row)
        yield from earlier


def _in_a_row(
    study: Study, alone: Mapping[str, Release], title: str, hand: str, row: tuple[str, ...]
) -> Before:
    """The times of coils in a row, the one that lets go first in front."""
    times: list[Term] = []
    for number, name in enumerate(row, 1):
        called, one = study.system.title("switches", name), alone[name]
        if one.fitted is None:
            return Before(title=title, hand=hand, times=(), unknown=f"{called}: {one.unknown}")
        times.append(
            Term(f"t{number}", one.fitted.time_s, "s", f"until {called} lets go",
                 f"{called} lets go, {one.fitted.part} across its coil", Ref("release", name))
        )  # fmt: skip
    return Before(title=title, hand=hand, times=tuple(times))


def _release(study: Study, path: CoilPath) -> Release:
    coil = path.coil
    starts = any(starts_only(study, chain, cranking(study)) for chain, _ in path.contacts)
    missing = _missing(study, coil)
    fitted: Held | None = None
    others: tuple[Held, ...] = ()
    if coil is not None and not missing:
        try:
            own = _part(coil)
            usual = Surge(kind="voltage", value=default("coil-suppressor-voltage").si)
            choice = [one for one in ("diode", usual) if one != own]
            others = tuple(_held(study, path, coil, one) for one in choice)
            if own is None:
                missing = _untold(coil)
            else:
                fitted = _held(study, path, coil, own)
        except NotCovered:
            missing = "at its highest voltage it carries no more than what it is said to let go at"
    return Release(switch=path.switch, fitted=fitted, others=others, starts=starts, unknown=missing)


def _missing(study: Study, coil: Coil | None) -> str:
    """What the builder has not given; empty where all is there."""
    lacks = []
    if coil is None or coil.inductance_henry is None:
        lacks.append("the inductance of its coil")
    if coil is None or coil.drops_out is None:
        lacks.append("the voltage or current at which it drops out")
    if coil is None or _draw(study, coil) is None:
        lacks.append("what its coil draws")
    verb = "are" if len(lacks) > 1 else "is"
    return f"{' and '.join(lacks)} {verb} not given" if lacks else ""


def _part(coil: Coil) -> Surge | str | None:
    return None if coil.suppressor in (None, "inside", "none") else coil.suppressor


def _untold(coil: Coil) -> str:
    if coil.suppressor == "none":
        return "with nothing across its coil the arc at its switch decides"
    if coil.suppressor == "inside":
        return "what its maker has fitted inside is not said"
    return "what takes up its surge is not said"


def _draw(study: Study, coil: Coil) -> tuple[float, laws.Law] | None:
    load = study.document.equipment.get(coil.load or "")
    drawn = coil.draw or (load.draw if load is not None else None)
    return None if drawn is None else (drawn.value, drawn.by)


def _held(study: Study, path: CoilPath, coil: Coil, part: Surge | str) -> Held:
    at = ("switches", path.switch, "coil")
    ohm = _ohm(study, coil, at)
    volts = _volts(study)
    before = computed("I", "A", "current before its switch opens", "V / R", [volts, ohm])
    henry = Term("L", coil.inductance_henry or 0.0, "H", "", where(study, *at, "inductance"))
    goes = _lets_go(study, coil, ohm, at)
    if isinstance(part, Surge) and part.kind == "resistance":
        across = Term("P", part.value, "ohm", "", _said_at(study, coil, part, at))
        time = resistor_release_s.step(
            inductance_henry=henry, coil_ohm=ohm, current_a=before, lets_go_a=goes,
            across_ohm=across,
        )  # fmt: skip
        words = f"a resistor of {part.said}"
        surge = computed("S", "V", "what the switch that opens has to bear", "V + I * P",
                         [volts, before, across])  # fmt: skip
    else:
        if isinstance(part, Surge):
            keeps = Term("U", part.value, "V", "", _said_at(study, coil, part, at))
            words = f"a suppressor of {part.said}"
        else:
            keeps = assumed("silicon-forward-voltage", "U", "V")
            words = "a diode"
        time = held_release_s.step(
            inductance_henry=henry, coil_ohm=ohm, current_a=before, lets_go_a=goes, held_v=keeps
        )
        surge = computed("S", "V", "what the switch that opens has to bear", "V + U",
                         [volts, keeps])  # fmt: skip
    return Held(
        part=words,
        time_s=time.result.value,
        surge_v=surge.result.value,
        working=Working(
            title=f"{path.title} lets go, {words} across its coil",
            steps=leading_to(surge, time),
        ),
    )


def _said_at(study: Study, coil: Coil, part: Surge, at: tuple[str, ...]) -> str:
    if part == coil.suppressor:
        return where(study, *at, "suppressor")
    return default("coil-suppressor-voltage").origin


def _ohm(study: Study, coil: Coil, at: tuple[str, ...]) -> Term | Step:
    """Its resistance: as given, or from what it draws at the nominal voltage."""
    told = _draw(study, coil)
    if told is None:  # `_missing` says so before anybody asks
        return Term("R", math.nan, "ohm", "resistance of the coil", where(study, *at))
    value, law = told
    drawn_at = ("equipment", coil.load, "draw") if coil.load in study.document.equipment else at
    origin = where(study, *drawn_at) if coil.draw is None else where(study, *at, "draw")
    if law.resistor:
        return Term("R", value, "ohm", "resistance of the coil", origin)
    nominal = Term("N", study.system.about.nominal_v, "V", "nominal voltage",
                   where(study, "system", "nominal"))  # fmt: skip
    if law.power_stays:
        drawn = Term("W", value, "W", "what it draws", origin)
        return computed("R", "ohm", "resistance of the coil", "N**2 / W", [nominal, drawn])
    drawn = Term("D", value, "A", "what it draws at the nominal voltage", origin)
    return computed("R", "ohm", "resistance of the coil", "N / D", [nominal, drawn])


def fed_v(study: Study) -> float:
    """The highest voltage that a coil is fed with, in V."""
    return _volts(study).value


def coil_a(study: Study, path: CoilPath) -> float | None:
    """What a coil draws at that voltage, in A; None where its draw is not known."""
    if path.coil is None or _draw(study, path.coil) is None:
        return None
    ohm = _ohm(study, path.coil, ("switches", path.switch, "coil"))
    found = ohm.result if isinstance(ohm, Step) else ohm
    return fed_v(study) / found.value


def _lets_go(study: Study, coil: Coil, ohm: Term | Step, at: tuple[str, ...]) -> Term | Step:
    goes = coil.drops_out
    if goes is None or goes.kind == "current":
        value = goes.value if goes is not None else 0.0
        return Term("i", value, "A", "current at which it lets go", where(study, *at, "drops-out"))
    volts = Term("v", goes.value, "V", "voltage at which it lets go",
                 where(study, *at, "drops-out"))  # fmt: skip
    return computed("i", "A", "current at which it lets go", "v / R", [volts, ohm])


def _volts(study: Study) -> Term:
    """The highest voltage that a source holds: the longest time."""
    found = [Term("V", study.system.about.nominal_v, "V", "nominal voltage",
                  where(study, "system", "nominal"))]  # fmt: skip
    for name, source in study.document.sources.items():
        title = study.system.title("sources", name)
        at = where(study, "sources", name)
        if source.kind == "alternator":
            found.append(Term("V", max(source.setpoints()), "V", f"set-point of {title}", at))
        elif isinstance(source, LeadAcid | Lithium):
            full = open_circuit_v(study, source, 1.0)
            found.append(Term("V", full, "V", f"{title} at rest, full", at))
        else:
            found.append(Term("V", source.voltage_v, "V", f"voltage of {title}", at))
    return max(found, key=lambda term: term.value)


__all__ = ["Before", "Held", "Release", "coil_a", "fed_v", "releases"]
