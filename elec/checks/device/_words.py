"""How checks speak of a class: whether its curve is published, assumed, or the builder's."""

from contextlib import suppress

from elec.sizing.devices import Device, band_of
from elec.standards import NotCovered
from elec.study import Study
from elec.wiring.chains import Chain, chains

SAID = {
    "seen": "",
    "computed": "",
    "quoted": ", curve as quoted by others",
    "memory": ", assumed curve",
    "judgement": ", assumed curve",
}


def named(study: Study, chain: Chain, device: Device) -> str:
    """`5 A breaker`; of a thin wire that another device guards `5 A breaker of annunciator`."""
    if chain.device is not None or device.chain == chain.name:
        return device.label
    return f"{device.label} of {chains(study).named(device.chain).title}"


def curve_sources(*devices: Device) -> tuple[str, ...]:
    """Where the curves of devices come from, each once, with how each was got."""
    found = []
    for device in devices:
        with suppress(NotCovered):
            found.append(str(band_of(device.kind, device.family, device.rating_a or 1.0).cite))
    return tuple(dict.fromkeys(found))


def class_words(device: Device) -> str:
    """`class thermal, assumed curve`: the class, and what its curve rests on.

    Assumed is a curve that is from memory of a whole class; the part bought may differ.
    """
    try:
        cite = band_of(device.kind, device.family, device.rating_a or 1.0).cite
    except NotCovered:
        return f"class {device.family}, no curve known"
    own = ", your curve" if cite.document == "builder" else SAID[cite.certainty]
    return f"class {device.family}{own}"
