"""What was laid out before for the same things, kept while a page is made again and again.

In: a pure function of frozen records. Out: the same function, which computes only what is new.
"""

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
Laid = TypeVar("Laid")
_KEPT = 32
"""More than the maps and interconnect diagrams of one book."""


def kept(lay: Callable[P, Laid]) -> Callable[P, Laid]:
    """Keep the last results of a function; nobody may change what it returns.

    Its arguments are frozen records, numbers and texts, or lists of them; all of them decide.

    >>> kept(sorted)([2, 1]) == kept(sorted)((2, 1)) == [1, 2]
    True
    """
    remembered = lru_cache(maxsize=_KEPT)(lay)

    @wraps(lay)
    def asked(*args: P.args, **named: P.kwargs) -> Laid:
        every: Any = {name: _frozen(value) for name, value in named.items()}
        return remembered(*map(_frozen, args), **every)

    return asked


def _frozen(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value
