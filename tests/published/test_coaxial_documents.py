"""Coaxial cable: a MIL-C-17 worked example, transponder and datalink manuals, line theory."""

import pytest

from elec.physics import coax
from elec.standards import table

FOOT_M = 0.3048


def _attenuation(cable: str, mhz: float, which: str) -> float:
    row = table("elec/coax").row(cable=cable)
    return coax.attenuation_db_per_m(
        k1=row.number(f"k1_{which}"), k2=row.number(f"k2_{which}"), frequency_mhz=mhz
    )


def test_mil_c_17_example() -> None:
    """0.444·√100 + 0.00126·100, printed 4.6."""
    loss = coax.attenuation_db_per_m(k1=0.444, k2=0.00126, frequency_mhz=100) * 30.48
    assert loss == pytest.approx(4.6, abs=0.05)
    assert loss == pytest.approx(4.566, abs=0.0005)


@pytest.mark.parametrize(
    ("cable", "mhz", "nominal", "worst"),
    [
        ("RG-400", 127, 4.80, 5.94),
        ("RG-400", 1090, 14.65, 17.98),
        ("RG-58", 127, 5.49, 7.08),
        ("RG-142", 1575.42, 16.41, 18.87),
        ("RG-316", 406, 19.76, 22.73),
        ("foam-10.3mm", 978, 4.10, 4.51),
    ],
)
def test_loss_per_100_ft(cable: str, mhz: float, nominal: float, worst: float) -> None:
    """Computed by hand from the table's two constants."""
    assert 30.48 * _attenuation(cable, mhz, "nominal") == pytest.approx(nominal, abs=0.006)
    assert 30.48 * _attenuation(cable, mhz, "worst") == pytest.approx(worst, abs=0.006)


def test_transponder_manual_prints_0_59_db_per_metre() -> None:
    """RG-400 class at 1090 MHz; 1.5 dB is reached at 8 ft 4 in = 2.54 m."""
    loss = _attenuation("RG-400", 1090, "worst")
    assert loss == pytest.approx(0.59, abs=0.005)
    length = coax.longest_m(
        allowed_db=1.5, attenuation_db_per_m=loss, connectors=0, connector_loss_db=0
    )
    assert length == pytest.approx(2.54, abs=0.02)


@pytest.mark.parametrize(("per_metre", "printed_ft"), [(0.39, 12.5), (0.29, 17.25), (0.12, 41.25)])
def test_transponder_manual_lengths(per_metre: float, printed_ft: float) -> None:
    """1.5 dB: 12 ft 6 in, 17 ft 3 in, 41 ft 3 in; the manual rounds dB/m to two digits (2 %)."""
    length = coax.longest_m(
        allowed_db=1.5, attenuation_db_per_m=per_metre, connectors=0, connector_loss_db=0
    )
    assert length / FOOT_M == pytest.approx(printed_ft, rel=0.02)


def test_datalink_manual() -> None:
    """12 to 16 ft of RG-400 with two connectors of 0.5 dB at 2.33 GHz: 4.5 dB."""
    worst = coax.loss_db(
        attenuation_db_per_m=_attenuation("RG-400", 2332, "worst"),
        length_m=14 * FOOT_M,
        connectors=2,
        connector_loss_db=0.5,
    )
    nominal = coax.loss_db(
        attenuation_db_per_m=_attenuation("RG-400", 2332, "nominal"),
        length_m=14 * FOOT_M,
        connectors=2,
        connector_loss_db=0.5,
    )
    assert nominal < 4.5 < worst


@pytest.mark.parametrize(
    ("which", "loss", "left"), [("nominal", 1.965, 159.0), ("worst", 2.298, 147.3)]
)
def test_transponder_power_at_the_antenna(which: str, loss: float, left: float) -> None:
    """250 W, 10 ft of RG-400, two connectors of 0.25 dB."""
    found = coax.loss_db(
        attenuation_db_per_m=_attenuation("RG-400", 1090, which),
        length_m=10 * FOOT_M,
        connectors=2,
        connector_loss_db=0.25,
    )
    assert found == pytest.approx(loss, abs=0.001)
    assert coax.delivered_w(power_w=250, loss_db=found) == pytest.approx(left, abs=0.1)


@pytest.mark.parametrize(("loss", "watts"), [(2.4, 143.9), (1.2, 189.6)])
def test_builders_example(loss: float, watts: float) -> None:
    """A builder's published example: 250 W."""
    assert coax.delivered_w(power_w=250, loss_db=loss) == pytest.approx(watts, abs=0.05)


def test_no_length_left_for_the_cable() -> None:
    assert (
        coax.longest_m(
            allowed_db=0.4, attenuation_db_per_m=0.5, connectors=2, connector_loss_db=0.25
        )
        == 0
    )
