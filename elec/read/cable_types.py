"""Cables whose type does not say how many cores of which gauge are in the jacket.

Works on the plain data beside `elec.read.names`.
"""

import re

from elec.read.draft import Draft
from elec.read.shape import CABLES

_TOLD = re.compile(r"[0-9]+-core\b(?!.*[0-9]\s*AWG)(?!.*#)", re.IGNORECASE)
_SPOKEN = re.compile(
    r"\b(?:pair|pairs|triple|quad|cores?|conductors?|shield(?:ed)?|screen(?:ed)?|twisted|awg)\b",
    re.IGNORECASE,
)
_COUNTED = re.compile(r"\b([0-9]+)\s*-?\s*(?:cores?|conductors?|wires?)\b", re.IGNORECASE)
_GAUGE = re.compile(r"\bAWG\s*#?\s*([0-9]+)|\b([0-9]+)\s*AWG\b|#\s*([0-9]+)", re.IGNORECASE)
_WORDS = {"pair": 2, "triple": 3, "quad": 4}
USUAL_GAUGE = "22"
"""What an example is written with where no gauge can be read from the text."""


_ONLY = {"coax": {"service", "power", "loss", "least-loss"}, "multicores": {"cores"}}
"""Keys that say something in one of the sections alone."""
_SAID = {"coax": "is a coaxial line", "multicores": "has cores"}


def check_cable_types(draft: Draft) -> None:
    """Note types that cannot be read; what stands in the wrong section is told in one sentence."""
    for section, other in (CABLES, CABLES[::-1]):
        strayed = []
        for path, entry in draft.entries(section):
            kind = entry.get("type")
            if not isinstance(kind, str):
                continue
            if entry.keys() & _ONLY[other] or _belongs(kind) == other:
                strayed.append(path)
            elif _SPOKEN.search(kind) and not _TOLD.match(kind):
                draft.wrong(
                    (*path, "type"),
                    f'"{kind}" does not say how many cores of which gauge; write {meant(kind)}',
                )
        if strayed:
            (_, name), *more = strayed
            likewise = f" (likewise {', '.join(str(name) for _, name in more)})" if more else ""
            draft.wrong(
                strayed[0], f"{name} {_SAID[other]}: it belongs under {other}:{likewise}", key=True
            )


def _belongs(kind: str) -> str:
    """The section that a type tells, "" where it tells none."""
    if kind.upper().startswith("RG"):
        return "coax"
    return "multicores" if _TOLD.match(kind) or _SPOKEN.search(kind) else ""


def meant(kind: str) -> str:
    """The type as it is written here.

    >>> meant("screened twisted pair 20 AWG")
    '2-core AWG 20 shielded twisted'
    """
    text = kind.casefold()
    counted = _COUNTED.search(text)
    spoken = next((count for word, count in _WORDS.items() if word in text), 2)
    gauge = _GAUGE.search(text)
    awg = next((part for part in gauge.groups() if part), "") if gauge else USUAL_GAUGE
    words = [f"{counted.group(1) if counted else spoken}-core AWG {awg}"]
    words += ["shielded"] if "shield" in text or "screen" in text else []
    words += ["twisted"] if "twist" in text else []
    return " ".join(words)
