"""Poles and positions of switches, what is left in a dimmer, and motors that run both ways.

In: the plain data. `expand_reverse` works before coils are expanded: `reverse: relays` makes the
circuit of the two coils. The switch of the motor's circuit, which pulls the relays, moves into that
circuit (`flaps-control`), with limit switches and interlocking contacts before the coil that they
stop. All else is checked beside `elec.read.names`.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from elec.model.reverse import MARKS, ONE_POLE, SEVERAL_POLES, first_is_up
from elec.model.switch import REST
from elec.read.coils import FEEDING
from elec.read.draft import Draft, Path, near

_BY_HAND = {"switch": "switch", "button": "switch", "changeover": "changeover", "dimmer": "dimmer"}
"""Kinds that no coil moves → the key that names one."""
_NAMING = ("switch", "contactor", "changeover", "dimmer")


def check_dimmer(draft: Draft, path: Path, entry: Mapping[str, Any]) -> None:
    """A dimmer says what is left in it; nobody can guess that."""
    name, switches = entry.get("dimmer"), draft.data.get("switches")
    if not isinstance(name, str):
        return
    found = switches.get(name) if isinstance(switches, dict) else None
    if not isinstance(found, dict) or "resistance" not in found:
        draft.wrong(
            (*path, "dimmer"),
            "what is left in a dimmer at its brightest is not said; write under switches: "
            f"{name}: {{kind: dimmer, resistance: 0.3 Ω}}",
        )


def check_contactor(draft: Draft, path: Path, entry: Mapping[str, Any]) -> None:
    """What stands as a contactor is one: no box, and no switch that a hand moves."""
    name, switches = entry.get("contactor"), draft.data.get("switches")
    known = switches if isinstance(switches, dict) else {}
    found = known.get(name) if isinstance(name, str) else None
    kind = found.get("kind") if isinstance(found, dict) else None
    equipment = draft.data.get("equipment")
    boxes = equipment if isinstance(equipment, dict) else {}
    if isinstance(name, str) and found is None and name in boxes and known:
        draft.wrong(
            (*path, "contactor"),
            f"{name} is a piece of equipment; a contactor stands under switches: with its coil",
        )
    elif isinstance(kind, str) and kind in _BY_HAND:
        draft.wrong(
            (*path, "contactor"),
            f"{name} is a {kind} that a hand moves; write {_BY_HAND[kind]}: {name}",
        )
    elif isinstance(found, dict) and "coil" not in found:
        for other, one in known.items():
            coil = one.get("coil") if isinstance(one, dict) else None
            if isinstance(coil, dict) and coil.get("switch") == name:
                draft.wrong(
                    (*path, "contactor"),
                    f"{name} is the switch of the coil of {other}; name that: contactor: {other}",
                )
                return


def check_poles(draft: Draft) -> None:
    """Poles carry circuits or feeders that go through their switch, each terminal one of them."""
    through: dict[str, list[str]] = {}
    for name, row in _rows(draft):
        for switch in dict.fromkeys(one for one in _through(row) if isinstance(one, str)):
            through.setdefault(switch, []).append(name)
    for path, entry in draft.entries("switches"):
        _off_first(draft, path, entry.get("positions"))
        _lever(draft, path, entry)
        poles = entry.get("poles")
        if isinstance(poles, dict):
            _poles(draft, path, entry, poles, through.get(str(path[1]), []))


def _off_first(draft: Draft, path: Path, positions: Any) -> None:
    """A pole is closed in all positions but the first, and the two ways are the others."""
    for index, word in enumerate(positions if isinstance(positions, list) else []):
        if index and isinstance(word, str) and word.casefold() == "off":
            rest = ", ".join(str(other) for other in positions if other != word)
            draft.wrong(
                (*path, "positions", index),
                f"off stands first, wherever it lies on the lever: [{word}, {rest}]",
            )


def _lever(draft: Draft, path: Path, entry: Mapping[str, Any]) -> None:
    """A lever stands in each of the positions once."""
    lever, positions = entry.get("lever"), entry.get("positions")
    if not isinstance(lever, list):
        return
    known = positions if isinstance(positions, list) else []
    if not known:
        draft.wrong((*path, "lever"), "what its positions are is not said: positions, off first")
    elif sorted(map(str, lever)) != sorted(map(str, known)):
        words = ", ".join(map(str, known))
        draft.wrong((*path, "lever"), f"write all positions as they lie from the top: {words}")


def _poles(
    draft: Draft,
    path: Path,
    entry: Mapping[str, Any],
    poles: Mapping[str, Any],
    through: Sequence[str],
) -> None:
    """Poles of one switch; `through` it go these circuits and feeders."""
    given = entry.get("positions")
    positions = [given] if isinstance(given, str) else given if isinstance(given, list) else []
    if entry.get("kind") in ("relay", "contactor") and not positions:
        positions = [REST, "pulled in"]
    taken: dict[str, str] = {}
    for name, pole in poles.items():
        below = (*path, "poles", name)
        if name not in through:
            draft.wrong(
                below,
                f"no circuit or feeder of this name goes through {path[1]}{near(name, through)}",
                key=True,
            )
        if not isinstance(pole, dict):
            continue
        for key in ("line", "load"):
            given = pole.get(key)
            for terminal in given if isinstance(given, list) else [given]:
                if not isinstance(terminal, str):
                    continue
                if terminal in taken and (key, name) in _meeting(
                    draft, entry, path, taken[terminal]
                ):
                    continue
                if terminal in taken:
                    draft.wrong((*below, key), f"terminal {terminal} is in use: {taken[terminal]}")
                taken[terminal] = f"{key} of {name}"
        closed = pole.get("closed")
        for word in closed if isinstance(closed, list) else [closed]:
            if isinstance(word, str) and word not in positions:
                draft.wrong((*below, "closed"), f'"{word}" is none of positions:{_list(positions)}')


def _meeting(
    draft: Draft, entry: Mapping[str, Any], path: Path, taken: str
) -> list[tuple[str, str]]:
    """What may end on a terminal that is taken: two feeders of a changeover relay meet on one."""
    if "rests" not in entry:
        return []
    to = {name: row.get("to") for name, row in _rows(draft) if row.get("changeover") == path[1]}
    own = to.get(taken.removeprefix("load of "))
    return [("load", name) for name, there in to.items() if there == own is not None]


# -- relays that change over -----------------------------------------------------------------------


def expand_changeovers(draft: Draft) -> None:
    """Say the poles of relays that change feeders over, or ask what their resting contacts join."""
    every: dict[Any, dict[str, Mapping[str, Any]]] = {}
    for name, row in _rows(draft):
        if isinstance(over := row.get("changeover"), str):
            every.setdefault(over, {})[str(name)] = row
    for path, entry in draft.entries("switches"):
        relay = "coil" in entry or entry.get("kind") in ("relay", "contactor")
        sharing = every.get(path[1], {})
        rests = entry.get("rests")
        if relay and len(sharing) > 1:
            _changeover(draft, path, entry, sharing)
        elif rests is not None:
            draft.wrong(
                (*path, "rests"),
                "this belongs to a relay (kind: relay, with its coil) that two feeders name as "
                "their changeover",
                key=True,
            )


def _changeover(
    draft: Draft, path: Path, entry: dict[str, Any], sharing: Mapping[str, Mapping[str, Any]]
) -> None:
    given = entry.get("rests")
    every = given if isinstance(given, list) else [given]
    rests = [name for name in every if isinstance(name, str)]  # others are told by their shape
    where: Path = (*path, "rests") if rests else path
    for name in rests:
        if name not in sharing:
            hint = near(name, list(sharing))
            draft.wrong(where, f'no feeder "{name}" has changeover: {path[1]}{hint}')
            return
    pairs: dict[Any, list[str]] = {}
    for name, row in sharing.items():
        pairs.setdefault(row.get("to"), []).append(name)
    for bus, names in pairs.items():
        if len(names) != 2:
            draft.wrong(
                path, f"a relay changes over between two feeders to one bus; {bus} has {len(names)}"
            )
            return
        if sum(name in rests for name in names) != 1:
            draft.wrong(
                where,
                f"which feeder {bus} is on while the coil is not energised is not said; write "
                f"rests: {names[0]}, or rests: {names[1]}",
            )
            return
        second = sharing[names[1]]
        behind = next((key for key in ("diode", "far-end") if key in second), None)
        if behind is not None:
            draft.wrong(
                path,
                f"behind the common terminal there is one wire, that of {names[0]}; write "
                f"{behind}: there",
            )
            return
    poles = entry.setdefault("poles", {})
    marks = (ONE_POLE,) if len(pairs) == 1 else SEVERAL_POLES
    for names, (pulled, common, rest) in zip(pairs.values(), marks, strict=False):
        for name in names:
            own = {"line": rest if name in rests else pulled, "load": common}
            own |= {"closed": REST} if name in rests else {}
            if isinstance(poles, dict) and name not in poles:
                poles[name] = own
                for key in ((), *((key,) for key in own)):
                    draft.keys[(*path, "poles", name, *key)] = draft.spot_of(where)


def _through(row: Mapping[str, Any]) -> Iterator[Any]:
    """The switches and relays that a circuit or feeder goes through."""
    yield from map(row.get, _NAMING)
    reverse, alone = row.get("reverse"), row.get("contacts")
    named = [row.get("interlock"), reverse.get("relays") if isinstance(reverse, dict) else None]
    named += alone.values() if isinstance(alone, dict) else []
    for names in named:
        yield from names if isinstance(names, list) else [names]


def _list(positions: list[Any]) -> str:
    return f" {', '.join(map(str, positions))}" if positions else " none are given"


def _rows(draft: Draft) -> Iterator[tuple[str, Mapping[str, Any]]]:
    for path, row in draft.entries("circuits"):
        yield str(path[1]), row
    for _, row in draft.entries("feeders"):
        yield str(row.get("name", f"{row.get('from')}-to-{row.get('to')}")), row


# -- motors that run both ways ---------------------------------------------------------------------


def control_of(circuit: str) -> str:
    """The name of the circuit that pulls the relays of a motor."""
    return f"{circuit}-control"


def expand_reverse(draft: Draft) -> None:
    """Say what `reverse:` leaves out, and make the circuits of its relays."""
    for path, entry in list(draft.entries("circuits")):
        given = entry.get("reverse")
        if isinstance(given, str):
            given = entry["reverse"] = {"by": given}
            for marks in (draft.keys, draft.spots):
                marks[(*path, "reverse", "by")] = draft.spot_of((*path, "reverse"))
        if isinstance(given, dict):
            _named_ways(draft, entry, given)
            _stops(draft, entry, given)
        if isinstance(given, dict) and given.get("by") == "relays":
            _relays(draft, path, entry, given)


def _named_ways(draft: Draft, entry: dict[str, Any], given: dict[str, Any]) -> None:
    """The ways are called as the two positions of the switch in the hand that are not off."""
    switches = draft.data.get("switches")
    found = switches.get(entry.get("switch")) if isinstance(switches, dict) else None
    positions = found.get("positions") if isinstance(found, dict) else None
    if isinstance(positions, list) and len(positions) == len(("off", "up", "down")):
        given.setdefault("ways", positions[1:])


def _stops(draft: Draft, entry: dict[str, Any], given: dict[str, Any]) -> None:
    """A motor that neither a position nor limit switches stop runs on for ever."""
    name, switches = entry.get("switch"), draft.data.get("switches")
    found = switches.get(name) if isinstance(switches, dict) else None
    positions = found.get("positions") if isinstance(found, dict) else None
    if (
        isinstance(positions, list)
        and len(positions) == len(("up", "down"))
        and "limits" not in given
    ):
        draft.wrong(
            ("switches", str(name), "positions"),
            "none of the two stops the motor that it reverses; write three, off first: "
            "[off, up, down], or limit switches at both ends (limits: under reverse:)",
        )


def _relays(draft: Draft, path: Path, entry: dict[str, Any], given: dict[str, Any]) -> None:
    circuit = str(path[1])
    ways = given.get("ways", ["up", "down"])
    if not isinstance(ways, list) or len(ways) != 2:  # told where the records are made
        return
    relays = given.setdefault("relays", [f"{circuit}-{str(way).replace(' ', '-')}" for way in ways])
    if not isinstance(relays, list) or len(relays) != 2:
        return
    switches = draft.data.get("switches")
    found = [switches.get(name) if isinstance(switches, dict) else None for name in relays]
    lacking = [
        name for name, relay in zip(relays, found, strict=True) if not isinstance(relay, dict)
    ]
    if lacking:
        draft.wrong(
            (*path, "reverse"),
            f"this motor is reversed by two relays, {relays[0]} and {relays[1]}; write under "
            f"switches: {lacking[0]}: {{kind: relay, rating: 30 A, coil: 0.15 A}}, with what yours "
            "carries and draws",
        )
        return
    control = entry.pop("switch", None)
    coils = [relay.get("coil") for relay in found if relay is not None]
    if all(
        isinstance(coil, dict) and any(key in coil for key in (*FEEDING, "load")) for coil in coils
    ):
        return  # how they are fed is written at each of them
    if control is None:
        draft.wrong(
            (*path, "reverse"),
            "what pulls the two relays is not said; name the switch with three positions as "
            f"switch: {circuit}",
        )
        return
    _control(draft, path, str(control), relays)
    for name, relay in zip(relays, found, strict=True):
        if relay is not None:
            _fed(draft, name, relay, control_of(circuit))


def _fed(draft: Draft, name: str, relay: dict[str, Any], control: str) -> None:
    """Its coil is one more load of the circuit that pulls both."""
    coil = relay.get("coil")
    below: Path = ("switches", name, "coil")
    if not isinstance(coil, dict):
        coil = relay["coil"] = {} if coil is None else {"draw": coil}
        if coil:
            draft.spots[(*below, "draw")] = draft.spot_of(below)
    coil["circuit"] = control
    draft.spots[(*below, "circuit")] = draft.spot_of(below)


def _control(draft: Draft, path: Path, control: str, relays: list[Any]) -> None:
    entry = draft.data["circuits"][path[1]]
    given: dict[str, Any] = entry["reverse"]
    limits = given.get("limits")
    limits = limits if isinstance(limits, list) and len(limits) == 2 else [None, None]
    locked = given.get("interlock") in ("yes", "true", "on")
    for name in relays if locked else ():
        _resting(draft, path, name)
    contacts = {
        f"{relay}-coil": [
            name for name in (limit, other if locked else None) if isinstance(name, str)
        ]
        for relay, limit, other in zip(relays, limits, reversed(relays), strict=True)
    }
    circuit = str(path[1])
    made: dict[str, Any] = {
        "name": f"{entry.get('name') or circuit.replace('-', ' ')} control",
        "bus": entry.get("bus"),
        "breaker": given.get("breaker", "auto"),
        "gauge": given.get("gauge"),
        "switch": control,
        "feeds": [],
        "contacts": {load: names for load, names in contacts.items() if names},
    }
    made |= {key: entry[key] for key in ("function", "sheet", "essential") if key in entry}
    circuits = draft.data["circuits"]
    name = control_of(circuit)
    if name in circuits:
        draft.wrong(
            ("circuits", name),
            f"reverse: relays in {circuit} makes a circuit of this name; call this one otherwise",
            key=True,
        )
        return
    circuits[name] = {key: value for key, value in made.items() if value is not None}
    _thrown(draft, path, given, control, name)
    for marks in (draft.keys, draft.spots):
        whole = draft.spot_of((*path, "reverse"), key=marks is draft.keys)
        marks[("circuits", name)] = whole
        for key in made:
            own = (*path, "reverse", key) if key in ("breaker", "gauge") else (*path, key)
            marks[("circuits", name, key)] = marks.get(own, whole)


def _resting(draft: Draft, path: Path, relay: str) -> None:
    """The contact of a relay that stands before the coil of the other one."""
    entry, control = draft.data["switches"][relay], control_of(str(path[1]))
    poles = entry.setdefault("poles", {})
    if isinstance(poles, dict) and control not in poles:
        _, common, rest = SEVERAL_POLES[1]
        poles[control] = {"line": common, "load": rest, "closed": REST}
        for key in ((), ("line",), ("load",), ("closed",)):
            draft.keys[("switches", relay, "poles", control, *key)] = draft.spot_of(
                (*path, "reverse")
            )


def _thrown(draft: Draft, path: Path, given: dict[str, Any], control: str, name: str) -> None:
    """Positions and terminals of the switch that pulls the relays, where they are not given."""
    below: Path = ("switches", control)
    found = draft.data["switches"].setdefault(control, {})
    if not isinstance(found, dict):
        return
    for marks in (draft.keys, draft.spots):
        marks.setdefault(below, draft.spot_of((*path, "reverse")))
    if "positions" not in found:
        found["positions"] = ["off", *given.get("ways", ["up", "down"])]
    poles = found.setdefault("poles", {})
    if isinstance(poles, dict) and name not in poles:
        _, common, up, *_ = MARKS["switch"]
        lever, ways = found.get("lever"), given.get("ways", ["up", "down"])
        first = first_is_up(ways, lever if isinstance(lever, list) else ())
        loads = [up, MARKS["switch"][0]]
        poles[name] = {"line": common, "load": loads if first else loads[::-1]}
        for key in ((), ("line",), ("load",)):
            draft.keys[(*below, "poles", name, *key)] = draft.spot_of((*path, "reverse"))
