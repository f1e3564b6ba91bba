"""Device classes that the file names: there is such a class, for such a kind of device.

Works on the plain data beside `elec.read.names`.
"""

import re
from collections.abc import Mapping
from typing import Any

from elec.read.draft import Draft, Path, near
from elec.standards import breaker_classes, fuse_families

KINDS = ("breaker", "fuse", "limiter", "link")
RESETTABLE = "resettable"
"""A device without a curve here: it closes again by itself."""
_NAME = re.compile(r"[a-z0-9][a-z0-9-]*")


def check_device_classes(draft: Draft) -> None:
    """Note every class of a device that does not exist."""
    found = draft.data.get("device-classes")
    own: Mapping[str, Any] = found if isinstance(found, dict) else {}
    for key in own:
        if not _NAME.fullmatch(key):
            place: Path = ("device-classes", key)
            draft.wrong(place, "a name is made of small letters, digits and hyphens", key=True)
    _spares(draft, own)
    for section in ("circuits", "feeders", "wires"):
        for path, entry in draft.entries(section):
            far = entry.get("far-end")
            ends = ((path, entry), ((*path, "far-end"), far if isinstance(far, dict) else {}))
            for here, end in ends:
                for kind in KINDS:
                    device = end.get(kind)
                    name = device.get("class") if isinstance(device, dict) else None
                    if isinstance(name, str) and name not in own:
                        _known((*here, kind, "class"), draft, kind, name, own)


def _spares(draft: Draft, own: Mapping[str, Any]) -> None:
    """Classes that the spare fuses on board are of."""
    about = draft.data.get("system")
    carried = about.get("spare-fuses") if isinstance(about, dict) else None
    for key in carried if isinstance(carried, dict) else ():
        for word in re.findall(r"(?<!\S)[a-z][a-z0-9-]+(?!\S)", str(key)):
            _known(("system", "spare-fuses", key), draft, "fuse", word, own, key=True)


def _known(
    path: Path, draft: Draft, kind: str, name: str, own: Mapping[str, Any], *, key: bool = False
) -> None:
    published = breaker_classes() if kind == "breaker" else (*fuse_families(), RESETTABLE)
    if name not in published:
        known = [*published, *own]
        hint = near(name, known) or f"; known: {', '.join(known)}"
        draft.wrong(path, f'there is no class of {kind} "{name}"{hint}', key=key)
