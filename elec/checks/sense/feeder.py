"""Is no feeder written twice, and is every ring of feeders meant?"""

from collections.abc import Iterator

from elec.check import check
from elec.checks.answer import answer, count, listed
from elec.finding import Finding, Verdict
from elec.standards import Cite
from elec.study import Study
from elec.wiring.feeder_shapes import feeder_shapes, titles


@check(
    "No feeder is written twice, and every ring of feeders is meant",
    sources=(
        Cite("textbook", "division of current between parallel conductors", "computed"),
        Cite("elec", "sense of the input", "judgement"),
    ),
)
def sense_feeder(study: Study) -> Iterator[Finding]:
    """Two ways to one bus share the current, so that each looks cooler than it will be alone.

    The same feeder twice is a line copied and not changed. In a ring a wire that breaks, or a
    device that opens, is not noticed: the other way goes on, with all of the current. Where that is
    meant accept it, and size each way for the whole.
    """
    shapes = feeder_shapes(study)
    for group in shapes.same:
        names = titles(study, group)
        yield answer(
            study,
            names[0],
            Verdict.FAIL,
            f"{listed(names)} join the same two things and are alike: one feeder written twice?",
            at=("feeders", group[-1]),
            remedy="Take one out; or, where two cables are meant, give each a name and accept it.",
        )
    for groups, text in (
        (shapes.parallel, "join the same two things and share the current"),
        (shapes.rings, "make a ring that no diode or open contact parts"),
    ):
        for group in groups:
            names = titles(study, group)
            yield answer(
                study,
                names[0],
                Verdict.ADVISE,
                f"{listed(names)} {text}; when one of them opens nothing shows it, and the others "
                "carry all.",
                at=("feeders", group[-1]),
                remedy="Say when each is used (used: normal, emergency), put a diode or a "
                "changeover in it, take one out; or accept it where it is meant.",
            )
    if not (shapes.same or shapes.parallel or shapes.rings) and study.document.feeders:
        text = f"{count(len(study.document.feeders), 'feeder')}: none twice, no ring."
        yield answer(study, "feeders", Verdict.PASS, text, at=("feeders", 0))
