"""Do the builder's own limits tighten the published ones?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.limits import limits, shown


@check(
    "Limits of your own only tighten the published ones",
    sources=(Cite("elec", "limits are only tightened", "judgement"),),
)
def system_limits(study: Study) -> Iterator[Finding]:
    """A limit that could be loosened in a file would be no limit in the hands of the next owner.

    Tighten what you want tighter; to live with a finding, accept it with a reason, where it stays
    visible. A name that is no limit tightens nothing, so that it fails too.
    """
    found = limits(study)
    for bad in found.refused:
        yield answer(
            study, bad.key, Verdict.FAIL, bad.why, at=("limits", bad.key), remedy=bad.remedy
        )
    for key, one in found.by_key.items():
        if one.tightened:
            yield answer(
                study,
                key,
                Verdict.PASS,
                f"{one.meaning[:1].upper()}{one.meaning[1:]}: {one.bound} {shown(one)}, tighter "
                "than published.",
                at=("limits", key),
            )
