"""A coil that says how it is fed becomes a load and a circuit, as if both had been written.

`switches: {master: {coil: {draw: 0.8 A, switch: master-switch}}}` makes the equipment `master-coil`
and the circuit `master-coil`; what is left out is chosen here, and nowhere else. Each key keeps the
place in the text where it was written. Works on the plain data, before names are looked up.
"""

from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from elec.model.names import as_words
from elec.read.draft import Draft, Path, near

FEEDING = ("bus", "circuit", "switch", "interlock", "switched")
"""Any of these says how a coil is fed."""
DEVICES = ("breaker", "fuse", "limiter", "link", "unprotected")
_OF_LOAD = ("draw", "minimum", "rides-through", "basis", "tolerance")
_OF_CIRCUIT = (
    *DEVICES, "switch", "interlock", "ground-point", "via", "avoid", "gauge", "wire", "colour",
    "number",
)  # fmt: skip
_JUMPER = "a jumper on the {kind}: its coil lets through what it draws"
_CONTACTS = ("contactor", "switch", "changeover", "interlock")


class _Pole(Struct, frozen=True, kw_only=True):
    """A feeder or circuit that a contact stands in."""

    entry: dict[str, Any]
    begin: str
    feeder: bool


def coil_of(switch: str) -> str:
    """The name of the load and circuit that stand for the coil of a contactor."""
    return f"{switch}-coil"


def coils(draft: Draft) -> frozenset[str]:
    """The loads, and circuits, that stand for coils."""
    every = (entry.get("coil") for _, entry in draft.entries("switches"))
    return frozenset(
        str(coil["load"]) for coil in every if isinstance(coil, dict) and "load" in coil
    )


def contacts_of(entry: dict[str, Any]) -> list[str]:
    """The switches, relays and contactors that stand in a feeder or circuit."""
    return [*(name for key in _CONTACTS for name in _names(entry.get(key))), *_crossing(entry)]


def expand_coils(draft: Draft) -> None:
    """Make the load and the circuit of every coil that says how it is fed."""
    standing = _Standing(draft)
    for (_, name), entry in list(draft.entries("switches")):
        coil = entry.get("coil")
        if isinstance(coil, dict):
            _Coil(draft, str(name), entry, coil, standing).expand()


_BESIDE = {"load", "suppressor", "inductance", "drops-out"}
"""What may stand beside `load:`, as no load says it."""


class _Standing:
    """Which feeders and circuits each contact stands in, and what circuits feed: looked up once."""

    def __init__(self, draft: Draft) -> None:
        self.feeders: dict[str, list[dict[str, Any]]] = {}
        self.circuits: dict[str, list[dict[str, Any]]] = {}
        self.reversed: dict[str, str] = {}
        """Relay → the first circuit whose motor it reverses."""
        self.fed: set[str] = set()
        for _, entry in draft.entries("feeders"):
            for name in dict.fromkeys(contacts_of(entry)):
                self.feeders.setdefault(name, []).append(entry)
        for path, entry in draft.entries("circuits"):
            self.add(entry)
            for name in _crossing(entry):
                self.reversed.setdefault(name, str(path[1]))

    def add(self, circuit: dict[str, Any]) -> None:
        """One circuit, behind those that are there."""
        for name in dict.fromkeys(contacts_of(circuit)):
            self.circuits.setdefault(name, []).append(circuit)
        self.fed.update(_names(circuit.get("feeds")))


