"""Every short with every source feeding: what opens, what burns, what is lost for good.

In: the network in cruise with all that feeds it, devices with their curves, wires. Out: `Shorts`.
A short lies at each end of each power wire, thin ones of senses and lamps too, and at each bus,
against the main ground. Two states are looked at: with the feeders of normal flight; and after the
pilot has changed over, what opened before staying open. Loads are off meanwhile: they draw little
beside a short.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import asdict, replace

from elec.answers.failures.failure_list import Failure
from elec.answers.failures.failure_states import CHANGED
from elec.answers.failures.failure_sweep import Sweep
from elec.answers.failures.failures import worst_condition
from elec.answers.short.damage import every_bears
from elec.answers.short.short_clearing import Clearing, ShortCourse, guard
from elec.answers.short.short_managed import CutOff, Managed, managed, opening, without
from elec.answers.time.endurance import cruise_phase
from elec.network.netlist import Values
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.backup import engine_loads
from elec.wiring.cases import NORMAL, Case, Scenario
from elec.wiring.chains import Chain, Conductor, chains, known_ohm
from elec.wiring.circuit_model import build
from elec.wiring.limits import limit
from elec.wiring.runs import runs

MOST_TRACED = 2048
"""Shorts traced at a time: each asks a flag for every resistor."""


class Short(Struct, frozen=True, kw_only=True):
    """A short at one node."""

    node: str
    at: str
    """Where it is, for print: `beginning`, `far end`, a bus."""
    normal: ShortCourse
    """With the feeders of normal flight."""
    changed: ShortCourse
    """After changing over, what opened before staying open."""
    taken: tuple[str, ...]
    """Essential equipment whose work nothing does any more, at once and after changing over."""
    may_take: tuple[str, ...]
    """Further essential equipment, if devices open that may open too."""
    dead: frozenset[str]
    """Equipment that is cut off at once."""
    at_once: tuple[str, ...]
    """Essential equipment whose work nothing does before anybody has changed over."""
    cut: CutOff | None = None
    """What follows where a battery's management system opens, or may; None where none does."""

    @property
    def courses(self) -> tuple[ShortCourse, ...]:
        """Those in which anything feeds it."""
        return tuple(course for course in (self.normal, self.changed) if course.live)


class Shorted(Struct, frozen=True, kw_only=True):
    """The shorts of one feeder, circuit, thin wire or bus."""

    name: str
    kind: Literal["circuit", "feeder", "wire", "bus"]
    title: str
    path: tuple[str | int, ...]
    shorts: tuple[Short, ...]
    beyond: tuple[str, ...]
    """Essential equipment lost for good by a short in its wire, and not by the wire being open."""
    may_beyond: tuple[str, ...]
    """The same, if devices open that may open too."""
    open_takes: tuple[str, ...] = ()
    """Essential equipment that is lost when its wires are merely open."""
    halts: tuple[str, ...] = ()
    """What the engine needs and has not until somebody changes over, and has with the wire open."""
    unknown: str = ""
    """Why nothing can be told."""
    ask: str = ""
    """What to do about it."""


class Shorts(Struct, frozen=True, kw_only=True, dict=True):
    """All shorts."""

    by_name: Mapping[str, Shorted]
    state: str
    """The phase and condition in which they happen."""

    @cached_property
    def through_a(self) -> Mapping[str, float]:
        """Conductor → the most that any short drives through it at first."""
        found: dict[str, float] = {}
        for shorted in self.by_name.values():
            for short in shorted.shorts:
                for course in short.courses:
                    for name, amps in course.through_a.items():
                        found[name] = max(found.get(name, 0.0), amps)
        return found


@analysis
def shorts(study: Study) -> Shorts:
    """A short at both ends of every wire of feeders and circuits, thin wires, and every bus."""
    batteries = [s for s in study.document.sources.values() if s.kind != "alternator"]
    if not study.document.phases or not chains(study).by_name or not batteries:
        return Shorts(by_name={}, state="")
    return _Work(study).run()


def _feed_ends(chain: Chain) -> Iterator[tuple[str, Conductor, bool]]:
    """(node, conductor, whether it is the end nearer to where the chain begins).

    What a stub before the device may be is the limit on its length.
    """
    for conductor in chain.conductors():
        if (conductor.role == "feed" or chain.hot) and not conductor.stub:
            yield conductor.a.outlet, conductor, True
            yield conductor.b.inlet, conductor, False


