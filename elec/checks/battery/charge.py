"""Do device and wire on the way to a battery hold what it takes while it is charged?

What holds least is sought among wires and devices, each of which bears in its own way.
"""

from collections.abc import Iterator

from msgspec import Struct

from elec.answers.failures.failure_currents import holds_a
from elec.answers.heat.heat import heat
from elec.answers.loads.recharging import ChargedFeeder, Recharging, recharging
from elec.check import check
from elec.checks.answer import Path, amps, answer, listed
from elec.finding import Consequence, Finding, Verdict
from elec.sizing.devices import Device, share
from elec.sizing.sizing import sizing
from elec.standards import Cite, default
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.working import within


@check(
    "Device and wire between alternator and battery hold the charging current",
    sources=(
        Cite("trade", "continuous load", "memory"),
        Cite("elec", "recharging", "judgement"),
    ),
    limits=("breaker-share", "fuse-share"),
)
def battery_charge(study: Study) -> Iterator[Finding]:
    """A low battery takes many times what a full one does, for as long as an hour.

    A fuse that is too small for it opens on the first flight after a flat battery, and nobody
    notices that the backup is not charged any more. Counted is what it `accepts`; where nobody
    says, the most that its resistance, the wires and the alternators let flow. Take a device and a
    wire that hold it, or a charger or management system that lets less in.
    """
    found = recharging(study)
    if found is None:
        return
    for line in found.lines:
        yield _finding(study, found, line)


def _finding(study: Study, found: Recharging, line: ChargedFeeder) -> Finding:
    chain = chains(study).by_name[line.chain]
    names = listed(study.system.title("sources", name) for name in line.batteries)
    verb, they = ("is", "it accepts") if len(line.batteries) == 1 else ("are", "they accept")
    low = f"while {names} {verb} charged from {default('recharging-charge').value:g} %"
    weak = _weakest(study, chain, line.most_a)
    untold = _untold(study, chain)
    if untold and (weak is None or not weak.word):
        text = (
            f"{low}, {amps(line.most_a)} at most run through it; what its wire may carry cannot be "
            f"told: {untold}."
        )
        return answer(study, chain.name, Verdict.CANNOT_TELL, text[:1].upper() + text[1:],
                      at=chain.path, remedy="Give the way that it takes.",
                      value=line.most_a, unit="A")  # fmt: skip
    if weak is None or not weak.word:
        bound = f", whatever {they}" if line.bounded else ""
        text = f"{low}{bound}, {amps(line.most_a)} at most run through it; it holds them."
        text = text[:1].upper() + text[1:]
        holds = None if weak is None else weak.holds_a
        return answer(study, chain.name, Verdict.PASS, text, at=chain.path,
                      value=line.most_a, limit=holds, unit="A")  # fmt: skip
    if line.bounded:
        unknown = next(name for name in line.batteries if name in found.unknown)
        title = study.system.title("sources", unknown)
        verdict = Verdict.CANNOT_TELL
        at: Path = ("sources", unknown)
        text = (
            f"What {title} accepts is not given. Up to {amps(line.most_a)} "
            f"could run through {weak.word}."
        )
        remedy = (
            "Give accepts: 20 A, the greatest charging current by its maker, its management "
            "system or its charger."
        )
    else:
        verdict, at = Verdict.ADVISE if weak.only_share else Verdict.FAIL, chain.path
        text = f"{low}, {amps(line.most_a)} run through {weak.word}."
        remedy = (
            "Take a larger device and a thicker wire, or a charger or management system that lets "
            "less in (accepts)."
        )
    return answer(
        study,
        chain.name,
        verdict,
        text[:1].upper() + text[1:],
        at=at,
        remedy=remedy,
        value=line.most_a,
        limit=weak.holds_a,
        unit="A",
        consequence=Consequence.HEAT if weak.heats else Consequence.OTHER,
    )


class _Weak(Struct, frozen=True, kw_only=True):
    """What a device or a wire of a feeder holds; no word where that is enough."""

    word: str
    holds_a: float
    heats: bool = False
    only_share: bool = False
    """It stays closed, but has more than the share that a lasting load may use."""


def _weakest(study: Study, chain: Chain, amps_: float) -> _Weak | None:
    """What holds least; None where nothing can be asked."""
    every = [*_wires(study, chain, amps_), *_devices(study, chain, amps_)]
    open_ = [one for one in every if one.word]
    return min(open_ or every, key=lambda one: (one.only_share, one.holds_a), default=None)


def _untold(study: Study, chain: Chain) -> str:
    """Why it is not known what a wire of it may carry; empty where it is."""
    every = (heat(study)[conductor.id].unknown for conductor in chain.conductors())
    return next((why for why in every if why), "")


def _wires(study: Study, chain: Chain, amps_: float) -> Iterator[_Weak]:
    """One whose way is not known counts as if it lay alone: it holds no more than that."""
    for conductor in chain.conductors():
        found = heat(study)[conductor.id]
        word = f"its wire, AWG {found.awg}, which may carry {amps(found.allowed_a)}"
        over = not within(amps_, found.allowed_a)
        yield _Weak(word=word if over else "", holds_a=found.allowed_a, heats=over)


def _devices(study: Study, chain: Chain, amps_: float) -> Iterator[_Weak]:
    for name in (chain.name, chain.far.name if chain.far is not None else ""):
        device = sizing(study).devices.get(name)
        if device is not None and device.rating_a is not None:
            used = 1.0 if _generates(study, chain) else share(study, device.kind).value
            lasting = used * device.rating_a * min(1.0, device.warmth)
            yield _device(device, amps_, lasting)


def _device(device: Device, amps_: float, lasting: float) -> _Weak:
    holds = holds_a(device)
    if _beyond(amps_, holds):
        word = f"its {device.label}, which surely holds {amps(holds)}: it opens"
        return _Weak(word=word, holds_a=holds)
    if _beyond(amps_, lasting):
        word = f"its {device.label}, of which {amps(lasting)} may be used for long"
        return _Weak(word=word, holds_a=lasting, only_share=True)
    return _Weak(word="", holds_a=lasting)


EDGE = 2e-3
"""What elec chose for a current holds the last digits of it."""


def _beyond(amps_: float, holds: float) -> bool:
    return amps_ > holds * (1 + EDGE)


def _generates(study: Study, chain: Chain) -> bool:
    """An alternator's feeder is limited by the alternator itself: the whole rating may be used."""
    ends = (study.document.sources.get(end) for end in (chain.source_end, chain.far_end))
    return any(source is not None and source.kind == "alternator" for source in ends)
