"""What the contacts of every connector carry, against what they may among loaded neighbours.

In: pins. Out: `ContactLoad` by connector for its hardest worked contact.
"""

from collections.abc import Iterator, Mapping
from functools import cache

from msgspec import Struct

from elec.answers.connect.pins import ConnectorPins, Landing, Pin, pins
from elec.physics.contact import hardest_contact_a, loading_factor
from elec.standards import AWGS, NotCovered, cited, default, table
from elec.study import Study, analysis
from elec.working import Term, Working, computed, unrounded

POWER = ("feed", "return")


class ContactLoad(Struct, frozen=True, kw_only=True):
    """The contact of a connector that is nearest to its limit; None where that cannot be told."""

    connector: str
    contact: str
    current_a: float
    allowed_a: float | None
    loaded: int
    contacts: int
    awg: str
    working: Working
    unknown: str = ""


@analysis
def contact_loads(study: Study) -> Mapping[str, ContactLoad]:
    """Every connector through which power passes."""
    found = {}
    for one in pins(study).by_id.values():
        made = _load(one)
        if made is not None:
            found[one.id] = made
    return found


def _power(pin: Pin) -> Landing | None:
    """The power wire on a contact, the one that carries most."""
    found = [ln for ln in pin.landings if ln.role in POWER]
    return max(found, key=lambda ln: ln.current_a or 0.0, default=None)


def _load(one: ConnectorPins) -> ContactLoad | None:
    carried = [(pin, landing) for pin in one.pins if (landing := _power(pin)) is not None]
    if not carried:
        return None
    unknown = [landing for _, landing in carried if landing.current_a is None]
    loaded, contacts = _loaded(one, carried)
    candidates = every_contact(one)
    worst = max(
        candidates,
        key=lambda c: unrounded(c.current_a / c.allowed_a) if c.allowed_a else float("inf"),
        default=None,
    )
    if worst is None or unknown:
        name = unknown[0].chain if unknown else ""
        return ContactLoad(
            connector=one.id, contact="", current_a=0.0, allowed_a=None, loaded=loaded,
            contacts=contacts, awg="", working=Working(title=one.id, steps=()),
            unknown=f"the current of {name} is not known",
        )  # fmt: skip
    return worst


def _loaded(one: ConnectorPins, carried: list[tuple[Pin, Landing]]) -> tuple[int, int]:
    """How many contacts carry enough to warm others, and how many there are."""
    loaded = sum(
        1 for _, landing in carried if (landing.current_a or 0.0) >= default("contact-loaded").value
    )
    return loaded, one.contacts or len(one.pins)


def every_contact(one: ConnectorPins) -> tuple[ContactLoad, ...]:
    """Every contact of a connector through which a power current that is known passes."""
    carried = [(pin, landing) for pin in one.pins if (landing := _power(pin)) is not None]
    loaded, contacts = _loaded(one, carried)
    return tuple(
        _contact(one, pin, landing, loaded=max(1, loaded), contacts=contacts)
        for pin, landing in carried
        if landing.current_a is not None
    )


def _contact(
    one: ConnectorPins, pin: Pin, landing: Landing, *, loaded: int, contacts: int
) -> ContactLoad:
    amps = hardest_contact_a(
        contacts=landing.parallel,
        current_a=(landing.current_a or 0.0) * landing.parallel,
        share=default("parallel-contact-share").si,
    )
    unknown = ""
    rating, origin = rating_with(one, landing.gauge)
    if rating is None:
        unknown = f"what one contact of a {one.type} may carry is not published here"
    factor = 1.0
    try:
        factor = loading_factor(loaded=min(loaded, contacts), contacts=contacts)
    except NotCovered as gap:
        unknown = unknown or str(gap)
    step = computed(
        "I", "A", "what it may carry here", "Ic * F",
        (
            Term("Ic", rating or 0.0, "A", "one contact alone", origin),
            Term("F", factor, "", f"{loaded} of {contacts} contacts loaded", cited(loading_factor)),
        ),
    )  # fmt: skip
    return ContactLoad(
        connector=one.id,
        contact=pin.contact,
        current_a=amps,
        allowed_a=None if unknown else step.result.value,
        loaded=loaded,
        contacts=contacts,
        awg=landing.gauge,
        working=Working(title=f"{one.id} contact {pin.contact}", steps=(step,)),
        unknown=unknown,
    )


def rating_with(one: ConnectorPins, awg: str) -> tuple[float | None, str]:
    """What one contact alone may carry with a wire of this gauge in it, and where that stands."""
    by_wire = _by_wire(one, awg)
    alone = one.rating_a
    if by_wire is None or "yaml" in one.rating_origin or (alone is not None and alone <= by_wire):
        return alone, one.rating_origin
    return by_wire, f"contact on AWG {awg}"


def loaded_contacts(one: ConnectorPins) -> tuple[int | None, int]:
    """How many contacts carry enough to warm others, None where that is not known; and of all."""
    carried = [(pin, landing) for pin in one.pins if (landing := _power(pin)) is not None]
    loaded, contacts = _loaded(one, carried)
    known = all(landing.current_a is not None for _, landing in carried)
    return (loaded if known else None), contacts


def _by_wire(one: ConnectorPins, awg: str) -> float | None:
    """What a small contact may carry with the wire in it: 7.5 A with AWG 20, 5 A with AWG 22."""
    return _of_wire(awg) if one.family in ("dsub", "dsub-hd") else None


@cache
def _of_wire(awg: str) -> float | None:
    rows = table("elec/contact_current_by_wire").select(awg=awg)
    return rows[0].number("operating_a") if rows else None


class ContactWire(Struct, frozen=True, kw_only=True):
    """One wire on one contact, with the gauges that the contact takes."""

    connector: str
    contact: str
    mark: str
    awg: str
    thinnest: str
    thickest: str
    needs: str | None

    @property
    def fits(self) -> bool | None:
        """Whether it fits; None where the contact's range or the gauge is not known."""
        if self.needs is not None and self.awg:
            return self.awg == self.needs
        if not self.thinnest or not self.thickest or self.awg not in AWGS:
            return None
        here = AWGS.index(self.awg)
        return AWGS.index(self.thinnest) <= here <= AWGS.index(self.thickest)


def contact_wires(one: ConnectorPins) -> Iterator[ContactWire]:
    """Every wire that is crimped into a contact of a connector."""
    for pin in one.pins:
        for landing in pin.landings:
            if landing.gauge:
                yield ContactWire(
                    connector=one.id,
                    contact=pin.contact,
                    mark=landing.mark,
                    awg=landing.gauge,
                    thinnest=_range(one.thinnest_awg),
                    thickest=_range(one.thickest_awg),
                    needs=pin.needs_gauge,
                )


def _range(awg: str) -> str:
    """A gauge of the contact table among those known here: 28 counts as the thinnest."""
    return AWGS[0] if awg and awg not in AWGS else awg
