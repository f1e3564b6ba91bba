"""What was chosen for every chain, what decided it, and why the next smaller one does not do.

In: sizing, candidates, devices. Out: `Choice` by chain. Nothing is chosen here.
"""

from collections.abc import Mapping

from msgspec import Struct

from elec import units
from elec.sizing.candidates import Candidate, candidates
from elec.sizing.chosen import Sizing
from elec.sizing.devices import Device, drop_limit_v, ratings_of
from elec.sizing.order import cranking
from elec.sizing.picking import spread_words, upper_a
from elec.sizing.search.heat import STARTS
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains
from elec.wiring.circuit_model import device_ohm
from elec.working import within

Reason = tuple[str, str]
"""In a word or two, and as a sentence."""


class Choice(Struct, frozen=True, kw_only=True):
    """One circuit, feeder, ground connection or signal wire."""

    chain: str
    kind: str
    thin: bool
    """Whether it is a wire that a source feeds without a circuit."""
    title: str
    device: Device | None
    far_device: Device | None
    device_why: str
    """What decided the rating: `its load`, `the inrush`, `given`."""
    smaller_a: float | None
    """The next smaller standard rating; None where there is none or nothing is known."""
    smaller_why: str
    """Why that does not do; empty where it would."""
    awg: str
    chosen: bool
    """Whether any of its gauges was chosen here."""
    satisfied: bool
    gauge_why: str
    thinner: str
    """The next thinner gauge; empty where there is none to be had."""
    thinner_why: str
    current_a: float
    """The most that it carries for longer than a start."""

    @property
    def stuck(self) -> str:
        """What could not be chosen; empty where all was."""
        if self.device is not None and self.device.unknown:
            return self.device.unknown
        return "" if self.satisfied else f"no gauge passes: {self.gauge_why}"


@analysis
def choices(study: Study) -> Mapping[str, Choice]:
    """Everything that has a device or a gauge to choose, feeders first."""
    done = sizing(study)
    return {
        chain.name: _choice(study, done, chain)
        for chain in chains(study).by_name.values()
        if chain.kind != "cable" and chain.conductors()
    }


def _choice(study: Study, done: Sizing, chain: Chain) -> Choice:
    device = done.devices.get(chain.name)
    wires = [c for c in chain.conductors() if done.gauges[c.id].chosen] or chain.conductors()
    gauge = done.gauges[wires[0].id]
    smaller, (by, smaller_why) = _smaller(study, chain, device)
    thinner, thinner_why = _thinner(study, chain, gauge.decided)
    return Choice(
        chain=chain.name,
        kind=chain.kind,
        thin=chain.hot,
        title=chain.title,
        device=device,
        far_device=done.devices.get(chain.far.name) if chain.far else None,
        device_why=_device_why(device, by),
        smaller_a=smaller,
        smaller_why=smaller_why,
        awg=gauge.awg,
        chosen=gauge.chosen,
        satisfied=all(done.gauges[c.id].satisfied for c in chain.conductors()),
        gauge_why=gauge.decided.strip(),
        thinner=thinner,
        thinner_why=thinner_why,
        current_a=max((_lasting(study, done, c.id) for c in chain.conductors()), default=0.0),
    )


def _lasting(study: Study, done: Sizing, conductor: str) -> float:
    found = done.currents_a.get(conductor, {})
    return max((a for (phase, _), a in found.items() if phase not in cranking(study)), default=0.0)


def _device_why(device: Device | None, by: str) -> str:
    if device is None:
        return ""
    if device.unknown:
        return device.unknown
    if not device.chosen:
        return "given"
    return device.decided or by or "the smallest that is made"


def _smaller(study: Study, chain: Chain, device: Device | None) -> tuple[float | None, Reason]:
    if device is None or device.rating_a is None:
        return None, ("", "")
    below = [r for r in ratings_of(device.kind, device.family) if r < device.rating_a]
    if not below:
        return None, ("", "")
    return below[-1], refusal(study, chain, device, below[-1])


def refusal(study: Study, chain: Chain, device: Device, rating_a: float) -> Reason:
    """Why a smaller rating of the same class does not do in the place of a device.

    Returns:
        In a word or two, and as a sentence; both empty where it would do.
    """
    if device.needed_a is not None and not device.holds_load(rating_a):
        load = f"{device.needed_a:.3g} A or more holds the load of {device.load_a or 0.0:.3g} A"
        if device.peak_a is not None:
            load += f" with its peak of {device.peak_a:.3g} A"
        return "its load", load
    if device.inrush_a is not None and device.inrush_s is not None:
        held = device.holds_inrush(rating_a)
        if held is not None and not held[0]:
            lasts = units.show(device.inrush_s, "s")
            rush = f"it may open within the {lasts} of {device.inrush_a:.3g} A at switch-on"
            return THE_INRUSH, rush
    if chain.kind == "circuit" and device.load_a is not None:
        strictest = min((drop_limit_v(study, load).volts for load in chain.loads), default=None)
        lost = device.load_a * device_ohm(device.kind, rating_a, device.family)
        share = default("device-drop-share").si
        if strictest is not None and lost > share * strictest:
            own = f"it alone would lose {lost:.2f} V; {share * strictest:.2f} V is its share"
            return "what it loses itself", own
    if not device.chosen:
        return "", ""
    if not within(device.warmth * rating_a, upper_a(study, chain, device), "at least"):
        return "", spread_words(study, chain, device)
    return "", "below that floor" if device.by_floor else device.decided


def least_for_inrush(study: Study, chain: Chain, device: Device) -> float | None:
    """The least rating made that stays closed at switch-on, in amperes.

    None where the least that holds the load does so too, or no curve tells.
    """
    held = sorted(r for r in ratings_of(device.kind, device.family) if device.holds_load(r))
    opens = [r for r in held if refusal(study, chain, device, r)[0] == THE_INRUSH]
    closed = [r for r in held if r not in opens]
    return closed[0] if opens and closed else None


THE_INRUSH = "the inrush"
"""What refuses a rating that would open as its loads are switched on."""


def _thinner(study: Study, chain: Chain, decided: str) -> tuple[str, str]:
    found = candidates(study, chain)
    if found is None:
        return "", ""
    place = next((i for i, one in enumerate(found.tried) if one.taken), 0)
    if place == 0:
        return "", ""
    before = found.tried[place - 1]
    why = in_words(before) or found.raised.strip()
    if not why and not found.given:
        why = decided
    return before.awg, why


def in_words(one: Candidate) -> str:
    """Why a gauge does not do, with its number."""
    why = one.obstacle
    if why is None:
        return ""
    if why.kind == "drop" and one.lost_v is not None and one.limit_v is not None:
        return f"it would lose {one.lost_v:.2f} V of {one.limit_v:.2f} V"
    if why.kind == "starts":
        return f"{STARTS} starts in a row would heat it to its rating"
    if why.kind == "heat" and one.allowed_a is not None:
        return f"it may carry {one.allowed_a:.1f} A {why.where}; {one.needed_a:.3g} A is needed"
    return why.text
