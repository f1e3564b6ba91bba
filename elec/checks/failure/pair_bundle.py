"""Do a load and its backup lie in one bundle?"""

from collections.abc import Iterator

from elec.analyses.failure_pairs import Common, common
from elec.check import check
from elec.checks.answer import answer, listed, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "A load and its backup do not lie in one bundle",
    sources=(
        Cite("cfr_23", "23.2525(b)", "seen"),
        Cite("trade", "redundant wires in separate bundles", "memory"),
    ),
)
def failure_pair_bundle(study: Study) -> Iterator[Finding]:
    """One chafed, burnt or cut bundle must not take both.

    Looked at is every way, with the feeders that lie on it too. Lead one of the two another way
    (`via:`), or lay it in a second bundle on the other side (`bundles: 2` on the way).
    """
    for found in common(study).values():
        if not found.unfed:
            yield _finding(study, found)


def _finding(study: Study, found: Common) -> Finding:
    pair = found.pair
    ways = [failure for failure in found.failures if failure.kind == "way"]
    joined = [f.about for f in ways if study.document.ways[int(f.path[1])].bundles < 2]
    doubt = _doubt(found, [failure.about for failure in ways])
    if doubt and not joined:
        return answer(
            study,
            pair.about,
            Verdict.CANNOT_TELL,
            f"{pair.title}: {doubt}.",
            at=pair.path,
            remedy="Give the missing ways; where a way has two bundles, see on the aeroplane that "
            "each lies in its own, and accept this with that reason.",
        )
    return answer(
        study,
        pair.about,
        passes(not joined, Verdict.ADVISE),
        f"{pair.title}: no one bundle takes both."
        if not joined
        else f"{pair.title}: both are lost where one bundle is cut: {listed(joined)}.",
        at=pair.path,
        remedy="Lead the wires or the feeder of one of them another way (via:), or in a second "
        "bundle (bundles: 2 on the way).",
    )


def _doubt(found: Common, ways: list[str]) -> str:
    if found.unknown_runs:
        return f"the way of {len(found.unknown_runs)} of their wires is not known"
    if ways:
        return f"both lie on {listed(ways)}, and which bundle each is in is not said"
    return ""
