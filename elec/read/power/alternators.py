"""What an alternator says of its field wire: it begins at what the field circuit feeds.

Works on the plain data beside `elec.read.names`.
"""

from collections.abc import Mapping
from typing import Any

from elec.model.source import INSIDE
from elec.read.draft import Draft, Path
from elec.read.ends import Ends


def check_field_wire(draft: Draft, ends: Ends, path: Path, source: Mapping[str, Any]) -> None:
    """Note a field wire that begins at nothing, or at what the field circuit does not feed."""
    wire = source.get("field-wire")
    start = wire.get("from") if isinstance(wire, dict) else wire
    at = (*path, "field-wire", "from") if isinstance(wire, dict) else (*path, "field-wire")
    if not isinstance(start, str) or start == INSIDE:
        return
    name = ends.load(at, start)
    circuit = source.get("field-circuit")
    if circuit is None:
        draft.wrong(
            (*path, "field-wire"),
            "a field wire leads on from what the field circuit feeds; name that as field-circuit:",
            key=True,
        )
    known = draft.data.get("circuits")
    entry = known.get(circuit) if isinstance(known, dict) and isinstance(circuit, str) else None
    feeds = entry.get("feeds") if isinstance(entry, dict) else None
    if name is None or not isinstance(feeds, str | list):
        return
    fed = [str(one).partition(".")[0] for one in ([feeds] if isinstance(feeds, str) else feeds)]
    if name not in fed:
        draft.wrong(
            at, f'{circuit}, its field circuit, does not feed "{name}"; it feeds {", ".join(fed)}'
        )
