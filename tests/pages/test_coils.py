"""The table of contactors and relays."""

from pathlib import Path

import pytest

from elec.pages.failures.coils import coils_table
from elec.pages.table import Cell
from tests.answers.helper import whole
from tests.checks.cases import study_of

STARTER_LIGHT = "starter-light"


def _row(system: str, title: str) -> list[str]:
    row = next(r for r in coils_table(whole(system)).rows if r[0] == title)
    return [str(c.value) if isinstance(c, Cell) else str(c) for c in row]


def test_an_open_coil_takes_what_hangs_behind_its_contact() -> None:
    row = _row("larkspur", "avionics relay")
    assert row[1:3] == ["its own line post", "AVIONICS (between coil and ground)"]
    assert "radio 2" in row[4]
    assert "avionics relay coil" not in row[4]
    assert row[5] == "main bus to avionics bus stays closed"
    assert row[6].startswith("its breaker (main bus to avionics bus); on the ground")


def test_a_welded_starter_contactor_turns_the_starter() -> None:
    row = _row("foxglove", "starter contactor")
    assert row[1:4] == ["main bus", "START", "switched in the feed"]
    assert row[5] == "starter: it turns on with the engine"
    assert row[6].startswith("MASTER off and the field of alternator off; ")


def test_an_open_master_takes_the_battery_off() -> None:
    assert _row("foxglove", "master contactor")[4] == "no load; battery no longer feeds through it"


@pytest.mark.parametrize(
    ("light", "said"),
    [
        ("null", "Whether a light shows that starter contactor is closed is not said"),
        ("none", "No light shows that starter contactor is closed"),
        (STARTER_LIGHT, "Starter light shows that starter contactor is closed"),
    ],
)
def test_the_note_says_which_light_shows_the_starter(light: str, said: str, tmp_path: Path) -> None:
    study = study_of({"switches": {"starter-contactor": {"engaged-light": light}}}, tmp_path)
    note = coils_table(study).note
    assert f"{said} (coil-engaged). " in note
    assert "does not know" not in note


def test_the_note_says_that_a_light_has_no_way_back(tmp_path: Path) -> None:
    study = study_of({"multicores": {"light-return": "null"}}, tmp_path)
    assert "is closed, and no way back of its current is given" in coils_table(study).note


def test_without_contactors_there_is_no_table() -> None:
    assert not coils_table(whole("thistledown")).rows
