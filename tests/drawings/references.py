"""What sheets say of one another, held against what stands there."""

import re

from elec.drawings.from_study import Drawings
from elec.drawings.ink import Lettering
from elec.drawings.sheet import Item, Sheet
from elec.study import Study
from elec.wiring.chains import chains

SPOT = re.compile(r"([A-Z]\d+(?:\.\d+)?)/([A-Z]\d)")


def spots(sheet: Sheet) -> list[tuple[Item, str, str]]:
    """Texts that name another sheet: the item, that sheet, the zone on it."""
    return [
        (item, found[1], found[2])
        for item in sheet.items
        if isinstance(item.ink, Lettering) and (found := SPOT.fullmatch(item.text))
    ]


def refs_in(sheet: Sheet, zone: str = "") -> set[str]:
    """What has an item, or one whose middle lies in a zone."""
    return {
        item.ref
        for item in sheet.items
        if zone
        in ("", sheet.zone((item.box[0] + item.box[2]) / 2, (item.box[1] + item.box[3]) / 2))
    }


def plugs_met(study: Study, made: Drawings) -> tuple[int, list[str]]:
    """Ends of circuits' wires at plugs: how many there are, and those that are not led both ways.

    The plug on the circuit's sheet names a zone with one of its contacts; the contact's row names
    the zone of the circuit's sheet that the wire is in.
    """
    sheets = {sheet.title.label: sheet for sheet in made.sheets}
    found = {
        (label, item.ref, there, zone)
        for label, sheet in sheets.items()
        for item, there, zone in spots(sheet)
    }
    met, wrong = 0, []
    for chain in chains(study).of("circuit"):
        for wire in chain.conductors():
            (circuit,) = (k for k, s in sheets.items() if k[0] == "C" and wire.id in refs_in(s))
            for end in (one for one in (wire.a, wire.b) if one.kind == "connector"):
                met += 1
                there = [(k, z) for c, ref, k, z in found if c == circuit and ref == end.name]
                contacts = {ref for k, z in there for ref in refs_in(sheets[k], z)}
                if not any(ref.startswith(f"{end.name}.") for ref in contacts):
                    wrong.append(f"{circuit}: {end.name} leads to {there}")
                row = f"{end.name}.{end.contact}"
                back = [z for k, ref, c, z in found if k[0] == "K" and (ref, c) == (row, circuit)]
                if not any(wire.id in refs_in(sheets[circuit], z) for z in back):
                    wrong.append(f"{row} of {wire.id} leads to {circuit}, {back}")
    return met, wrong
