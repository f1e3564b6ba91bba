"""Names that must exist, and entries that contradict themselves.

Works on the plain data, so that it speaks in the same run as the mistakes in single values; what
is of the wrong kind there has been reported and is passed over.
"""

import re
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from typing import Any

from elec.read.coils import coil_of, coils, contacts_of
from elec.read.draft import Draft, Path, near
from elec.read.ends import Ends
from elec.read.panels import check_panels
from elec.read.poles import check_contactor, check_dimmer, check_poles
from elec.read.power.alternators import check_field_wire
from elec.read.power.devices import check_device
from elec.read.shape import CABLES, RENAMED, SECTIONS
from elec.read.signal_wires import check_wire

DEVICES = ("breaker", "fuse", "limiter", "link")
_NAME = re.compile(r"[a-z0-9][a-z0-9-]*")
_CONNECTOR = re.compile(r"[A-Za-z0-9][A-Za-z0-9-]*")
_NAMED = (
    "phases", "sources", "buses", "grounds", "switches", "equipment", "circuits", "plugs",
    "multicores", "coax", "places", "sensors", "zones",
)  # fmt: skip
_DRAWS = frozenset({"draw", "peak", "duty", "modes", "inrush", "stall"})
"""Keys of a thing that draws current."""
_RESERVED = frozenset({"always", "never"})


def check_names(draft: Draft) -> None:
    """Note every name that does not exist and every entry that cannot be meant."""
    _Names(draft).check()


