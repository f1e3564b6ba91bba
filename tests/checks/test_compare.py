"""One function decides on a number: verdict, tolerance, words."""

from pathlib import Path

import pytest

from elec.checks.compare import compare, judged
from elec.finding import Finding, Verdict
from elec.wiring.limits import limit
from elec.working import ROUNDING, within
from tests.checks.cases import study_of

PASS, ADVISE, FAIL, CANNOT_TELL = (
    Verdict.PASS, Verdict.ADVISE, Verdict.FAIL, Verdict.CANNOT_TELL,
)  # fmt: skip


def test_a_rounding_error_is_forgiven_and_nothing_more() -> None:
    sums = (0.1 + 0.2, 0.3)  # 0.30000000000000004 in floats of 64 bits
    assert sums[0] > sums[1]
    assert within(*sums)
    for limit_ in (5e-7, 0.3, 1e4):  # the tolerance is a share: as strict on µT as on metres
        assert within(limit_ * (1 + ROUNDING / 2), limit_)
        assert not within(limit_ * (1 + 2 * ROUNDING), limit_)
        assert within(limit_ * (1 - ROUNDING / 2), limit_, "at least")
        assert not within(limit_ * (1 - 2 * ROUNDING), limit_, "at least")
    assert within(0.0, 0.0)
    assert not within(1e-12, 0.0)


@pytest.mark.parametrize(
    ("value", "otherwise", "fails", "verdict"),
    [
        (2.0, None, None, PASS),
        (2.1, None, None, FAIL),
        (2.1, ADVISE, None, ADVISE),
        (2.1, None, 3.0, ADVISE),
        (2.1, PASS, 3.0, PASS),
        (3.1, None, 3.0, FAIL),
        (3.1, ADVISE, 3.0, FAIL),
        (1.9, None, 1.0, FAIL),  # the second limit is the stricter one
    ],
)
def test_verdict(
    value: float, otherwise: Verdict | None, fails: float | None, verdict: Verdict
) -> None:
    assert judged(value, 2.0, otherwise=otherwise, fails=fails) is verdict


def _found(folder: Path, value: float | None, **more: object) -> Finding:
    study = study_of(more.pop("change", {}), folder)  # type: ignore[arg-type]
    asked: dict[str, object] = {
        "at": ("system",), "value": value, "limit": limit(study, "bundle-wires"), "digits": 0,
        "unit": "wires", "says": lambda found, most: f"{found} of {most}.", "remedy": "Split it.",
        "ask": "Count them.",
    }  # fmt: skip
    return compare(study, "bundle", **{**asked, **more})  # type: ignore[arg-type]


def test_words_numbers_and_remedy(tmp_path: Path) -> None:
    good = _found(tmp_path, 75.0)
    assert (good.verdict, good.sentence, good.remedy) == (PASS, "75 wires of 75 wires.", "")
    bad = _found(tmp_path, 75.2)
    assert bad.verdict is FAIL
    assert bad.sentence == "75.2 wires of 75.0 wires."  # as many digits as tell them apart
    assert (bad.value, bad.limit, bad.unit, bad.remedy) == (75.2, 75.0, "wires", "Split it.")
    assert _found(tmp_path, 80.0, fault="Too many.").sentence == "Too many."


def test_what_is_unknown_is_never_a_pass(tmp_path: Path) -> None:
    for found in (
        _found(tmp_path, None, unknown="Not counted."),
        _found(tmp_path, 3.0, limit=None, unknown="Not counted."),
    ):
        assert (found.verdict, found.sentence) == (CANNOT_TELL, "Not counted.")
        assert found.remedy == "Count them."
        assert found.unit == "wires"  # of the one number that is there
    assert not _found(tmp_path, None, limit=None, unknown="Not counted.").unit
    assert _found(tmp_path, 3.0, besides=None).verdict is CANNOT_TELL
    assert _found(tmp_path, 3.0, besides=False).verdict is FAIL
    assert _found(tmp_path, 3.0, besides=False, otherwise=ADVISE).verdict is ADVISE
    assert _found(tmp_path, 3.0, unsure=(PASS,)).verdict is CANNOT_TELL
    assert _found(tmp_path, 80.0, unsure=(PASS,)).verdict is FAIL


def test_a_limit_that_was_tightened_says_so(tmp_path: Path) -> None:
    found = _found(tmp_path, 60.0, change={"limits": {"bundle-wires": "50"}})
    assert found.verdict is FAIL
    assert found.limit == 50
    assert " The limit is tightened in " in found.sentence
    assert "tightened" not in _found(tmp_path, 60.0).sentence
