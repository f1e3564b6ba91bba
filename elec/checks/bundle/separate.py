"""Do wires that disturb or endanger one another lie apart?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.kinds import KindsTogether, together


@check(
    "Unprotected power, ignition, audio and transmitters lie in bundles of their own",
    sources=(
        Cite("faa_h_8083", "wire groups and bundles", "seen"),
        Cite("trade", "separation of noisy and sensitive wires", "memory"),
    ),
)
def bundle_separate(study: Study) -> Iterator[Finding]:
    """A battery cable that shorts takes its bundle with it; ignition and transmitters are heard.

    Say which wires lie together on a way (`bundled:`), or lead one of them another way. A short
    piece side by side, as behind a panel, does little; accept it with that reason.
    """
    found = together(study)
    for one in found:
        yield _finding(study, one)
    bad = {one.way for one in found}
    good = [i for i in range(len(study.document.ways)) if i not in bad]
    if good:
        yield answer(
            study,
            "bundles",
            Verdict.PASS,
            f"On {len(good)} of {len(study.document.ways)} ways nothing that should lie apart "
            "shares a bundle.",
            at=("ways",),
        )


def _finding(study: Study, one: KindsTogether) -> Finding:
    where = f"{one.title}, bundle {one.bundle}" if one.bundle else one.title
    names = listed([chains(study).by_name[name].title for name in one.names])
    verdict = Verdict.CANNOT_TELL if one.unsaid else Verdict.ADVISE
    said = (
        f"{where}: {one.first} ({names}) and {one.second} lie on it, and which bundle each is in "
        "is not said."
        if one.unsaid
        else f"{where}: {one.first} ({names}) in one bundle with {one.second}; {one.why}."
    )
    power = f"power: [{', '.join(one.names)}]"
    it = "it" if len(one.names) == 1 else "them"
    return answer(
        study,
        f"{one.title}, {one.first}",
        verdict,
        said,
        at=("ways", one.way),
        remedy=f"Say which lies in which: bundled: {{{power}, rest: rest}}."
        if one.unsaid
        else f"Lay {it} in a bundle of {'its' if it == 'it' else 'their'} own and say so: bundled: "
        f"{{{power}, other: rest}}; or lead {it} another way (via:).",
    )
