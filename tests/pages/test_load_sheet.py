"""The load sheet says what the other pages say, on paper that can be signed."""

import io
import math
import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from elec import cli
from elec.answers.build.load_sheet import load_sheet
from elec.answers.failures.planned import lasting_cases
from elec.answers.loads.margins import margins_by_condition
from elec.check import ask, verdict_of
from elec.pages.document import Section, TableBlock
from elec.pages.failures.page import failures_lead
from elec.pages.loads.endurance import endurance_summary
from elec.pages.loads.leads import loads_lead
from elec.pages.loads.load import load_lines, loads_by_phase, source_alone, source_margin
from elec.pages.loads.sheet import load_sheet_section
from elec.pages.table import Cell, Table, Value
from elec.write.pdf.form import SIZE, form_pdf
from elec.write.pdf.paper import MM
from elec.write.register import Options
from tests.answers.helper import NAMES, SYSTEMS, loads_of, small, whole


def sheet(name: str) -> Section:
    return load_sheet_section(whole(name), digest="0123456789abcdef")


def table(section: Section, name: str) -> Table:
    return next(
        block.table
        for block in section.blocks
        if isinstance(block, TableBlock) and block.table.id == f"load-sheet-{name}"
    )


def command(capfd: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    """Exit status, standard output and standard error of `elec loads`."""
    status = cli.main(["loads", *arguments])
    out, err = capfd.readouterr()
    return status, out, err


def bare(value: Value) -> object:
    return value.value if isinstance(value, Cell) else value


def columns(found: Table, *keys: str) -> list[tuple[object, ...]]:
    place = [[column.key for column in found.columns].index(key) for key in keys]
    return [tuple(bare(row[k]) for k in place) for row in found.rows]


def pairs(found: Table) -> dict[object, object]:
    """Field → what is written there."""
    return {row[0]: row[1] for row in columns(found, "field", "entry")}


def statements(section: Section) -> dict[str, str]:
    return {str(a): str(b) for a, b in columns(table(section, "statements"), "about", "statement")}


# -- the same numbers as elsewhere ---------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_averages_and_sums_are_those_of_elec_loads(name: str) -> None:
    """Rows of a load together give its cell of `Every load`; sums those of `Loads by phase`."""
    study, found = whole(name), table(sheet(name), "rows")
    condition = load_sheet(study).condition
    assert found.title == f"Every load by {condition}"
    lines = load_lines(study, condition)
    mine = [c.key for c in found.columns]
    shared = [c.key for c in lines.columns if c.key in mine and c.key.endswith("_a")]
    assert shared
    every = {row[0]: row for row in columns(lines, "equipment", *shared)}
    grouped: dict[str, list[float]] = {}
    for title, *amps in columns(found, "load", *shared):
        load = next((n for n in every if str(title) == n or str(title).startswith(f"{n}, ")), None)
        if load is not None:
            sums = grouped.setdefault(str(load), [0.0] * len(shared))
            more = [float(str(value)) for value in amps]
            grouped[str(load)] = [a + b for a, b in zip(sums, more, strict=True)]
    for load, summed in grouped.items():
        printed = [0.0 if cell == "" else float(str(cell)) for cell in every[load][1:]]
        assert summed == pytest.approx(printed, abs=1e-9), load
    assert len(grouped) > len(every) / 2
    by_phase = columns(loads_by_phase(study), "phase", "condition", "continuous_a")
    for key, total in zip(shared, columns(found, *shared)[-1], strict=True):
        phase = study.system.title("phases", key.removesuffix("_a").replace("_", "-"))
        assert (phase, condition, total) in by_phase


@pytest.mark.parametrize("name", NAMES)
def test_minutes_are_those_of_elec_loads_failures_and_check(name: str) -> None:
    """One table has them, and the sentence says the same everywhere."""
    study, section = whole(name), sheet(name)
    minutes = columns(table(section, "endurance"), "time_min")
    assert minutes == columns(endurance_summary(study), "time_min")
    assert len(minutes) == len(lasting_cases(study))
    plan = next(line for line in statements(section)["Battery"].split(". "))
    (finding,) = ask(study, "battery-endurance")
    assert plan.removesuffix(".") in finding.sentence
    if any(s.kind == "alternator" for s in study.document.sources.values()):
        assert any(plan.removesuffix(".") in line for line in failures_lead(study))


@pytest.mark.parametrize("name", NAMES)
def test_sources_are_those_of_elec_loads_and_verdicts_those_of_the_findings(name: str) -> None:
    study, section = whole(name), sheet(name)
    margins = list(margins_by_condition(study).values())
    if not margins:
        assert all(b.table.id != "load-sheet-sources" for b in section.blocks
                   if isinstance(b, TableBlock))  # fmt: skip
        return
    found = columns(table(section, "sources"), "load", "asked_a", "of_a", "left_a", "verdict")
    known = columns(source_margin(study), "lasting_a", "load_a", "available_a", "spare_a")
    apart = source_alone(study)
    alone = columns(apart, "shed_load_a", "available_a", "shed_spare_a") if apart else []
    checks = {"connected": "alternator-margin", "average,": "alternator-idle",
              "average": "alternator-alone"}  # fmt: skip
    for load, asked, of, left, verdict in found:
        word = str(load).split()[0]
        if word == "connected":
            assert asked in [row[0] for row in known]
            assert of in {m.rated_a for m in margins}
        elif word == "average,":
            assert (asked, of, left) in [row[1:] for row in known]
        else:
            assert (asked, of, left) in alone
        assert verdict in {f.verdict.value for f in ask(study, checks[word])}
    least = min(margins, key=lambda m: m.spare_a or 0.0)
    assert verdict_of(study, least.about, "alternator-idle") in {row[-1] for row in found}


@pytest.mark.parametrize("name", NAMES)
def test_the_start_is_amperes_and_ampere_hours(name: str) -> None:
    study = whole(name)
    start = [line for line in loads_lead(study) if "While the starter turns" in line]
    said = statements(sheet(name)).get("Start", "")
    assert all(line in said for line in start)
    assert bool(start) == ("Ah" in said)
    assert not any("starter" in str(row[0]) for row in columns(table(sheet(name), "rows"), "load"))


# -- pass, fail, not known ------------------------------------------------------------------------


def test_pass_says_that_no_placard_is_needed() -> None:
    section = load_sheet_section(small(loads_of({"radio": "2 A"})), digest="")
    assert statements(section)["Placards"].startswith("None needed")
    assert ("connected over 5 min, of rating", "pass") in columns(
        table(section, "sources"), "load", "verdict"
    )


def test_fail_names_the_loads_and_the_verdict() -> None:
    """50 A of 60 A, 48 A allowed."""
    section = load_sheet_section(small(loads_of({"heater": "45 A", "radio": "5 A"})), digest="")
    said = statements(section)["Placards"]
    assert "HEATER and RADIO" in said
    assert "50.0 A of 48.0 A in cruise" in said
    assert "11-35" in said
    assert ("connected over 5 min, of rating", "fail") in columns(
        table(section, "sources"), "load", "verdict"
    )
    assert statements(section)["Checks"].startswith("fail: ")


def test_what_is_not_known_prints_a_question_mark_and_what_to_find_out() -> None:
    section = load_sheet_section(small(loads_of({"radio": "2 A", "box": ""})), digest="")
    rows = table(section, "rows")
    box = next(row for row in rows.rows if bare(row[0]) == "box")
    assert [bare(cell) for cell in box[4:7:2]] == [None, None]
    sums = [cell.text for cell in rows.rows[-1] if isinstance(cell, Cell) and cell.value is None]
    assert sums
    assert all(text and text.endswith(" + ?") for text in sums)
    said = statements(section)
    assert said["Placards"].startswith("? ")
    assert "the current of box" in said["Placards"]
    assert "Read it off the label, or measure it." in said["Currents"]
    assert "1 not known" in said["Currents"]


def test_without_phases_nothing_is_summed_and_what_to_write_is_told() -> None:
    """No row of zeros, and no sum of nothing."""
    section = load_sheet_section(small("system: {name: A, nominal: 14 V}\n"), digest="")
    assert table(section, "rows").rows == ()
    assert "phases" in table(section, "rows").note
    assert statements(section)["Worst"].startswith("? ")
    standing = small(loads_of({"radio": "2 A"}).replace("2400 rpm", "stopped"))
    said = statements(load_sheet_section(standing, digest=""))
    assert "in no phase does the engine run" in said["Placards"]
    assert said["Worst"].startswith("? In no phase does the engine run")


def test_the_only_load_gains_more_than_a_day() -> None:
    """Without it nothing draws: no minutes can be told beyond the 24 h that are looked at."""
    section = load_sheet_section(small(loads_of({"radio": "2 A"})), digest="")
    (cell,) = (row[-1] for row in table(section, "rows").rows[:1])
    assert isinstance(cell, Cell)
    assert (cell.value, cell.text) == (math.inf, ">1440")


def test_what_is_not_given_is_a_line_to_write_on() -> None:
    fields = pairs(table(sheet("foxglove"), "aircraft"))
    assert (fields["Aircraft"], fields["Registration"], fields["Serial number"]) == (
        "Foxglove", "", "",
    )  # fmt: skip
    makes = columns(table(sheet("foxglove"), "makes"), "field", "entry")
    assert makes == [("Alternator, 40 A", ""), ("Battery, 18 Ah", "")]
    given = small(
        loads_of({"radio": "2 A"})
        .replace("nominal", "registration: X-1, serial: 7, nominal")
        .replace("kind: lead-acid", "kind: lead-acid, make: own")
    )
    section = load_sheet_section(given, digest="")
    fields = pairs(table(section, "aircraft"))
    assert (fields["Registration"], fields["Serial number"]) == ("X-1", "7")
    assert ("Battery, 18 Ah", "own") in columns(table(section, "makes"), "field", "entry")


# -- paper ----------------------------------------------------------------------------------------


PAGES = {"thistledown": 1, "yarrow": 1, "foxglove": 2, "larkspur": 2}
"""Those with more than two dozen rows have them behind the summary."""


@pytest.mark.parametrize("name", NAMES)
def test_the_sheet_is_one_page_and_its_rows_a_second_where_they_are_many(name: str) -> None:
    about = whole(name).system.about
    reader = PdfReader(io.BytesIO(form_pdf(sheet(name), Options(paper=about.paper))))
    assert len(reader.pages) == PAGES[name]
    first = reader.pages[0].extract_text()
    for word in ("Registration", "Placards", "Battery alone", "Prepared by", "Checked by"):
        assert word in first
    last = reader.pages[-1].extract_text()
    assert "all loads" in last
    assert "Registration" in last


def test_letters_are_two_and_a_half_millimetres_high() -> None:
    """ISO 3098: the height of capitals, 1493 of 2048 units of the bundled font (its outlines)."""
    assert pytest.approx(2.5) == SIZE / MM * 1493 / 2048
    reader = PdfReader(io.BytesIO(form_pdf(sheet("yarrow"), Options())))
    sizes: set[float] = set()

    def see(text: str, _cm: object, _tm: object, _font: object, size: float) -> None:
        if text.strip() and not re.match(r"elec |page ", text.strip()):
            sizes.add(round(size, 2))

    reader.pages[0].extract_text(visitor_text=see)
    assert min(sizes) >= round(SIZE, 2)


def test_a_wide_sheet_turns_its_rows() -> None:
    """Thirty phases at as many speeds: too wide for a page that stands, and beyond z."""
    phases = "".join(f"  p{n}: {{lasts: 1 h, engine: {2000 + n} rpm}}\n" for n in range(30))
    text = loads_of({"radio": "2 A"}).replace("  cruise: {lasts: 1 h, engine: 2400 rpm}\n", phases)
    reader = PdfReader(io.BytesIO(form_pdf(load_sheet_section(small(text), digest=""), Options())))
    boxes = [page.mediabox for page in reader.pages]
    assert [box.width > box.height for box in boxes] == [False, True]


@pytest.mark.parametrize("ending", ["pdf", "html", "json", "csv", "md", "txt", "xlsx"])
def test_every_format_is_written(
    ending: str, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / f"sheet.{ending}"
    assert command(capfd, str(SYSTEMS / "thistledown"), "--sheet", "-o", str(out))[0] == 0
    assert out.stat().st_size > 1000


# -- difference -----------------------------------------------------------------------------------


def test_since_states_no_net_increase(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    old, new = tmp_path / "old.yaml", tmp_path / "new.yaml"
    old.write_text(loads_of({"radio": "2 A", "lamp": "3 A"}), encoding="utf-8")
    new.write_text(loads_of({"radio": "2 A", "lamp": "2 A"}), encoding="utf-8")
    _, less, _ = command(capfd, str(new), "--sheet", "--since", str(old))
    assert "no net increase" in less
    assert "Changed: lamp." in less
    _, more, _ = command(capfd, str(old), "--sheet", "--since", str(new))
    assert "net increase: up to 1.00 A connected" in more
    assert "no net increase" not in more
    new.write_text(loads_of({"radio": "2 A", "lamp": ""}), encoding="utf-8")
    _, untold, _ = command(capfd, str(new), "--sheet", "--since", str(old))
    assert "cannot be told: find out the current of lamp" in untold


def test_since_is_refused_without_the_sheet_and_without_a_system(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    system, none = str(SYSTEMS / "thistledown"), str(tmp_path / "none.yaml")
    status, _, said = command(capfd, system, "--since", none)
    assert (status, "add --sheet" in said) == (2, True)
    status, _, said = command(capfd, system, "--sheet", "--since", none)
    assert (status, "none.yaml" in said) == (2, True)
