"""What protects a wire that has no device of its own: the device nearest to it on its way."""

from elec.drawings.records import nodes
from elec.drawings.records.panel import off_name
from elec.study import Study
from elec.wiring.chains import Chain, Part
from elec.wiring.coils import contacts


def device_ahead(study: Study, chain: Chain) -> tuple[Chain, Part] | None:
    """The device ahead of the post that a circuit begins at, with its feeder or circuit.

    None where the circuit begins elsewhere, and where nothing protects that post: a battery's own.
    """
    post = chain.rows[0].parts[0]
    if post.kind != "post":
        return None
    for other, contact in contacts(study).get(post.name, ()):
        parts = other.rows[0].parts
        if contact not in parts or post.outlet not in (contact.inlet, contact.outlet):
            continue
        at = parts.index(contact)
        way = parts[:at][::-1] if post.outlet == contact.inlet else parts[at + 1 :]
        found = next((part for part in way if part.kind in nodes.PROTECTIVE), None)
        if found is not None:
            return other, found
    return None


def ahead_said(study: Study, chain: Chain) -> str:
    """That device as every sheet calls it, with its rating (`CB3-1B 15 A`); empty: none."""
    found = device_ahead(study, chain)
    if found is None:
        return ""
    other, part = found
    called = nodes.panel_position(study, other, part) or off_name(study, part) or part.kind
    return f"{called} {nodes.rating(study, other, part)}"


__all__ = ["ahead_said", "device_ahead"]
