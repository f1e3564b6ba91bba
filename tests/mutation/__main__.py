"""Try the tests of a room on its mutants: `python -m tests.mutation checks`.

A mutant is the program with one small fault. It is *killed* where a test fails, *slow* where the
tests take many times as long as without it (counted as killed), *survived* where all pass. Tests
are collected once; each mutant gets a fork of that process in which the code of one function is
exchanged, and runs the tests that come past the line: those that have found most faults for their
time first, then the quick ones of each kind in turn. A fault in what runs at import gets a process
of its own that loads the program with it.
"""

import argparse
import gc
import os
import pickle
import resource
import signal
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from difflib import unified_diff
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

import pytest
from cosmic_ray.work_db import WorkDB
from cosmic_ray.work_item import MutationSpec, TestOutcome, WorkerOutcome, WorkItem, WorkResult

from tests.mutation.loader import Loader
from tests.mutation.mutants import (
    ROOT,
    SETTINGS,
    modules_of,
    mutants,
    mutated,
    source,
    statement_lines,
)
from tests.mutation.report import report
from tests.mutation.swap import exchanged, loaded
from tests.mutation.watch import Watched, watch

MEMORY = 6 * 2**30
PLAIN = ["-q", "--assert=plain", "-p", "no:cacheprovider", "-p", "no:xdist"]
"""Assertions as they are written: else pytest loads the modules of a room, whose examples it runs,
past whoever exchanges their text."""
RECORDS = "tests/test_records.py"
KILLED, SURVIVED, SLOW = "killed", "survived", "slow"
TIMED = {signal.SIGXCPU, signal.SIGKILL, signal.SIGPROF}


class Seen(NamedTuple):
    """What a test took, and the lines of the room that it came past."""

    passed: bool
    seconds: float
    lines: dict[str, frozenset[int]]


