"""Do a load and its backup lie in one bundle?"""

from collections.abc import Iterator

from elec.analyses.chains import chains
from elec.analyses.failure_list import Failure
from elec.analyses.failure_pairs import Common, common
from elec.analyses.laid import laid
from elec.check import check
from elec.checks.answer import answer, listed, passes
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study


@check(
    "A load and its backup do not lie in one bundle",
    sources=(
        Cite("cfr_23_64", "23.2525(b)", "seen"),
        Cite("trade", "redundant wires in separate bundles", "memory"),
    ),
)
def failure_pair_bundle(study: Study) -> Iterator[Finding]:
    """One chafed, burnt or cut bundle must not take both.

    Looked at is every way, with the feeders that lie on it too. Lead one of the two another way
    (`via:`), or lay it in a second bundle on the other side and say on the way what lies in which:
    `bundled: {left: [radio, main feed], right: rest}`.
    """
    for found in common(study).values():
        if not found.unfed:
            yield _finding(study, found)


def _finding(study: Study, found: Common) -> Finding:
    pair = found.pair
    ways = [failure for failure in found.failures if failure.kind == "way"]
    joined = [f.about for f in ways if not _apart(study, f)]
    doubt = _doubt(study, found, [failure for failure in ways if _apart(study, failure)])
    if doubt and not joined:
        return answer(
            study,
            pair.about,
            Verdict.CANNOT_TELL,
            f"{pair.title}: {doubt}.",
            at=pair.path,
            remedy="Give the missing ways; where a way has several bundles, write on it what lies "
            "in which: bundled: {left: [radio, main feed], right: rest}.",
        )
    return answer(
        study,
        pair.about,
        passes(not joined, Verdict.ADVISE),
        f"{pair.title}: no one bundle takes both."
        if not joined
        else f"{pair.title}: both are lost where one bundle is cut: {listed(joined)}.",
        at=pair.path,
        remedy="Lead the wires or the feeder of one of them another way (via:), or in another "
        "bundle (bundled: on the way).",
    )


def _apart(study: Study, failure: Failure) -> bool:
    """Whether it is a whole way with several bundles, and not one of them."""
    return len(failure.path) == 2 and study.document.ways[int(failure.path[1])].bundles > 1


def _doubt(study: Study, found: Common, ways: list[Failure]) -> str:
    if found.unknown_runs:
        return f"the way of {len(found.unknown_runs)} of their wires is not known"
    own = {name for circuits in found.pair.circuits for name in circuits}
    for failure in ways:
        named = laid(study).get(int(failure.path[1]))
        if named is None:
            return f"both lie on {failure.about}, and which bundle each is in is not said"
        by_name = chains(study).by_name
        unsaid = [n for n in named.unsaid if n in own or by_name[n].kind in ("feeder", "ground")]
        if unsaid:
            names = listed(name.replace("-", " ") for name in unsaid)
            return f"both lie on {failure.about}, and which bundle holds {names} is not said"
    return ""
