"""Which lines of some folders a test comes past, asked of the interpreter itself.

`sys.monitoring` (Python 3.12 and later) reports a line once and then leaves it alone, and nothing
at all of code outside the folders: a test that is watched takes hardly longer.
"""

import gc
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any

from tests.mutation.mutants import ROOT

_ON: Any = getattr(sys, "monitoring", None)


class Watched:
    """The lines that are run inside of `with`."""

    def __init__(self, codes: Iterable[CodeType], modules: tuple[str, ...]) -> None:
        """Ask for the lines of these bodies."""
        self.modules = modules
        self._lines: dict[str, set[int]] = {}
        self._files: dict[str, str] = {}
        self._codes = tuple(codes)
        _ON.use_tool_id(_ON.COVERAGE_ID, "mutation")
        _ON.register_callback(_ON.COVERAGE_ID, _ON.events.LINE, self._line)

    def _line(self, code: CodeType, line: int) -> object:
        file = code.co_filename
        if file not in self._files:
            self._files[file] = str(Path(file).relative_to(ROOT))
        self._lines.setdefault(self._files[file], set()).add(line)
        return _ON.DISABLE

    def __enter__(self) -> dict[str, set[int]]:
        """Begin anew."""
        self._lines = {}
        self._watch(_ON.events.LINE)
        _ON.restart_events()
        return self._lines

    def __exit__(self, *_: object) -> None:
        """Leave the code as it was."""
        self._watch(0)

    def close(self) -> None:
        """Ask for nothing any more."""
        _ON.free_tool_id(_ON.COVERAGE_ID)

    def _watch(self, events: int) -> None:
        for code in self._codes:
            _ON.set_local_events(_ON.COVERAGE_ID, code, events)


def watch(places: list[Path]) -> Watched:
    """What watches all functions of modules that are loaded, some or all of some folders."""
    starts = tuple(str(place) if place.suffix else f"{place}/" for place in places)
    codes = [
        one.__code__
        for one in gc.get_objects()
        if type(one) is FunctionType and one.__code__.co_filename.startswith(starts)
    ]
    modules = tuple(
        name
        for name, one in list(sys.modules.items())
        if (getattr(one, "__file__", None) or "").startswith(starts)
    )
    return Watched({inner for one in codes for inner in _all(one)}, modules)


def _all(code: CodeType) -> Iterator[CodeType]:
    yield code
    for one in code.co_consts:
        if isinstance(one, CodeType):
            yield from _all(one)
