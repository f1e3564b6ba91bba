"""What the two ends of a signal wire are called.

In: chains, connectors. Out: `JoinedSignals` for every signal wire both of whose contacts have a
signal.
"""

import re
from collections.abc import Mapping

from msgspec import Struct

from elec.answers.base.marks import marks
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


__all__ = ["JoinedSignals", "wire_signals"]
