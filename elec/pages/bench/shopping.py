"""What to buy: wire and cable with waste, devices, switches, connectors, contacts, terminals."""

import math
from collections import Counter

from elec import units
from elec.answers.connect.makeup import makeups
from elec.answers.connect.pins import ConnectorPins, colour_of, pins
from elec.answers.connect.terminals import COLOURS, ON_TERMINALS, thread_at
from elec.answers.failures.at_hand import spares_to_carry
from elec.answers.grounds.terminals import terminals
from elec.model.switch import Surge
from elec.pages.circuits.pin import has_halves
from elec.pages.columns import count, gauge, metres, text
from elec.pages.table import Cell, Table, Value
from elec.sizing.shelf import Contact, shelf_contacts
from elec.sizing.sizing import sizing
from elec.standards import AWGS, default
from elec.study import Study
from elec.wiring.chains import Conductor, chains
from elec.wiring.coils import limit_switches
from elec.wiring.runs import runs
from elec.wiring.wires import kind_name


def wire_to_buy(study: Study) -> Table:
    """Single wire by type, gauge and colour: what is needed, and what to order."""
    needed: dict[tuple[str, str, str], float] = {}
    unknown: Counter[tuple[str, str, str]] = Counter()
    for chain in chains(study).by_name.values():
        if chain.kind == "cable":
            continue
        for conductor in chain.conductors():
            key = _wire_key(study, conductor)
            length = runs(study)[conductor.id].length_m
            needed[key] = needed.get(key, 0.0) + (length or 0.0)
            unknown[key] += length is None
    order = sorted(needed, key=lambda k: (AWGS.index(k[1]), k[0], k[2]))
    margin = default("order-margin")
    reels = {(awg, colour or "white"): m for awg, colour, m in study.document.stock.reels}
    columns = (
        text("gauge_awg", "AWG"),
        text("colour", "Colour"),
        text("type", "Type", 2),
        metres("needed_m", "Needed"),
        *((metres("shelf_m", "On the shelf"),) if reels else ()),
        metres("order_m", "Order"),
        count("unknown_count", "Wires of unknown length", 2),
    )
    rows: list[tuple[Value, ...]] = []
    for key in order:
        shelf_m = reels.pop((key[1], key[2]), 0.0)
        needs, ordered = _lengths(study, needed[key], unknown[key], shelf_m)
        shelf: tuple[Value, ...] = (shelf_m or "",) if "shelf_m" in {c.key for c in columns} else ()
        many = unknown[key] or ""
        rows.append((gauge(key[1]), key[2], key[0], needs, *shelf, ordered, many))
    return Table(
        id="wire-to-buy",
        title="Wire to buy",
        columns=columns,
        rows=tuple(rows),
        note=(
            f"Order: {margin.value:g} % more than what is needed ({margin.why}), less what is on "
            "the shelf (stock: reels:), to the next whole foot or metre. A reel on the shelf is "
            "counted for the first type of its gauge and colour."
        ),
    )


def cable_to_buy(study: Study) -> Table:
    """Cables of several cores and coaxial cables by type."""
    needed: dict[str, float] = {}
    unknown: Counter[str] = Counter()
    pieces: Counter[str] = Counter()
    for chain in chains(study).of("cable"):
        kind = study.document.cables[chain.name].type
        lengths = [runs(study)[c.id].length_m for c in chain.conductors()]
        known = [length for length in lengths if length is not None]
        needed[kind] = needed.get(kind, 0.0) + max(known, default=0.0)
        unknown[kind] += len(known) < len(lengths) or not lengths
        pieces[kind] += 1
    return Table(
        id="cable-to-buy",
        title="Cable to buy",
        columns=(
            text("type", "Type"),
            count("pieces_count", "Pieces"),
            metres("needed_m", "Needed"),
            metres("order_m", "Order"),
        ),
        rows=tuple(
            (kind, pieces[kind], *_lengths(study, needed[kind], unknown[kind]))
            for kind in sorted(needed)
        ),
    )


