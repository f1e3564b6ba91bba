"""What the two ends of a signal wire are called, and which of the contacts that it joins drive it.

In: chains, connectors, nets. Out: `JoinedSignals` for every signal wire both of whose contacts have
a signal; `Driven` for every net with an output, by the words of its signals.
"""

import re
from collections.abc import Mapping

from msgspec import Struct

from elec.answers.base.marks import marks
from elec.answers.connect.nets import nets
from elec.study import Study, analysis
from elec.wiring.chains import Conductor, Part, chains


class JoinedSignals(Struct, frozen=True, kw_only=True):
    """A wire with the signals of its two contacts."""

    conductor: Conductor
    path: tuple[str | int, ...]
    signals: tuple[str, str]
    alike: bool
    """Whether they share a word, or one shares a word with the single-purpose thing at the other
    end."""


OUT = frozenset({"out", "output", "tx", "txd"})
IN = frozenset({"in", "input", "rx", "rxd"})
"""Words of a signal that say whether its contact gives or takes it."""


class Driven(Struct, frozen=True, kw_only=True):
    """The contacts that are joined with an output: `(contact, signal)`."""

    outputs: tuple[tuple[str, str], ...]
    unsaid: tuple[tuple[str, str], ...]
    """Of equipment that is not passive, with a signal that says neither out nor in."""


@analysis
def driven(study: Study) -> tuple[Driven, ...]:
    """Every net with an output."""
    equipment = study.document.equipment
    signals = {
        f"{name}.{connector}.{pin}": (contact.signal, entry.passive)
        for name, entry in equipment.items()
        for connector, held in entry.connectors.items()
        for pin, contact in held.pins.items()
    }
    found = []
    for net in nets(study):
        there = [(point, *signals[point]) for point in net.points if point in signals]
        outputs = tuple((point, said) for point, said, _ in there if _words(said) & OUT)
        unsaid = tuple(
            (point, said) for point, said, passive in there
            if not passive and not _words(said) & (OUT | IN)
        )  # fmt: skip
        if outputs:
            found.append(Driven(outputs=outputs, unsaid=unsaid))
    return tuple(found)


@analysis
def wire_signals(study: Study) -> Mapping[str, JoinedSignals]:
    """Every such wire by its mark."""
    found = {}
    for chain in chains(study).by_name.values():
        for conductor in chain.conductors():
            if conductor.role != "signal":
                continue
            a, b = (_signal(study, part) for part in (conductor.a, conductor.b))
            if a and b:
                found[marks(study)[conductor.id]] = JoinedSignals(
                    conductor=conductor,
                    path=chain.path,
                    signals=(a, b),
                    alike=bool(
                        _words(a) & (_words(b) | _thing(study, conductor.b))
                        or _words(b) & (_words(a) | _thing(study, conductor.a))
                    ),
                )
    return found


def _words(text: str) -> frozenset[str]:
    return frozenset(re.split(r"[^a-z0-9]+", text.casefold())) - {""}


def _thing(study: Study, part: Part) -> frozenset[str]:
    """The words of a thing that only gives or takes a signal: a sender, a loudspeaker."""
    entry = study.document.equipment.get(part.name) if part.kind == "equipment" else None
    return _words(part.name) if entry is not None and entry.passive else frozenset()


def _signal(study: Study, part: Part) -> str:
    document = study.document
    connector, _, pin = part.contact.rpartition(".")
    if part.kind == "equipment":
        held = document.equipment[part.name].connectors.get(connector)
    elif part.kind == "connector":
        held = document.plugs.get(part.name)
        pin = part.contact
    else:
        return ""
    contact = held.pins.get(pin) if held is not None else None
    return contact.signal if contact is not None else ""


__all__ = ["Driven", "JoinedSignals", "driven", "wire_signals"]
