"""Where a return ends that nobody gave a ground: nearest to the last thing that it passes."""

import pytest

from elec.study import Study
from elec.wiring.chains import chains
from tests.answers.helper import small

TEXT = """\
system: {name: Back, nominal: 14 V, return: wired, structure: wood, conditions: [day]}
phases: {cruise: {lasts: 1 h, engine: 2400 rpm}}
sources: {battery: {kind: lead-acid, place: panel, capacity: 18 Ah}}
buses: {main: {place: panel}}
feeders: [{name: cable, from: battery, to: main, limiter: 30 A}]
grounds:
  front: {place: panel, kind: block}
  middle: {place: root, kind: block}
  outer: {place: end, kind: block}
plugs: {wing: {type: dsub-9, place: root}}
switches: {lamp: {place: panel}}
equipment: {lamp: {place: tip, draw: 1 A}}
circuits: {lamp: {bus: main, breaker: 5 A, feeds: lamp, MORE}}
places: {panel: , root: , tip: , end: }
ways:
  - {between: [panel, root], length: 2 m}
  - {between: [root, tip], length: 3 m}
  - {between: [tip, end], length: 1 m}
"""


def made(more: str) -> Study:
    return small(TEXT.replace("MORE", more))


@pytest.mark.parametrize(
    ("more", "places", "ground"),
    [
        ("switch: lamp", ("tip", "end"), "outer"),
        ("through: {wing: {feed: 1, return: 2}}", ("tip", "root", "root"), "middle"),
        ("switch: lamp, switched: ground", ("tip", "panel", "panel"), "front"),
        (
            "switch: lamp, switched: ground, through: {wing: {feed: 1, return: 2}}",
            ("tip", "root", "panel", "panel"),
            "front",
        ),
        ("ground-point: outer, through: {wing: {feed: 1, return: 2}}", ("tip", "root", "end"),
         "outer"),
    ],
)  # fmt: skip
def test_a_return_ends_where_it_is_nearest(more: str, places: tuple[str, ...], ground: str) -> None:
    (back,) = [row for row in chains(made(more)).by_name["lamp"].rows if row.role == "return"]
    assert tuple(part.place for part in back.parts) == places
    assert back.parts[-1].name == ground