def devices_to_buy(study: Study) -> Table:
    """Protective devices by kind, class and rating; switches by kind; diodes."""
    found: Counter[_Bought] = Counter()
    names: dict[_Bought, list[str]] = {}
    for device in sizing(study).devices.values():
        rating = "?" if device.rating_a is None else f"{device.rating_a:g} A"
        if device.link_awg is not None and device.rating_a is None:
            rating = f"AWG {device.link_awg}"
        found[device.kind, rating, "", device.family] += 1
    seen: set[str] = set()
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind == "diode":
                found["diode", "", "", part.name] += 1
            if part.kind in ("switch", "contactor", "changeover") and part.name not in seen:
                seen.add(part.name)
                entry = study.document.switches.get(part.name)
                kind = (entry.kind if entry else None) or part.kind
                given = entry.rating_a if entry else None
                rating = "?" if given is None else f"{given:g} A contacts"
                made = makeups(study)[part.name].bought(kind)
                key: _Bought = (kind, rating, made, "")
                if part.name in limit_switches(study):
                    key = ("limit switch", rating, "1-pole, closed at rest", "")
                found[key] += 1
                names.setdefault(key, []).append(part.label or part.name)
    for (what, _, _, family), number in list(found.items()):
        if what == "fuse":
            found["fuse holder, or a way of a fuse block", "", "", family] += number
    for (family, rating_a), number in spares_to_carry(study).items():
        found["spare fuse", f"{rating_a:g} A", "", family] += number
    for entry in study.document.switches.values():
        if entry.coil is not None and entry.coil.suppressor == "diode":
            found["diode across a coil", "", "", ""] += 1
        elif entry.coil is not None and isinstance(entry.coil.suppressor, Surge):
            what = "suppressor" if entry.coil.suppressor.kind == "voltage" else "resistor"
            found[f"{what} across a coil", entry.coil.suppressor.said, "", ""] += 1
    for circuit in study.document.circuits.values():
        if (
            circuit.reverse is not None
            and circuit.reverse.by == "switch"
            and circuit.reverse.limits
        ):
            found["diode across a limit switch", "", "", ""] += len(circuit.reverse.limits)
    rows = sorted(found.items(), key=lambda item: (item[0][0], _size(item[0][1]), item[0]))
    return Table(
        id="devices-to-buy",
        title="Devices to buy",
        columns=(
            text("kind", "What"),
            text("rating", "Rating"),
            text("made", "Made"),
            text("class", "Class", 2),
            count("pieces_count", "Pieces"),
            text("names", "Which"),
        ),
        rows=tuple(
            (*_unknown_rating(key), number, ", ".join(names.get(key, ()))) for key, number in rows
        ),
        note=(
            "Made: as its circuits ask. Whether a lever springs back from a position the file "
            "does not say: settle it before you order, above all where it runs a motor. "
            "Spare fuses: as many as device-reach asks within reach in flight, or as you say under "
            "spare-fuses:. Buy some of every other rating, too, for the bench. A limiter is bolted "
            "to studs: its base, where it has one, is on its maker's sheet."
        ),
    )


def connectors_to_buy(study: Study) -> Table:
    """Connector halves for the harness and their contacts; what sits on a box comes with it.

    Contacts on the shelf are taken off, where `stock:` says how many.
    """
    found: Counter[tuple[str, str]] = Counter()
    contacts: Counter[Contact] = Counter()
    for one in pins(study).by_id.values():
        if not has_halves(one):
            continue
        for what, gender in _halves(one):
            found[f"{one.type} {what}".strip(), gender or "?"] += 1
        if one.contact_size and one.mate:
            for pin in one.pins:
                for landing in pin.landings:
                    near = one.inline and landing.side == "near"
                    gender = (one.gender if near else one.mate) or "?"
                    contacts[one.family or one.type, one.contact_size, gender] += 1
    rows: list[tuple[str, str, int, int]] = [(*key, n, 0) for key, n in found.items()]
    rows += [
        (f"crimp contact, size {size}, {family}", gender, number,
         min(number, shelf_contacts(study).get((family, size, gender), 0)))
        for (family, size, gender), number in contacts.items()
    ]  # fmt: skip
    stocked = bool(study.document.stock.crimp_contacts)
    columns = (
        text("what", "What"),
        text("gender", "Contacts"),
        count("pieces_count", "Pieces"),
        count("shelf_count", "On the shelf"),
        count("buy_count", "To buy"),
    )
    return Table(
        id="connectors-to-buy",
        title="Connectors and contacts to buy",
        columns=columns if stocked else columns[:3],
        rows=tuple(
            (
                what,
                Cell(value=None) if gender == "?" else gender,
                number,
                *((shelf or "", number - shelf) if stocked else ()),
            )
            for what, gender, number, shelf in sorted(rows)
        ),
        note="Contacts: one for every wire; buy more for spare cavities and for test crimps.",
    )


