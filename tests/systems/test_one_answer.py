"""What stands on more than one page of a book stands there alike: one answer to one question."""

import os
import re
import subprocess
import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cache

import pytest

from elec.answers.base.marks import marks
from elec.answers.connect.holes import passages, thickness_m
from elec.answers.drop.end_to_end import end_to_end_ohm, meter_mv
from elec.check import run
from elec.drawings.records import words
from elec.finding import Verdict
from elec.pages.book import book
from elec.pages.document import Book, FindingList, Section, TableBlock
from elec.pages.table import Table
from elec.pages.why.words import wire_reason
from elec.units import cut_length
from elec.wiring.chains import chains
from elec.wiring.runs import runs
from elec.write.values import printed
from tests.answers.helper import NAMES, whole

SAME = {"length_m", "gauge_awg", "colour", "from", "to"}
"""Columns that say one thing of a wire, in whatever table its mark stands."""


@cache
def whole_book(name: str) -> Book:
    return book(whole(name))


def every_section(found: Sequence[Section]) -> Iterator[Section]:
    for one in found:
        yield one
        yield from every_section(one.sections)


def every_table(name: str) -> Iterator[Table]:
    for one in every_section(whole_book(name).sections):
        yield from (block.table for block in one.blocks if isinstance(block, TableBlock))


def rows_by_mark(name: str) -> Iterator[tuple[str, str, str, str]]:
    """(wire's mark, column, text as printed, table) of every table that names a wire."""
    system = whole(name).system.about.units
    for table in every_table(name):
        keys = [column.key for column in table.columns]
        if "mark" not in keys:
            continue
        for row in table.rows:
            texts = [printed(v, c, system) for v, c in zip(row, table.columns, strict=True)]
            mark = texts[keys.index("mark")]
            for key, text in zip(keys, texts, strict=True):
                if mark and text:
                    yield mark, key, text, table.id


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_has_one_length_gauge_colour_and_name_for_each_end(name: str) -> None:
    said: dict[tuple[str, str], dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for mark, key, text, table in rows_by_mark(name):
        if key in SAME:
            said[mark, key][text].append(table)
    several = {key: dict(texts) for key, texts in said.items() if len(texts) > 1}
    assert not several
    ends = {(mark, text) for (mark, key), texts in said.items() if key in ("from", "to")
            for text in texts}  # fmt: skip
    drains = {marks(whole(name))[c.id] for c in chains(whole(name)).conductors()}
    for mark, key, text, table in rows_by_mark(name):
        if key == "goes_to" and mark in drains:
            assert (mark, text) in ends, table


@pytest.mark.parametrize("name", NAMES)
def test_a_wire_has_one_resistance(name: str) -> None:
    study = whole(name)
    ohms = {marks(study)[wire]: ohm for wire, ohm in end_to_end_ohm(study).items()}
    seen: dict[str, set[str]] = defaultdict(set)
    for mark, key, text, table in rows_by_mark(name):
        if key == "end_to_end_mohm" and mark in ohms:
            ohm = ohms[mark]
            assert text == ("?" if ohm is None else f"{1000 * ohm:.0f}"), (mark, table)
            seen[mark].add(key)
        if key == "expected_mv":  # at 1 A
            assert text == meter_mv(ohms[mark]), (mark, table)
            seen[mark].add(key)
    assert any(len(keys) == 2 for keys in seen.values())


@pytest.mark.parametrize("name", NAMES)
def test_explanations_and_sheets_print_the_length_of_the_cut_list(name: str) -> None:
    study = whole(name)
    for chain in chains(study).by_name.values():
        for wire in chain.conductors():
            length = runs(study)[wire.id].length_m
            if length is None or wire.role == "coax":
                continue
            cut = cut_length(length, study.system.about.units)
            assert words.drawn_conductor(study, wire).length == cut
            assert f", {cut};" in wire_reason(study, chain, wire, marks(study)[wire.id])[0]


@pytest.mark.parametrize("name", NAMES)
def test_a_bundle_has_one_thickness(name: str) -> None:
    study = whole(name)
    table = next(table for table in every_table(name) if table.id == "bundles")
    keys = [column.key for column in table.columns]
    listed = {row[keys.index("way")]: row[keys.index("diameter_mm")] for row in table.rows}
    sized = {f.about: f.sentence for f in run(study, only=("bundle-size",))}
    assert thickness_m(study)
    for passage in passages(study).values():
        mm = passage.diameter_m and passage.diameter_m * 1000
        assert listed[passage.title] == mm
        if mm is None:
            continue
        shown = re.search(r"about (\d+)[\d.]* mm thick", sized[passage.title])
        assert shown is not None
        assert abs(float(shown[1]) - mm) < 1.0  # printed in whole millimetres
        assert passage.all_m is not None
        shown_mm = passage.working.steps[-1].result.value  # its bundles together, side by side
        assert shown_mm == pytest.approx(passage.all_m * 1000, rel=1e-12)


def test_a_thickness_is_the_same_in_every_run() -> None:
    """To its last digit: it was summed in the order of a set, which differs from run to run."""
    code = (
        "from tests.answers.helper import whole; "
        "from elec.answers.connect.holes import thickness_m; "
        "print(dict(thickness_m(whole('thistledown'))))"
    )
    made = {
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(made) == 1


@pytest.mark.parametrize("name", NAMES)
def test_findings_are_counted_alike(name: str) -> None:
    found = run(whole(name))
    proof = next(table for table in every_table(name) if table.id == "proof")
    keys = [column.key for column in proof.columns]
    lists = {
        (finding.check, finding.about, finding.sentence): finding
        for one in every_section(whole_book(name).sections)
        for block in one.blocks
        if isinstance(block, FindingList)
        for finding in block.findings
    }
    for verdict in Verdict:
        column = keys.index(f"{verdict.value.replace('-', '_')}_count")
        number = sum(f.verdict is verdict for f in found)
        assert sum(int(str(row[column] or 0)) for row in proof.rows) == number
        if verdict is not Verdict.PASS:
            assert sum(f.verdict is verdict for f in lists.values()) == number
