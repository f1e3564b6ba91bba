"""How marks, lengths and short words of a system's sheets are to be read."""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence

from elec import units
from elec.answers.base.marks import letters, marks
from elec.drawings.inputs import SIZED
from elec.drawings.records import words
from elec.drawings.records.distribution import FOR, sized_by_alternator
from elec.drawings.records.routes import has_map
from elec.sizing.sizing import sizing
from elec.standards import default
from elec.standards.cite import REMARKS
from elec.study import Study

READING = (
    (
        "On sheets C a wire has mark and length over its line, gauge and colour under it; on P the "
        "mark ends in the gauge."
    ),
    "An oval is a shield; the line that leaves it is its drain. Without one it is open there.",
    "Two lines that cross between two conductors: these are twisted.",
    "A ring on a conductor: it is coaxial.",
    "The dashed line in a connector parts its halves; under it stands its own sheet.",
    "Flag →1: it goes on from the flag of that number on the same sheets.",
    "(part): the box stands in several places on the sheet of a circuit.",
    "At a ground: the terminal that the wire lies on, as numbered on sheets G.",
    "The signs of the map stand on its own sheets (R).",
)
OF_SIGN = {
    READING[1]: "shield, drain", READING[2]: "twisted", READING[3]: "coaxial",
    READING[4]: "plug and socket", READING[5]: "goes on",
}  # fmt: skip
"""Those about a sign, which stand where it does."""
KINDS_OF_PANEL = {"CB": "breakers", "F": "fuses", "S": "switches"}


def conventions(study: Study, texts: Collection[str]) -> tuple[tuple[str, str], ...]:
    """How the texts of the sheets are read, by examples of theirs; each with its sign, if any.

    `texts` is all that stands on them: what does not occur is not explained.
    """
    said = [
        f"Nominal voltage: {units.show(study.system.about.nominal_v, 'v')}, direct current.",
        "All contacts are drawn as they are with every source off and every switch off.",
        *READING[:1],
        _mark(study),
        _place(study, texts),
        *READING[1:6],
        *((READING[6],) if any("(part)" in text for text in texts) else ()),
        READING[7],
        _amps(texts),
        *_sized(study, texts),
        *_position(texts),
        *_weights(study),
        *_least(texts),
        *((words.COUNTED,) if _has("(1)", texts) else ()),
        *((READING[8],) if has_map(study) else ()),
    ]
    return tuple((text, OF_SIGN.get(text, "")) for text in said)


def _has(part: str, texts: Collection[str]) -> bool:
    return any(part in text for text in texts)


def _mark(study: Study) -> str:
    """A mark of the set taken apart, one of a return where there is one."""
    every = list(marks(study).values())
    found = [_MARK.fullmatch(mark) for mark in every]
    plain = [one for one in found if one is not None]
    back = [one for one in plain if one["ground"] and one["kind"] != "P"] or plain
    parts = []
    if back:
        one = back[0]
        parts.append(
            f"Mark {one[0]}: kind of circuit {one['kind']}, its number {one['number']}, piece "
            f"{one['piece']}, AWG {one['gauge']}"
            + ("; N: it ends on a ground (return black, signal white)" if one["ground"] else "")
        )
    coaxial = next((mark for mark in every if mark.endswith("-")), "")
    if coaxial:
        parts.append(f"{coaxial}: coaxial, its type stands at it")
    return ". ".join(parts) + "."


_MARK = re.compile(r"(?P<kind>[A-Z])(?P<number>\d+)(?P<piece>[A-Z])(?P<gauge>\d+)(?P<ground>N?)")


def _place(study: Study, texts: Collection[str]) -> str:
    coil = next((m[1] for text in sorted(texts) if (m := _COIL.search(text))), "")
    more = f" Coil {coil}: on that sheet." if coil else ""
    first = "C1" if study.document.circuits else "N1"
    return (
        f"{first}/B3: the other end is on sheet {first}, zone B3 (B down, 3 across); here B3: on "
        f"this one. No sheet: an antenna.{more} Blue: on screen a link."
    )


_COIL = re.compile(r"coil (C\d+(?:\.\d+)?)$")


