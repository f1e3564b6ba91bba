"""What two pages say of one thing: the same number by one rule, and the reason that decides."""

import re
from pathlib import Path
from typing import Any

import pytest

from elec.answers.base.marks import marks
from elec.answers.doubt.uncertainty import sampled, uncertainty
from elec.answers.loads.margins import margins_by_condition
from elec.answers.time.endurance import endurance
from elec.answers.time.endurance_limit import endurance_limit
from elec.check import ask
from elec.checks.answer import run_length
from elec.drawings.records.circuits import _facts
from elec.model.laws import POWER
from elec.network.collapse import Shortfall
from elec.pages.document import Figure
from elec.pages.doubt.bands import band_figures
from elec.pages.doubt.page import spread_lead
from elec.pages.doubt.table import band_tables
from elec.pages.loads.leads import short as short_words
from elec.pages.table import Cell
from elec.sizing.choices import least_for_inrush
from elec.sizing.sizing import sizing
from elec.units import asked_minutes, whole_minutes
from elec.wiring.chains import chains
from elec.wiring.runs import runs
from tests.answers.helper import NAMES, loads_of, small, whole
from tests.checks.cases import study_of


@pytest.mark.parametrize("name", NAMES)
def test_minutes_that_last_are_cut_wherever_they_are_sure_or_not(name: str) -> None:
    study = whole(name)
    found = sampled(study, 500, solved=False)
    (band,) = found.of("endurance")
    low, high = whole_minutes(band.best.low), whole_minutes(band.best.high)
    computed = whole_minutes(band.nominal)
    lead = next(text for text in spread_lead(study, found) if "On the battery alone" in text)
    assert f"{computed} min as computed, nine times of ten {low} min to {high} min" in lead
    assert f"{asked_minutes(band.limit)} min are asked" in lead
    table = next(table for table in band_tables(found) if table.id == "spread-endurance")
    cells = dict(zip([column.key for column in table.columns], table.rows[0], strict=True))
    said = {key: cell.text for key, cell in cells.items() if isinstance(cell, Cell)}
    assert (said["computed_min"], said["low_min"], said["high_min"]) == (computed, low, high)
    charts = {one.id: one for one in band_figures(study, found)}
    (words,) = charts["chart-spread-endurance"].words
    assert f"{computed} min as computed, between {low} and {high};" in words


def test_some_minutes_of_the_demonstrations_would_round_up() -> None:
    """Else the test above could not fail."""
    bands = [band for name in NAMES for band in uncertainty(whole(name)).of("endurance")]
    ends = [value for band in bands for value in (band.nominal, band.best.low, band.best.high)]
    assert any(whole_minutes(value) != f"{value:.0f}" for value in ends)


@pytest.mark.parametrize(("essential", "whose"), [("no", "loads"), ("yes", "essential loads")])
def test_loads_are_called_essential_where_some_are_marked(essential: str, whose: str) -> None:
    text = loads_of({"heater": "5 A"}).replace("heater: {", f"heater: {{essential: {essential}, ")
    study = small(text)
    found = sampled(study, 100, solved=False)
    titles = [table.title for table in band_tables(found)]
    assert f"How sure: least voltage of {whose}" in titles
    drawn = [one.title for one in band_figures(study, found) if isinstance(one, Figure)]
    assert f"Least voltages of {whose}, and how sure they are" in drawn
    lead = " ".join(spread_lead(study, found))
    assert ("ssential load" in lead) == (essential == "yes")


def test_a_sheet_names_the_inrush_where_it_asks_for_more_than_the_load(tmp_path: Path) -> None:
    lamp: dict[str, Any] = {"equipment": {"lamp": {"inrush": {"factor": 6, "lasts": "10 s"}}}}
    study = study_of(lamp, tmp_path)
    chain = chains(study).named("lamp")
    device = sizing(study).devices["lamp"]
    least = least_for_inrush(study, chain, device)
    assert least is not None
    assert device.needed_a is not None
    assert least > device.needed_a
    assert device.holds_inrush(least) != (False, 0.0)
    said = dict(_facts(study, chain))["protection"]
    assert said.endswith(f" A for its load, {least:g} A for its inrush")
    plain = study_of({}, tmp_path)
    assert "inrush" not in dict(_facts(plain, chains(plain).named("lamp")))["protection"]


def test_a_sheet_names_what_the_maker_asks_for() -> None:
    study = whole("larkspur")
    said = dict(_facts(study, chains(study).named("pitot-heat")))["protection"]
    assert said == "5 A breaker, at least 3.6 A for its load, 5 A as its maker asks"


@pytest.mark.parametrize("name", NAMES)
def test_the_ceiling_of_the_endurance_is_that_of_the_system(name: str) -> None:
    study = whole(name)
    found = endurance(study)
    assert found is not None
    if not found.alternator:  # nothing charges: the whole flight is asked, whatever the ceiling
        assert "ceiling" not in endurance_limit(study, found).why
        return
    given = study.system.about.ceiling_m
    assert given is not None
    why = endurance_limit(study, found).why
    feet = re.fullmatch(r"ceiling (\d+) (ft|m), up to 25000 ft", why)
    assert feet is not None, why
    assert float(feet[1]) == pytest.approx(given / (0.3048 if feet[2] == "ft" else 1.0), abs=1)


def test_a_ceiling_that_is_a_default_is_called_so(tmp_path: Path) -> None:
    study = study_of({"system": {"ceiling": "null"}}, tmp_path)
    found = endurance(study)
    assert found is not None
    assert endurance_limit(study, found).why == "default ceiling 12500 ft, up to 25000 ft"


@pytest.mark.parametrize("name", NAMES)
def test_a_field_wire_is_as_long_as_it_is_cut(name: str) -> None:
    study = whole(name)
    by_mark = {mark: wire for wire, mark in marks(study).items()}
    for finding in ask(study, "alternator-wires"):
        told = re.search(r"(\S+) leads from .* to F, (.*)\.", finding.sentence)
        if told:
            assert told[2] == run_length(study, runs(study)[by_mark[told[1]]].length_m)


@pytest.mark.parametrize(
    ("conditions", "rule"), [(["day"], "By day, asked are one of each kind"),
                             (["day", "night"], "By night, asked are one set or three")],
)  # fmt: skip
def test_spare_fuses_say_by_which_rule(conditions: list[str], rule: str, tmp_path: Path) -> None:
    study = study_of({"system": {"conditions": conditions}}, tmp_path)
    said = [one.sentence for one in ask(study, "device-reach") if "spare fuses" in one.sentence]
    assert said
    assert all(rule in text for text in said)


def test_a_resistance_of_some_ohms_is_no_power_of_ten_of_milliohms() -> None:
    found = Shortfall(
        load="lamp", law=POWER, demand=20.0, minimum_v=9.0, voltage_v=5.0, open_v=12.4,
        source_ohm=4.16, deliverable=9.2,
    )  # fmt: skip
    assert "12.4 V behind 4.16 Ω can deliver" in str(found)


def test_a_small_charge_is_not_nothing() -> None:
    text = loads_of({"heater": "61 A"}).replace("lasts: 1 h", "lasts: 2 min")
    study = small(text)
    (margin,) = [one for one in margins_by_condition(study).values() if one.condition == "night"]
    assert 0 < margin.drained_ah < 0.1
    assert f"{margin.drained_ah:.1g} Ah in 2 min" in short_words(study, margin)
