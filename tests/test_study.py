"""What is supposed of a system stands beside what is found, never in its place."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from elec.answers.loads.margins import margins_by_condition
from elec.read import read_texts
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains
from tests.hostile.systems import FINCH


@pytest.fixture
def study() -> Study:
    system = read_texts({Path("finch.yaml"): FINCH.encode()}).system
    assert system is not None
    return Study(system)


def test_what_is_supposed_is_taken_and_the_study_itself_is_left_as_it_was(study: Study) -> None:
    found = chains(study)
    done = sizing(Study(study.designed))
    odd = replace(done, gauges={n: replace(g, awg="0") for n, g in done.gauges.items()})
    other = study.supposing(sizing, odd)
    assert chains(other) is found
    assert sizing(other) is odd
    assert margins_by_condition(other)
    assert sizing(study).gauges == done.gauges


def test_nothing_is_supposed_of_what_is_computed_already(study: Study) -> None:
    done = sizing(study)
    with pytest.raises(ValueError, match="sizing is computed already"):
        study.supposing(sizing, done)
