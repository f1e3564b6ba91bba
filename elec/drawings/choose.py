"""Which drawings a word means: a kind, a circuit, equipment, a connector, or a sheet's name.

In: a study and words. Out: the planned drawings, in the order of the set.
"""

import re
from collections.abc import Iterator, Sequence

from elec.answers.connect.pins import pins
from elec.drawings.from_study import DrawingKind, Planned, alone, plan
from elec.study import Study
from elec.wiring.chains import chains

KINDS: dict[DrawingKind, str] = {
    "legend": "Symbols",
    "one-line": "One-line diagram",
    "interconnect": "Interconnect",
    "circuit": "Circuits",
    "grounds": "Grounds",
    "routes": "Places and ways",
    "panel": "Panels",
    "connector": "Connectors",
}
"""Kind of drawing → its title in the set."""
MOST_SHEETS = 100
"""No drawing of a light aircraft has so many sheets."""
_PLURALS: dict[str, DrawingKind] = {
    "circuits": "circuit", "connectors": "connector", "panels": "panel",
}  # fmt: skip


class UnknownSubjectError(ValueError):
    """Nothing is drawn under that name; `known` are the names there are."""

    def __init__(self, name: str, known: Sequence[str]) -> None:
        """Keep both."""
        super().__init__(name)
        self.name = name
        self.known = tuple(known)


def choose(study: Study, subjects: Sequence[str]) -> tuple[Planned, ...]:
    """The drawings that any of the subjects means; without a subject all of them.

    Raises:
        UnknownSubjectError: a subject means no drawing.
    """
    everything = plan(study)
    if not subjects:
        return everything
    wanted: dict[str, Planned] = {}
    for subject in subjects:
        found = [
            single
            for one in everything
            if subject in _names(study, one)
            for single in _singles(study, one, subject)
        ]
        if not found:
            names = (name for one in everything for name in _names(study, one))
            known = (name for name in names if not is_sheet(name) or name in _firsts(everything))
            raise UnknownSubjectError(subject, tuple(dict.fromkeys(known)))
        wanted |= {one.code: one for one in found}
    order = {one.code: place for place, one in enumerate(everything)}
    place = {code: order.get(code, order.get(code.partition("-")[0], 0)) for code in wanted}
    return tuple(wanted[code] for code in sorted(wanted, key=lambda code: place[code]))


def is_sheet(subject: str) -> bool:
    """Whether a word is the name of a sheet: `C1`, `C1.2`."""
    return re.fullmatch(r"[A-Z][0-9]+(\.[0-9]+)?", subject) is not None


def _firsts(everything: Sequence[Planned]) -> set[str]:
    return {one.first for one in everything}


def _singles(study: Study, one: Planned, subject: str) -> list[Planned]:
    """What a word means of a drawing that several share: those that it names, by themselves."""
    if one.kind == "circuit":
        known = chains(study).by_name
        named = [n for n in one.names if subject == n or subject in known[n].loads]
    else:
        boxes = pins(study).by_id
        named = [
            n for n in one.names if one.kind == "connector" and subject in (n, boxes[n].equipment)
        ]
    return [alone(study, one, name) for name in named] or [one]


def subject(one: Planned) -> str:
    """The word by which a drawing alone is asked for."""
    if one.counted:
        return one.kind
    return one.about if one.kind in ("circuit", "connector") else one.first


def _names(study: Study, one: Planned) -> Iterator[str]:
    """Every word that means a drawing."""
    yield from (one.about, one.kind) if one.about else (one.kind,)
    yield from (*one.names, one.first, one.code)
    if one.counted:
        yield from (f"{one.code}{number}" for number in range(2, MOST_SHEETS))
    yield from (f"{one.first}.{number}" for number in range(2, MOST_SHEETS))
    yield from (plural for plural, kind in _PLURALS.items() if kind == one.kind)
    if one.kind == "circuit":
        for name in one.names:
            yield from chains(study).by_name[name].loads
    elif one.kind == "connector":
        for name in one.names or (one.about,):
            yield pins(study).by_id[name].equipment or name