class _Coil:
    """One coil."""

    def __init__(
        self,
        draft: Draft,
        name: str,
        entry: dict[str, Any],
        coil: dict[str, Any],
        standing: _Standing,
    ) -> None:
        self.draft, self.name, self.entry, self.coil = draft, name, entry, coil
        self.standing = standing
        self.path: Path = ("switches", name, "coil")
        self.load = coil_of(name)

    def expand(self) -> None:
        by_hand = self.load in self.standing.fed
        if "load" in self.coil:
            also = next((key for key in self.coil if key not in _BESIDE), None)
            if also:
                self.wrong(also, f"the load that load: names says that; leave out {also}")
            return
        if not by_hand and not any(key in self.coil for key in FEEDING):
            return
        if self.name in _names(self.coil.get("switch")):
            self.wrong(
                "switch",
                f'"{self.name}" is the contactor itself; name the switch that energises it, such '
                f"as {self.name}-switch",
            )
            return
        for section in ("equipment",) if by_hand else ("equipment", "circuits"):
            if (section, self.load) in self.draft.keys:
                self.wrong(
                    "draw",
                    f'there is also "{self.load}" in {section}; write coil: {{load: NAME}} where a '
                    "load of your own is this coil",
                )
                return
        poles = list(self.poles())
        if not poles and not by_hand and "bus" not in self.coil and "circuit" not in self.coil:
            return  # nothing names its contact, so that it has no line post
        self.make("equipment", self.equipment(poles), _OF_LOAD)
        if "circuit" in self.coil:
            self.join(str(self.coil["circuit"]))
        elif not by_hand:
            self.make("circuits", self.circuit(poles), _OF_CIRCUIT)
        self.coil["load"] = self.load

    def wrong(self, key: str, message: str) -> None:
        self.draft.wrong((*self.path, key), message, key=True)

    # -- what it switches ----------------------------------------------------------------------

    def poles(self) -> Iterator[_Pole]:
        """Feeders and circuits that its contacts stand in."""
        rests = _names(self.entry.get("rests"))
        for entry in self.standing.feeders.get(self.name, ()):
            if entry.get("name") not in rests:
                ends = str(entry.get("from")), str(entry.get("to"))
                source = self.draft.data.get("sources")
                battery = source.get(ends[1]) if isinstance(source, dict) else None
                hot = isinstance(battery, dict) and battery.get("kind") != "alternator"
                yield _Pole(entry=entry, begin=ends[1 if hot else 0], feeder=True)
        for entry in self.standing.circuits.get(self.name, ()):
            yield _Pole(entry=entry, begin=str(entry.get("bus")), feeder=False)

    def place(self, poles: list[_Pole]) -> Any:
        if "place" in self.entry:
            return self.entry["place"]
        for begin in (*(pole.begin for pole in poles), self.coil.get("bus")):
            for section in ("sources", "buses"):
                found = self.draft.data.get(section)
                there = found.get(begin) if isinstance(found, dict) else None
                if isinstance(there, dict) and "place" in there:
                    return there["place"]
        return None

    def on(self, poles: list[_Pole]) -> Any:
        """Whenever one of its contacts has to be closed."""
        if "on" in self.coil:
            return self.coil["on"]
        known = self.draft.data.get("equipment")
        told: list[Any] = []
        for pole in poles:
            if pole.feeder:
                told.append("never" if pole.entry.get("used") == "never" else "always")
                continue
            for feed in _names(pole.entry.get("feeds")):
                load = known.get(feed.partition(".")[0]) if isinstance(known, dict) else None
                if isinstance(load, dict) and load.get("passive") not in ("yes", "true", "on"):
                    modes = load.get("modes")
                    told += (
                        [
                            mode.get("on", "always")
                            for mode in modes.values()
                            if isinstance(mode, dict)
                        ]
                        if isinstance(modes, dict)
                        else [load.get("on", "always")]
                    )
        different = [on for k, on in enumerate(told) if on not in told[:k]]
        if len(different) == 1:
            return different[0]
        words = [word for on in different for word in _names(on)]
        return "always" if not words or "always" in words else [w for w in words if w != "never"]

    # -- what stands for it --------------------------------------------------------------------

    def equipment(self, poles: list[_Pole]) -> dict[str, Any]:
        title = str(self.entry.get("name") or as_words(self.name))
        made = {
            "name": f"{title} coil",
            "place": self.place(poles),
            "on": self.on(poles),
            "character": "inductive",
        }
        either = self.standing.reversed.get(self.name, "")
        if either:  # one of two that turn a motor either way: never both
            made["exclusive"] = f"way of {either}"
        return {key: value for key, value in made.items() if value is not None}

    def circuit(self, poles: list[_Pole]) -> dict[str, Any]:
        title = str(self.entry.get("name") or as_words(self.name))
        made: dict[str, Any] = {"name": f"{title} coil", "feeds": self.load}
        made["function"] = self.coil.get("function", "P")
        own = "bus" not in self.coil
        made["switched"] = self.coil.get("switched", "ground" if own else "feed")
        if own and poles:
            made |= {"bus": poles[0].begin, "post": self.name}
            if made["switched"] == "ground":
                made["jumper"] = self.coil.get("jumper", "")
        elif not own:
            made["bus"] = self.coil["bus"]
        if not any(key in self.coil for key in DEVICES):
            sources = self.draft.data.get("sources")
            hot = isinstance(sources, dict) and made.get("bus") in sources
            if own and made["switched"] == "ground":
                kind = "relay" if self.entry.get("kind") == "relay" else "contactor"
                made["unprotected"] = _JUMPER.format(kind=kind)
            else:
                made["fuse" if hot else "breaker"] = "auto"
        return made

    def make(self, section: str, made: dict[str, Any], keys: tuple[str, ...]) -> None:
        """Write an entry, each key at the place where it was written."""
        made |= {key: self.coil[key] for key in keys if key in self.coil}
        if made.get("jumper") == "":
            del made["jumper"]
        entries = self.draft.data.setdefault(section, {})
        if not isinstance(entries, dict):
            return
        entries[self.load] = made
        if section == "circuits":
            self.standing.add(made)
        path: Path = (section, self.load)
        self.draft.made[path] = self.path
        for marks in (self.draft.keys, self.draft.spots):
            whole = self.draft.spot_of(self.path, key=marks is self.draft.keys)
            marks[path] = whole
            for key in made:
                marks[(*path, key)] = marks.get((*self.path, key), whole)

    def join(self, circuit: str) -> None:
        """Another load of a circuit that is there."""
        entries = self.draft.data.get("circuits")
        found = entries.get(circuit) if isinstance(entries, dict) else None
        if not isinstance(found, dict):
            hint = near(circuit, entries) if isinstance(entries, dict) else ""
            self.draft.wrong((*self.path, "circuit"), f'there is no circuit "{circuit}"{hint}')
            return
        for key in (*_OF_CIRCUIT, "bus", "switched", "jumper", "function"):
            if key in self.coil:
                self.wrong(key, f"the circuit that feeds it says that; leave out {key}")
        feeds = found.get("feeds")
        path: Path = ("circuits", circuit, "feeds")
        if isinstance(feeds, str):
            for marks in (self.draft.keys, self.draft.spots):
                marks[(*path, 0)] = marks.get(path, self.draft.spot_of(path))
        found["feeds"] = [*_names(feeds), self.load]
        self.standing.fed.add(self.load)
        self.draft.spots[(*path, len(found["feeds"]) - 1)] = self.draft.spot_of(self.path)


def _crossing(circuit: dict[str, Any]) -> list[str]:
    """The relays that reverse the motor of a circuit."""
    given = circuit.get("reverse")
    return _names(given.get("relays")) if isinstance(given, dict) else []


def _names(value: Any) -> list[str]:
    """A name, or those of a list."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, list | dict):
        return [one for one in value if isinstance(one, str)]
    return []