class _Work:
    def __init__(self, study: Study) -> None:
        self.study = study
        self.chains = [c for c in chains(study).by_name.values() if c.brings_power]
        self.phase, self.condition = cruise_phase(study), worst_condition(study)
        self.cases = tuple(
            Case(phase=self.phase, condition=self.condition, scenario=state, count="momentary")
            for state in (NORMAL, CHANGED)
        )
        model = build(study, self.cases, sizing(study).sizes(), outputs=True)
        self.netlist = model.netlist
        self.values = self._all_feeding(model.values)
        parts = {
            chain.name: chain.device.id
            for chain in chains(study).guarded()
            if chain.device is not None and chain.brings_power
        }
        self.part_of = parts
        guards = [
            guard(key, parts[key], device)
            for key, device in sizing(study).devices.items()
            if device.rating_a is not None and key in parts
        ]
        self.gone: Mapping[str, Managed] = {}
        self.cut: Mapping[str, tuple[ShortCourse, ShortCourse]] = {}
        none = self._no_wires()
        self.clearing = Clearing(
            self.netlist,
            guards,
            {name: bears for name, bears in every_bears(study).items() if name not in none},
            dict.fromkeys(
                study.document.buses, default("dead-bus").si * study.system.about.nominal_v
            ),
            {name: battery.limit_a for name, battery in managed(study).items()},
        )
        self.ends = self._ends_of()

    def _no_wires(self) -> frozenset[str]:
        """Ground connections whose resistance is given: there is no wire that could burn."""
        return frozenset(
            conductor.id
            for chain in chains(self.study).of("ground")
            if known_ohm(self.study, chain) is not None
            for conductor in chain.conductors()
        )

    def _bar(self, node: str, conductor: Conductor, *, near: bool) -> bool:
        """Whether a node is as good as the bus: a stub without a device joins the two."""
        other = conductor.b.inlet if near else conductor.a.outlet
        length = runs(self.study)[conductor.id].length_m
        if length is None or not limit(self.study, "unprotected-stub").allows(length):
            return False
        return bool({node, other} & self.study.document.buses.keys())

    def _all_feeding(self, values: Values) -> Values:
        """Loads off, and alternators with what they give into a short at first."""
        limit = values.alternator_limit_a.copy()
        multiple = default("alternator-fault-multiple").value
        for row, branch in enumerate(self.netlist.alternators):
            source = self.study.document.sources[branch.name]
            rated = source.rated_a() if source.kind == "alternator" else None
            if rated is not None:
                limit[row][limit[row] > 0] = multiple * rated
        count = values.cases
        return replace(
            values,
            alternator_limit_a=limit,
            load_value=np.repeat(self.netlist.off_values()[:, None], count, axis=1),
        )

    def _ends_of(self) -> Mapping[str, list[str]]:
        """Node → resistors that end on it."""
        found: dict[str, list[str]] = {}
        for branch in self.netlist.resistors:
            for node in (branch.a, branch.b):
                found.setdefault(node, []).append(branch.name)
        return found

    def run(self) -> Shorts:
        """All of them at once."""
        nodes = list(dict.fromkeys((
            *self.study.document.buses,
            *(node for chain in self.chains for node, _, _ in _feed_ends(chain)),
        )))  # fmt: skip
        nodes = [node for node in nodes if node in self.ends]
        near: dict[str, set[str]] = {}
        for chain in self.chains:
            keys = {key for key in (chain.name, chain.far and chain.far.name) if key}
            for node, _, _ in _feed_ends(chain):
                near.setdefault(node, set()).update(keys)
        own = {node: frozenset(keys) for node, keys in near.items() if node not in
               self.study.document.buses}  # fmt: skip
        first, second = self.values.take(slice(0, 1)), self.values.take(slice(1, 2))
        normal = self.clearing.run(first, nodes, [()] * len(nodes), own)
        before = [tuple(one.device for one in course.opened) for course in normal]
        changed = self.clearing.run(second, nodes, before, own)
        found = dict(zip(nodes, zip(normal, changed, strict=True), strict=True))
        self.gone = {
            node: one for node, courses in found.items() if (one := opening(self.study, courses))
        }
        self.cut = without(self.clearing, (first, second), self.gone, own)
        losses = _Losses(self, found)
        by_name: dict[str, Shorted] = {}
        for chain in self.chains:
            made = self._of_chain(chain, found, losses)
            if made is not None:
                by_name[chain.name] = made
        for bus in self.study.document.buses:
            if bus in found:
                by_name[f"bus {bus}"] = Shorted(
                    name=f"bus {bus}",
                    kind="bus",
                    title=self.study.system.title("buses", bus),
                    path=("buses", bus),
                    shorts=(losses.short(bus, ""),),
                    beyond=(),
                    may_beyond=(),
                )
        return Shorts(by_name=by_name, state=f"{self.phase}, {self.condition}")

    def _of_chain(
        self,
        chain: Chain,
        found: Mapping[str, tuple[ShortCourse, ShortCourse]],
        losses: "_Losses",
    ) -> Shorted | None:
        ends = list(_feed_ends(chain))
        if not ends:
            return None
        first, last = ends[0][0], ends[-1][0]
        seen: dict[str, str] = {}
        bar: set[str] = set()
        for node, conductor, near in ends:
            here = conductor.a if near else conductor.b
            where = "beginning" if node == first else "far end" if node == last else here.label
            seen.setdefault(node, where)
            if self._bar(node, conductor, near=near):
                bar.add(node)
        made = tuple(
            losses.short(node, where)
            for node, where in seen.items()
            if node in found and any(course.live for course in found[node])
        )
        if not made:
            return None
        opened = set(losses.open_takes(chain))
        every = chains(self.study)
        guarded = (n for key in chain.guards for n in every.by_name[key].loads)
        own = {n for n in chain.loads if len(every.feeds.get(n, ())) < 2} | {*guarded}
        wire = [short for short in made if short.node not in bar]
        beyond = {name for short in wire for name in short.taken} - own - opened
        may = {name for short in wire for name in short.may_take} - own - opened - beyond
        order = list(self.study.document.equipment)
        bare = next((c for c in chain.conductors() if runs(self.study)[c.id].length_m is None),
                    None)  # fmt: skip
        rating = sizing(self.study).devices.get(chain.name)
        unknown = ask = ""
        if bare is not None:
            unknown, ask = runs(self.study)[bare.id].why, runs(self.study)[bare.id].ask
        elif rating is not None and rating.rating_a is None:
            unknown = f"the rating of its {rating.kind} is not known"
            ask = "give the current of its load, or its rating"
        return Shorted(
            name=chain.name,
            kind="feeder" if chain.kind == "feeder" else "wire" if chain.hot else "circuit",
            title=chain.title,
            path=chain.path,
            shorts=made,
            beyond=tuple(sorted(beyond, key=order.index)),
            may_beyond=tuple(sorted(may, key=order.index)),
            open_takes=tuple(sorted(opened, key=order.index)),
            halts=self._halts(chain, losses, wire, own),
            unknown=unknown,
            ask=ask,
        )

    def _halts(
        self, chain: Chain, losses: "_Losses", wire: Sequence[Short], own: set[str]
    ) -> tuple[str, ...]:
        """What the engine waits for while the wire is shorted, not while it is merely open."""
        needed = engine_loads(self.study)
        if not needed:
            return ()
        waits = {n for short in wire for n in short.at_once if n not in short.taken}
        waits -= own | {*losses.open_takes_at_once(chain)}
        return tuple(name for name in self.study.document.equipment if name in waits & needed)


