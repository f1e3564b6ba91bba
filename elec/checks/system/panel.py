"""Has everything that belongs on a panel its position?"""

from collections.abc import Iterator

from elec.answers.connect.panel import PanelLayout, panels
from elec.check import check
from elec.checks.answer import answer, count, listed, sentence
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Every breaker, fuse and switch has a position on its panel",
    sources=(Cite("elec", "completeness of the input", "judgement"),),
    given="panels",
)
def system_panel(study: Study) -> Iterator[Finding]:
    """A panel that is cut before the last breaker is thought of has no hole for it.

    Of a panel that you lay out (`panels:` with rows), whatever sits at its place and is of its kind
    is asked for; what has no position is in no engraving list either. A panel without rows lays
    itself out.
    """
    for layout in panels(study).by_name.values():
        if layout.given:
            yield _finding(study, layout)


def _finding(study: Study, layout: PanelLayout) -> Finding:
    free = sum(position.free for position in layout.positions)
    left = layout.left_over
    head = sentence(layout.title).rstrip(".")
    if not left:
        held = count(len(layout.subjects), f"{_one(layout)} has", f"{layout.holds} have")
        text = f"{head}: {held} a position, {free} free."
        return answer(study, layout.name, Verdict.PASS, text, at=("panels", layout.name))
    names = listed([one.name for one in left], len(left))
    verb = "has" if len(left) == 1 else "have"
    room = f"{free} free" if free else "none is free"
    return answer(
        study,
        layout.name,
        Verdict.ADVISE,
        f"{head}: {names} {verb} no position; {room}.",
        at=("panels", layout.name),
        remedy="Write each into a row, in place of a free position or in a new row; or give it "
        "another place (place:).",
        value=float(len(left)),
        limit=0.0,
    )


def _one(layout: PanelLayout) -> str:
    return {"breakers": "breaker", "fuses": "fuse", "switches": "switch"}[layout.holds]


__all__ = ["system_panel"]
