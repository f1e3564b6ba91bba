"""Try the tests of a room on its mutants: `python -m tests.mutation checks`.

A mutant is the program with one small fault. It is *killed* where a test fails, *slow* where the
tests take many times as long as without it (counted as killed), *survived* where all pass. Tests
are collected once; each mutant gets a fork of that process in which the code of one function is
exchanged, and runs the tests that come past the line, the quick ones first. A fault in what runs
at import gets a process of its own that loads the program with it.
"""

import argparse
import os
import pickle
import resource
import signal
import sys
import time
import traceback
from collections.abc import Callable, Iterable, Sequence
from difflib import unified_diff
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from cosmic_ray.work_db import WorkDB
from cosmic_ray.work_item import MutationSpec, TestOutcome, WorkerOutcome, WorkItem, WorkResult

from tests.mutation.loader import Loader
from tests.mutation.mutants import ROOT, SETTINGS, mutants, mutated, source, statement_lines
from tests.mutation.report import report
from tests.mutation.swap import exchanged

FOLDER = ROOT / "build" / "mutation"
MEMORY = 6 * 2**30
KILLED, SURVIVED, SLOW = "killed", "survived", "slow"


class Seen(NamedTuple):
    """What a test took, and the lines of the room that it came past."""

    passed: bool
    seconds: float
    lines: frozenset[tuple[str, int]]


def main() -> None:
    """Make the session of a room, or go on with it; then say how it stands."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation")
    parser.add_argument("room", choices=sorted(SETTINGS["rooms"]))
    parser.add_argument("--again", action="store_true", help="try the survivors once more")
    parser.add_argument("--most", type=float, default=10.0, help="seconds of tests for one mutant")
    parser.add_argument("--only", default="", help="modules whose path has this in it")
    given = parser.parse_args()
    FOLDER.mkdir(parents=True, exist_ok=True)
    room = given.room
    database = WorkDB(FOLDER / f"{room}.sqlite", WorkDB.Mode.create)
    if not database.num_work_items:
        size = SETTINGS["rooms"][room].get("sample")
        database.add_work_items(mutants(room, size))
    done = {job for job, result in database.results if not (given.again and not result.is_killed)}
    waiting = [item for item in database.work_items if item.job_id not in done]
    waiting = [one for one in waiting if given.only in str(one.mutations[0].module_path)]
    database.close()
    for library in ("numpy", "networkx", "pydantic", "msgspec", "yaml", "coverage"):
        __import__(library)
    cold = FOLDER / f"{room}.cold"
    cold.unlink(missing_ok=True)
    _forked(lambda: pytest.main(_arguments(room), plugins=[Warm(room, waiting, given.most, cold)]))
    for item, tests in pickle.loads(cold.read_bytes()):  # noqa: S301 - written above
        _keep(room, item, _cold(item.mutations[0], tests, given.most))
    report(FOLDER, room)


def _arguments(room: str) -> list[str]:
    return [*SETTINGS["rooms"][room]["tests"], "-q", "-p", "no:cacheprovider", "-p", "no:xdist"]


class Warm:
    """In the place of pytest's own loop: a fork for each mutant."""

    def __init__(self, room: str, waiting: Sequence[WorkItem], most: float, cold: Path) -> None:
        """Take what has to be tried, and where to leave what has to be loaded anew."""
        self.room, self.waiting, self.most, self.cold = room, waiting, most, cold

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """See what each test comes past, then try each mutant."""
        items = {item.nodeid: item for item in session.items}
        seen = self._survey(items)
        left: list[tuple[WorkItem, list[str]]] = []
        for number, item in enumerate(self.waiting):
            one = item.mutations[0]
            tests = _tests(one, seen)
            swap = exchanged(one.module_path, source(one.module_path), mutated(one))
            if not swap or not tests:
                left.append((item, tests or _tests_of_module(one, seen)))
                continue
            outcome = self._try(swap, _within(tests, seen, self.most), items, seen)
            _keep(self.room, item, outcome)
            if number % 50 == 0:
                print(number, "of", len(self.waiting), flush=True)
        left = [(item, _within(tests, seen, self.most)) for item, tests in left]
        self.cold.write_bytes(pickle.dumps(left))
        return True

    def _survey(self, items: dict[str, pytest.Item]) -> dict[str, Seen]:
        kept = FOLDER / f"{self.room}.seen"
        seen: dict[str, Seen] = pickle.loads(kept.read_bytes()) if kept.exists() else {}  # noqa: S301
        for name, item in items.items():
            if name not in seen:
                seen[name] = _answer(lambda item=item: self._look(item))  # type: ignore[misc]
        kept.write_bytes(pickle.dumps(seen))
        for name in items:
            if not seen[name].passed:
                print("left out, as it fails here without a fault:", name)
        return {name: seen[name] for name in items if seen[name].passed}

    def _look(self, item: pytest.Item) -> Seen:
        import coverage

        include = str(ROOT / "elec" / self.room / "*")
        watch = coverage.Coverage(data_file=None, include=[include], config_file=False)
        begin = time.process_time()
        watch.start()
        passed = _passes(item)
        watch.stop()
        data = watch.get_data()
        lines = {
            (str(Path(file).relative_to(ROOT)), line)
            for file in data.measured_files()
            for line in data.lines(file) or ()
        }
        return Seen(passed, time.process_time() - begin, frozenset(lines))

    def _try(
        self,
        swap: Iterable[tuple[Any, Any]],
        tests: Sequence[str],
        items: dict[str, pytest.Item],
        seen: dict[str, Seen],
    ) -> str:
        def run() -> int:
            for function, code in swap:
                function.__code__ = code
                _forget(function.__module__)
            return 0 if all(_passes(items[name]) for name in tests) else 1

        return _forked(run, sum(seen[name].seconds for name in tests))


