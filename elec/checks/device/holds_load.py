"""Does the device stay closed on its load?"""

from collections.abc import Iterator

from elec.answers.short.ratings import greater
from elec.check import check
from elec.checks.answer import amps, answer, listed, sentence
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.sizing.devices import Device, rating_working
from elec.sizing.sizing import sizing
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import Chain, chains
from elec.wiring.demand import kind_of_pulse
from elec.wiring.limits import limit
from elec.working import within


@check(
    "Every breaker and fuse stays closed on its load",
    sources=(Cite("trade", "continuous load", "memory"),),
    limits=("breaker-share", "fuse-share"),
)
def device_holds_load(study: Study) -> Iterator[Finding]:
    """A device loaded to its rating opens some hot day, in the middle of a flight.

    A lasting load may use 80 % of a breaker and 75 % of a fuse, less where it sits warm. Above the
    share it is advice; above what the device itself holds it fails. What flashes, sounds or fires
    counts by its root mean square, and the device must hold its peak; of such a load the average
    alone tells nothing (`peak:`, `duty:`).
    """
    for chain in chains(study).guarded():
        device = sizing(study).devices.get(chain.name)
        if device is not None:
            yield _finding(study, chain, device)


def _finding(study: Study, chain: Chain, device: Device) -> Finding:
    at = (*chain.path, device.kind)
    if device.needed_a is None:
        return answer(
            study,
            chain.name,
            Verdict.CANNOT_TELL,
            f"Whether the {device.label} holds cannot be told: {device.unknown}.",
            at=at,
            remedy="Read the current off the label or measure it, and give it as draw.",
        )
    link = device.link_awg is not None and device.rating_a is None
    if device.rating_a is None and not link:
        return answer(
            study,
            chain.name,
            Verdict.FAIL,
            sentence(device.unknown),
            at=at,
            remedy="Split the load over two circuits, or choose a kind with greater ratings "
            "(limiter, or a class).",
            value=device.needed_a,
            unit="A",
            working=rating_working(study, device),
        )
    if device.unknown or device.rating_a is None:
        return answer(
            study,
            chain.name,
            Verdict.CANNOT_TELL,
            f"Whether the {device.label} holds {amps(device.load_a)} cannot be told: "
            f"{device.unknown}.",
            at=at,
            remedy="Ask its maker what it holds, or take a fuse or a limiter."
            if link
            else "Move it to a cooler place, or ask its maker what it holds there.",
            working=None if link else rating_working(study, device),
        )
    if device.peak_unknown:
        return _peak_unknown(study, chain, device, device.rating_a)
    load = f"{amps(device.load_a)}{_peak(device)}"
    return compare(
        study,
        chain.name,
        at=at,
        value=device.rating_a,
        limit=device.needed_a,
        rule="at least",
        unit="A",
        digits=1,
        otherwise=Verdict.ADVISE if within(device.share or 0.0, 1.0) else Verdict.FAIL,
        says=lambda _, needed: (
            f"{device.label}: the load is {load}, and {needed} or more holds it with room, the "
            "warmth at the device counted."
        ),
        remedy=lambda: _remedy(study, chain, device),
        named=(limit(study, "breaker-share" if device.kind == "breaker" else "fuse-share"),),
        working=lambda: rating_working(study, device),
    )


def _remedy(study: Study, chain: Chain, device: Device) -> str:
    """A greater rating where one passes all that is asked of a device; else another way."""
    fit = greater(study, chain, device)
    if fit is not None:
        return f"Take {fit.words}."
    split = "Split the load over two circuits" if chain.kind == "circuit" else "Take load off it"
    return f"{split}, or take another class: no greater rating passes all that is asked of one."


def _peak(device: Device) -> str:
    if device.peak_a is None:
        return ""
    return f" (root mean square) and {amps(device.peak_a)} at its peak"


def _peak_unknown(study: Study, chain: Chain, device: Device, rating_a: float) -> Finding:
    """A load that pulses by its kind, and of which only the average is given."""
    load = device.peak_unknown[0]
    titles = listed(study.system.title("equipment", name) for name in device.peak_unknown)
    does, usual = kind_of_pulse(load, study.document.equipment[load])
    return answer(
        study,
        chain.name,
        Verdict.CANNOT_TELL,
        f"{device.label} of {titles}: {does}, and only the average of {amps(device.load_a)} "
        "is given. Whether the device holds the peak cannot be told.",
        at=("equipment", load),
        remedy=f"Give peak: beside draw, from its label or sheet{usual}; duty: 100 % if it never "
        "pulses.",
        value=rating_a,
        unit="A",
    )
