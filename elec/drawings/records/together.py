"""Which circuits share a sheet: what is worked on together, and what one switch switches."""

from msgspec import Struct

from elec.drawings.inputs import CircuitsSheet
from elec.drawings.records import circuits, words
from elec.standards import table
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains
from elec.wiring.coils import coil_chain

OTHER = "Other circuits"


class CircuitGroup(Struct, frozen=True, kw_only=True):
    """Circuits on one drawing, in the builder's order."""

    title: str
    names: tuple[str, ...]

    @property
    def id(self) -> str:
        """The word that means this drawing (`controls-and-cabin`)."""
        return "-".join(self.title.casefold().replace(",", "").split())


@analysis
def circuit_groups(study: Study) -> tuple[CircuitGroup, ...]:
    """Every circuit once: by its `sheet:`, by its letter, or with another pole of its switch."""
    by_letter = {row.text("letter"): row.text("sheet") for row in table("elec/sheet_titles").rows}
    by_switch: dict[str, str] = {}
    found: dict[str, list[str]] = {}
    for chain in chains(study).of("circuit"):
        title = _title(study, chain, by_letter)
        switch = study.document.circuits[chain.name].switch
        if switch:
            title = by_switch.setdefault(switch, title)
        found.setdefault(title, []).append(chain.name)
    return tuple(CircuitGroup(title=title, names=tuple(_poles(study, found[title])))
                 for title in found)  # fmt: skip


def _title(study: Study, chain: Chain, by_letter: dict[str, str]) -> str:
    given = study.document.circuits[chain.name].sheet
    return given or by_letter.get(chain.function[:1], OTHER)


def _poles(study: Study, names: list[str]) -> list[str]:
    """The circuits with those of one switch next to each other, at the first of them.

    A motor that relays turn goes by the switch that pulls them.
    """
    first: dict[str, int] = {}
    held = {name: _held(study, name) for name in names}
    for place, name in enumerate(names):
        first.setdefault(held[name], place)
    return sorted(names, key=lambda name: first[held[name]])


def _held(study: Study, name: str) -> str:
    """The switch of a circuit, or of the one that pulls its relays; a word of its own without."""
    entry = study.document.circuits[name]
    control = coil_chain(study, entry.reverse.relays[0]) if entry.reverse is not None and (
        entry.reverse.relays) else None  # fmt: skip
    own = study.document.circuits[control.name].switch if control is not None else entry.switch
    return own or f" {name}"


def group_record(study: Study, group: CircuitGroup) -> CircuitsSheet:
    """The circuits of a group, each with what was computed about it."""
    return CircuitsSheet(
        title=words.title_block(study, group.title),
        circuits=tuple(circuits.circuit_record(study, name) for name in group.names),
        cautions=(*words.CAUTIONS, words.COUNTED),
        size=words.paper(study, large=False),
    )
