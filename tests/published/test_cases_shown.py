"""Every case of docs/published-cases.md, beside its source."""

import importlib.util
import sys
from pathlib import Path
from typing import Any

import pytest

FILE = Path(__file__).parents[2] / "docs" / "published_cases.py"


def _cases() -> list[Any]:
    spec = importlib.util.spec_from_file_location("published_cases", FILE)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["published_cases"] = module
    spec.loader.exec_module(module)
    return list(module.cases())


CASES = _cases()


@pytest.mark.parametrize("case", CASES, ids=[f"{c.group}: {c.what}" for c in CASES])
def test_case(case: Any) -> None:
    found = case.compute()
    assert abs(found - case.printed) <= case.within + 1e-9, f"{found} for {case.printed}"


def test_there_are_enough_and_each_has_its_source() -> None:
    assert len(CASES) >= 100
    assert len({(c.group, c.what) for c in CASES}) == len(CASES)
    for case in CASES:
        assert case.source
        assert case.certainty in {"seen", "memory", "computed"}
        assert case.why
    # a tolerance is no more than a tenth, and that only where it says why
    assert all(c.within <= 0.1 * c.printed for c in CASES)
    assert sum(c.certainty == "seen" for c in CASES) >= 30
