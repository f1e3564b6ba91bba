"""Time the network solution against ngspice and sparse LU, as ratios of one run.

Run it from the root of the repository: `python -m tests.network.benchmark`. It needs ngspice and,
for its computing time without its start, libngspice (Debian: `apt install ngspice libngspice0`).

Times are CPU times of one thread, the least of several runs: other work on the machine falls out as
far as it can. Absolute times depend on the machine; ratios within one run hold. The targets are
those that were set before the solver was written.
"""

import gc
import math
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import numpy as np
import scipy.sparse
import scipy.sparse.linalg
from msgspec import Struct

from elec.answers.base.points import points
from elec.network import circuit
from elec.network.circuit import circuit_of
from elec.network.devices import devices_of
from elec.network.netlist import Index, Netlist, Values
from elec.network.operating import PointSearch
from elec.network.solve import solve
from elec.network.spice import to_spice
from tests.answers.helper import whole
from tests.network.family import circuits_for, family_sketch
from tests.network.library import Library
from tests.network.spice import without_guess

ROOT = Path(__file__).parents[2]
SYSTEM = "larkspur"


class Line(Struct, frozen=True, kw_only=True):
    """One thing measured."""

    what: str
    ours_s: float
    than: str = ""
    theirs_s: float = math.nan
    target: float = math.nan
    """The most that ours may be, as a part of theirs."""

    @property
    def ratio(self) -> float:
        """Ours as a part of theirs."""
        return self.ours_s / self.theirs_s

    def __str__(self) -> str:
        """A row of a table in Markdown."""
        if math.isnan(self.theirs_s):
            return f"| {self.what} | {shown(self.ours_s)} | | | | |"
        met = "" if math.isnan(self.target) else ("yes" if self.ratio <= self.target else "**no**")
        target = "" if math.isnan(self.target) else f"{self.target:.3g}"
        return (
            f"| {self.what} | {shown(self.ours_s)} | {self.than} {shown(self.theirs_s)} | "
            f"{self.ratio:.2g} | {target} | {met} |"
        )


def shown(seconds: float) -> str:
    """A time for print."""
    if seconds >= 1.0:
        return f"{seconds:.2f} s"
    return f"{seconds * 1e3:.3g} ms" if seconds >= 1e-3 else f"{seconds * 1e6:.3g} µs"


def best_s(work: Callable[[], object], times: int = 9) -> float:
    """Least CPU time of some runs."""
    spent = []
    for _ in range(times):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return min(spent)


def process_s(arguments: list[str], times: int = 7) -> float:
    """Least CPU time of a whole process."""
    best = math.inf
    for _ in range(times):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(arguments, cwd=ROOT, capture_output=True, check=False)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        best = min(best, used)
    return best


