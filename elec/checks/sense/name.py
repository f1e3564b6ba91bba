"""Is no switch or signal named by a slip of the pen?"""

from collections.abc import Iterator

from elec.answers.base.near_names import Lone, names
from elec.check import check
from elec.checks.answer import answer, count
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study

TITLES = {"switch": "switches and contactors", "signal": "signals"}


@check(
    "No switch or signal is misspelt",
    sources=(Cite("elec", "sense of the input", "judgement"),),
)
def sense_name(study: Study) -> Iterator[Finding]:
    """A switch exists by being named, so a misspelt one is a second switch without a rating.

    Named is a name that stands once and is one letter off another that stands more often, or that
    has an entry under `switches:` where this one has none. Signals
    of contacts likewise: power and ground are found by these words.
    """
    for kind in names(study):
        for lone in kind.lone:
            yield _doubtful(study, lone)
        if kind.uses and not kind.lone:
            title = TITLES[kind.kind]
            text = f"Of {count(len(kind.uses), 'name')} of {title} none looks misspelt."
            yield answer(study, title, Verdict.PASS, text, at=("system",))


def _doubtful(study: Study, lone: Lone) -> Finding:
    stands = "a word of its own meaning" if lone.meant in ("power", "ground") else ""
    if lone.kind == "switch" and lone.meant in study.document.switches:
        stands = "told under switches"
    sure = bool(stands)
    stands = stands or f"named {count(lone.times, 'time')}"
    hint = f'Did you mean "{lone.meant}"?' if sure else "One of the two looks misspelt."
    if lone.kind == "switch" and lone.path[0] == "switches":  # it has its entry
        return answer(
            study,
            lone.name,
            Verdict.ADVISE,
            f'Nothing names the switch "{lone.name}"; "{lone.meant}" is {stands}, without an entry '
            "under switches. One of the two looks misspelt.",
            at=lone.path,
            remedy=f'Write "{lone.name}" where "{lone.meant}" stands, or rename the entry; or '
            "accept it where both are meant.",
        )
    return answer(
        study,
        lone.name,
        Verdict.ADVISE,
        f'The {lone.kind} "{lone.name}" stands only here; "{lone.meant}" is {stands}. {hint}',
        at=lone.path,
        remedy="Write one name, or accept it where both are meant.",
    )
