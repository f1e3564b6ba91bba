"""What short-essential names to fit at the far end fits that feeder: it is tried as it stands."""

import re
from pathlib import Path
from typing import Any

import pytest

from elec.check import run
from elec.finding import Finding, Verdict
from elec.study import Study
from tests.checks.cases import study_of

BARE: dict[str, Any] = {"far-end": "null"}


def _finding(study: Study, check: str = "short-essential") -> Finding:
    return next(f for f in run(study) if f.check == check and f.about == "essential link")


def _with(change: dict[str, Any], draw: str, folder: Path) -> Study:
    heater = {"place": "panel", "draw": draw, "on": "always", "essential": "yes",
              "basis": "measured", "ground": "block"}  # fmt: skip
    return study_of(
        {
            "equipment": {"heater": heater},
            "circuits": {"heater": {"bus": "essential", "breaker": "auto", "feeds": "heater"}},
            "feeders": {
                "3": {"breaker": "50 A", "gauge": "AWG 6"},
                "4": {"breaker": {"rating": "40 A"}, "gauge": "AWG 8", **change},
            },
        },
        folder,
    )


# 3.42 A of the other loads beside it; 75 % of a fuse that is warm: 7.9, 16.7 and 25.5 A are needed
@pytest.mark.parametrize(("draw", "rating"), [("2 A", 10.0), ("8 A", 20.0), ("14 A", 30.0)])
def test_the_fuse_that_is_named_passes_when_it_is_fitted(
    draw: str, rating: float, tmp_path: Path
) -> None:
    found = _finding(_with(BARE, draw, tmp_path))
    assert found.verdict is Verdict.FAIL
    named = re.search(r"far-end: \{fuse: ([\d.]+) A\}", found.remedy)
    assert named, found.remedy
    assert float(named[1]) == rating
    mended = _with({"far-end": {"fuse": f"{rating:g} A"}}, draw, tmp_path)
    assert _finding(mended).verdict is Verdict.PASS
    assert _finding(mended, "failure-overload").verdict is Verdict.PASS


def test_where_no_fuse_is_quicker_a_diode_is_named_first(tmp_path: Path) -> None:
    study = study_of({"feeders": {"3": {"breaker": "5 A"}, "4": BARE}}, tmp_path)
    found = _finding(study)
    assert found.verdict is Verdict.FAIL
    assert found.remedy.startswith("Fit a diode there (diode: schottky).")
    assert "need not open before" in found.remedy
