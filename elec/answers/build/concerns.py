"""Which findings concern one thing that the builder names.

In: a name as for `elec why`, or the id of a check; chains. Out: whether a finding is about it.
"""

import re
from collections.abc import Callable, Iterator

from elec.answers.why.why_names import WhySubject, find, plain
from elec.finding import Finding
from elec.study import Study
from elec.wiring.chains import chains


def concerns(study: Study, name: str) -> Callable[[Finding], bool] | None:
    """Whether a finding is about a thing, or names it; None where nothing is called so.

    A circuit stands for its loads too, a piece of equipment for its circuits, a wire, contact or
    device for what it belongs to.
    """
    things = find(study, name)
    if not things:
        return None
    words = {plain(word) for one in things for word in _words(study, one) if word}
    inside = re.compile(r"(?<![\w-])(?:" + "|".join(map(re.escape, sorted(words))) + r")(?![\w-])")

    def about(finding: Finding) -> bool:
        parts = [plain(part) for part in (finding.about, *finding.about.split(", "))]
        if any(part in words or part.endswith(tuple(f"-{w}" for w in words)) for part in parts):
            return True
        return bool(inside.search(plain(finding.sentence)))

    return about


def _words(study: Study, one: WhySubject) -> Iterator[str]:
    """Its names, and those of what it is part of or feeds."""
    every = chains(study)
    if one.kind not in ("wire", "way", "contact"):
        yield one.name
    yield one.title
    yield one.ask
    title = study.system.title
    chain = every.by_name.get(one.name.rpartition("/")[0] if one.kind == "wire" else one.name)
    if one.kind in ("wire", "circuit", "device") and chain is not None:
        yield chain.name
        yield chain.title
        for load in chain.loads:
            yield load
            yield title("equipment", load)
    if one.kind in ("equipment", "connector", "contact"):
        load = one.name.partition(".")[0]
        if load in study.document.equipment:
            yield load
            yield title("equipment", load)
        for circuit in every.feeds.get(load, ()):
            yield circuit
            yield every.by_name[circuit].title


__all__ = ["concerns"]