def main() -> None:
    """Make the session of a room, or go on with it; then say how it stands."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation")
    parser.add_argument("room", choices=sorted(SETTINGS["rooms"]))
    parser.add_argument("--again", action="store_true", help="try the survivors once more")
    parser.add_argument("--most", type=float, default=6.0, help="seconds of tests for one mutant")
    parser.add_argument("--only", default="", help="modules whose path has this")
    parser.add_argument("--sample", type=int, help="how many are drawn")
    parser.add_argument("--draw", default="", help="the name of another draw, any word")
    parser.add_argument("--folder", type=Path, default=ROOT / "build" / "mutation")
    if sys.version_info < (3, 12):
        parser.error("needs Python 3.12 or later, whose interpreter says which lines it runs")
    given = parser.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    ours, theirs = Pipe()
    for library in ("numpy", "networkx", "pydantic", "msgspec", "yaml"):
        __import__(library)
    warm = os.fork()
    if not warm:
        ours.close()
        code = pytest.main(_arguments(given.room), plugins=[Warm(given, theirs)])
        os._exit(int(code))
    theirs.close()
    with suppress(EOFError):
        while True:
            ours.send(_cold(*ours.recv()))
    os.waitpid(warm, 0)
    report(_session(given))


def _session(given: argparse.Namespace) -> Path:
    folder: Path = given.folder
    return folder / f"{given.room}{given.draw and '-' + given.draw}.sqlite"


def _arguments(room: str) -> list[str]:
    return [*SETTINGS["rooms"][room]["tests"], *PLAIN]


class Warm:
    """In the place of pytest's own loop: a fork for each mutant."""

    def __init__(self, given: argparse.Namespace, cold: "Connection[Any, Any]") -> None:
        """Take what is asked for, and who tries what has to be loaded anew."""
        self.room: str = given.room
        self.given, self.cold = given, cold
        self.kept: str = SETTINGS["rooms"][self.room].get("kept", "")
        self.first = tuple(SETTINGS["rooms"][self.room].get("first", ()))
        self.found = Counter[str]()
        self.fill: Callable[[pytest.Item], None] = lambda _: None

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """See what each test comes past, then try each mutant."""
        database = WorkDB(_session(self.given), WorkDB.Mode.create)
        waiting = _waiting(database, self.given)
        items = {item.nodeid: item for item in session.items}
        seen = self._survey(items)
        for number, item in enumerate(waiting):
            one = item.mutations[0]
            swap = exchanged(one.module_path, source(one.module_path), mutated(one))
            # what runs at import was seen with the test that came first, whatever that asks
            tests = _tests(one, seen) if swap else []
            order = self._order(tests or _tests_of_module(one, seen), seen)
            some = _within(order, seen, self.given.most)
            if not swap:  # what a record may do is asked of all of them at once, past no line
                some = [*(name for name in items if name.startswith(RECORDS)), *some]
            outcome = self._try(swap, some, items, seen) if swap and tests else SURVIVED
            if outcome == SURVIVED and not (swap and tests and self.kept):
                # what tests compute when they are collected is computed without the fault
                self.cold.send((one, some, self.given.most))
                outcome = self.cold.recv()
            database.set_result(item.job_id, _result(one, outcome))
            if number % 25 == 0:
                print(number, "of", len(waiting), flush=True)
        database.close()
        return True

    def _survey(self, items: dict[str, pytest.Item]) -> dict[str, Seen]:
        """What each test comes past; the rooms share what they found out."""
        file = self.given.folder / "seen"
        seen: dict[str, Seen] = pickle.loads(file.read_bytes()) if file.exists() else {}  # noqa: S301
        if self.kept:
            self.fill = _keep(self.kept)
        loaded(self.room)  # before they are frozen: what is frozen is not found
        watched = watch([ROOT / path for room in SETTINGS["rooms"] for path in modules_of(room)])
        for number, (name, item) in enumerate(items.items()):
            if name not in seen:
                self.fill(item)
                seen[name] = _look(item, watched, self.given.most)
            if number % 300 == 0:
                print("looked at", number, "of", len(items), "tests", flush=True)
                file.write_bytes(pickle.dumps(seen))
        file.write_bytes(pickle.dumps(seen))
        watched.close()
        _forget_systems()
        gc.freeze()
        for name in items:
            if not seen[name].passed:
                print("left out, as it fails or takes too long without a fault:", name)
        return {name: seen[name] for name in items if seen[name].passed}

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
            for number, name in enumerate(tests):
                os.pwrite(which, str(number).encode(), 0)
                signal.setitimer(signal.ITIMER_PROF, 2 + 5 * seen[name].seconds)
                if not _passes(items[name]):
                    return 1
            return 0

        for name in tests:
            self.fill(items[name])
        which = os.memfd_create("which")
        outcome = _forked(run, sum(seen[name].seconds for name in tests))
        if outcome == KILLED:
            self.found[tests[int(os.pread(which, 9, 0))]] += 1
        os.close(which)
        return outcome

    def _order(self, names: Iterable[str], seen: dict[str, Seen]) -> list[str]:
        """Those that found most faults for their time first; then the quickest of each kind.

        And who sees least: a test that comes past few lines asks for what they do.
        """
        kinds = Counter[str]()
        turns: dict[str, int] = {}
        for name in _quick_first(names, seen):
            kind = name.split(":")[0] if "[" not in name else name.split("[")[1].split(":")[0]
            kinds[kind] += 1
            turns[name] = kinds[kind]
        turn = {name: at for at, name in enumerate(sorted(turns, key=lambda name: turns[name]))}
        narrow = sorted(turns, key=lambda name: sum(map(len, seen[name].lines.values())))
        rank = {name: min(turn[name], at) for at, name in enumerate(narrow)}
        first = {
            name: next((i for i, one in enumerate(self.first) if name.startswith(one)), 99)
            for name in turns
        }
        worth = {name: self.found[name] / (seen[name].seconds + 0.01) for name in turns}
        return sorted(turns, key=lambda name: (-worth[name], first[name], rank[name]))


def _look(item: pytest.Item, watched: Watched, most: float) -> Seen:
    def late(*_: object) -> None:
        raise TimeoutError

    for module in watched.modules:
        _forget(module)
    _forget_systems()
    signal.signal(signal.SIGPROF, late)
    begin = time.process_time()
    signal.setitimer(signal.ITIMER_PROF, most)
    with suppress(TimeoutError):
        passed = False
        with watched as lines:
            passed = _passes(item)
        signal.setitimer(signal.ITIMER_PROF, 0)
    signal.setitimer(signal.ITIMER_PROF, 0)
    signal.signal(signal.SIGPROF, signal.SIG_DFL)
    found = {name: frozenset(rows) for name, rows in lines.items()}
    return Seen(passed, time.process_time() - begin, found)


