"""A fault put into a program that is loaded: the code of its functions is exchanged in place."""

import gc
import inspect
from collections.abc import Iterator
from functools import cache
from importlib import import_module
from pathlib import Path
from types import CodeType, FunctionType

from tests.mutation.loader import Loader
from tests.mutation.mutants import ROOT, modules_of


def exchanged(path: Path, old: str, new: str) -> list[tuple[FunctionType, CodeType]]:
    """The functions that get other code; none where what differs runs at import."""
    file = str(ROOT / path)
    pairs = list(_pairs(compile(old, file, "exec"), compile(new, file, "exec")))
    found: list[tuple[FunctionType, CodeType]] = []
    for before, after in pairs:
        alive = _functions(file).get((before.co_qualname, before.co_firstlineno), [])
        if not alive or before.co_freevars != after.co_freevars:
            return []
        found += [(one, after) for one in alive]
    return found


def _pairs(old: CodeType, new: CodeType) -> Iterator[tuple[CodeType, CodeType]]:
    """Bodies that differ, the whole function each; of what runs at import, an unfindable pair."""
    if old.co_flags & inspect.CO_OPTIMIZED:
        if old != new:
            yield old, new
        return
    if _bare(old) != _bare(new):
        yield old, new
        return
    for before, after in zip(_inner(old), _inner(new), strict=True):
        yield from _pairs(before, after)


def _inner(code: CodeType) -> list[CodeType]:
    return [one for one in code.co_consts if isinstance(one, CodeType)]


def _bare(code: CodeType) -> tuple[object, ...]:
    consts = [None if isinstance(one, CodeType) else (type(one), one) for one in code.co_consts]
    return code.co_code, code.co_names, consts


def loaded(room: str) -> None:
    """Load every module of a room, and look now for its functions.

    What is loaded later, by the first test that asks for it, would neither be watched nor found.
    """
    for path in modules_of(room):
        import_module(Loader(path, "").name)
        _functions(str(ROOT / path))


@cache
def _functions(file: str) -> dict[tuple[str, int], list[FunctionType]]:
    found: dict[tuple[str, int], list[FunctionType]] = {}
    for one in gc.get_objects():
        if type(one) is FunctionType and one.__code__.co_filename == file:
            code = one.__code__
            found.setdefault((code.co_qualname, code.co_firstlineno), []).append(one)
    return found