class _Names:
    """One pass over a draft."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self.ends = Ends(draft)
        self.doubtful = {
            found[0]
            for key in draft.data
            if key not in SECTIONS and (found := get_close_matches(key, SECTIONS, 1, 0.6))
        } | {
            section
            for section in _NAMED
            if section in draft.data and not isinstance(draft.data[section], dict)
        }
        for old in RENAMED.keys() & draft.data.keys():
            self.doubtful |= {section for section in _NAMED if f"{section}:" in RENAMED[old]}

    def check(self) -> None:
        self.spellings()
        self.namespaces()
        self.system()
        for path, source in self.draft.entries("sources"):
            self.known(path, source, "place", "places", "place")
            self.known(path, source, "ground", "grounds", "ground")
            self.known(path, source, "field-circuit", "circuits", "circuit")
            self.crowbar(path, source)
            check_field_wire(self.draft, self.ends, path, source)
            self.on((*path, "in"), source.get("in"))
        for section in ("buses", "switches", "plugs", "grounds", "sensors"):
            for path, entry in self.draft.entries(section):
                self.known(path, entry, "place", "places", "place")
        for path, entry in self.draft.entries("switches"):
            coil = entry.get("coil")
            if isinstance(coil, dict):
                self.known((*path, "coil"), coil, "load", "equipment", "equipment")
        self.grounds()
        check_poles(self.draft)
        for path, entry in self.draft.entries("panels"):
            self.known(path, entry, "place", "places", "place")
        check_panels(self.draft, self.exists)
        for path, entry in self.draft.entries("interconnects"):
            for below, name in _items((*path, "equipment"), entry.get("equipment")):
                self.exists(below, name, "equipment", "equipment")
        for path, entry in self.draft.entries("feeders"):
            self.feeder(path, entry)
        for path, entry in self.draft.entries("equipment"):
            self.equipment(path, entry)
        for path, entry in self.draft.entries("circuits"):
            self.circuit(path, entry)
        self.conductors()
        self.routes()
        self.ends.unknown.tell()

    # -- helpers -----------------------------------------------------------------------------------

    def section(self, name: str) -> Mapping[str, Any]:
        found = self.draft.data.get(name)
        return found if isinstance(found, dict) else {}

    def exists(self, path: Path, name: Any, section: str, noun: str, *, key: bool = False) -> bool:
        """Whether a name is in a section; a mistake where it is not."""
        if not isinstance(name, str) or section in self.doubtful or name in self.section(section):
            return True
        self.ends.missed(path, name, section, noun, key=key)
        return False

    def known(
        self, path: Path, entry: Mapping[str, Any], key: str, section: str, noun: str
    ) -> None:
        if key in entry:
            self.exists((*path, key), entry[key], section, noun)

    def via(self, path: Path, entry: Mapping[str, Any]) -> None:
        for below, name in _items((*path, "via"), entry.get("via")):
            self.exists(below, name, "places", "place")
        if "avoid" not in entry:
            return
        ways = (way.get("name") for _, way in self.draft.entries("ways"))
        named = {name for name in ways if isinstance(name, str) and name}
        known = {*self.section("places"), *self.section("zones"), *named}
        for below, name in _items((*path, "avoid"), entry.get("avoid")):
            if (
                isinstance(name, str)
                and name not in known
                and not self.doubtful & {"places", "zones"}
            ):
                self.ends.unknown.note(below, name, "place, zone or way", known)

    # -- names themselves --------------------------------------------------------------------------

    def spellings(self) -> None:
        for section in (*_NAMED, "panels", "interconnects"):
            for name in self.section(section):
                if not _NAME.fullmatch(name):
                    self.draft.wrong(
                        (section, name),
                        f"a name is made of small letters, digits and hyphens{_spelled(name)}",
                        key=True,
                    )
                elif name in _RESERVED and section == "phases":
                    self.draft.wrong(
                        (section, name), f'"{name}" has a meaning of its own after on:', key=True
                    )
        for path, entry in self.draft.entries("equipment"):
            connectors = entry.get("connectors")
            for name in connectors if isinstance(connectors, dict) else ():
                if not _CONNECTOR.fullmatch(name):
                    self.draft.wrong(
                        (*path, "connectors", name),
                        "a connector's name is made of letters, digits and hyphens",
                        key=True,
                    )

    def namespaces(self) -> None:
        """A name that could mean two things where feeders or wires end."""
        for first, second in (
            ("sources", "buses"),
            ("equipment", "plugs"),
            ("equipment", "grounds"),
            ("plugs", "grounds"),
            ("multicores", "coax"),
            ("equipment", "buses"),
            ("equipment", "sources"),
        ):
            for name in self.section(second):
                if name in self.section(first):
                    file, line, _ = self.draft.keys[(first, name)]
                    self.draft.wrong(
                        (second, name),
                        f'"{name}" is also the name of one of {first} ({file}:{line}); '
                        "a name here means one thing",
                        key=True,
                    )

    def crowbar(self, path: Path, source: Mapping[str, Any]) -> None:
        """A crowbar opens the breaker of the field circuit."""
        if "crowbar" not in source:
            return
        if source.get("kind") == "alternator" and "field-circuit" not in source:
            self.draft.wrong(
                (*path, "crowbar"),
                "a crowbar opens the breaker of the field circuit; name that as field-circuit:",
                key=True,
            )
        if source.get("overvoltage-protection") in ("no", "false", "off"):
            self.draft.wrong(
                (*path, "overvoltage-protection"), "a crowbar is overvoltage protection; write yes"
            )

    def system(self) -> None:
        about = self.section("system")
        self.known(("system",), about, "ground", "grounds", "ground")

    # -- sections ----------------------------------------------------------------------------------

    def grounds(self) -> None:
        grounds = self.section("grounds")
        for path, entry in self.draft.entries("grounds"):
            self.known(path, entry, "to", "grounds", "ground")
            self.second_ground(path, entry.get("second"))
            chain: list[str] = [str(path[1])]
            while True:
                ahead = grounds.get(chain[-1])
                following = ahead.get("to") if isinstance(ahead, dict) else None
                if not isinstance(following, str) or following not in grounds:
                    break
                chain.append(following)
                if following == chain[0]:
                    text = " → ".join(chain)
                    self.draft.wrong((*path, "to"), f"the grounds lead in a circle: {text}")
                if following in chain[:-1]:
                    break

    def second_ground(self, path: Path, said: Any) -> None:
        """A second wire leads from another ground than the main one to another one."""
        if said is None:
            return
        below = (*path, "second")
        to = said.get("to") if isinstance(said, dict) else said
        at = (*below, "to") if isinstance(said, dict) else below
        if isinstance(said, dict):
            self.via(below, said)
        if isinstance(to, str):
            self.exists(at, to, "grounds", "ground")
        if to == path[1]:
            self.draft.wrong(at, "a second wire leads to another ground")
        elif path[1] == self.main_ground():
            self.draft.wrong(
                below, "the main ground leads no further: a second wire goes from the ground that "
                "is to hold when its first one comes loose", key=True,
            )  # fmt: skip

    def main_ground(self) -> Any:
        """The ground of the battery negative, as far as it is said."""
        named = self.section("system").get("ground")
        return named if isinstance(named, str) else next(iter(self.section("grounds")), None)

    def devices(self, path: Path, entry: Mapping[str, Any], *, needed: bool) -> None:
        given = [key for key in DEVICES if key in entry]
        for key in given:
            if isinstance(entry[key], dict):
                check_device(self.draft, (*path, key), entry[key])
                self.known((*path, key), entry[key], "place", "places", "place")
        if len(given) > 1:
            self.draft.wrong(
                (*path, given[1]),
                f"there is also a {given[0]}; one protective device is meant",
                key=True,
            )
        elif given and "unprotected" in entry:
            self.draft.wrong(
                (*path, "unprotected"), f"there is a {given[0]}, so the wire is protected", key=True
            )
        elif needed and not given and "unprotected" not in entry:
            if any((*path, key) in self.draft.spoiled for key in (*DEVICES, "unprotected")):
                return
            if path in self.draft.spoiled or self._unknown_near(entry, DEVICES):
                return
            self.draft.wrong(
                path,
                "there is no protective device; write breaker: auto, or fuse: auto"
                + ("" if path[-1] == "far-end" else ", or unprotected: and the reason"),
                key=True,
            )

    @staticmethod
    def _unknown_near(entry: Mapping[str, Any], keys: tuple[str, ...]) -> bool:
        return any(get_close_matches(key, keys, 1, 0.6) for key in entry if key not in keys)

    def feeder(self, path: Path, entry: Mapping[str, Any]) -> None:
        self.devices(path, entry, needed=False)
        check_contactor(self.draft, path, entry)
        far = entry.get("far-end")
        if isinstance(far, dict):
            self.devices((*path, "far-end"), far, needed=True)
            if not any(key in entry for key in DEVICES):
                self.draft.wrong(
                    (*path, "far-end"),
                    "this is a second device, and there is no first; write breaker: or limiter: "
                    "beside it, or let the feeder begin at that end",
                    key=True,
                )
        diode = entry.get("diode")
        if isinstance(diode, dict):
            self.known((*path, "diode"), diode, "place", "places", "place")
            if "place" in diode and re.fullmatch(r"0(\.0*)?\s*[a-z]+", str(diode.get("tail"))):
                self.draft.wrong(
                    (*path, "diode", "tail"),
                    "a diode bolted to the bar sits where the bus does; leave out place, or give "
                    "the length of the wire",
                )
        self.via(path, entry)
        nodes = [*self.section("sources"), *self.section("buses")]
        for key in ("from", "to"):
            name = entry.get(key)
            if (
                isinstance(name, str)
                and name not in nodes
                and not self.doubtful & {"sources", "buses"}
            ):
                self.node((*path, key), name, nodes)
        if isinstance(entry.get("from"), str) and entry.get("from") == entry.get("to"):
            self.draft.wrong(
                (*path, "to"),
                f'both ends are "{entry["to"]}"; a feeder leads from a source or bus to '
                "another one",
            )

    def node(self, path: Path, name: str, nodes: list[str]) -> None:
        """An end of a feeder that is neither source nor bus."""
        missing = [section for section in ("sources", "buses") if section not in self.draft.data]
        for section in missing:
            self.ends.without(path, name, section, "source or bus")
        if not missing:
            self.ends.unknown.note(path, name, "source or bus", nodes)

    def equipment(self, path: Path, entry: Mapping[str, Any]) -> None:
        self.known(path, entry, "place", "places", "place")
        self.known(path, entry, "ground", "grounds", "ground")
        self.known(path, entry, "backup", "equipment", "equipment")
        if entry.get("backup") == path[-1]:
            self.draft.wrong((*path, "backup"), "a thing is no backup of itself; name the other")
        self.on((*path, "on"), entry.get("on"))
        modes = entry.get("modes")
        if isinstance(modes, dict):
            for name, mode in modes.items():
                if isinstance(mode, dict):
                    self.on((*path, "modes", name, "on"), mode.get("on"))
        if entry.get("passive") in ("yes", "true", "on") and not _DRAWS.isdisjoint(entry):
            self.draft.wrong(
                (*path, "passive"), "a thing that draws current is not passive", key=True
            )
        if entry.get("role") == "magneto" and entry.get("passive") not in ("yes", "true", "on"):
            self.draft.wrong(
                (*path, "role"),
                "a magneto makes its own spark and draws nothing; write passive: yes, and its lead "
                "to the ignition switch under wires: or multicores:",
            )
        essential = entry.get("essential") in ("yes", "true", "on")
        if essential and entry.get("shed", "never") != "never":
            self.draft.wrong((*path, "shed"), "an essential load is never shed", key=True)

    def on(self, path: Path, on: Any) -> None:
        """When a load is on: phases and ranges that exist."""
        phases = list(self.section("phases"))
        keys = isinstance(on, dict)
        for below, text in _items(path, on):
            if not isinstance(text, str) or text in _RESERVED or "phases" in self.doubtful:
                continue
            first, dots, last = (part.strip() for part in text.partition(".."))
            meant = "" if dots else _on_meant(first, phases)
            if meant:
                self.draft.wrong(below, f'"{first}" is no phase; write {meant}', key=keys)
                continue
            good = self.exists(below, first, "phases", "phase", key=keys)
            if dots:
                good &= self.exists(below, last, "phases", "phase", key=keys)
                if good and phases.index(first) > phases.index(last):
                    message = f'"{text}" runs backwards; {last} comes before {first}'
                    self.draft.wrong(below, message, key=keys)

    def circuit(self, path: Path, entry: Mapping[str, Any]) -> None:
        self.devices(path, entry, needed=True)
        self.bus(path, entry)
        self.known(path, entry, "ground-point", "grounds", "ground")
        self.post(path, entry)
        self.branches(path, entry)
        check_contactor(self.draft, path, entry)
        check_dimmer(self.draft, path, entry)
        self.contacts(path, entry)
        self.via(path, entry)
        if "equipment" not in self.doubtful:
            self.feeds(path, entry)
        through = entry.get("through")
        if isinstance(through, dict) and "plugs" not in self.doubtful:
            for name, used in through.items():
                self.ends.through((*path, "through", name), name, used)
                self.beyond((*path, "through", name, "for"), entry, used)

    def contacts(self, path: Path, entry: Mapping[str, Any]) -> None:
        """Contacts of single loads name loads of the circuit."""
        given = entry.get("contacts")
        loads = {str(text).partition(".")[0] for _, text in _items((), entry.get("feeds"))}
        for name in given if isinstance(given, dict) else ():
            if name not in loads:
                self.draft.wrong(
                    (*path, "contacts", name),
                    f'this circuit does not feed "{name}"{near(name, loads)}',
                    key=True,
                )

    def post(self, path: Path, entry: Mapping[str, Any]) -> None:
        """The post that it begins on belongs to a contact in a feeder or circuit."""
        post = entry.get("post")
        if isinstance(post, str) and not any(
            post in contacts_of(other)
            for section in ("feeders", "circuits")
            for _, other in self.draft.entries(section)
        ):
            self.draft.wrong(
                (*path, "post"), f'no feeder or circuit has a contactor "{post}" in it'
            )
        if "jumper" in entry and post is None:
            self.draft.wrong(
                (*path, "jumper"),
                "a jumper begins at a contactor's post; name it as post:",
                key=True,
            )

    def bus(self, path: Path, entry: Mapping[str, Any]) -> None:
        name = entry.get("bus")
        if isinstance(name, str) and name in self.section("sources"):
            if path[-1] in coils(self.draft):
                return  # made of what a coil says, which may hang on a battery's post
            self.draft.wrong(
                (*path, "bus"),
                f'"{name}" is a source; put a bus beside it and a feeder between the two',
            )
        else:
            self.known(path, entry, "bus", "buses", "bus")

    def feeds(self, path: Path, entry: Mapping[str, Any]) -> None:
        feeds = list(_items((*path, "feeds"), entry.get("feeds")))
        if entry.get("feeds") == []:
            self.draft.wrong((*path, "feeds"), "a circuit feeds something; name its equipment")
        loads: dict[str, Path] = {}
        missing: set[str] = set()
        for below, text in feeds:
            name = self.ends.load(below, text)
            if name is None:
                missing.add(str(text).partition(".")[0])
            if name is not None:
                loads[name] = below
                if "." not in text:
                    self.contact_for(below, name, "power", "feeds")
        returned = set()
        for below, text in _items((*path, "ground"), entry.get("ground")):
            if isinstance(text, str) and text in self.section("grounds"):
                self.draft.wrong(
                    below,
                    f'"{text}" is a ground point; write ground-point: {text}. '
                    "ground: names the contact of the load",
                )
                return
            if isinstance(text, str) and text.partition(".")[0] in missing:
                continue
            name = self.ends.load(below, text)
            if name is not None:
                returned.add(name)
                if name not in loads and loads:
                    self.draft.wrong(below, f"this circuit does not feed {name}")
        for name, below in loads.items():
            if name not in returned:
                self.contact_for(below, name, "ground", "ground")

    def contact_for(self, path: Path, name: str, signal: str, key: str) -> None:
        """The contact that is meant where only the equipment is named."""
        listed = ("equipment", name, "connectors")
        if any(spoiled[:3] == listed for spoiled in self.draft.spoiled):
            return
        found = self.ends.only(name, signal)
        if len(found) > 1:
            self.draft.wrong(
                path,
                f"{name} has {len(found)} contacts with {signal}; "
                f"write {key}: [{', '.join(found)}] or those that are meant",
            )
        elif not found and signal == "power" and self.ends.has_pins(name):
            self.draft.wrong(
                path,
                f"{name} has contacts, but none with power; write feeds: {name}.J1.1 "
                "with the contact that is meant",
            )

    def branches(self, path: Path, entry: Mapping[str, Any]) -> None:
        """Where a circuit branches: places that exist, loads that it feeds, one way of doing it."""
        feeds = [str(text).partition(".")[0] for _, text in _items((), entry.get("feeds"))]
        loads = list(dict.fromkeys(feeds))
        daisy = "daisy-chain" in entry
        if daisy and len(loads) == 1:
            self.draft.wrong((*path, "daisy-chain"), "one load makes no chain", key=True)
        for key in ("splice", "return-splice"):
            given = entry.get(key)
            if daisy and given is not None:
                self.draft.wrong(
                    (*path, key),
                    f"a daisy chain leads from load to load; leave out {key} or daisy-chain",
                    key=True,
                )
            for below, place in _items((*path, key), given):
                self.exists(below, place, "places", "place", key=isinstance(given, dict))
            for place, names in given.items() if isinstance(given, dict) else ():
                below = (*path, key, place)
                for at, name in _items(below, names):
                    if isinstance(name, str) and name not in loads:
                        self.draft.wrong(
                            at, f'this circuit does not feed "{name}"{near(name, loads)}'
                        )
                if isinstance(names, str) or (isinstance(names, list) and len(names) < 2):
                    self.draft.wrong(
                        below, f"a splice joins the wires of several loads; list them: {place}: "
                        "[a, b]",
                    )  # fmt: skip
        through = entry.get("through")
        for name, used in through.items() if daisy and isinstance(through, dict) else ():
            if isinstance(used, dict) and "for" in used:
                self.draft.wrong(
                    (*path, "through", name, "for"),
                    "a daisy chain passes a plug before its first load, with all of them; leave "
                    "out for",
                    key=True,
                )
        self.one_return(path, entry, loads)

    def one_return(self, path: Path, entry: Mapping[str, Any], loads: list[str]) -> None:
        """Loads whose returns join end on one ground."""
        joined = entry.get("return-splice")
        groups = list(joined.values()) if isinstance(joined, dict) else [loads] if joined else []
        groups += [loads] if entry.get("daisy-chain") == "both" else []
        for group in groups if "ground-point" not in entry else ():
            grounds = {
                str(load.get("ground"))
                for name in (group if isinstance(group, list) else ())
                if isinstance(name, str)
                if isinstance(load := self.section("equipment").get(name), dict)
            }
            if len(grounds) > 1:
                self.draft.wrong(
                    path,
                    "the returns that join end on one ground; name it here as ground-point:, for "
                    "its loads name several, or only some of them one",
                    key=True,
                )

    def beyond(self, path: Path, entry: Mapping[str, Any], used: Any) -> None:
        """`for` names loads of the circuit."""
        loads = {str(text).partition(".")[0] for _, text in _items((), entry.get("feeds"))}
        for below, name in _items(path, used.get("for") if isinstance(used, dict) else None):
            if isinstance(name, str) and name not in loads:
                self.draft.wrong(below, f'this circuit does not feed "{name}"{near(name, loads)}')

    def conductors(self) -> None:
        if self.doubtful & {"equipment", "plugs", "grounds"}:
            return
        for path, entry in self.draft.entries("wires"):
            self.devices(path, entry, needed=False)
            self.via(path, entry)
            self.known(path, entry, "splice", "places", "place")
            check_wire(self.draft, self.ends, path, entry)
        for section in CABLES:
            for path, entry in self.draft.entries(section):
                self.cable(path, entry)

    def cable(self, path: Path, entry: Mapping[str, Any]) -> None:
        self.via(path, entry)
        self.ends.any_end((*path, "drain"), entry.get("drain"))
        places = self.section("places")
        if places and "places" not in self.doubtful:
            for key in ("from", "to"):
                self.ends.any_end((*path, key), entry.get(key), places=places)
        cores = entry.get("cores")
        if isinstance(cores, dict) and cores:
            for name, core in cores.items():
                for key in ("from", "to"):
                    if isinstance(core, dict):
                        self.ends.any_end((*path, "cores", name, key), core.get(key))
        elif not {"from", "to"} <= entry.keys():
            given = {key for key in ("from", "to", "cores") if (*path, key) in self.draft.spoiled}
            if not given and path not in self.draft.spoiled:
                self.draft.wrong(
                    path, "a cable has from: and to:, or cores: with the ends of each", key=True
                )

    def bundled(self, path: Path, entry: Mapping[str, Any]) -> None:
        """Bundles hold what exists, each thing once."""
        named = entry.get("bundled")
        if not isinstance(named, dict):
            return
        count = entry.get("bundles")
        if isinstance(count, str) and count.isdigit() and int(count) < len(named):
            self.draft.wrong(
                path, f"{len(named)} bundles are named here, but bundles: says {count}"
            )
        known = self.bundle_members()
        held: dict[str, str] = {}
        for bundle, names in named.items():
            for below, name in _items((*path, bundle), names):
                if not isinstance(name, str):
                    continue
                if name in held:
                    self.draft.wrong(below, f'"{name}" is in bundle {held[name]} already')
                held.setdefault(name, bundle)
                if name != "rest" and name not in known and not self.spoilt_coil(name):
                    self.draft.wrong(
                        below,
                        f'there is no circuit, feeder, cable or ground "{name}"{near(name, known)}',
                    )

    def spoilt_coil(self, name: str) -> bool:
        """Whether a name is that of a coil's circuit, which a mistake in the coil left unmade."""
        return any(
            name == coil_of(str(path[1])) and isinstance(entry.get("coil"), dict | str)
            and any(m.place.path.startswith(f"switches.{path[1]}.") for m in self.draft.mistakes)
            for path, entry in self.draft.entries("switches")
        )  # fmt: skip

    def bundle_members(self) -> list[str]:
        """Names of all that lies on ways and has a name."""
        feeders = [
            entry.get("name", f"{entry.get('from')}-to-{entry.get('to')}")
            for _, entry in self.draft.entries("feeders")
        ]
        every = [
            name for section in ("circuits", *CABLES, "grounds") for name in self.section(section)
        ]
        negatives = (f"{name}-negative" for name in self.section("sources"))
        seconds = (
            f"{path[1]}-second"
            for path, entry in self.draft.entries("grounds")
            if "second" in entry
        )
        return [*every, *negatives, *seconds, *(name for name in feeders if isinstance(name, str))]

    def routes(self) -> None:
        for path, entry in self.draft.entries("ways"):
            self.bundled((*path, "bundled"), entry)
            between = entry.get("between")
            for below, name in _items((*path, "between"), between):
                self.exists(below, name, "places", "place")
            named = entry.get("bundled")
            for below, hole in _items((*path, "holes"), entry.get("holes")):
                bundle = hole.get("bundle") if isinstance(hole, dict) else None
                if isinstance(bundle, str) and bundle not in (
                    named if isinstance(named, dict) else ()
                ):
                    hint = near(bundle, list(named)) if isinstance(named, dict) else ""
                    self.draft.wrong(
                        (*below, "bundle"), f'no bundle of this way is called "{bundle}"{hint}'
                    )
            if isinstance(between, list) and len(between) == 2 and between[0] == between[1]:
                self.draft.wrong((*path, "between"), "a way joins two different places")
        self.measured()
        for path, entry in self.draft.entries("zones"):
            for below, name in _items((*path, "places"), entry.get("places")):
                self.exists(below, name, "places", "place")

    def measured(self) -> None:
        """Measured things exist; a mode is named where there are several."""
        sections = ("equipment", "sources", "buses", "grounds", "switches")
        for path, entry in self.draft.entries("measured"):
            base, _, mode = str(path[1]).partition(":")
            known = [name for section in sections for name in self.section(section)]
            if base not in known and not self.doubtful & set(sections):
                self.draft.wrong(
                    path, f'there is no equipment, source, bus, ground or switch "{base}"'
                    f"{near(base, known)}", key=True,
                )  # fmt: skip
            found = self.section("equipment").get(base)
            modes = found.get("modes") if isinstance(found, dict) else None
            modes = modes if isinstance(modes, dict) else {}
            if mode and mode not in modes:
                self.draft.wrong(path, f'{base} has no mode "{mode}"{near(mode, modes)}', key=True)
            if "amps" in entry and modes and not mode:
                each = " or ".join(f"{base}:{name}" for name in modes)
                self.draft.wrong(path, f"{base} draws in several ways; write {each}", key=True)
            if "phase" in entry:
                self.exists((*path, "phase"), entry["phase"], "phases", "phase")


def _items(path: Path, value: Any) -> Iterator[tuple[Path, Any]]:
    """A text, the items of a list, or the keys of a mapping, each with its path."""
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield (*path, index), item
    elif isinstance(value, dict):
        for key in value:
            yield (*path, key), key


_ON_WORDS = {
    "true": "always", "yes": "always", "all": "always", "false": "never", "no": "never",
    "off": "never", "none": "never", "always": "always", "never": "never",
}  # fmt: skip
_RANGE = re.compile(r"\s*(?:-+|–|—|\.{3,}|…|\bto\b|\bthrough\b|/)\s*")


def _on_meant(text: str, phases: list[str]) -> str:
    """What was meant after on: by a word that is no phase; "" where nothing is near."""
    if text in phases:
        return ""
    if text.casefold() in _ON_WORDS:
        return _ON_WORDS[text.casefold()]
    for match in _RANGE.finditer(text):
        first, last = text[: match.start()], text[match.end() :]
        if first in phases and last in phases:
            return f"{first}..{last}"
    return ""


def _spelled(name: str) -> str:
    better = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")
    return f"; write {better}, and name: {name} for print" if better else ""
