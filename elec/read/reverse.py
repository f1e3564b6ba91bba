"""A motor that runs both ways: `reverse: relays` makes the circuit of the two coils.

In: the plain data. The switch of the motor's circuit, which pulls the relays, moves into a circuit
of its own (`flaps-control`), with limit switches and interlocking contacts before the coil that
they stop. Works before coils are expanded, which join that circuit as its loads.
"""

from typing import Any

from elec.model.switch import REST
from elec.read.coils import FEEDING
from elec.read.draft import Draft, Path


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
        if isinstance(given, dict) and given.get("by") == "relays":
            _relays(draft, path, entry, given)


def _named_ways(draft: Draft, entry: dict[str, Any], given: dict[str, Any]) -> None:
    """The ways are called as the two positions of the switch in the hand that are not off."""
    switches = draft.data.get("switches")
    found = switches.get(entry.get("switch")) if isinstance(switches, dict) else None
    positions = found.get("positions") if isinstance(found, dict) else None
    if isinstance(positions, list) and len(positions) == len(("off", "up", "down")):
        given.setdefault("ways", positions[1:])


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
        "breaker": "auto",
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
            marks[("circuits", name, key)] = marks.get((*path, key), whole)


def _resting(draft: Draft, path: Path, relay: str) -> None:
    """The contact of a relay that stands before the coil of the other one."""
    entry, control = draft.data["switches"][relay], control_of(str(path[1]))
    poles = entry.setdefault("poles", {})
    if isinstance(poles, dict) and control not in poles:
        poles[control] = {"line": "21", "load": "22", "closed": REST}
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
        poles[name] = {"line": "2", "load": ["1", "3"]}
        for key in ((), ("line",), ("load",)):
            draft.keys[(*below, "poles", name, *key)] = draft.spot_of((*path, "reverse"))


__all__ = ["control_of", "expand_reverse"]
