"""How marks, lengths and short words of a system's sheets are to be read."""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence

from elec import units
from elec.answers.base.marks import letters
from elec.standards import default
from elec.standards.cite import REMARKS
from elec.study import Study

ABBREVIATIONS: Mapping[str, str] = {
    "AWG": "American wire gauge",
    "⌀": "diameter",
    "Ω": "ohm",
    "RG": "type of coaxial cable",
    "BNC": "coaxial connector with a bayonet",
    "TNC": "the same with a thread",
    "dsub": "D-subminiature connector",
    "hd": "of high density",
    "J1": "first connector of a box, by the builder's name",
    "com": "radio for speech",
    "nav": "navigation",
    "gps": "satellite navigation",
    "mic": "microphone",
    "cht": "cylinder head temperature",
    "ecu": "engine controller",
    "bat": "battery",
    "xpdr": "transponder",
    "usb": "charging socket",
    "RF": "radio frequency",
}
"""Short words of the trade, of which a set has those that occur (common practice)."""


def mark_notes(study: Study) -> tuple[str, ...]:
    """What the letters of marks stand for, and what a length has in it."""
    return (
        f"First letter of a mark (none given: U a signal, R a cable): {letters(study)}.",
        _lengths(study),
    )


def _lengths(study: Study) -> str:
    factor, slack, strip = (
        default(key) for key in ("wire-route-factor", "wire-slack-per-end", "strip-allowance")
    )
    metric = study.system.about.units == "metric"
    more, each = (_short(one.si, metric=metric) for one in (slack, strip))
    return (
        f"Length: along the ways, {100 * factor.si:.0f} % more for the route and {more} of "
        f"slack at each end; one that the file gives is taken as it is. The cut list "
        f"(elec bench SYSTEM cut-list, and in the book) adds {each} at each end for the first "
        "strip-back."
    )


def _short(length_m: float, *, metric: bool) -> str:
    """Some centimetres: inches as the habit has them, before them millimetres where these are used.

    >>> _short(0.0762, metric=True), _short(0.0127, metric=False)
    ('76 mm (3 in)', '0.5 in')
    """
    inches = units.show(length_m, "m", "feet")
    return f"{length_m * 1000:.0f} mm ({inches})" if metric else inches


UNCHECKED = f" ({REMARKS['memory']})"
COMPARE = (
    "*: a number that is usual in the trade; nobody compared it with its document for this "
    "program. Compare it with your maker's sheet before it counts."
)


def in_plain_words(texts: Sequence[str]) -> tuple[str, ...]:
    """Texts with a star at what was not compared with its document, and what that means."""
    if not any(UNCHECKED in text for text in texts):
        return tuple(texts)
    return (*(text.replace(UNCHECKED, "*") for text in texts), COMPARE)


def abbreviations(texts: Collection[str]) -> Iterator[str]:
    """Those that occur in some texts, with what they mean."""
    words = {word.lower() for text in texts for word in _WORD.findall(text)}
    for short, meaning in ABBREVIATIONS.items():
        if short.lower() in words:
            yield f"{short}: {meaning}"


PROBES = (
    "Copper is for temperature probes of resistance; a thermocouple's wires are of its own two "
    "metals up to the instrument."
)


def probes(texts: Collection[str]) -> Iterator[str]:
    """What holds for wires to probes of cylinder heads and exhaust, where a set has such."""
    words = {word.lower() for text in texts for word in _WORD.findall(text)}
    if words & {"cht", "egt", "thermocouple"}:
        yield PROBES


_WORD = re.compile(r"[A-Za-z]+1?|[⌀Ω]")
