"""One current for each source, whoever prints it, in every phase of every system in systems/."""

import re

import numpy as np
import pytest

from elec.answers.base.points import points
from elec.answers.build.difference import MarginPair
from elec.answers.build.export import spice_deck
from elec.answers.loads.margins import margins, margins_by_condition
from elec.answers.time.flight import simulation
from elec.check import run
from elec.finding import Verdict
from elec.pages.attempt.table import margin_table
from elec.pages.loads.case import cases
from elec.pages.loads.leads import loads_lead
from elec.pages.loads.load import source_margin
from elec.pages.sections import loads_section
from elec.pages.table import Cell, Table
from elec.study import Study
from elec.wiring.cases import NORMAL, Case
from tests.answers.helper import NAMES, whole

SOLVED_A = 1e-6
"""Both come from the solved network, once each; it is solved to a nanoampere or so."""


def steady(study: Study) -> list[tuple[int, Case]]:
    """The cases that pages print: all well, loads at their share of the time."""
    every = enumerate(points(study).cases)
    return [(i, c) for i, c in every if c.scenario == NORMAL and c.count == "steady"]


def sources(study: Study, index: int) -> dict[str, float]:
    """What each source gives in a case, from the solution itself."""
    netlist, solution = points(study).model.netlist, points(study).solution
    found = {b.name: float(solution.alternator_a[k, index])
             for k, b in enumerate(netlist.alternators)}  # fmt: skip
    found |= {b.name: -float(solution.battery_a[k, index])
              for k, b in enumerate(netlist.batteries)}  # fmt: skip
    return found


def records(table: Table) -> list[dict[str, object]]:
    keys = [column.key for column in table.columns]
    return [
        dict(zip(keys, (c.value if isinstance(c, Cell) else c for c in row), strict=True))
        for row in table.rows
    ]


@pytest.mark.parametrize("name", NAMES)
def test_loads_and_book(name: str) -> None:
    study = whole(name)
    section = loads_section(study)
    tables = [b.table for b in section.blocks if hasattr(b, "table")]
    assert not margins(study) or source_margin(study) in tables
    rows = records(source_margin(study))
    for index, case in steady(study):
        phase = study.system.title("phases", case.phase)
        here = [r for r in rows if (r["phase"], r["condition"]) == (phase, case.condition)]
        if not here:
            continue
        now = sources(study, index)
        shown = [m for m in margins_by_condition(study).values()
                 if (m.phase, m.condition) == (case.phase, case.condition)]  # fmt: skip
        names = {source for m in shown for source in m.sources}
        given = sum(float(str(r["given_a"])) for r in here)
        assert given == pytest.approx(sum(now[source] for source in names), abs=SOLVED_A)
        batteries = sum(a for s, a in now.items() if study.document.sources[s].kind != "alternator")
        into = sum(float(str(r["battery_a"])) for r in here)
        assert into == pytest.approx(-batteries, abs=SOLVED_A)


@pytest.mark.parametrize("name", NAMES)
def test_table_of_cases(name: str) -> None:
    study = whole(name)
    rows = [r for r in records(cases(study)) if r["scenario"] == NORMAL.title]
    every = steady(study)
    assert len(rows) == len(every)
    for index, case in every:
        (row,) = [
            r for r in rows
            if (r["phase"], r["condition"])
            == (study.system.title("phases", case.phase), case.condition)
        ]  # fmt: skip
        for source, amps in sources(study, index).items():
            if study.document.sources[source].kind != "external-power":
                printed = float(str(row[f"{source.replace('-', '_')}_a"]))
                assert printed == pytest.approx(amps, abs=SOLVED_A)


@pytest.mark.parametrize("name", NAMES)
def test_spice_export(name: str) -> None:
    study = whole(name)
    for index, case in steady(study):
        deck = spice_deck(study, case)
        for source, amps in sources(study, index).items():
            (said,) = re.findall(rf"  {re.escape(source)} (delivers|takes) ([\d.]+) A", deck)
            # nine decimals are printed
            signed = float(said[1]) * (1 if said[0] == "delivers" else -1)
            assert signed == pytest.approx(amps, abs=2e-9)


@pytest.mark.parametrize("name", NAMES)
def test_check_loads_and_try_tell_the_same_shortage(name: str) -> None:
    study = whole(name)
    findings = {f.about: f for f in run(study, deep=False) if f.check == "alternator-idle"}
    lead = " ".join(loads_lead(study))
    short = {m.about: m for m in margins(study) if m.short}
    advised = {about for about, f in findings.items() if f.verdict is Verdict.ADVISE}
    assert advised == set(short)
    for about, margin in short.items():
        amps, charge = f"{margin.share.drawn_a:.1f} A", f"{margin.drained_ah:.1f} Ah"
        pair = MarginPair(
            phase=margin.phase, condition=margin.condition, before=margin, after=margin
        )
        (row,) = records(margin_table(study, (pair,)))
        for text in (findings[about].sentence, lead, str(row["remark"])):
            assert amps in text
            assert charge in text
        index = next(i for i, c in steady(study)
                     if (c.phase, c.condition) == (margin.phase, margin.condition))  # fmt: skip
        drawn = -float(points(study).solution.battery_a[:, index].sum())
        assert margin.share.drawn_a == pytest.approx(drawn, abs=SOLVED_A)


@pytest.mark.parametrize("name", NAMES)
def test_flight(name: str) -> None:
    """The flight's own network, its batteries full as those of the other pages are.

    On the hot day, whose output the others count. A full battery takes nothing there, and its
    resistance is that of its own temperature: what the sources give the loads is compared, within
    1 % and a tenth of an ampere.
    """
    study = whole(name)
    found = simulation(study)
    assert found is not None
    (hot,) = [k for k, day in enumerate(found.days) if day.name == "hot"]
    columns = found.lattice.columns
    full = np.ones((1, len(found.bank.names)))
    for part in found.parts:
        if part.count != "steady":
            continue
        for index, case in steady(study):
            if case.phase != part.phase:
                continue
            setting = np.array([found.setting(part, case.condition, NORMAL, hot)])
            row = found.lattice.at(setting, full, np.zeros(full.shape, dtype=bool))[0]
            given = float(row[columns.alternator].sum() + row[columns.current].sum())
            now = sources(study, index)
            amps = sum(now[s] for s in now if study.document.sources[s].kind != "external-power")
            assert given == pytest.approx(amps, rel=0.01, abs=0.1), case.title
            drawn = sum(now[s] for s in found.bank.names)
            if drawn > 0.1:
                assert float(row[columns.current].sum()) == pytest.approx(drawn, rel=0.02)