class _Losses:
    """What each short leaves dead, by tracing with its devices open and its dead buses off."""

    def __init__(self, work: _Work, found: Mapping[str, tuple[ShortCourse, ShortCourse]]) -> None:
        self.work, self.found = work, found
        self.column: dict[tuple[str, str], int] = {}
        listed: list[Failure] = []
        known: dict[tuple[frozenset[str], frozenset[str]], int] = {}

        def trace(name: tuple[str, str], failure: Failure) -> None:
            """What opens and stops the same is traced once."""
            place = known.setdefault((failure.opens, failure.sources), len(listed))
            if place == len(listed):
                listed.append(failure)
            self.column[name] = place

        for node, (normal, changed) in found.items():
            opened = {one.device for one in normal.opened}
            both = opened | {one.device for one in changed.opened}
            for key, course, open_ in (
                ("normal", normal, opened),
                ("changed", changed, both),
                ("may", normal, opened | {*normal.may}),
                ("may changed", changed, both | {*normal.may, *changed.may}),
            ):
                trace((node, key), self._failure(node, course, open_))
        for node, (normal, changed) in work.cut.items():
            opened = {one.device for one in normal.opened}
            both = opened | {one.device for one in changed.opened}
            gone = frozenset(work.gone[node].batteries)
            for key, course, open_ in (("cut", normal, opened), ("cut changed", changed, both)):
                failure = replace(self._failure(node, course, open_), sources=gone)
                trace((node, key), failure)
        for chain in work.chains:
            opens = {c.id for c in chain.conductors()}
            trace((chain.name, "open"), self._made(f"open:{chain.name}", opens))
        self.sweep = Sweep(
            work.study, (work.phase,), (NORMAL, CHANGED), ("momentary",), work.condition, which=()
        )
        self.dead = {state.name: self._traced(listed, state) for state in (NORMAL, CHANGED)}
        self.healthy = self.sweep.dead(work.phase, NORMAL, self.sweep.healthy)
        self.before = self.sweep.taken(self.healthy)

    def _traced(self, listed: Sequence[Failure], state: Scenario) -> list[frozenset[str]]:
        """What is dead after each of them; so many traced at a time that they fit."""
        found: list[frozenset[str]] = []
        same: dict[frozenset[str], frozenset[str]] = {}
        for first in range(0, len(listed), MOST_TRACED):
            sweep = self.sweep.of(tuple(listed[first : first + MOST_TRACED]))
            every = (sweep.dead(self.work.phase, state, k) for k in range(sweep.healthy))
            found += [same.setdefault(dead, dead) for dead in every]
        return found

    def _failure(self, node: str, course: ShortCourse, keys: set[str]) -> Failure:
        opens = {self.work.part_of[key] for key in keys} | set(self.work.ends[node])
        for bus in course.dead_buses:
            opens.update(self.work.ends.get(bus, ()))
        return self._made(f"short:{node}", opens)

    @staticmethod
    def _made(name: str, opens: set[str]) -> Failure:
        return Failure(
            id=name, kind="feeder", about=name, title=name, path=(), opens=frozenset(opens)
        )

    def _dead(self, state: Scenario, column: int) -> frozenset[str]:
        return self.dead[state.name][column]

    def _taken(self, at_once: frozenset[str], later: frozenset[str]) -> tuple[str, ...]:
        """Essential loads lost for good: the pilot changes over where that helps."""
        first = self.sweep.taken(at_once)
        second = self.sweep.taken(later)
        return second if len(second) < len(first) else first

    def open_takes(self, chain: Chain) -> tuple[str, ...]:
        """Essential loads that are lost when the chain's wires are open."""
        column = self.column[chain.name, "open"]
        return self._taken(self._dead(NORMAL, column), self._dead(CHANGED, column))

    def open_takes_at_once(self, chain: Chain) -> tuple[str, ...]:
        """The same before anybody has changed over."""
        return self.sweep.taken(self._dead(NORMAL, self.column[chain.name, "open"]))

    def short(self, node: str, where: str) -> Short:
        """What a short at a node takes."""
        normal, changed = self.found[node]
        taken: tuple[str, ...] = ()
        once: tuple[str, ...] = ()
        may: tuple[str, ...] = ()
        dead: frozenset[str] = frozenset()
        if normal.live:
            dead = self._dead(NORMAL, self.column[node, "normal"]) - self.healthy
            taken = self._taken(
                dead | self.healthy, self._dead(CHANGED, self.column[node, "changed"])
            )
            once = self.sweep.taken(dead | self.healthy)
            both = self._taken(
                self._dead(NORMAL, self.column[node, "may"]),
                self._dead(CHANGED, self.column[node, "may changed"]),
            )
            may = tuple(name for name in both if name not in taken)
        taken = tuple(name for name in taken if name not in self.before)
        return Short(
            node=node, at=where, normal=normal, changed=changed, taken=taken, may_take=may,
            dead=dead, at_once=tuple(name for name in once if name not in self.before),
            cut=self._cut(node),
        )  # fmt: skip

    def _cut(self, node: str) -> CutOff | None:
        if node not in self.work.cut:
            return None
        normal, changed = self.work.cut[node]
        taken = self._taken(
            self._dead(NORMAL, self.column[node, "cut"]),
            self._dead(CHANGED, self.column[node, "cut changed"]),
        )
        return CutOff(
            **asdict(self.work.gone[node]),
            normal=normal,
            changed=changed,
            taken=tuple(name for name in taken if name not in self.before),
        )


def lasting_alternator_a(study: Study, sources: Iterable[str]) -> float:
    """What alternators feed into a short for as long as it lasts; infinite where not known."""
    total = 0.0
    for name in sources:
        source = study.document.sources[name]
        if source.kind != "alternator":
            return math.inf
        rated = source.rated_a()
        if source.limit_a is None and rated is None:
            return math.inf
        total += source.limit_a or default("alternator-limit-share").si * (rated or 0.0)
    return total


__all__ = ["Short", "Shorted", "Shorts", "lasting_alternator_a", "shorts"]
