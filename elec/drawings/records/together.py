"""Which circuits share a sheet: what is worked on together, and what one switch switches."""

from msgspec import Struct

from elec.drawings.inputs import CircuitsSheet
from elec.drawings.records import circuits, words
from elec.standards import table
from elec.study import Study, analysis
from elec.wiring.chains import Chain, chains
from elec.wiring.coils import coil_chain, coil_loads

OTHER = "Other circuits"
ALL_KINDS = "Circuits of all kinds"
"""Of a file that gives no function: its default letter says nothing of what they do."""
COILS = "Coils of contactors and relays"


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
    groups: dict[str, list[str]] = {}
    for title, names in found.items():
        own = _by_content(study, title, names)
        groups[title if own in groups or own in found else own] = names
    return tuple(CircuitGroup(title=title, names=tuple(_poles(study, names)))
                 for title, names in groups.items())  # fmt: skip


def _by_content(study: Study, title: str, names: list[str]) -> str:
    """The title of a sheet by what is on it, where letters that nobody gave would mislead."""
    entries = [study.document.circuits[name] for name in names]
    if any(entry.sheet for entry in entries):
        return title
    if all(set(chains(study).named(name).loads) <= set(coil_loads(study)) for name in names):
        return COILS
    return ALL_KINDS if all(entry.function is None for entry in entries) else title


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
        listed=group.title == ALL_KINDS,
        cautions=(*words.CAUTIONS, words.COUNTED),
        size=words.paper(study, large=False),
    )
