"""What one protective device says of itself: a gauge of a link alone, a rating or a gauge.

Works on the plain data beside `elec.read.names`.
"""

from collections.abc import Mapping
from typing import Any

from elec.read.draft import Draft, Path


def check_device(draft: Draft, path: Path, device: Mapping[str, Any]) -> None:
    """Note a gauge that is no link's, and a link that is said in two ways."""
    if "gauge" not in device:
        return
    kind = path[-1]
    if kind != "link":
        draft.wrong(
            (*path, "gauge"),
            f"the gauge of a wire stands beside its {kind}: {kind}: 5 A, gauge: AWG 20",
            key=True,
        )
    elif device.get("rating") not in (None, "auto"):
        draft.wrong(
            (*path, "gauge"), "there is also a rating; a link is said by one of them", key=True
        )
