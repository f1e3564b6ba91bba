"""Is the bundle small enough to lace, clamp and inspect?"""

from collections.abc import Iterator

from elec.answers.connect.holes import Passage, passages
from elec.check import check
from elec.checks.answer import answer, apart, count, length, listed
from elec.checks.compare import compare
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.laid import Laid, laid
from elec.wiring.limits import limit


@check(
    "No bundle is too big to clamp and to look after",
    sources=(
        Cite("faa_h_8083", "wire groups and bundles", "seen"),
        Cite("mil_w_22759", "wire diameters", "memory"),
    ),
    limits=("bundle-wires", "bundle-diameter"),
)
def bundle_size(study: Study) -> Iterator[Finding]:
    """A fat bundle is stiff, heavy on its clamps, warm inside, and nobody finds a wire in it again.

    Split it by what it serves: power, signals, what one failure may take away. Say so with
    `bundles: 2` on the way, or with what lies in which: `bundled: {left: [radio], right: rest}`.
    """
    for found in passages(study).values():
        yield _finding(study, found)
    for named in laid(study).values():
        yield from _strangers(study, named)


def _strangers(study: Study, named: Laid) -> Iterator[Finding]:
    """What is named in a bundle of a way on which it does not lie."""
    way = study.document.ways[named.way]
    title = way.title
    for bundle, name in named.strangers:
        yield answer(
            study,
            f"{name} in bundle {bundle}",
            Verdict.FAIL,
            f"{name.replace('-', ' ')} is named in bundle {bundle} of the way {title}, but takes "
            "other ways.",
            at=("ways", named.way, "bundled", bundle),
            remedy="Take it out of that list, or lead it this way (via:).",
        )


def _finding(study: Study, found: Passage) -> Finding:
    most, widest = limit(study, "bundle-wires"), limit(study, "bundle-diameter")
    in_each = f" in each of {found.bundles} bundles" if found.bundles > 1 else ""
    size = found.diameter_m
    thick = f"The diameter of {listed(found.unknown)} is not published, nor is the bundle's."
    if size is not None:
        shown, allowed = apart(size * 1000, widest.value * 1000, "mm", 0)
        thick = f"It is about {shown} thick of {allowed} ({length(study, widest.value)})."
    return compare(
        study,
        found.title,
        at=("ways", found.way),
        value=float(found.each),
        limit=most,
        unit="wires",
        otherwise=Verdict.ADVISE,
        besides=None if size is None else widest.allows(size),
        says=f"{count(found.each, 'wire')}{in_each} of {most.value:.0f}. {thick}",
        remedy=f"Split it, and write bundles: {found.bundles + 1} on this way.",
        ask="Write the gauge into the cable's type, such as 2-core AWG 22 shielded.",
        named=(widest,),
        working=lambda: found.working,
    )
