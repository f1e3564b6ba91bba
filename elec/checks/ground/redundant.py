"""Do a load and its backup hang on one ground?"""

from collections.abc import Iterator

from elec.answers.grounds.grounding import Backup, backups, ground_points
from elec.check import check
from elec.checks.answer import answer, listed, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "Loads that back each other up, and separate sources, do not share a ground point",
    sources=(Cite("ac4313", "11-186e", "seen"), Cite("casa_21_99", "section 2 chapter 13", "seen")),
)
def ground_redundant(study: Study) -> Iterator[Finding]:
    """One loose nut must not take both ignitions, or both batteries.

    elec goes by the names of essential loads (ecu-a and ecu-b, left and right). Give each its own
    stud or block, best with its own wire to the battery.
    """
    points = ground_points(study)
    where = {load: name for name, point in points.items() for load in point.loads}
    for pair in backups(study):
        first, second = where.get(pair.first), where.get(pair.second)
        if first is not None and second is not None:
            yield _finding(study, pair, first, second)
    yield from _sources(study)


def _finding(study: Study, pair: Backup, first: str, second: str) -> Finding:
    titles = [study.system.title("equipment", n) for n in (pair.first, pair.second)]
    same = first == second
    return answer(
        study,
        f"{pair.first}, {pair.second}",
        passes(not same, Verdict.ADVISE),
        f"{listed(titles)} back each other up by their names, and both return to "
        f"{study.system.title('grounds', first)}."
        if same
        else f"{listed(titles)} return to {study.system.title('grounds', first)} and "
        f"{study.system.title('grounds', second)}.",
        at=("equipment", pair.second),
        remedy="Give one of them another ground point (ground:). If they are not each other's "
        "backup, accept this with that reason.",
    )


def _sources(study: Study) -> Iterator[Finding]:
    """Two batteries, or two alternators, on one ground."""
    for name, point in ground_points(study).items():
        for kinds in (("lead-acid", "lithium-iron-phosphate"), ("alternator",)):
            here = [s for s in point.sources if study.document.sources[s].kind in kinds]
            if not here:
                continue
            title = study.system.title("grounds", name)
            yield answer(
                study,
                name if len(here) == 1 else f"{name}, {kinds[-1]}",
                passes(len(here) == 1, Verdict.ADVISE),
                f"{listed(study.system.title('sources', s) for s in here)} "
                f"{'hangs' if len(here) == 1 else 'hang together'} on {title}.",
                at=("grounds", name),
                remedy="Give each source its own ground point (ground: on the source).",
            )