def simulator_s(deck: str, times: int = 5) -> float:
    """A whole ngspice process that reads a deck, solves it and writes the result."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "deck.cir"
        file.write_text(deck, encoding="utf-8")
        return process_s(["ngspice", "-b", "-r", str(file.with_suffix(".raw")), str(file)], times)


def cold(netlist: Netlist, values: Values) -> None:
    """Solve with nothing prepared."""
    circuit._cache.clear()
    solve(netlist, values)


def forgetful(netlist: Netlist, values: Values) -> None:
    """Solve with the order of elimination prepared, but no states remembered."""
    circuit_of(netlist, (values.resistance_ohm == 0.0).all(axis=1)).states.clear()
    solve(netlist, values)


class Bench:
    """All measurements on one system."""

    def __init__(self) -> None:
        """Solve the system once."""
        found = points(whole(SYSTEM))
        self.netlist, self.values, self.cases = found.model.netlist, found.model.values, found.cases
        self.nodes = len(found.solution.nodes)
        self.ngspice = Library()
        spent = sorted((self.outside_s(case), case) for case in range(0, len(found.cases), 9))
        self.operate_s, self.case = spent[len(spent) // 2]
        self.quickest_s, self.slowest_s = spent[0][0], spent[-1][0]
        self.deck = without_guess(to_spice(self.netlist, self.values, self.case))
        self.ngspice.load(self.deck)

    def outside_s(self, case: int) -> float:
        """An operating point of ngspice in this process."""
        self.ngspice.load(without_guess(to_spice(self.netlist, self.values, case)))
        return best_s(self.ngspice.operate, 9)

    def take(self, cases: Index) -> Values:
        """Values of some cases."""
        return self.values.take(cases)

    # -- one case, many cases ----------------------------------------------------------------------

    def one(self) -> Iterator[Line]:
        """One operating point."""
        one = self.take(np.array([self.case]))
        load_s = best_s(partial(self.ngspice.load, self.deck), 5)
        outside = simulator_s(self.deck)
        yield Line(
            what="one operating point, nothing prepared",
            ours_s=best_s(partial(cold, self.netlist, one)),
            than="ngspice, load and op in process",
            theirs_s=load_s + self.operate_s,
        )
        yield Line(
            what="the same",
            ours_s=best_s(partial(cold, self.netlist, one)),
            than="ngspice, whole process",
            theirs_s=outside,
        )
        yield Line(
            what="one operating point again",
            ours_s=best_s(partial(solve, self.netlist, one), 25),
            than="ngspice op in process",
            theirs_s=self.operate_s,
        )

    def many(self) -> Iterator[Line]:
        """A batch of 32, and all cases."""
        batch = self.take(np.arange(0, len(self.cases), len(self.cases) // 32)[:32])
        each = best_s(partial(forgetful, self.netlist, batch)) / 32
        yield Line(
            what="32 cases, each",
            ours_s=each,
            than="ngspice op in process",
            theirs_s=self.operate_s,
            target=0.4,
        )
        yield Line(
            what="the same",
            ours_s=each,
            than="a loop over sparse LU (SuperLU), as many rounds",
            theirs_s=self.lu_s(batch),
            target=0.1,
        )
        yield Line(
            what=f"all {len(self.cases)} cases, each",
            ours_s=best_s(partial(forgetful, self.netlist, self.values)) / len(self.cases),
            than="ngspice op in process",
            theirs_s=self.operate_s,
        )
        yield Line(
            what=f"all {len(self.cases)} cases with a look for second points, each",
            ours_s=best_s(partial(solve, self.netlist, self.values, after_dip=True), 5)
            / len(self.cases),
            than="ngspice op in process",
            theirs_s=self.operate_s,
        )

    def lu_s(self, values: Values) -> float:
        """Factorise and solve the nodal matrix by SuperLU as often as the search has rounds."""
        plan = circuit_of(self.netlist, (values.resistance_ohm == 0.0).all(axis=1))
        plan.states.clear()
        with np.errstate(all="ignore"):
            devices = devices_of(plan, values)
            rounds = float(PointSearch(plan, devices).run().rounds.mean())
        ends = plan.resistors + plan.batteries + plan.diodes + plan.loads
        a, b = plan.unknown[ends.a], plan.unknown[ends.b]
        inner = (a >= 0) & (b >= 0) & (a != b)
        count = plan.wires.count
        rows = np.concatenate((a[inner], b[inner], np.arange(count)))
        columns = np.concatenate((b[inner], a[inner], np.arange(count)))
        entries = np.concatenate((-np.ones(2 * int(inner.sum())), np.full(count, 200.0)))
        right = np.ones(count)

        def once() -> None:
            matrix = scipy.sparse.coo_matrix((entries, (rows, columns)), shape=(count, count))
            scipy.sparse.linalg.splu(
                matrix.tocsc(), permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True}
            ).solve(right)

        return rounds * best_s(once, 25)

    # -- failures, samples -------------------------------------------------------------------------

    def failures(self) -> Iterator[Line]:
        """Every resistor opened in turn, in every phase."""
        base = [
            k
            for k, one in enumerate(self.cases)
            if (one.scenario.name, one.condition, one.count) == ("normal", "night", "momentary")
        ]
        apart = np.flatnonzero(~(self.values.resistance_ohm == 0.0).all(axis=1))
        which = np.repeat(np.asarray(base), len(apart))
        values = self.take(which)
        values.resistance_ohm[np.tile(apart, len(base)), np.arange(len(which))] = np.inf
        answer = solve(self.netlist, values)
        sick = int((answer.state != 0).sum())
        each = best_s(partial(forgetful, self.netlist, values), 3) / len(which)
        theirs = best_s(self.alter_one, 25)
        yield Line(
            what=f"{len(which)} failures (each of {len(apart)} wires, contacts and devices open in "
            f"{len(base)} phases; {sick} collapse), each",
            ours_s=each,
            than="ngspice alter and op in process",
            theirs_s=theirs,
            target=0.2,
        )

    def alter_one(self) -> None:
        """Open a resistor in ngspice, solve, and close it again."""
        self.ngspice.command("alter rr1=1e12")
        self.ngspice.operate()
        self.ngspice.command("alter rr1=0.001")

    def samples(self) -> Iterator[Line]:
        """Ten thousand samples of all resistances and loads."""
        count = 10_000
        rng = np.random.default_rng(0)
        values = self.take(np.full(count, self.case, np.intp))
        values.resistance_ohm[:] *= rng.uniform(0.9, 1.1, values.resistance_ohm.shape)
        values.load_value[:] *= rng.uniform(0.8, 1.2, values.load_value.shape)
        answer = solve(self.netlist, values)
        names = [x.split()[0] for x in self.deck.splitlines() if x.startswith("R")]
        nodes = [f"n{k}" for k in range(1, self.nodes)]

        def theirs() -> None:
            for name in names:
                self.ngspice.command(f"alter {name}=0.01")
            self.ngspice.operate()
            self.ngspice.voltages(nodes)

        self.ngspice.load(self.deck)
        yield Line(
            what=f"{count} samples ({int((answer.state == 0).sum())} solved), each",
            ours_s=best_s(partial(forgetful, self.netlist, values), 2) / count,
            than=f"ngspice, {len(names)} resistors altered, op, read",
            theirs_s=best_s(theirs, 5),
            target=1 / 35,
        )
        self.ngspice.load(self.deck)

    def linear(self) -> Iterator[Line]:
        """One elimination with 128 cases against what the processor multiplies in its cache."""
        plan = circuit_of(self.netlist, (self.values.resistance_ohm == 0.0).all(axis=1))
        core = plan.core
        held = np.ones((core.rows, 128))
        work = held.copy()

        def ours() -> None:
            np.copyto(work, held)
            core.solve(work)

        pairs = sum(len(level.left) for level in core.plan)
        operations = 2 * pairs + 3 * core.slots + core.count
        small = np.ones(1024), np.full(1024, 0.5), np.empty(1024)
        rate = 1024 / best_s(lambda: repeat(np.multiply, small), 25) * 100
        yield Line(
            what=f"one elimination of the {core.count} unknowns of the core, each of 128 cases",
            ours_s=best_s(ours, 25) / 128,
            than=f"its {operations} operations at numpy's rate in cache",
            theirs_s=operations / rate,
        )

    # -- size ------------------------------------------------------------------------------------

    def sizes(self) -> Iterator[Line]:
        """The family at 300, 3 000 and 30 000 nodes."""
        first: list[float] = []
        again: list[float] = []
        count: list[int] = []
        for nodes in (300, 3_000, 30_000):
            netlist, values = family_sketch(circuits_for(nodes)).build()
            count.append(len(netlist.nodes()))
            times = 3 if nodes > 3_000 else 7
            first.append(best_s(partial(cold, netlist, values), times))
            again.append(best_s(partial(solve, netlist, values), 9))
            deck = without_guess(to_spice(netlist, values, 0))
            yield Line(
                what=f"{count[-1]} nodes, nothing prepared",
                ours_s=first[-1],
                than="ngspice, whole process",
                theirs_s=simulator_s(deck, times),
                target=1.0 if nodes > 3_000 else math.nan,
            )
            yield Line(what=f"{count[-1]} nodes again", ours_s=again[-1])
        for name, spent in (("nothing prepared", first), ("again", again)):
            for k in (1, 2):
                power = math.log(spent[k] / spent[k - 1]) / math.log(count[k] / count[k - 1])
                print(f"Growth, {name}: nodes to the power {power:.2f} up to {count[k]}.")

    # -- commands --------------------------------------------------------------------------------

    def commands(self) -> Iterator[Line]:
        """Whole commands, imports included."""
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        python = sys.executable
        empty = process_s([python, "-c", "pass"])
        yield Line(what="python -c pass", ours_s=empty)
        numpy = process_s([python, "-c", "import numpy"])
        yield Line(what="import numpy", ours_s=numpy)
        imports = "import elec.cli, elec.check, elec.read.reading; elec.check.checks()"
        off = "import gc; gc.disable(); "
        yield Line(
            what="imports of elec check",
            ours_s=process_s([python, "-c", off + imports]),
            than="import numpy",
            theirs_s=numpy,
        )
        for name in ("thistledown", "foxglove", "larkspur"):
            yield Line(
                what=f"elec check systems/{name}",
                ours_s=process_s([python, "-m", "elec", "check", f"systems/{name}"]),
                than="import numpy",
                theirs_s=numpy,
            )

    def run(self) -> None:
        """Print all."""
        print(f"{SYSTEM}: {self.nodes} nodes, {len(self.cases)} cases, python {sys.version[:6]}")
        print(
            f"ngspice takes {shown(self.quickest_s)} to {shown(self.slowest_s)} for an operating "
            f"point in process; compared with the median, {shown(self.operate_s)} "
            f"({self.cases[self.case].title})."
        )
        print("\n| what | ours | theirs | ratio | at most | met |\n|---|--:|--:|--:|--:|---|")
        groups = (self.one, self.many, self.failures, self.samples, self.linear, self.sizes)
        for group in (*groups, self.commands):
            for line in group():
                print(line, flush=True)


def repeat(work: Callable[..., object], arrays: tuple[object, object, object]) -> None:
    """A hundred products in cache."""
    a, b, out = arrays
    for _ in range(100):
        work(a, b, out=out)


if __name__ == "__main__":
    gc.disable()
    Bench().run()
