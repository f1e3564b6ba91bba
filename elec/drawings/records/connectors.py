"""Connectors as faces: the half that the builder wires, with what lands on each contact."""

from collections.abc import Mapping, Sequence

from elec import units
from elec.answers.connect.pins import ConnectorPins, Landing, pins
from elec.answers.connect.pins import Pin as Contact
from elec.answers.connect.readings import Key, readings
from elec.drawings import faces
from elec.drawings.inputs import Carries, ConnectorFace, DrawnPin, PinState
from elec.drawings.records import words
from elec.study import Study

CAUTIONS = ("Count from the drawing of the side in your hand; check by meter before power.",)
WORDS = {"pin": "pins", "socket": "sockets"}


Half = tuple[str, str | None, str]
"""Which landings belong to it, its gender, and what it is in words."""


def halves(study: Study, name: str) -> tuple[Half, ...]:
    """The halves that the builder wires: the harness half, or both of one between harnesses."""
    one = pins(study).by_id[name]
    if not one.inline:
        return (("equipment", one.mate, "harness half"),)
    return (
        ("near", one.gender, "half on the bus side"),
        ("far", one.mate, "half on the far side"),
    )


def connector_record(study: Study, name: str, half: Half, sheet: int) -> ConnectorFace:
    """One half of a connector as a face."""
    return _face(study, pins(study).by_id[name], sheet, half)


def _face(study: Study, one: ConnectorPins, sheet: int, half: Half) -> ConnectorFace:
    side, gender, text = half
    names = [pin.contact for pin in one.pins]
    other = {"pin": "socket", "socket": "pin"}.get(gender or "", "")
    if other and not one.inline:
        text += f", the half on the equipment has {WORDS[other]}"
    return ConnectorFace(
        title=words.title_block(study, one.title, sheet),
        id=one.id,
        name="",
        equipment=one.title,
        arrangement=faces.face(
            one.type,
            names,
            socket=gender == "socket",
            own=study.document.connector_types.get(one.type),
        ),
        gender=gender or "",  # type: ignore[arg-type]
        half=text,
        pins=tuple(_pin(study, one, pin, side) for pin in one.pins),
        cautions=CAUTIONS,
        size=words.paper(study, large=False),
    )


def _pin(study: Study, one: ConnectorPins, pin: Contact, side: str) -> DrawnPin:
    here = [landing for landing in pin.landings if landing.side == side]
    return DrawnPin(
        name=pin.contact,
        state=_state(pin, here),
        signal=pin.signal.replace("-", " "),
        mark=", ".join(landing.mark for landing in here),
        gauge=", ".join(dict.fromkeys(_gauge(landing) for landing in here)),
        goes_to="; ".join(landing.goes_to for landing in here),
        carries=_carried(study, (one.id, side, pin.contact), pin.signal, here),
    )


NAMED: Mapping[str, Carries] = {
    "power": "power", "supply": "power", "feed": "power", "ground": "ground", "return": "ground",
}  # fmt: skip
"""What a box gives or takes over a contact, by the last word of the name that its file gives it:
no bus and no ground of the system stands at the other end."""


def _carried(study: Study, key: Key, signal: str, here: Sequence[Landing]) -> Carries:
    """What the wires at a contact carry, be they in a cable: by their circuit, their end, a name.

    What copper joins to a ground is ground.
    """
    kinds: dict[str, Carries] = {
        "feed": "power", "return": "ground", "ground": "ground", "shield": "shield",
        "coax": "signal",
    }  # fmt: skip
    if not here:
        return ""
    if here[0].role in kinds:
        return kinds[here[0].role]
    reached = {reading.kind for reading in readings(study).get(key, ())}
    if "ground" in reached:
        return "ground"
    if reached & {"bus", "source", "post"}:
        return "power"
    return NAMED.get(signal.rpartition("-")[2].casefold(), "signal")


def _gauge(landing: Landing) -> str:
    return units.show_gauge(landing.gauge) if landing.gauge not in ("", "?") else ""


def _state(pin: Contact, here: list[Landing]) -> PinState:
    if len(here) > 1:
        return "double"
    if here:
        return "used"
    return "spare" if pin.state == "spare" else "unwired"