def terminals_to_buy(study: Study) -> Table:
    """Ring terminals by gauge: ends on devices, switches, buses and grounds; splices."""
    found: Counter[tuple[str, str, str | None]] = Counter()
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            for part in (conductor.a, conductor.b):
                awg = _awg(study, conductor)
                if awg and (part.kind in ON_TERMINALS):
                    found["ring terminal", awg, thread_at(study, part)] += 1
    for chain in chains(study).by_name.values():
        for part in chain.parts():
            if part.kind == "splice":
                awg = next((_awg(study, c) for c in chain.conductors()), "")
                found["splice", awg, ""] += 1
    order = sorted(found, key=lambda key: (key[0], AWGS.index(key[1]), key[2] or ""))
    drains: Counter[str | None] = Counter()
    for name, every in terminals(study).items():
        shields = sum(ends[0].other is None for ends in every)
        drains.update({study.document.grounds[name].stud: shields} if shields else {})
    return Table(
        id="terminals-to-buy",
        title="Terminals to buy",
        columns=(
            text("what", "What"),
            text("gauge_awg", "AWG"),
            text("stud", "Stud"),
            text("colour", "Colour", 2),
            count("pieces_count", "Pieces"),
        ),
        rows=(
            *(
                (
                    what,
                    gauge(awg),
                    Cell(value=None) if stud is None else stud,
                    COLOURS.get(awg, "bare, with a sleeve"),
                    found[what, awg, stud],
                )
                for what, awg, stud in order
            ),
            *(
                (
                    "ring terminal for shields",
                    Cell(value=None),
                    stud or Cell(value=None),
                    Cell(value=None),
                    number,
                )
                for stud, number in sorted(drains.items(), key=lambda item: item[0] or "")
            ),
        ),
        note=(
            "Stud: where stud: says it, on a bus, ground or switch; a battery's, breaker's or fuse "
            "holder's is on the part bought. Ends on equipment without a connector are not "
            "counted: its "
            "maker says what it takes. Tabs and screw terminals of switches are counted as rings. "
            "Rings for shields go by the gauge of their drain, which the file does not give."
        ),
    )


def shopping(study: Study) -> tuple[Table, ...]:
    """All lists of what to buy."""
    lists = (wire_to_buy, cable_to_buy, devices_to_buy, connectors_to_buy, terminals_to_buy)
    return tuple(make(study) for make in lists)


def _wire_key(study: Study, conductor: Conductor) -> tuple[str, str, str]:
    return kind_name(study, conductor), _awg(study, conductor), colour_of(conductor)


def _awg(study: Study, conductor: Conductor) -> str:
    sized = sizing(study).gauges.get(conductor.id)
    if sized is not None:
        return sized.awg
    return conductor.gauge or "" if conductor.role != "coax" else ""


def _lengths(
    study: Study, needed_m: float, unknown: int, shelf_m: float = 0.0
) -> tuple[Value, Value]:
    """What is needed and what to order; no order where a length is not known."""
    if unknown:
        shown = units.cut_length(needed_m, study.system.about.units)
        return Cell(value=None, text=f"{shown} + ?"), None
    unit_m = 0.3048 if study.system.about.units == "feet" else 1.0
    order = max(0.0, needed_m * (1 + default("order-margin").si) - shelf_m)
    return needed_m, math.ceil(order / unit_m - 1e-9) * unit_m


def _size(rating: str) -> float:
    head = rating.split(" ", maxsplit=1)[0]
    try:
        return float(head)
    except ValueError:
        return -1.0


_Bought = tuple[str, str, str, str]
"""What it is, its rating, how it is made, its class."""


def _unknown_rating(key: _Bought) -> tuple[Value, ...]:
    kind, rating, made, family = key
    return kind, Cell(value=None) if rating == "?" else rating, made, family


def _halves(one: ConnectorPins) -> list[tuple[str, str | None]]:
    """What the harness needs: the mating half; between harnesses both halves; a jack itself."""
    if one.inline:
        return [("half, bus side", one.gender), ("half, far side", one.mate)]
    return [("" if one.jack else "half for the harness", one.mate)]
