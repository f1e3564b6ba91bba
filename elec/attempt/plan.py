"""From what is asked to the changes of the text that do it.

In: the system as it is, what is asked. Out: `ChangePlan`: edits by path in the order in which they
are made, which loads and circuits they are about, and what goes along. Only names are looked up
here, to know what exists; whether a value can be read is the reader's to say.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches

from msgspec import Struct, field

from elec.answers.connect.panel import Holds, panels
from elec.answers.connect.pins import SPARE_WORDS, pins
from elec.attempt.asked import CIRCUIT_KEYS, EQUIPMENT_KEYS, AskedChange, Unclear, option_of
from elec.model.panel import FREE
from elec.model.system import Document, System
from elec.model.wiring import Circuit, Feeder
from elec.read.draft import Path
from elec.read.edit import Value
from elec.study import Study

DEVICES = ("breaker", "fuse", "limiter", "link")
NONE = "none"
"""The word that leaves a switch out."""


class Edit(Struct, frozen=True, kw_only=True):
    """One change of the text; None takes the key out."""

    path: Path
    value: "Value | None"
    comment: str = ""
    """Of a new entry: what stands above it."""


class ChangePlan(Struct, frozen=True, kw_only=True):
    """What is changed, and what it is about."""

    edits: tuple[Edit, ...] = ()
    loads: tuple[str, ...] = ()
    """Loads that are added or changed."""
    circuits: tuple[str, ...] = ()
    """Circuits that are added, changed, or feed a changed load."""
    gone: tuple[str, ...] = ()
    """Loads and circuits that are taken out."""
    said: tuple[str, ...] = ()
    """What is done, and what is chosen because nobody said, as sentences."""
    given: Mapping[Path, str] = field(default_factory=dict)
    """Path → the option that its value came by."""


class _Plan:
    """Collects edits over several things asked."""

    def __init__(self, study: Study, sets: frozenset[str]) -> None:
        self.study = study
        self.sets = sets
        """What `--set` gives, of a new thing, too."""
        self.system: System = study.system
        self.document: Document = study.document
        self.edits: dict[Path, Value | None] = {}
        self.comments: dict[Path, str] = {}
        self.loads: list[str] = []
        self.circuits: list[str] = []
        self.gone: list[str] = []
        self.said: list[str] = []
        self.given: dict[Path, str] = {}

    def result(self) -> ChangePlan:
        drops = [e for e in self.edits.items() if e[1] is None]
        # Items of a list go from its end, so that those before them keep their places.
        drops.sort(key=lambda e: [p if isinstance(p, int) else -1 for p in e[0]], reverse=True)
        edits = [e for e in self.edits.items() if e[1] is not None] + drops
        return ChangePlan(
            edits=tuple(
                Edit(path=path, value=value, comment=self.comments.get(path, ""))
                for path, value in edits
            ),
            loads=tuple(dict.fromkeys(self.loads)),
            circuits=tuple(dict.fromkeys(self.circuits)),
            gone=tuple(dict.fromkeys(self.gone)),
            said=tuple(self.said),
            given=self.given,
        )

    def put(self, path: Path, value: Value, option: str = "") -> None:
        self.edits[path] = value
        if option:
            self.given[path] = option

    def drop(self, path: Path) -> None:
        self.edits[path] = None

    # -- names -----------------------------------------------------------------------------------

    def title(self, section: str, name: str) -> str:
        return self.system.title(section, name)

    def load_named(self, name: str, verb: str) -> None:
        if name in self.document.equipment:
            return
        if name in self.document.circuits:
            feeds = ", ".join(_loads(self.document.circuits[name]))
            raise Unclear(
                f'--{verb}: "{name}" is a circuit; name what it feeds: --{verb} {feeds}. '
                f"For the circuit's own keys: --set circuits.{name}.KEY=VALUE"
            )
        raise Unclear(
            f'--{verb}: there is no equipment "{name}"{near(name, self.document.equipment)}'
        )

    def circuit_of(self, load: str, given: str | None) -> str:
        found = [n for n, c in self.document.circuits.items() if load in _loads(c)]
        if given is not None:
            return given
        if not found:
            raise Unclear(f"--change: no circuit feeds {load}, so it has none of these keys")
        if len(found) > 1:
            raise Unclear(
                f"--change: {load} is fed by {len(found)} circuits; name one with --circuit: "
                f"{', '.join(found)}"
            )
        return found[0]

    # -- add ---------------------------------------------------------------------------------------

    def add(self, asked: AskedChange) -> None:
        name, keys = asked.name, asked.keys
        if name in self.document.equipment or ("equipment", name) in self.edits:
            where = self.system.where("equipment", name)
            raise Unclear(
                f'--add: there is already equipment "{name}" ({where}); '
                f"--change {name} changes it, or choose another name"
            )
        self._place(keys)
        if "basis" not in keys and ("draw" in keys or "peak" in keys):
            keys = {**keys, "basis": "estimate"}
            self.said.append(
                'The current counts as an estimate (--basis "data sheet" or measured).'
            )
        entry = {key: keys[key] for key in EQUIPMENT_KEYS if key in keys}
        self.put(("equipment", name), entry)
        for key in entry:
            self.given["equipment", name, key] = option_of(key)
        self.loads.append(name)
        circuit = str(keys["circuit"]) if "circuit" in keys else None
        if circuit is not None and circuit in self.document.circuits:
            self._join(name, circuit, keys)
        else:
            self._own_circuit(name, circuit, keys)

    def _place(self, keys: Mapping[str, Value]) -> None:
        places = self.document.places
        if "place" not in keys:
            known = ", ".join(places)
            raise Unclear(f"--add: say where it sits: --place {next(iter(places), 'NAME')}"
                          + (f"; places: {known}" if places else ""))  # fmt: skip

    def _join(self, name: str, circuit: str, keys: Mapping[str, Value]) -> None:
        """Feed it from a circuit that is there."""
        entry = self.document.circuits[circuit]
        wrong = [key for key in ("bus", *DEVICES, "gauge", "switch") if key in keys]
        if wrong:
            raise Unclear(
                f"{option_of(wrong[0])}: {name} joins the circuit {circuit}, which has its own; "
                f"change it with --set circuits.{circuit}.{wrong[0]}=VALUE"
            )
        self.put(("circuits", circuit, "feeds"), [*entry.feeds, name])
        self.circuits.append(circuit)
        others = ", ".join(self.title("equipment", load) for load in _loads(entry))
        self.said.append(f"{name} joins the circuit {circuit}, which feeds {others}.")

    def _own_circuit(self, name: str, circuit: str | None, keys: Mapping[str, Value]) -> None:
        own = circuit or name
        if own in self.document.circuits:
            where = self.system.where("circuits", own)
            raise Unclear(
                f'--add: there is already a circuit "{own}" ({where}); name the new one with '
                f"--circuit NAME"
            )
        bus = self._bus(keys)
        entry: dict[str, Value] = {"bus": bus}
        device = next((key for key in DEVICES if key in keys), None)
        kind = device or self._usual_device(bus)
        entry[kind] = keys[device] if device else "auto"
        if "gauge" in keys:
            entry["gauge"] = keys["gauge"]
        switch = self._switch(name, keys)
        if switch is not None:
            entry["switch"] = switch
        entry["feeds"] = name
        if "ground-point" in keys:
            entry["ground-point"] = keys["ground-point"]
        if "through" in keys:
            entry["through"] = self._through(str(keys["through"]))
            self._name_contacts(own, entry["through"])
        for key in ("via", "length"):
            if key in keys:
                entry[key] = keys[key]
        if str(keys.get("essential", "")) == "yes":
            entry["essential"] = "yes"
        self.put(("circuits", own), entry)
        for key in entry:
            self.given["circuits", own, key] = option_of(key)
        self.circuits.append(own)
        place = self.document.buses[bus].place if bus in self.document.buses else ""
        words = (name, own, str(keys.get("name", "")))
        self._position(own, "fuses" if kind == "fuse" else "breakers", bus, place, words)
        if switch is not None and switch not in self._switches():
            self._new_switch(switch, place)
            self._position(switch, "switches", "", place, (switch, *words))

    def _name_contacts(self, circuit: str, through: Value) -> None:
        """Contacts that the file calls spare are called by what they carry from now on."""
        for plug, used in through.items() if isinstance(through, Mapping) else ():
            known = self.document.plugs[plug].pins
            for role, contact in used.items() if isinstance(used, Mapping) else ():
                name = str(contact)
                if name in known and known[name].signal in SPARE_WORDS:
                    self.put(("plugs", plug, "pins", name), f"{circuit}-{role}")

    def _new_switch(self, switch: str, place: str) -> None:
        """Its own entry, with what is known; a rating that nobody gives stays to be given."""
        path: Path = ("switches", switch)
        self.put(path, {"kind": "switch", **({"place": place} if place else {})})
        if f"switches.{switch}.rating" in self.sets:
            return
        self.comments[path] = (
            f"rating of {switch}: unknown; give rating: what it bears at direct current, "
            "off the switch or its sheet"
        )
        self.said.append(
            f"The rating of the switch {switch} is not known and stays out: read what it bears at "
            f"direct current off it, and give it with --set switches.{switch}.rating=…"
        )

    def _position(
        self, name: str, holds: Holds, bus: str, place: str, words: tuple[str, ...]
    ) -> None:
        """Take the most fitting free position of a panel that is laid out."""
        for spot in panels(self.study).free(holds, bus, place, words):
            path: Path = ("panels", spot.panel, "rows", spot.row - 1, spot.column - 1)
            entry = self.document.panels.get(spot.panel)
            rows = entry.rows if entry is not None else ()
            there = spot.row <= len(rows) and spot.column <= len(rows[spot.row - 1])
            if spot.given and there and path not in self.edits:
                self.put(path, name)
                title = self.title("panels", spot.panel)
                under = f", under {spot.heading}" if spot.heading else ""
                if under and not panels(self.study).under(spot, words):
                    under += " (there is no free position under a heading that fits its name)"
                self.said.append(f"{name} takes position {spot.name} of {title}{under}.")
                return

    def _bus(self, keys: Mapping[str, Value]) -> str:
        buses = list(self.document.buses)
        if "bus" in keys:
            return str(keys["bus"])
        used = Counter(c.bus for c in self.document.circuits.values())
        if len(buses) == 1:
            self.said.append(f"It hangs on {buses[0]}, the only bus.")
            return buses[0]
        usual = used.most_common(1)[0][0] if used else "NAME"
        raise Unclear(
            f"--add: say which bus feeds it: --bus {usual}; buses: {', '.join(buses)}. "
            "To join a circuit that is there: --circuit NAME"
        )

    def _usual_device(self, bus: str) -> str:
        """What most circuits of the bus have."""
        kinds = [
            found[0]
            for circuit in self.document.circuits.values()
            if circuit.bus == bus and (found := circuit.device()) is not None
        ]
        kind = Counter(kinds).most_common(1)[0][0] if kinds else "breaker"
        return kind if kind in ("breaker", "fuse") else "breaker"

    def _switch(self, name: str, keys: Mapping[str, Value]) -> str | None:
        """The switch that is asked for; a new one where the load is not on all the time."""
        if "switch" in keys:
            given = str(keys["switch"])
            return None if given == NONE else given
        if keys.get("on", "always") == "always":
            self.said.append("No switch: it is on all the time (--switch NAME gives it one).")
            return None
        taken = self._switches()
        own = name if name not in taken else f"{name}-switch"
        self.said.append(
            f"A switch of its own, {own} (--switch NAME shares one, none leaves it out)."
        )
        return own

    def _switches(self) -> set[str]:
        found = {*self.document.switches}
        for circuit in self.document.circuits.values():
            found |= _switches_of(circuit)
        for feeder in self.document.feeders:
            found |= _switches_of(feeder)
        return found

    def _through(self, text: str) -> Value:
        """`left-plug` takes its first two free contacts, `left-plug:R,S` these."""
        name, colon, contacts = text.partition(":")
        if name not in self.document.plugs:
            known = near(name, self.document.plugs)
            raise Unclear(f'--through: there is no plug between harnesses "{name}"{known}')
        chosen = [part.strip() for part in contacts.split(",") if part.strip()]
        if not colon:
            one = pins(self.study).by_id[name]
            chosen = [pin.contact for pin in one.pins if pin.state == "spare"][:2]
            if len(chosen) < 2:
                raise Unclear(
                    f"--through: {name} has {len(chosen)} free contacts, and two are needed"
                )
            self.said.append(f"Through {name} on its free contacts {' and '.join(chosen)}.")
        if len(chosen) != 2:
            raise Unclear(f'--through: "{text}" names no feed and return; write {name}:A,B')
        return {name: {"feed": chosen[0], "return": chosen[1]}}

    # -- change ------------------------------------------------------------------------------------

    def change(self, asked: AskedChange) -> None:
        name, keys = asked.name, asked.keys
        self.load_named(name, "change")
        if not set(keys) - {"circuit"}:
            raise Unclear(f"--change {name}: say what changes, such as --draw 25W")
        self.loads.append(name)
        if "draw" in keys and name in getattr(self.document, "measured", {}):
            raise Unclear(
                f"--draw: {name} was measured ({self.system.where('measured', name)}), and that "
                f"counts before its draw; add --remove measured.{name} to try another"
            )
        modes = list(self.document.equipment[name].modes)
        if "draw" in keys and modes:
            path = f"equipment.{name}.modes.{modes[0]}.draw={_inline(keys['draw'])}"
            raise Unclear(
                f"--draw: {name} draws in several modes ({', '.join(modes)}); say which: "
                f'--set "{path}"'
            )
        given = str(keys["circuit"]) if "circuit" in keys else None
        for key in EQUIPMENT_KEYS:
            if key in keys:
                self.put(("equipment", name, key), keys[key], option_of(key))
        if any(key in keys for key in CIRCUIT_KEYS):
            self._change_circuit(self.circuit_of(name, given), keys)
        self.circuits += [n for n, c in self.document.circuits.items() if name in _loads(c)]

    def _change_circuit(self, circuit: str, keys: Mapping[str, Value]) -> None:
        base: Path = ("circuits", circuit)
        entry = self.document.circuits.get(circuit)
        for key in CIRCUIT_KEYS:
            if key not in keys:
                continue
            value = keys[key]
            if key == "switch" and value == NONE:
                self.drop((*base, key))
                continue
            if key == "through":
                value = self._through(str(value))
            if key in DEVICES and entry is not None:
                for other in (*DEVICES, "unprotected"):
                    if other != key and (*base, other) in self.system.places:
                        self.drop((*base, other))
            self.put((*base, key), value, option_of(key))

    # -- remove ------------------------------------------------------------------------------------

    def remove(self, asked: AskedChange) -> None:
        name = asked.name
        if "." in name and name not in self.document.equipment:
            path = path_of(self.system, name, "remove")
            self.drop(path)
            self._about(path)
            return
        self.load_named(name, "remove")
        self.drop(("equipment", name))
        self.gone.append(name)
        along: list[str] = []
        for key, circuit in self.document.circuits.items():
            loads = _loads(circuit)
            if loads == (name,):
                along += self._remove_circuit(key, circuit)
            elif name in loads:
                self._leave(key, circuit, name)
                along.append(f"its branch of the circuit {key}")
        along += self._accepted({name, *self.gone})
        switches = {str(path[1]) for path in self.edits if path[0] == "switches"}
        along += self._unlisted({*self.gone[self.gone.index(name) + 1 :], *switches})
        if along:
            self.said.append(f"With {name} go: {', '.join(along)}.")

    def _remove_circuit(self, name: str, circuit: Circuit) -> Iterator[str]:
        self.drop(("circuits", name))
        self.gone.append(name)
        yield f"the circuit {name}"
        if name in self.document.build:
            self.drop(("build", name))
            yield f"its entry in build ({self.document.build[name].state})"
        shared: set[str] = set()
        for other, entry in self.document.circuits.items():
            shared |= _switches_of(entry) if other not in self.gone else set()
        for feeder in self.document.feeders:
            shared |= _switches_of(feeder)
        for switch in sorted(_switches_of(circuit) - shared):
            if switch in self.document.switches:
                self.drop(("switches", switch))
                yield f"the switch {switch}"

    def _unlisted(self, names: set[str]) -> Iterator[str]:
        """Panels, bundles and interconnects that list what goes."""
        for panel, entry in self.document.panels.items():
            for r, row in enumerate(entry.rows):
                for c, name in enumerate(row):
                    if name in names:
                        self.put(("panels", panel, "rows", r, c), FREE)
                        yield f"its position on {self.title('panels', panel)}"
        for index, way in enumerate(self.document.ways):
            for bundle, listed in way.bundled.items():
                path: Path = ("ways", index, "bundled", bundle)
                gone = [place for place, name in enumerate(listed) if name in names]
                if len(gone) == len(listed):
                    self.drop(path)
                for place in gone if len(gone) < len(listed) else ():
                    self.drop((*path, place))
                if gone:
                    yield f"its name in the bundle {bundle}"

    def _leave(self, key: str, circuit: Circuit, load: str) -> None:
        """Take one of several loads off a circuit."""
        base: Path = ("circuits", key)
        feeds = [feed for feed in circuit.feeds if feed.partition(".")[0] != load]
        self.put((*base, "feeds"), feeds if len(feeds) > 1 else feeds[0])
        grounds = [text for text in circuit.ground if text.partition(".")[0] != load]
        if len(grounds) != len(circuit.ground):
            if grounds:
                self.put((*base, "ground"), grounds if len(grounds) > 1 else grounds[0])
            else:
                self.drop((*base, "ground"))
        self.circuits.append(key)

    def _accepted(self, names: set[str]) -> Iterator[str]:
        for index, entry in enumerate(self.document.accept):
            if entry.about in names and ("accept", index) not in self.edits:
                self.drop(("accept", index))
                yield f"what is accepted of it ({entry.check})"

    # -- set ---------------------------------------------------------------------------------------

    def set(self, asked: AskedChange) -> None:
        path = path_of(self.system, asked.name, "set")
        if asked.value is None:
            self.drop(path)
        else:
            self.put(path, asked.value, f"--set {asked.name}")
        self._about(path)

    def _about(self, path: Path) -> None:
        """The circuits whose sheet a path belongs to."""
        name = str(path[1]) if len(path) > 1 else ""
        if path[0] == "circuits":
            if path in self.edits and len(path) == 2 and self.edits[path] is None:
                self.gone.append(name)
            else:
                self.circuits.append(name)
        elif path[0] == "equipment" and name in self.document.equipment:
            self.loads.append(name)
            self.circuits += [n for n, c in self.document.circuits.items() if name in _loads(c)]


def plan(study: Study, every: Iterable[AskedChange]) -> ChangePlan:
    """Plan what is asked.

    Raises:
        Unclear: a name that does not exist, one that exists already, or something left out.
    """
    every = tuple(every)
    made = _Plan(study, frozenset(a.name for a in every if a.kind == "set" and a.value is not None))
    doors = {"add": made.add, "change": made.change, "remove": made.remove, "set": made.set}
    for asked in sorted(every, key=lambda one: one.kind == "set"):  # what it sets is there by then
        doors[asked.kind](asked)
    return made.result()


def path_of(system: System, dotted: str, option: str) -> Path:
    """The path that a dotted name means; items of a list by number from 1, or by their name.

    Raises:
        Unclear: its section or its entry does not exist.
    """
    sections = {k.replace("_", "-").rstrip("-") for k in Document.model_fields}
    section, *rest = dotted.split(".")
    if section not in sections:
        raise Unclear(f'--{option}: there is no section "{section}"{near(section, sections)}')
    if not rest:
        raise Unclear(f"--{option}: say which of {section}: {section}.NAME.KEY")
    entries = getattr(system.document, section)
    if isinstance(entries, tuple):
        return (section, _item(section, entries, rest[0], option), *rest[1:])
    return (section, *rest)


def _item(section: str, entries: tuple[object, ...], name: str, option: str) -> int:
    if name.isdigit() and 0 < int(name) <= len(entries):
        return int(name) - 1
    titles = [_names(entry) for entry in entries]
    found = [index for index, names in enumerate(titles) if name in names]
    if len(found) == 1:
        return found[0]
    known = [names[0] for names in titles if names]
    if len(found) > 1:
        numbers = ", ".join(str(i + 1) for i in found)
        raise Unclear(f'--{option}: {len(found)} {section} are called "{name}": numbers {numbers}')
    raise Unclear(
        f'--{option}: there is no "{name}" in {section}{near(name, known)}; by number, '
        f"{section}.1 to {section}.{len(entries)}, or by name"
    )


def _names(entry: object) -> tuple[str, ...]:
    """What an item of a list may be called: its name, or its two ends."""
    name = getattr(entry, "name", None)
    between = getattr(entry, "between", None) or (
        getattr(entry, "from_", None),
        getattr(entry, "to", None),
    )
    found = [name] if name else []
    if all(between):
        found += [f"{between[0]}-to-{between[1]}", f"{between[0]} to {between[1]}"]
    return tuple(found)


def _inline(value: Value) -> str:
    return value if isinstance(value, str) else "VALUE"


def _loads(circuit: Circuit) -> tuple[str, ...]:
    return tuple(dict.fromkeys(feed.partition(".")[0] for feed in circuit.feeds))


def _switches_of(entry: Circuit | Feeder) -> set[str]:
    return {name for name in (entry.switch, entry.contactor) if name}


def near(word: str, known: Iterable[str]) -> str:
    """The end of a sentence about an unknown name: the nearest one, or a few that there are."""
    names = list(known)
    found = get_close_matches(word, names, 1, 0.6)
    if found:
        return f'; did you mean "{found[0]}"?'
    shown = f"{', '.join(names[:12])}{', …' if len(names) > 12 else ''}"
    return f"; there are {shown}" if names else ""
