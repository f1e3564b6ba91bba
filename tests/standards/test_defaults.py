"""Every default has a reason, a source, and a unit that elec can compute with."""

import pytest

from elec.standards import default, defaults, documents
from elec.standards.cite import REMARKS
from elec.standards.default import FACTORS

ASKED = (
    *("wire-slack-per-end", "wire-route-factor", "within-place-length", "ambient"),
    *("panel-ambient", "minimum-power-gauge", "minimum-signal-gauge", "switch-resistance"),
    *("contactor-resistance", "joint-resistance", "connector-contact-resistance", "blade-holder"),
    *("breaker-share", "fuse-share", "recognition-time", "landing-time"),
    *("regulator-droop", "schottky-forward-voltage"),
    *("silicon-forward-voltage", "diode-resistance", "equipment-minimum-14", "crank-current"),
    *("charge-efficiency", "structure-joint-resistance", "fault-voltage-14"),
)


@pytest.mark.parametrize("key", sorted(defaults()))
def test_default_is_complete(key: str) -> None:
    one = default(key)
    assert one.meaning
    assert one.why
    assert one.unit in FACTORS
    assert one.cite.document in documents()
    assert one.certainty in REMARKS
    assert one.origin.removeprefix(f"default {key}") == (
        f" ({one.cite.remark})" if one.cite.remark else ""
    )


@pytest.mark.parametrize("key", ASKED)
def test_default_exists(key: str) -> None:
    assert key in defaults()


@pytest.mark.parametrize(
    ("key", "value", "si"),
    [
        ("wire-slack-per-end", 3, 0.0762),
        ("breaker-share", 80, 0.8),
        ("recognition-time", 5, 300),
        ("joint-resistance", 0.2, 0.0002),
        ("ambient", 50, 50),
    ],
)
def test_value_and_si(key: str, value: float, si: float) -> None:
    assert default(key).value == value
    assert default(key).si == pytest.approx(si)


def test_unknown_default_is_a_fault_of_the_program() -> None:
    with pytest.raises(KeyError):
        default("no-such-thing")


def test_no_limit_stands_among_the_defaults_too() -> None:
    from elec.standards import table

    limits = {row.text("key") for row in table("elec/limits")}
    assert not limits & set(defaults())
