"""Under which heading of a panel a newcomer belongs, by its name.

In: names of the newcomer; headings with the names of what stands under each. Out: those that
fit.
"""

from collections.abc import Collection, Mapping

SYNONYMS = {"lamp": "light", "lamps": "light", "strobe": "light", "beacon": "light"}
"""What a builder calls a thing → the word that he engraves over such things."""
SIDES = frozenset({
    "left", "right", "front", "rear", "upper", "lower", "first", "second", "main", "standby",
    "switch", "and", "of", "the", "for",
})  # fmt: skip
"""Words of a name that do not say what a thing is for."""
LEAST_STEM = 4
"""So many letters of two words have to be alike: `light` and `lights`."""


def fitting(names: Collection[str], there: Mapping[str, Collection[str]]) -> frozenset[str]:
    """Headings that name what a newcomer is, else those over others that are called like it.

    >>> sorted(fitting(["step-light"], {"LIGHTS": [], "POWER": ["step"]}))
    ['LIGHTS']
    >>> sorted(fitting(["step-heat"], {"LIGHTS": [], "POWER": ["seat-heat"]}))
    ['POWER']

    Args:
        names: what the newcomer is called.
        there: heading → what those under it are called.
    """
    own = _plain_words(names)
    named = frozenset(text for text in there if _alike(own, _plain_words([text])))
    return named or frozenset(
        text for text, others in there.items()
        if any(_alike(own, _plain_words([other])) for other in others)
    )  # fmt: skip


def _plain_words(texts: Collection[str]) -> frozenset[str]:
    found = {word for text in texts for word in text.casefold().replace("-", " ").split()}
    found |= {SYNONYMS[word] for word in found if word in SYNONYMS}
    return frozenset(word for word in found if len(word) > 1 and not word.isdigit()) - SIDES


def _alike(some: frozenset[str], others: frozenset[str]) -> bool:
    """Whether two names have a word in common, its ending apart."""
    return any(
        a == b or (min(len(a), len(b)) >= LEAST_STEM and (a.startswith(b) or b.startswith(a)))
        for a in some
        for b in others
    )


__all__ = ["fitting"]