def _amps(texts: Collection[str]) -> str:
    turning = "; a starter's: turning" if any(map(_STARTER.match, texts)) else ""
    return f"Amps: the most that lasts in any phase of flight{turning}."


_STARTER = re.compile(r"starter\b")


def _sized(study: Study, texts: Collection[str]) -> Iterator[str]:
    """What `wires for` means, and an alternator's as an example."""
    if not _has(f" {FOR} ", texts) and not any(text.startswith(f"{FOR} ") for text in texts):
        return
    example = next(sized_by_alternator(study), "")
    yield f"{SIZED} {example}".strip()


def _position(texts: Collection[str]) -> Iterator[str]:
    """How a position of a panel is called, and what stands on none."""
    found = sorted(text for text in texts if _POSITION.fullmatch(text))
    panels = dict.fromkeys(re.match(r"[A-Z]+", one)[0] for one in found)  # type: ignore[index]
    kinds = [f"{p}: {KINDS_OF_PANEL[p]}" for p in panels if p in KINDS_OF_PANEL]
    there = sorted((m[0], m[1]) for m in map(_ON_NONE.fullmatch, texts) if m)
    firsts = {kind: text for text, kind in reversed(there)}
    others = [firsts[kind] for kind in KINDS_ON_NONE if kind in firsts]
    off = [f"{one} (a diode)" if one[0] == "D" else one for one in others]
    parts = []
    if found:
        panel, row, column = _POSITION.fullmatch(found[0]).groups()  # type: ignore[union-attr]
        parts.append(f"{found[0]}: panel {panel} ({', '.join(kinds)}), row {row}, column {column}.")
    if off:
        named = ", ".join(off)
        parts.append(f"{named[0].upper()}{named[1:]}: on no panel, but in its list (B).")
    if parts:
        yield " ".join(parts)


_POSITION = re.compile(r"([A-Z]+\d?)-(\d)([A-Z])")
KINDS_ON_NONE = ("limiter", "breaker", "fuse", "D")
"""What stands on no panel is called so, with a number."""
_ON_NONE = re.compile(rf"({'|'.join(KINDS_ON_NONE)}) ?\d")


def _weights(study: Study) -> Iterator[str]:
    """From which gauges lines are thicker, as far as there are such wires."""
    used = {0 if "/" in one.awg else int(one.awg) for one in sizing(study).gauges.values()}
    thick, medium = min(used, default=99) <= 6, any(6 < awg <= 12 for awg in used)
    named = [
        *(("AWG 6 and thicker: thick lines",) if thick else ()),
        *(("AWG 12 and thicker: medium lines",) if medium else ()),
    ]
    if named:
        yield f"{', '.join(named)}; others thin."


def _least(texts: Collection[str]) -> Iterator[str]:
    """What `at least 2.8 A for its load` is, by one that stands on a sheet."""
    found = (_LEAST.search(text) for text in sorted(texts))
    one = next((match for match in found if match), None)
    if one:
        yield f"At least {one[1]} for its load: a smaller device could open in a warm place."


_LEAST = re.compile(r", at least (\S+ A) for its load")


ABBREVIATIONS: Mapping[str, str] = {
    "AWG": "American wire gauge",
    "⌀": "diameter",
    "Ω": "ohm",
    "RG": "type of coaxial cable",
    "BNC": "coaxial connector with a bayonet",
    "TNC": "the same with a thread",
    "dsub": "D-subminiature connector",
    "hd": "of high density",
    "J1": "a box's first connector",
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
        f"slack at each end; one that the file gives stays as it is. The cut "
        f"list adds {each} at each end for strip-back."
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
    "Copper is for temperature probes that change resistance; a thermocouple needs wires of its "
    "own two metals up to the instrument: ask which yours are."
)


def probes(texts: Collection[str]) -> Iterator[str]:
    """What holds for wires to probes of cylinder heads and exhaust, where a set has such."""
    words = {word.lower() for text in texts for word in _WORD.findall(text)}
    if words & {"cht", "egt", "thermocouple"}:
        yield PROBES


_WORD = re.compile(r"[A-Za-z]+1?|[⌀Ω]")
