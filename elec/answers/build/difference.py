"""What a change does: margins, battery, sizes and marks of one system before and after it.

In: two studies. Out: frozen pairs; only what differs, the worst first.
"""

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.answers.loads.margins import Margin, margins_by_condition
from elec.answers.time.endurance import Endurance, endurance
from elec.model.system import Condition
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains

SAME_A = 0.005
"""Currents nearer to each other than this print alike."""


class MarginPair(Struct, frozen=True, kw_only=True):
    """What an alternator has left in one phase and condition; None where it did not carry."""

    phase: str
    condition: Condition
    before: Margin | None
    after: Margin


class EndurancePair(Struct, frozen=True, kw_only=True):
    """The battery alone; None where it cannot be told."""

    before: Endurance | None
    after: Endurance | None


class Resized(Struct, frozen=True, kw_only=True):
    """A device, gauge or mark of an untouched circuit or feeder that the change makes another."""

    chain: str
    title: str
    what: str
    """`device`, `gauge`, or `mark`."""
    before: str
    after: str


def margin_pairs(before: Study, after: Study) -> tuple[MarginPair, ...]:
    """Phases and conditions whose margin the change moves, the least that is left first."""
    old = {(m.phase, m.condition, m.sources): m for m in margins_by_condition(before).values()}
    pairs = [
        MarginPair(
            phase=margin.phase,
            condition=margin.condition,
            before=old.get((margin.phase, margin.condition, margin.sources)),
            after=margin,
        )
        for margin in margins_by_condition(after).values()
    ]
    moved = [pair for pair in pairs if _moved(pair)]
    return tuple(sorted(moved, key=lambda p: _left(p.after)))


def _moved(pair: MarginPair) -> bool:
    if pair.before is None:
        return True
    was, now = pair.before.spare_a, pair.after.spare_a
    if was is None or now is None:
        return pair.before.share.carried_a != pair.after.share.carried_a
    same = abs(now - was) < SAME_A and pair.before.unknown == pair.after.unknown
    asked = pair.after.share.asked_a - pair.before.share.asked_a
    return not same or abs(asked) >= SAME_A


def _left(margin: Margin) -> float:
    return float("inf") if margin.spare_a is None else margin.spare_a


def endurance_pair(before: Study, after: Study) -> EndurancePair:
    """How long the battery lasts alone, before and after."""
    return EndurancePair(before=endurance(before), after=endurance(after))


def resized(before: Study, after: Study, touched: frozenset[str]) -> tuple[Resized, ...]:
    """What the change makes another in circuits and feeders that it does not itself touch."""
    found: list[Resized] = []
    for name, chain in chains(after).by_name.items():
        if name in touched or name not in chains(before).by_name:
            continue
        pairs = [("device", _device(before, name), _device(after, name))]
        ids = [c.id for c in chain.conductors()]
        old, new = sizing(before).gauges, sizing(after).gauges
        pairs += [
            ("gauge", f"AWG {old[i].awg}", f"AWG {new[i].awg}")
            for i in ids
            if i in old and i in new
        ]
        if pairs[0][1] == pairs[0][2] and all(was == now for _, was, now in pairs):
            pairs = [
                ("mark", marks(before)[i], marks(after)[i])
                for i in ids
                if i in marks(before) and i in marks(after)
            ]
        seen = dict.fromkeys(pair for pair in pairs if pair[1] != pair[2])
        found += [
            Resized(chain=name, title=chain.title, what=what, before=was, after=now)
            for what, was, now in seen
        ]
    return tuple(found)


def _device(study: Study, name: str) -> str:
    found = sizing(study).devices.get(name)
    return found.label if found else ""
