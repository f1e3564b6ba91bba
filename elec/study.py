"""One run over one system: each analysis is computed once and kept.

In: a `System`. Out: a `Study` that analyses, checks, tables and drawings ask for what they need.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

from elec.model.measured import with_measured
from elec.model.system import Document, System

Result = TypeVar("Result")


class Study:
    """A system together with all results computed so far."""

    def __init__(self, system: System) -> None:
        """Begin with nothing computed; measured values count in place of designed ones."""
        self.designed = system
        self.system = with_measured(system)
        self._results: dict[Callable[..., Any], Any] = {}

    @property
    def document(self) -> Document:
        """What the builder wrote."""
        return self.system.document

    def keep(self, compute: Callable[["Study"], Result], result: Result) -> None:
        """Take the result of an analysis that was computed elsewhere for the same system."""
        inner: Callable[..., Any] = compute.__wrapped__  # type: ignore[attr-defined] # as `wraps` has it
        self._results[inner] = result

    def supposing(self, compute: Callable[["Study"], Result], result: Result) -> "Study":
        """The same system, with all that is computed so far, and this as what an analysis finds.

        Raises:
            ValueError: it is computed already, so that others may have been computed from it.
        """
        other = Study(self.designed)
        other._results |= self._results
        inner: Callable[..., Any] = compute.__wrapped__  # type: ignore[attr-defined] # as `wraps` has it
        if inner in self._results:
            raise ValueError(f"{inner.__name__} is computed already")
        other._results[inner] = result
        return other

    def forget(self) -> None:
        """Let go of all results, which hold the study in circles: it is not asked again."""
        self._results.clear()

    def result(self, compute: Callable[["Study"], Result]) -> Result:
        """The result of an analysis, computed on the first call."""
        if compute not in self._results:
            self._results[compute] = compute(self)
        found: Result = self._results[compute]
        return found


def analysis(compute: Callable[[Study], Result]) -> Callable[[Study], Result]:
    """Make a function of the study remember its result in the study."""

    @wraps(compute)
    def remembered(study: Study) -> Result:
        known: dict[Callable[..., Any], Any] = study._results  # noqa: SLF001 - asked very often
        if compute in known:
            found: Result = known[compute]
            return found
        return study.result(compute)

    return remembered
