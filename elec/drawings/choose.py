"""Which drawings a word means: a kind, a circuit, equipment, a connector, or a sheet's name.

In: a study and words. Out: the planned drawings, in the order of the set.
"""

from collections.abc import Iterator, Sequence

from elec.answers.connect.pins import pins
from elec.drawings.from_study import SINGLE, DrawingKind, Planned, circuit_alone, plan
from elec.study import Study
from elec.wiring.chains import chains

KINDS: dict[DrawingKind, str] = {
    "one-line": "One-line diagram",
    "interconnect": "Interconnect",
    "circuit": "Circuits",
    "grounds": "Grounds",
    "equipment": "Equipment",
    "wires": "Other wires",
    "routes": "Places and ways",
    "panel": "Panels",
    "connector": "Connectors",
    "legend": "Symbols",
}
"""Kind of drawing → its title in the set."""
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
    wanted: set[str] = set()
    alone: list[Planned] = []
    for subject in subjects:
        names = _circuits(study, subject)
        alone += [circuit_alone(study, name) for name in names]
        found = [
            one.code
            for one in everything
            if subject in _names(study, one) and not (names and one.kind == "circuit")
        ]
        if not found and not names:
            words = (name for one in everything for name in _names(study, one))
            raise UnknownSubjectError(subject, tuple(dict.fromkeys(words)))
        wanted.update(found)
    return (*dict.fromkeys(alone), *(one for one in everything if one.code in wanted))


def subject(one: Planned) -> str:
    """The word by which a drawing alone is asked for."""
    if one.kind in SINGLE:
        return one.kind
    return one.about if one.kind in ("circuit", "connector") else one.first


def _circuits(study: Study, subject: str) -> tuple[str, ...]:
    """The circuits that a word means: its own name, or a load's."""
    every = chains(study).of("circuit")
    return tuple(c.name for c in every if subject == c.name or subject in c.loads)


def _names(study: Study, one: Planned) -> Iterator[str]:
    """Every word that means a drawing."""
    yield from (one.about, one.kind) if one.about else (one.kind,)
    yield from (*one.names, one.first, one.code)
    yield from (plural for plural, kind in _PLURALS.items() if kind == one.kind)
    if one.kind == "circuit":
        for name in one.names:
            yield from chains(study).by_name[name].loads
    elif one.kind == "connector":
        yield pins(study).by_id[one.about].equipment or one.about
