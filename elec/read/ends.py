"""What feeds, wires and cables end on: contacts of equipment or between harnesses, grounds."""

from collections.abc import Mapping
from typing import Any

from elec.read.absent import Absent
from elec.read.draft import Draft, Path, near
from elec.standards import table


class Ends:
    """The names that a conductor may end on.

    `equipment` alone means its own terminals; `equipment.word` a terminal of a thing with a lead
    or two (an antenna, a jack); `equipment.J1.3` a contact; `wing-root.3` a contact between two
    harnesses.
    """

    def __init__(self, draft: Draft) -> None:
        """Look the names up in this draft."""
        self.draft = draft
        self.equipment = _mappings(draft, "equipment")
        self.inline = _mappings(draft, "plugs")
        self.grounds = _mappings(draft, "grounds")
        self.unknown = Absent(draft)
        self.absent: set[str] = set()
        """Sections that are not written at all and have been missed once."""
        self.sources = _mappings(draft, "sources")
        self.switches = _mappings(draft, "switches")
        self.live = {**_mappings(draft, "buses"), **_mappings(draft, "sources")}
        self.dead = {**self.equipment, **self.inline, **self.grounds, **self.switches}
        """What no wire begins at that a fuse protects, switches' contacts aside."""

    def any_end(
        self,
        path: Path,
        text: Any,
        *,
        places: Mapping[str, Any] | None = None,
        fused: bool = False,
    ) -> None:
        """Check the end of a wire, a core or a cable (whose end may be a place).

        With a fuse at it a wire may begin at a bus or a source.
        """
        if not isinstance(text, str):
            return
        name, dot, contact = text.partition(".")
        if name in self.equipment:
            self.contact(path, text)
        elif name in self.inline:
            self._inline_contact(path, name, contact)
        elif name in self.grounds or (places is not None and name in places):
            if dot:
                self.draft.wrong(path, f'"{name}" has no contacts; write it alone')
        elif name in self.sources and contact not in ("", "+", "B"):
            return  # a small terminal of a machine: S, L
        elif dot and name in self.switches and (fused or contact == "load"):
            if contact != "load":
                self.draft.wrong(path, f"behind its contact is {name}.load")
        elif name in self.live and fused:
            if dot and contact not in ("+", "B"):
                self.draft.wrong(path, f'"{name}" has no contacts; write it alone')
        elif name in self.live:
            self.draft.wrong(
                path,
                f'"{name}" is live; a conductor from there is a circuit or a feeder, '
                "with its protective device, or a wire with fuse: 1 A",
            )
        else:
            known = [*self.equipment, *self.inline, *self.grounds, *(places or ())]
            what = f"equipment, connector{', ground or place' if places else ' or ground'}"
            if fused:  # a wire with a fuse begins at what is live
                known, what = [*self.live, *known], f"bus, source, {what}"
            if not self.without(path, name, "equipment", "equipment"):
                self.unknown.note(path, name, what, known)

    def load(self, path: Path, text: Any) -> str | None:
        """Check what a circuit feeds, or where it returns from; gives the equipment's name."""
        if not isinstance(text, str):
            return None
        name = text.partition(".")[0]
        if name not in self.equipment:
            if name in self.live or name in self.inline or name in self.grounds:
                self.draft.wrong(path, f'"{name}" is no equipment; a circuit feeds equipment')
            else:
                self.missed(path, name, "equipment", "equipment")
            return None
        self.contact(path, text)
        return name

    def missed(self, path: Path, name: str, section: str, noun: str, *, key: bool = False) -> None:
        """Note a name that a section does not have; a section that is not written, only once."""
        if not self.without(path, name, section, noun, key=key):
            self.unknown.note(path, name, noun, _mappings(self.draft, section), key=key)

    def without(self, path: Path, name: str, section: str, noun: str, *, key: bool = False) -> bool:
        """Whether a section is not written at all; that is said once."""
        if section in self.draft.data:
            return False
        if section not in self.absent:
            self.absent.add(section)
            hint = f"; the section {section}: is missing"
            self.draft.wrong(path, f'there is no {noun} "{name}"{hint}', key=key)
        return True

    def contact(self, path: Path, text: str) -> None:
        """Check connector and contact of a piece of equipment that exists."""
        name, dot, rest = text.partition(".")
        if not dot:
            return
        connectors = _mapping(self.equipment[name], "connectors")
        connector, dot, pin = rest.partition(".")
        if connector not in connectors:
            if ("equipment", name, "connectors") in self.draft.spoiled:
                return  # what is wrong there is said there
            if dot or connector != connector.lower() or not connector:
                hint = near(connector, connectors) if connectors else "; it has no connectors"
                self.draft.wrong(path, f'{name} has no connector "{connector}"{hint}')
            return
        pins = _mapping(connectors[connector], "pins")
        if not pin and len(pins) > 1:
            self.draft.wrong(path, f"which contact of {name}.{connector}?{_list(pins)}")
        elif pin and pins and pin not in pins:
            self._strange(path, f"{name}.{connector}", pin, connectors[connector])

    def _strange(self, path: Path, title: str, pin: str, entry: Any) -> None:
        """A contact that is not listed; where the type has it, it is only not listed."""
        pins = _mapping(entry, "pins")
        kind = entry.get("type") if isinstance(entry, dict) else None
        if isinstance(kind, str) and pin in self._made(kind):
            carried = next((w for w in ("ground", "feeds", "return") if w in path), "signal")
            carried = {"feeds": "power", "return": "ground"}.get(carried, carried)
            self.draft.wrong(
                path,
                f"contact {pin} of {title} is not under its pins:; add it there, such as "
                f"{pin}: {carried}, or correct the number",
            )
            return
        hint = "" if pin.isdigit() else near(pin, pins)  # 2 is no misspelt 20
        self.draft.wrong(path, f'{title} has no contact "{pin}"{hint or f";{_list(pins)}"}')

    def _made(self, kind: str) -> set[str]:
        """The contacts that a type of connector has, where they are known."""
        own = _mapping(_mappings(self.draft, "connector-types").get(kind), "contacts")
        rows = table("elec/dsub_contacts").select(arrangement=kind)
        return {*own, *(row.text("pin") for row in rows)}

    def _inline_contact(self, path: Path, name: str, contact: str) -> None:
        pins = _mapping(self.inline[name], "pins")
        if not contact:
            self.draft.wrong(path, f"which contact of {name}?{_list(pins)}")
        elif pins and contact not in pins:
            self._strange(path, name, contact, self.inline[name])

    def through(self, path: Path, name: str, used: Any) -> None:
        """Check the contacts that a circuit uses in a connector between harnesses."""
        if name not in self.inline:
            self.missed(path, name, "plugs", "plug between harnesses", key=True)
        elif isinstance(used, dict):
            for key in ("feed", "return"):
                if isinstance(used.get(key), str):
                    self._inline_contact((*path, key), name, used[key])

    def only(self, name: str, signal: str) -> list[str]:
        """The contacts of a piece of equipment that carry a signal."""
        return [
            f"{name}.{connector}.{pin}"
            for connector, what in _mapping(self.equipment[name], "connectors").items()
            for pin, contact in _mapping(what, "pins").items()
            if contact == signal or (isinstance(contact, dict) and contact.get("signal") == signal)
        ]

    def has_pins(self, name: str) -> bool:
        """Whether contacts of a piece of equipment are listed."""
        connectors = _mapping(self.equipment[name], "connectors")
        return any(_mapping(what, "pins") for what in connectors.values())


def _list(pins: Mapping[str, Any]) -> str:
    if not pins:
        return ""
    shown = list(pins)[:12]
    return f" known: {', '.join(shown)}{', …' if len(pins) > 12 else ''}"


def _mappings(draft: Draft, section: str) -> dict[str, Any]:
    found = draft.data.get(section)
    return found if isinstance(found, dict) else {}


def _mapping(entry: Any, key: str) -> dict[str, Any]:
    found = entry.get(key) if isinstance(entry, dict) else None
    return found if isinstance(found, dict) else {}