def _keep(what: str) -> Callable[[pytest.Item], None]:
    """Let a case find what was computed before the room: `study`, `surroundings` or `read`.

    Returns:
        What computes that of a test, in the process from which the mutants fork.
    """
    from elec.study import Study
    from elec.wiring.surroundings import surroundings
    from tests.checks import cases

    plain, kept = cases.study_of, dict[str, Study]()

    def study_of(change: dict[str, Any], folder: Path) -> Study:
        key = repr(change)
        if key not in kept:
            kept[key] = plain(change, folder)
            if what == "surroundings":
                surroundings(kept[key])
        if what == "study":
            return kept[key]
        found = Study(kept[key].designed)
        found._results.update(kept[key]._results)
        return found

    for module in list(sys.modules.values()):
        if getattr(module, "study_of", None) is plain:
            module.study_of = study_of  # type: ignore[attr-defined]

    def fill(item: pytest.Item) -> None:
        case = getattr(item, "callspec", None) and item.callspec.params.get("case")  # type: ignore[attr-defined]
        if not isinstance(case, cases.Case) or repr(case.change) in kept:
            return
        with TemporaryDirectory() as folder:
            study_of(case.change, Path(folder))
        if what == "study":  # no module of the room keeps anything in it
            tuple(cases.check_of(case.check).function(kept[repr(case.change)]))

    return fill


def _passes(item: pytest.Item) -> bool:
    from _pytest.runner import runtestprotocol

    return not any(one.failed for one in runtestprotocol(item, log=False, nextitem=None))


def _forget_systems() -> None:
    """Systems that tests have kept for each other: else only the first to ask computes anything."""
    for name in [name for name in sys.modules if name.startswith("tests.")]:
        if name != "tests.checks.cases":
            _forget(name)


def _forget(module: str) -> None:
    """Results that functions of a module have kept since it was loaded."""
    for one in vars(sys.modules[module]).values():
        if clear := getattr(one, "cache_clear", None):
            clear()


def _tests(one: MutationSpec, seen: dict[str, Seen]) -> list[str]:
    """Those that come past the statement."""
    file, row = str(one.module_path), one.start_pos[0]
    rows = statement_lines(one.module_path).get(row, range(row, row + 1))
    return [
        name
        for name, test in seen.items()
        if not test.lines.get(file, frozenset()).isdisjoint(rows)
    ]


def _tests_of_module(one: MutationSpec, seen: dict[str, Seen]) -> list[str]:
    file = str(one.module_path)
    return [name for name, test in seen.items() if file in test.lines] or list(seen)


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
        return int(pytest.main([*tests, "-x", *PLAIN]))

    return _forked(run, most)


def _forked(run: Callable[[], int], seconds: float) -> str:
    """What became of a fork; its text goes nowhere, and its time is bounded."""
    sys.stdout.flush()
    child = os.fork()
    if not child:
        code = 1
        try:
            _bounded(seconds)
            code = run()
        except BaseException:  # noqa: BLE001 - whatever it was, the mutant did it
            code = 1
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return SLOW if os.WTERMSIG(status) in TIMED else KILLED
    return KILLED if os.waitstatus_to_exitcode(status) else SURVIVED


def _bounded(seconds: float) -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    limit = int(5 + 5 * seconds)
    resource.setrlimit(resource.RLIMIT_CPU, (limit, limit + 5))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))


def _waiting(database: WorkDB, given: argparse.Namespace) -> list[WorkItem]:
    """What is still to be tried, in the order of the draw."""
    if not database.num_work_items:
        size = given.sample or SETTINGS["rooms"][given.room].get("sample")
        database.add_work_items(mutants(given.room, size, given.only, given.draw))
    results = dict(database.results)
    found = [
        item
        for item in database.work_items
        if given.only in str(item.mutations[0].module_path)
        and (item.job_id not in results or (given.again and not results[item.job_id].is_killed))
    ]
    return sorted(found, key=lambda item: str(item.job_id))


def _result(one: MutationSpec, outcome: str) -> WorkResult:
    """As the session keeps it, with the lines that differ."""
    old, new = source(one.module_path).splitlines(), mutated(one).splitlines()
    return WorkResult(
        worker_outcome=WorkerOutcome.NORMAL,
        test_outcome=TestOutcome.SURVIVED if outcome == SURVIVED else TestOutcome.KILLED,
        output=outcome,
        diff="\n".join(unified_diff(old, new, lineterm="", n=0)),
    )


if __name__ == "__main__":
    main()
