"""`import elec`: what it offers, how little it loads, and that its page is what runs."""

import ast
import doctest
import re
import subprocess
import sys
from pathlib import Path

import pytest

import elec
from elec.pages.table import Cell
from elec.results import TABLES, Results
from tests.answers.helper import SYSTEMS

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "python.md"


def test_the_page_is_what_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    text = PAGE.read_text(encoding="utf-8")
    blocks = re.findall(r"```python\n(.*?)```", text, re.DOTALL)
    assert len(blocks) == text.count("```python") > 5
    test = doctest.DocTestParser().get_doctest("\n".join(blocks), {}, PAGE.name, str(PAGE), 0)
    told: list[str] = []
    runner = doctest.DocTestRunner()
    runner.run(test, out=told.append)
    assert runner.summarize(verbose=False).failed == 0, "".join(told)


def test_the_page_names_what_is_offered() -> None:
    last = PAGE.read_text(encoding="utf-8").rpartition("## What keeps its name")[2]
    for name in elec.OFFERED:
        assert f"`{name}`" in last
    for name in vars(Results):
        assert name.startswith("_") or f"`{name}`" in last, name


def test_checkers_of_types_are_told_the_same() -> None:
    stub = ast.parse((ROOT / "elec" / "__init__.pyi").read_text(encoding="utf-8"))
    told = {
        alias.asname: node.module
        for node in stub.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    assert told == elec.OFFERED
    assert set(elec.OFFERED) <= set(dir(elec))


def test_import_loads_nothing() -> None:
    code = "import elec, sys; print([m for m in sys.modules if m.startswith('elec')])"
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout == "['elec']\n"


def test_what_is_not_offered_is_no_attribute() -> None:
    with pytest.raises(AttributeError, match="no attribute 'lode'"):
        elec.lode  # type: ignore[attr-defined] # noqa: B018 - that is the test


def test_every_table_can_be_had_in_every_form() -> None:
    results = elec.analyse(elec.load(SYSTEMS / "foxglove"))
    assert set(TABLES) < set(results.names)
    for name in results.names:
        table = results.table(name)
        frame = results.frame(name)
        quantities = results.quantities(name)
        assert len(frame) == len(quantities) == len(table.rows)
        for row, printed in zip(quantities, table.rows, strict=True):
            for column, value in zip(table.columns, printed, strict=True):
                bare = value.value if isinstance(value, Cell) else value
                got = row[column.key]
                if isinstance(bare, str) or bare is None:
                    assert got == bare
                else:
                    assert got is not None
                    assert not isinstance(got, str)
                    assert got.magnitude == bare
                    plain = column.measure in ("", "fraction", "percent")
                    assert bool(got.dimensionless) == plain


def test_a_table_that_there_is_not_is_told() -> None:
    results = elec.analyse(elec.load(SYSTEMS / "yarrow"))
    with pytest.raises(KeyError, match="there are loads, "):
        results.frame("load")
    with pytest.raises(KeyError):
        results.table("")


def test_every_feeder_is_an_edge() -> None:
    for name in ("foxglove", "larkspur", "thistledown", "yarrow"):
        results = elec.analyse(elec.load(SYSTEMS / name))
        document = results.system.document
        graph = results.feeders()
        assert set(graph.nodes) == {*document.sources, *document.buses}
        assert graph.number_of_edges() == len(document.feeders)
        assert all(kind for _, kind in graph.nodes(data="kind"))


def test_mistakes_are_all_kept(tmp_path: Path) -> None:
    path = tmp_path / "plane.yaml"
    path.write_text("system: {name: A, nominal: 14}\nphases: 3\n", encoding="utf-8")
    with pytest.raises(elec.Mistaken, match=r"plane\.yaml:1:") as caught:
        elec.load(path)
    assert len(caught.value.mistakes) > 1
