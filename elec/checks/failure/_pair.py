"""What the checks of pairs have in common: how they put what takes both into words."""

from collections.abc import Sequence

from elec.answers.failures.failure_pairs import Common
from elec.checks.answer import answer, listed, passes
from elec.finding import Finding, Verdict
from elec.study import Study


def about_pair(
    study: Study, found: Common, things: Sequence[str], what: str, remedy: str
) -> Finding:
    """The answer about one pair.

    Args:
        study: the run.
        found: what the two have in common.
        things: what takes both, for print; none is a pass.
        what: the kind of thing, such as `connector`.
        remedy: what to do.
    """
    pair = found.pair
    if found.unfed:
        names = listed(study.system.title("equipment", name) for name in found.unfed)
        return answer(
            study,
            pair.about,
            Verdict.CANNOT_TELL,
            f"{pair.title}: what takes both cannot be told, for no circuit feeds {names}.",
            at=pair.path,
            remedy="Give its circuit; if it has a source of its own, say passive: yes.",
        )
    return answer(
        study,
        pair.about,
        passes(not things, Verdict.FAIL if found.essential else Verdict.ADVISE),
        f"{pair.title}: no {what} takes both."
        if not things
        else f"{pair.title}: both are lost with {listed(things)}.",
        at=pair.path,
        remedy=remedy,
    )
