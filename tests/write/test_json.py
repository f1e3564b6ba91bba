"""JSON is written as the standard library would write it, only sooner."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec.finding import Verdict
from elec.write.to_json import dump

PLAIN = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
VALUES = st.recursive(
    PLAIN | st.text() | st.sampled_from(Verdict),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner) | st.tuples(inner),
    max_leaves=20,
)


@given(VALUES)
def test_the_text_is_that_of_the_standard_library(value: Any) -> None:
    expected = json.dumps(value, ensure_ascii=False, indent=1, allow_nan=False) + "\n"
    try:
        written = expected.encode()
    except UnicodeEncodeError:  # half a pair of surrogates
        with pytest.raises(UnicodeEncodeError):
            dump(value)
        return
    assert dump(value) == written
