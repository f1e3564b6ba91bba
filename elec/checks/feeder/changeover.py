"""Are feeders of one changeover switch never closed together?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, listed, passes
from elec.finding import Finding
from elec.standards import Cite
from elec.study import Study
from elec.wiring.cases import closed, scenarios
from elec.wiring.chains import feeder_name


@check(
    "Feeders of one changeover switch are never closed together",
    sources=(Cite("elec", "meaning of changeover", "judgement"),),
)
def feeder_changeover(study: Study) -> Iterator[Finding]:
    """A changeover joins the bus to one source or the other; both at once it cannot.

    If both feeders are said to carry current at the same time, every number behind that bus is
    wrong. Give one `used: normal` and the other `used: emergency`, or name two switches.
    """
    groups: dict[str, list[int]] = {}
    for index, feeder in enumerate(study.document.feeders):
        if feeder.changeover is not None:
            groups.setdefault(feeder.changeover, []).append(index)
    for name, indexes in groups.items():
        yield _finding(study, name, indexes)


def _finding(study: Study, name: str, indexes: list[int]) -> Finding:
    feeders = [study.document.feeders[i] for i in indexes]
    clash = next(
        (state for state in scenarios(study) if sum(closed(f, state) for f in feeders) > 1), None
    )
    names = listed(feeder_name(f) for f in feeders)
    text = (
        f"{names} share it and are never closed together."
        if clash is None
        else f"{names} share it, and both carry current in the state: {clash.title}."
    )
    return answer(
        study,
        name,
        passes(clash is None),
        text,
        at=("feeders", indexes[-1]),
        remedy="Write used: normal on one and used: emergency on the other, or name two switches.",
    )
