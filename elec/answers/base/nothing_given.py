"""The same system with nothing given that the program could choose.

In: a study. Out: a study of the same text without ratings of protective devices, without gauges.
What kind and class a device is stays, and so do cables, whose gauge is part of what they are.
"""

from typing import TypeVar

from msgspec import Struct
from msgspec.structs import replace

from elec.model.system import Document
from elec.model.wiring import Circuit, Feeder, Fitted, Ground, SecondGroundWire, Wire
from elec.study import Study, analysis

Holder = TypeVar("Holder", Circuit, Feeder)


class Unchosen(Struct, frozen=True, kw_only=True):
    """A study of the system as it would be chosen from nothing."""

    study: Study


@analysis
def from_nothing(study: Study) -> Unchosen:
    """The study of the system with all ratings and gauges left out."""
    return Unchosen(study=Study(replace(study.system, document=_document(study.document))))


def _document(document: Document) -> Document:
    return document.model_copy(
        update={
            # spares follow the ratings that are fitted
            "system": document.system.model_copy(update={"spare_fuses": None}),
            "circuits": {name: _bare(entry) for name, entry in document.circuits.items()},
            "feeders": tuple(_bare(entry) for entry in document.feeders),
            "grounds": {name: _ground(entry) for name, entry in document.grounds.items()},
            "wires": tuple(_thin(entry) for entry in document.wires),
            # what was ticked was given for the gauges that are left out here
            "build": {
                name: done.model_copy(update={"for_": ""}) for name, done in document.build.items()
            },
        }
    )


def _bare(entry: Holder) -> Holder:
    changes: dict[str, object] = {"gauge": None}
    changes.update(_unrated(entry))
    if isinstance(entry, Feeder) and entry.far_end is not None:
        changes["far_end"] = entry.far_end.model_copy(update=_unrated(entry.far_end))
    return entry.model_copy(update=changes)


def _unrated(entry: Fitted) -> dict[str, object]:
    """The one device of an entry, without its rating."""
    device = entry.device()
    if device is None:
        return {}
    kind, protection = device
    return {kind: protection.model_copy(update={"rating_a": None})}


Thin = TypeVar("Thin", Ground, SecondGroundWire, Wire)


def _ground(entry: Ground) -> Ground:
    second = None if entry.second is None else _thin(entry.second)
    return _thin(entry).model_copy(update={"second": second})


def _thin(entry: Thin) -> Thin:
    return entry.model_copy(update={"gauge": None})
