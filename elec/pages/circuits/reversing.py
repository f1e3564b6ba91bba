"""Motors that run both ways: what rings together, where plus stands, what stops them."""

from collections.abc import Container, Iterator

from elec.answers.base.marks import marks
from elec.answers.connect.reversing import Bridge, Direction, reversing
from elec.pages.columns import text, volts
from elec.pages.table import Table, Value
from elec.standards import Cite
from elec.study import Study

NUMBERS = Cite("trade", "DIN 72552", "memory")
POLES = Cite("trade", "EN 50005", "memory")


def bridges(study: Study) -> Table:
    """Each way of each motor that runs both ways."""
    return Table(
        id="reversing",
        title="Motors that run both ways",
        columns=(
            text("motor", "Motor"),
            text("way", "Way"),
            text("held", "Held"),
            text("joined", "Rings together"),
            text("plus", "Plus on"),
            volts("lost_v", "Lost at most"),
            text("stops", "Stops by"),
            text("ok", "Done"),
        ),
        rows=tuple(row for one in reversing(study).values() for row in _rows(study, one)),
        note="Ring the bridge out with the motor's leads off: in each way the two pairs of "
        "terminals ring together, each pair open to the other; with the switch off a lead of a "
        "motor on relays rings to ground, one on a switch to nothing. Lost at most: computed in "
        "the way that passes both wires that cross over; the other way passes neither. Terminals "
        "as given; in brackets nobody gave them and its maker may number otherwise: of a switch "
        "counted, the lever up joins (2) with (3) and (5) with (6); of relays of one pole "
        f"{NUMBERS}, of several {POLES}: ring out the part in your hand first. If it moves the "
        "wrong way, change over the two leads at the motor.",
    )


def _rows(study: Study, one: Bridge) -> Iterator[tuple[Value, ...]]:
    for way in one.ways:
        lead = one.wires[2 if way.plus == "+" else 3]
        yield (
            study.system.title("equipment", one.load),
            way.name,
            way.pulled or f"{study.system.title('switches', one.control)} at {way.name}",
            "; ".join(way.joined),
            f"{way.plus}, {marks(study)[lead.id]}",
            one.lost_v,
            _stops(study, one, way),
            "",
        )


def _stops(study: Study, one: Bridge, way: Direction) -> str:
    if way.stops:
        return way.stops + (", a diode across it" if one.by == "switch" else "")
    if study.document.equipment[one.load].bears_stall:
        return "its stop: it bears to be held fast"
    return "?"


def moves(study: Study, circuits: Container[str] | None = None) -> Iterator[str]:
    """What to try at the first power-up with each such motor; relays and limits before it runs."""
    for name, one in reversing(study).items():
        if circuits is not None and name not in circuits:
            continue
        first, second = one.ways
        title = study.system.title("equipment", one.load)
        switch = study.system.title("switches", one.control)
        leads = " and ".join(marks(study)[wire.id] for wire in one.wires[2:4])
        if one.by == "relays":
            let_go = ", and its limit switch pressed by hand lets it go" if first.stops else ""
            yield (
                f"{title}, its own breaker still open, that of its relays closed: {switch} to "
                f"{first.name} pulls {first.pulled} alone, to {second.name} {second.pulled} "
                f"alone{let_go}."
            )
        limits = "; each limit switch pressed by hand stops its way, and only that"
        yield (
            f"{title}: clear of it, in the middle of its travel, a tap of {switch} to "
            f"{first.name}, then to {second.name}. Does it move the right way? If not: off, and "
            f"change over {leads} at the motor. Let go, and it stands "
            f"still{limits if first.stops else ''}. Only then let it run, and read its row."
        )


__all__ = ["bridges", "moves"]
