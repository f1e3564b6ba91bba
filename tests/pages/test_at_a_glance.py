"""Pictures of the answers: the matrix of failures, bands, what is nearest, warmth; all in words."""

import re

import pytest
from msgspec.structs import replace

from elec.answers.doubt.bands import DIGITS
from elec.answers.doubt.uncertainty import uncertainty
from elec.answers.failures.failures import worst_effects
from elec.answers.heat.heat import heat
from elec.check import run
from elec.finding import AGAINST, Finding, Verdict
from elec.pages.circuits.warmth import warmest, warmth_figure
from elec.pages.doubt.bands import band_figures
from elec.pages.failures.matrix import FailureColumn, matrix_figures, outcome
from elec.pages.nearest import left, nearest_figure
from elec.units import asked_minutes, whole_minutes
from tests.answers.helper import whole

SYSTEMS = ("foxglove", "larkspur", "thistledown", "yarrow")


@pytest.mark.parametrize("name", SYSTEMS)
def test_what_the_matrix_calls_lost_is_what_the_table_lists(name: str) -> None:
    """Of the essential loads: exactly those that nothing takes over for."""
    study = whole(name)
    for effect in worst_effects(study):
        for load, entry in study.document.equipment.items():
            if entry.essential:
                column = FailureColumn(name=load, group="loads", loads=frozenset({load}))
                assert (outcome(effect, column) == "lost") == (load in effect.taken)


def test_what_is_shed_is_no_loss_of_its_bus() -> None:
    """Without the alternator the pilot sheds the main bus; the failure does not take it."""
    words = matrix_figures(whole("foxglove"))[0].words
    assert not any(line.startswith("Alternator dead") for line in words)
    lost = next(line for line in words if line.startswith("Main bus lost"))
    assert lost.startswith("Main bus lost. lost: main bus; reduced: essential bus, radio")


def test_what_has_no_solution_cannot_be_told() -> None:
    """A load that nothing cuts off is not kept for that: its voltage is not known."""
    column = FailureColumn(name="radio", group="loads", loads=frozenset({"radio"}))
    effect = next(
        e for e in worst_effects(whole("foxglove"))
        if "radio" not in {*e.lost, *e.low, *e.taken} and e.solved
    )  # fmt: skip
    assert outcome(effect, column) == "kept"
    assert outcome(replace(effect, solved=False), column) == "unknown"


def test_every_failure_is_in_the_matrix_or_said_to_take_nothing() -> None:
    for name in SYSTEMS:
        study = whole(name)
        figures = matrix_figures(study)
        beyond = [e for e in worst_effects(study) if not e.failure.circuit and e.failure.powers]
        *rows, rest = figures[0].words
        told = [line.partition(". ")[0].lower() for line in rows]
        for effect in beyond:
            title = effect.failure.title
            assert (title.lower() in told) != (title in rest), title


def test_the_engine_is_lost_where_a_check_says_that_it_stops() -> None:
    """The column is there in a system that hangs on electricity, and only there."""
    assert any("engine" in line for line in matrix_figures(whole("larkspur"))[0].words)
    assert "no column" in matrix_figures(whole("foxglove"))[0].description


@pytest.mark.parametrize("name", SYSTEMS)
def test_bands_are_those_of_the_tables(name: str) -> None:
    study = whole(name)
    found = uncertainty(study)
    figures = band_figures(study, found)
    shown = [band for band in found.bands if band.kind != "device"]
    assert sum(len(figure.words) for figure in figures) == len(shown)
    lines = [line.replace("−", "-") for figure in figures for line in figure.words]
    for band in shown:
        numbers = [f"{v:.{DIGITS[band.unit]}f}" for v in (band.nominal, band.best.low, band.limit)]
        if band.unit == "min":
            lasts = (band.nominal, band.best.low)
            numbers = [*map(whole_minutes, lasts), asked_minutes(band.limit)]
        assert any(all(number in line for number in numbers) for line in lines), band.title


def test_the_nearest_of_each_check_is_shown_with_its_verdict() -> None:
    found = run(whole("foxglove"))
    figure = nearest_figure(found)
    assert figure is not None
    drop = min((f for f in found if f.check == "wire-drop" and f.value is not None), key=left)
    line = next(line for line in figure.words if line.startswith("wire-drop, "))
    assert line.startswith(f"wire-drop, {drop.about}: ")
    assert drop.sentence in line
    first = figure.words[0]
    assert "beyond" in first
    assert any(f.check == first.split(",")[0] and f.verdict in AGAINST for f in found)


def test_beyond_is_what_the_finding_says_not_the_number() -> None:
    """A limit may be one to stay above: only the verdict tells which side a value is on."""
    common = {"check": "c", "about": "a", "sentence": "", "value": 11.0, "limit": 10.0, "unit": "V"}
    passed, failed = (
        Finding(**common, verdict=verdict)  # type: ignore[arg-type]
        for verdict in (Verdict.PASS, Verdict.FAIL)
    )
    assert left(passed) == pytest.approx(0.1)
    assert left(failed) == pytest.approx(-0.1)


def test_nothing_to_compare_is_no_picture() -> None:
    assert nearest_figure(()) is None


def test_the_warmth_of_a_way_is_that_of_its_warmest_wire() -> None:
    """No conductor is warmer anywhere than the warmest of the spots; each way has its line."""
    study = whole("foxglove")
    figure = warmth_figure(study)
    assert figure is not None
    most = max(h.warmest_degc or 0.0 for h in heat(study).values() if h.current_a > 0)
    shown = max(spot.expected_degc or 0.0 for spot in warmest(study).values())
    assert shown == pytest.approx(most)
    told = [float(found[1]) for line in figure.words if (found := re.search(r"(\d+) °C", line))]
    assert max(told) == pytest.approx(most, abs=0.5)  # printed without decimals
