"""JSON is written as the standard library would write it, only sooner."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.finding import Verdict
from elec.write.to_json import dump
from elec.write.values import DATA_DIGITS

COUNTS = st.integers(-(2**63), 2**63 - 1)  # of what is counted there is never more
PLAIN = st.none() | st.booleans() | COUNTS | st.floats(allow_nan=False, allow_infinity=False)
VALUES = st.recursive(
    PLAIN | st.text() | st.sampled_from(Verdict),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner) | st.tuples(inner),
    max_leaves=20,
)


def rounded(value: Any) -> Any:
    """With the digits that are kept of a float."""
    if isinstance(value, float):
        return float(f"{value:.{DATA_DIGITS}g}")
    if isinstance(value, dict):
        return {key: rounded(one) for key, one in value.items()}
    return [rounded(one) for one in value] if isinstance(value, list | tuple) else value


@given(VALUES)
def test_the_text_is_that_of_the_standard_library(value: Any) -> None:
    expected = json.dumps(rounded(value), ensure_ascii=False, indent=1, allow_nan=False) + "\n"
    try:
        written = expected.encode()
    except UnicodeEncodeError:  # half a pair of surrogates
        with pytest.raises(UnicodeEncodeError):
            dump(value)
        return
    assert dump(value) == written


def test_what_a_version_of_python_adds_up_otherwise_is_the_same_text() -> None:
    """0.1 ten times: 0.9999999999999999 where each is rounded, 1.0 where what is lost is kept."""
    plain = 0.0
    for _ in range(10):
        plain += 0.1
    assert plain != 1.0
    assert dump([plain]) == dump([1.0])
