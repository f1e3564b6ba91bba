"""The checks of the system as it is, run beside those of the system as it would be.

In: a study. Out: its findings, without workings; sizes, margins and endurance are put into the
study. Where a second process cannot be had, all of it is computed in this one.
"""

import os
import pickle
import threading
from collections.abc import Callable
from typing import Any

from msgspec.structs import replace

from elec.answers.loads.margins import margins_by_condition
from elec.answers.time.endurance import endurance
from elec.check import run
from elec.finding import Finding, Verdict
from elec.sizing.sizing import sizing
from elec.study import Study

_SHARED: tuple[Callable[[Study], Any], ...] = (sizing, margins_by_condition, endurance)
"""What a comparison asks of the system as it is."""


def begin(study: Study, *, deep: bool) -> Callable[[], tuple[Finding, ...]]:
    """Begin to ask all checks; the function that comes back waits for the findings."""
    if not _possible():
        return lambda: run(study, deep=deep)
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        _answer(study, deep, writing)
    os.close(writing)

    def wait() -> tuple[Finding, ...]:
        with os.fdopen(reading, "rb") as pipe:
            content = pipe.read()
        _, status = os.waitpid(child, 0)
        if status != 0:  # it fails here in the same way, and is said as everywhere
            return run(study, deep=deep)
        findings, shared = pickle.loads(content)  # noqa: S301 - from our own child
        for compute, result in zip(_SHARED, shared, strict=True):
            study.keep(compute, result)
        return tuple(findings)

    return wait


def _possible() -> bool:
    """Whether a second process helps, and can be had safely: no other thread may hold a lock."""
    processors = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else 1
    return hasattr(os, "fork") and processors > 1 and threading.active_count() == 1


def _answer(study: Study, deep: bool, writing: int) -> None:
    """In the child: compute, send, and end without a trace in the parent's files."""
    status = 1
    try:
        findings = [_slim(finding) for finding in run(study, deep=deep)]
        content = pickle.dumps((findings, [compute(study) for compute in _SHARED]), 5)
        with os.fdopen(writing, "wb") as pipe:
            pipe.write(content)
        status = 0
    finally:
        os._exit(status)


def _slim(finding: Finding) -> Finding:
    """Without its working, and of a pass only what is compared."""
    passed = finding.verdict is Verdict.PASS
    less = {"made": None, **({"sentence": "", "sources": ()} if passed else {})}
    return replace(finding, **less)
