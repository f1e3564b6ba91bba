"""How checks speak of a class: whether its curve is published, assumed, or the builder's."""

from elec.analyses.devices import Device, band_of
from elec.standards import NotCovered

SAID = {
    "seen": "",
    "computed": "",
    "memory": ", assumed curve",
    "judgement": ", assumed curve",
}


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
