"""Connectors: an open footprint library (D-subminiature), a maker's contact specification.

Coordinates typed from the library: vertical parts, top view is the mating face.
"""

from itertools import pairwise

import pytest

from elec.physics import contact
from elec.standards import NotCovered, copper, table


def _at(arrangement: str, pin: str) -> tuple[float, float]:
    row = table("elec/dsub_contacts").row(arrangement=arrangement, pin=pin)
    return row.number("x_mm"), row.number("y_mm")


@pytest.mark.parametrize(
    ("arrangement", "pin", "x", "y"),
    [
        ("dsub-9", "1", -5.54, 1.42),
        ("dsub-9", "6", -4.155, -1.42),
        ("dsub-25", "1", -16.62, 1.42),
        ("dsub-25", "14", -15.235, -1.42),
        ("dsub-37", "37", 23.545, -1.42),
        ("dsub-hd-15", "1", -4.315, 1.98),
        ("dsub-hd-15", "6", -5.46, 0.0),
        ("dsub-hd-15", "11", -4.315, -1.98),
        ("dsub-hd-62", "22", -24.75, 0.0),
    ],
)
def test_contacts_on_the_plug_mating_face(arrangement: str, pin: str, x: float, y: float) -> None:
    assert _at(arrangement, pin) == (x, y)


def test_every_arrangement_is_whole() -> None:
    """As many contacts as its name says, numbered from 1, inside the flange, pitch as listed."""
    for shell in table("elec/dsub_shells"):
        name = shell.text("arrangement")
        count = int(shell.number("contacts_count"))
        rows = table("elec/dsub_contacts").select(arrangement=name)
        assert [row.text("pin") for row in rows] == [str(n + 1) for n in range(count)]
        assert name.endswith(str(count))
        for one, two in pairwise(rows):
            if one.text("row") == two.text("row"):
                step = two.number("x_mm") - one.number("x_mm")
                assert step == pytest.approx(shell.number("pitch_mm"), abs=0.002)
        reach = max(abs(row.number("x_mm")) for row in rows)
        assert reach < shell.number("screw_spacing_mm") / 2 < shell.number("flange_width_mm") / 2
        assert {row.certainty for row in rows} == {shell.certainty}


def test_shells_from_memory_say_so() -> None:
    assert table("elec/dsub_shells").row(arrangement="dsub-50").certainty == "memory"
    assert table("elec/dsub_contacts").row(arrangement="dsub-hd-78", pin="1").certainty == "memory"


@pytest.mark.parametrize(
    ("single", "percent", "loaded", "contacts", "current"),
    [
        (7.5, 26, 13, 50, 4.63),
        (7.5, 50, 10, 20, 3.22),
        (7.5, 76, 19, 25, 2.58),
        (7.5, 100, 20, 20, 2.23),
        (5.0, 26, 13, 50, 3.09),
        (5.0, 50, 10, 20, 2.14),
        (5.0, 76, 19, 25, 1.72),
        (5.0, 100, 9, 9, 1.48),
    ],
)
def test_contact_among_loaded_ones(
    single: float, percent: float, loaded: int, contacts: int, current: float
) -> None:
    """Specification's factors. 0.011 A: the table was separated into factors of three digits."""
    assert 100 * loaded / contacts == percent
    found = single * contact.loading_factor(loaded=loaded, contacts=contacts)
    assert found == pytest.approx(current, abs=0.011)


def test_loading_between_one_contact_and_a_quarter() -> None:
    assert contact.loading_factor(loaded=1, contacts=37) == 1
    few = contact.loading_factor(loaded=3, contacts=37)
    assert contact.loading_factor(loaded=10, contacts=37) < few < 1
    assert contact.loading_factor(loaded=2, contacts=2) == pytest.approx(0.297)
    with pytest.raises(NotCovered):
        contact.loading_factor(loaded=0, contacts=9)
    with pytest.raises(NotCovered):
        contact.loading_factor(loaded=10, contacts=9)


def test_more_loaded_contacts_never_carry_more() -> None:
    for contacts in (2, 3, 4, 9, 15, 25, 62):
        factors = [
            contact.loading_factor(loaded=n, contacts=contacts) for n in range(1, contacts + 1)
        ]
        assert factors == sorted(factors, reverse=True)


def test_parallel_contacts() -> None:
    """Four size-20 contacts of 7.5 A, a quarter loaded, unequal sharing 0.8: 14.8 A."""
    each = 7.5 * contact.loading_factor(loaded=13, contacts=50)
    found = contact.hardest_contact_a(contacts=4, current_a=14.8, share=0.8)
    assert found == pytest.approx(each, abs=0.02)  # 0.05 of 14.8 A, a quarter of it over 0.8
    assert contact.hardest_contact_a(contacts=1, current_a=7.5, share=0.8) == 7.5


def test_gauge_that_a_contact_takes() -> None:
    """Size 20 takes 24 to 20 AWG: AWG 18 is too thick."""
    row = table("elec/contact_ratings").row(family="dsub", contact_size="20")
    thickest = copper(row.text("awg_thick")).position
    assert copper("20").position <= thickest < copper("18").position


@pytest.mark.parametrize(
    ("awg", "commercial", "military", "certainty"),
    [
        ("22", 8, 15, "quoted"),
        ("20", 13, 19, "quoted"),
        ("10", 80, 150, "quoted"),
        ("8", 90, 225, "memory"),
    ],
)
def test_crimp_pull(awg: str, commercial: float, military: float, certainty: str) -> None:
    """Terminal makers' specifications, tensile strength of crimps, in pounds-force."""
    row = table("elec/crimp_pull").row(awg=awg)
    assert (row.number("commercial_lbf"), row.number("military_lbf")) == (commercial, military)
    assert row.certainty == certainty
