"""Limits can be made stricter, never weaker; what is chosen follows them."""

import pytest

from elec.sizing.sizing import sizing
from elec.wiring.limits import RULES, limit, limits, published, shown
from tests.answers.helper import loads_of, small

LOADS = loads_of({"lamp": "10 A, basis: measured"}).replace(
    "{panel: }",
    "{panel: {ambient: 55 °C}}",  # beside its alternator it would count as 90 °C
)


def test_published_values_with_their_unit() -> None:
    assert published("endurance").value == 1800
    assert published("drop-continuous", nominal_v=28).value == 1
    assert published("feeder-drop").value == 0.02
    assert all(shown(published(key)) for key in RULES)


def test_a_limit_without_a_row_names_the_file_it_is_missing_in() -> None:
    with pytest.raises(ValueError, match=r'"loads-together": data/elec/limits\.csv has no such'):
        published("loads-together")


def test_tightened_limit_is_in_force() -> None:
    study = small(LOADS + "limits: {breaker-share: 50 %}\n")
    assert limit(study, "breaker-share").value == 0.5
    assert limit(study, "breaker-share").tightened
    assert not limits(study).refused


def test_choice_of_a_breaker_follows_the_tightened_limit() -> None:
    """10 A at 55 °C: 10 / 0.8 / 0.91 = 13.7 A asks for 15 A; 10 / 0.5 / 0.91 = 22.0 A for 25 A."""
    tight = small(LOADS + "limits: {breaker-share: 50 %}\n")
    assert sizing(small(LOADS)).devices["lamp"].rating_a == 15
    assert sizing(tight).devices["lamp"].rating_a == 25


def test_choice_of_a_gauge_follows_the_tightened_limit() -> None:
    thin = sizing(small(LOADS)).gauges["lamp/1"].awg
    thick = sizing(small(LOADS + "limits: {drop-continuous: 0.2 V}\n")).gauges["lamp/1"].awg
    assert int(thick) < int(thin)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("{breaker-share: 90 %}", "would loosen"),
        ("{breaker-shar: 50 %}", "no limit"),
        ("{breaker-share: 5 A}", "cannot be read"),
        ("{bundle-wires: many}", "cannot be read"),
        ("{minimum-power-gauge: AWG 24}", "would loosen"),
    ],
)
def test_refused_limits_leave_the_published_value(line: str, says: str) -> None:
    study = small(LOADS + f"limits: {line}\n")
    (refused,) = limits(study).refused
    assert says in refused.why
    assert limit(study, "breaker-share").value == 0.8
    assert limit(study, "minimum-power-gauge").awg == "22"
