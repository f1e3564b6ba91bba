"""A file of the folder that gives again what another gives: a copy that was left there."""

import re
from collections import defaultdict

from elec.finding import Mistake, Place
from elec.read.draft import Draft

FEW = 3
"""So many entries may be given twice by themselves; more of them are a copy."""
_COPY = re.compile(r"copy|backup|bak|old|save|orig|~|\([0-9]+\)|[0-9]{4}-?[0-9]{2}", re.IGNORECASE)


def tell_copies(draft: Draft) -> bool:
    """One mistake for each pair of files that give many things twice, instead of one a thing.

    Returns:
        Whether there is a copy; then what the files say together means nothing.
    """
    copied = False
    pairs: dict[tuple[str, str], list[Mistake]] = defaultdict(list)
    for again in draft.again:
        file = again.mistake.place.file
        if file != again.first:
            pairs[again.first, file].append(again.mistake)
    for (first, second), found in pairs.items():
        if len(found) <= FEW:
            continue
        copied = True
        told = {id(mistake) for mistake in found}
        draft.mistakes = [m for m in draft.mistakes if id(m) not in told]
        copy, other = (first, second) if _looks_copied(first, second) else (second, first)
        draft.mistakes.append(
            Mistake(
                place=Place(file=copy, line=1, column=1),
                message=f"{len(found)} things given here are given in {other} too; all files of a "
                "folder are read as one system. Is this a copy? Move it to another folder, or "
                "give it another ending than .yaml",
            )
        )
    return copied


def _looks_copied(first: str, second: str) -> bool:
    """Whether the first of two names is more like that of a copy."""
    marks = bool(_COPY.search(first)), bool(_COPY.search(second))
    return marks[0] if marks[0] != marks[1] else len(first) > len(second)
