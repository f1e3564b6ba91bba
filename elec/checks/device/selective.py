"""Does a branch's device open before that of its feeder?"""

from collections.abc import Iterator

from elec.answers.short.selectivity import Selectivity, selectivity
from elec.check import check
from elec.checks.answer import amps, percent
from elec.checks.compare import compare
from elec.checks.device._words import curve_sources
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.limits import limit

RULE = Cite("elec", "coordination", "computed")


@check(
    "A fault in one branch does not take the whole bus",
    sources=(RULE,),
    limits=("coordination-ratio",),
)
def device_selective(study: Study) -> Iterator[Finding]:
    """If the feeder's device opens first, a shorted cigarette lighter darkens the panel.

    Compared are the slowest opening of the branch with the quickest of the feeder, from the
    bands of their classes. Three times the branch's rating is enough for like devices; with less,
    what lies beyond the end of a curve is no pass. Take a larger or slower device for the feeder
    (as far as its wire allows), or smaller ones behind it.
    """
    for pairs in selectivity(study).values():
        yield min((_finding(study, pair) for pair in pairs), key=_worst_first)


def _finding(study: Study, found: Selectivity) -> Finding:
    rule = limit(study, "coordination-ratio")
    chain = chains(study).by_name[found.feeder]
    branch = chains(study).by_name[found.lower.chain].title
    head = f"{found.upper.label} over the {found.lower.label} of {branch}, {found.ratio:.1f} times"
    if found.share < 1.0:
        head += f" with the {percent(found.share)} that it carries of a short there"
    dark = f"all {found.branches} branches are" if found.branches > 1 else "the branch is"
    text = (
        f"{head}; {rule.value:g} times is held enough. In a short above "
        f"{amps(found.sure_to_a)} the feeder may open too, and {dark} dark."
    )
    known = found.sure or found.sure_to_a is not None
    if found.sure:
        text = f"{head}: the branch surely opens first up to {amps(found.looked_to_a)}"
        if not found.whole:
            short = "?" if found.fault_a is None else amps(found.fault_a)
            text += f", where its curve ends (a short: {short})"
        text += "."
    elif not known:
        text = f"{head}: no known curve compares the two."
    return compare(
        study,
        found.feeder,
        at=chain.path,
        value=found.ratio,
        limit=rule.value,
        rule=rule.bound,
        otherwise=Verdict.PASS if found.sure and found.whole else Verdict.ADVISE,
        says=text,
        remedy="Take a slower or larger device for the feeder as far as its wire allows, or a "
        "smaller one in the branch.",
        unsure=_unsure(found, known=known),
        ask="Compare the curves of the parts you buy.",
        named=(rule,) if known and not found.sure else (),
        sources=(str(RULE), *curve_sources(found.lower, found.upper)),
    )


def _worst_first(finding: Finding) -> int:
    return list(Verdict).index(finding.verdict)


def _unsure(found: Selectivity, *, known: bool) -> tuple[Verdict, ...]:
    """Verdicts that would not be certain: without curves all, beyond their end all but a pass."""
    if not known:
        return (Verdict.PASS, Verdict.ADVISE)
    return (Verdict.ADVISE,) if found.sure and not found.whole else ()