def _passes(item: pytest.Item) -> bool:
    from _pytest.runner import runtestprotocol

    return not any(one.failed for one in runtestprotocol(item, log=False, nextitem=None))


def _forget(module: str) -> None:
    """Results that functions of a module have kept since it was loaded."""
    for one in vars(sys.modules[module]).values():
        if clear := getattr(one, "cache_clear", None):
            clear()


def _tests(one: MutationSpec, seen: dict[str, Seen]) -> list[str]:
    """Those that come past the statement, quick ones first."""
    file, row = str(one.module_path), one.start_pos[0]
    lines = {
        (file, line) for line in statement_lines(one.module_path).get(row, range(row, row + 1))
    }
    return _quick_first([name for name, test in seen.items() if test.lines & lines], seen)


def _tests_of_module(one: MutationSpec, seen: dict[str, Seen]) -> list[str]:
    file = str(one.module_path)
    mine = [name for name, test in seen.items() if any(at == file for at, _ in test.lines)]
    return _quick_first(mine or list(seen), seen)


def _quick_first(names: Iterable[str], seen: dict[str, Seen]) -> list[str]:
    return sorted(names, key=lambda name: (seen[name].seconds, name))


def _within(tests: Iterable[str], seen: dict[str, Seen], most: float) -> list[str]:
    """As many as fit into the time, and at least one."""
    kept: list[str] = []
    total = 0.0
    for name in tests:
        total += seen[name].seconds
        if kept and total > most:
            break
        kept.append(name)
    return kept


def _cold(one: MutationSpec, tests: Sequence[str], most: float) -> str:
    """Load everything with the fault in it."""

    def run() -> int:
        sys.meta_path.insert(0, Loader(one.module_path, mutated(one)))
        options = ["-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist"]
        return int(pytest.main([*tests, *options]))

    return _forked(run, most)


def _forked(run: Callable[[], int], seconds: float | None = None) -> str:
    """What became of a fork: its text goes nowhere, and its time is bounded where one is given."""
    sys.stdout.flush()
    child = os.fork()
    if not child:
        code = 1
        try:
            if seconds is not None:
                _bounded(seconds)
            code = run()
        except BaseException:  # noqa: BLE001 - whatever it was, the mutant did it
            traceback.print_exc()
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return SLOW if os.WTERMSIG(status) in {signal.SIGXCPU, signal.SIGKILL} else KILLED
    return KILLED if os.waitstatus_to_exitcode(status) else SURVIVED


def _bounded(seconds: float) -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    limit = int(10 + 5 * seconds)
    resource.setrlimit(resource.RLIMIT_CPU, (limit, limit + 5))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))


def _answer(run: Callable[[], Seen]) -> Seen:
    """What a fork found out."""
    read, write = os.pipe()
    child = os.fork()
    if not child:
        os.close(read)
        _bounded(100)
        with os.fdopen(write, "wb") as pipe:
            pickle.dump(run(), pipe)
            pipe.flush()
            os._exit(0)
    os.close(write)
    with os.fdopen(read, "rb") as pipe:
        text = pipe.read()
    os.waitpid(child, 0)
    return pickle.loads(text) if text else Seen(passed=False, seconds=0.0, lines=frozenset())  # noqa: S301


def _keep(room: str, item: WorkItem, outcome: str) -> None:
    one = item.mutations[0]
    old, new = source(one.module_path).splitlines(), mutated(one).splitlines()
    difference = "\n".join(unified_diff(old, new, lineterm="", n=0))
    database = WorkDB(FOLDER / f"{room}.sqlite", WorkDB.Mode.open)
    database.set_result(
        item.job_id,
        WorkResult(
            worker_outcome=WorkerOutcome.NORMAL,
            test_outcome=TestOutcome.SURVIVED if outcome == SURVIVED else TestOutcome.KILLED,
            output=outcome,
            diff=difference,
        ),
    )
    database.close()


if __name__ == "__main__":
    main()
