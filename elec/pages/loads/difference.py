"""What differs from an older system, in sentences for the load sheet."""

from elec.answers.build.load_difference import Counted, LoadDifference, load_difference
from elec.answers.failures.planned import planned
from elec.pages.columns import listed, phase_title
from elec.study import Study


def difference_words(before: Study, after: Study, name: str) -> str:
    """What `load_words` says, and the time on the battery where it is another."""
    was, now = (minutes_words(study) for study in (before, after))
    battery = f"Battery alone: {was} before, {now} now." if was != now else ""
    return " ".join(filter(None, (load_words(before, after, name), battery)))


def load_words(before: Study, after: Study, name: str) -> str:
    """Whether there is no net increase, and which loads are new, changed and gone.

    Args:
        before: the older system.
        after: the system of the sheet.
        name: the older one as it was asked for.
    """
    found = load_difference(before, after)
    revision = before.system.about.revision
    since = f"Since {name}" + (f" (revision {revision})" if revision else "")
    words = [f"{since}: {_increase(after, found)}"]
    for lead, names, study in (
        ("New", found.added, after),
        ("Changed", found.changed, after),
        ("Gone", found.gone, before),
    ):
        if names:
            titles = [study.system.title("equipment", one) for one in names]
            words.append(f"{lead}: {listed(titles)}.")
    return " ".join(words)


def _increase(study: Study, found: LoadDifference) -> str:
    if found.grows is None:
        return f"? whether there is a net increase cannot be told: {_why(study, found)}."
    if not found.grows:
        return (
            "no net increase: in no phase, by day or by night, is more connected or drawn on the "
            "average."
        )
    parts = [_most(study, found, "connected"), _most(study, found, "average")]
    apart = f" Not compared: {_titles(found.other_phases)}." if found.other_phases else ""
    return f"net increase: {' and '.join(part for part in parts if part)}.{apart}"


def _most(study: Study, found: LoadDifference, counted: Counted) -> str:
    pair = max(found.pairs, key=lambda pair: pair.more_a(counted))
    more = pair.more_a(counted)
    if more <= 0:
        return ""
    where = f"{phase_title(study, pair.after.phase)} by {pair.after.condition}"
    words = "connected" if counted == "connected" else "on the average"
    return f"up to {more:.2f} A {words} ({where})"


def _why(study: Study, found: LoadDifference) -> str:
    if found.unknown:
        names = listed([study.system.title("equipment", name) for name in found.unknown])
        return f"find out the current of {names}"
    if found.other_phases:
        return f"not both have {_titles(found.other_phases)} by day and night"
    return "no phases are given"


def _titles(phases: tuple[str, ...]) -> str:
    return listed([phase.replace("-", " ") for phase in phases])


def minutes_words(study: Study) -> str:
    """The minutes to plan with on the battery alone: `47 min`; `?` where they are not known."""
    least = planned(study)
    return "?" if least is None else f"{least.printed} min"


__all__ = ["difference_words", "load_words", "minutes_words"]
