"""Crimp contacts: bought by family, size and half, less what lies on the shelf."""

from pathlib import Path

import pytest

from elec.pages.bench.shopping import connectors_to_buy
from elec.read import read
from elec.study import Study
from tests.answers.helper import NAMES, small, whole
from tests.read.helper import GOOD

TEXT = GOOD.replace("type: round-4,", "type: circular-38999-20, contacts: pin,")


def contacts(study: Study) -> dict[tuple[object, object], tuple[object, ...]]:
    """(what, half) → numbers of the rows of contacts."""
    return {
        (row[0], row[1]): tuple(row[2:])
        for row in connectors_to_buy(study).rows
        if str(row[0]).startswith("crimp contact")
    }


def test_each_half_of_a_connector_has_its_own_contacts() -> None:
    """A D-sub contact and a round one of the same size are two things to buy."""
    found = contacts(small(TEXT))
    # radio: power, ground and audio; root: feed and return on both halves, audio on the near one
    assert found["crimp contact, size 20, dsub", "pin"] == (3,)
    assert found["crimp contact, size 20, circular-38999", "pin"] == (3,)
    assert found["crimp contact, size 20, circular-38999", "socket"] == (2,)


@pytest.mark.parametrize(
    ("stock", "dsub", "round_"),
    [
        ("dsub-9 pin: 2", (3, 2, 1), (3, "", 3)),
        ("dsub 20 pin: 50", (3, 3, 0), (3, "", 3)),
        ("circular-38999-20 pin: 1, dsub 20 socket: 9", (3, "", 3), (3, 1, 2)),
    ],
)
def test_what_lies_on_the_shelf_is_not_bought(
    stock: str, dsub: tuple[object, ...], round_: tuple[object, ...]
) -> None:
    found = contacts(small(f"{TEXT}stock: {{crimp-contacts: {{{stock}}}}}\n"))
    assert found["crimp contact, size 20, dsub", "pin"] == dsub
    assert found["crimp contact, size 20, circular-38999", "pin"] == round_


@pytest.mark.parametrize(
    ("stock", "meant"),
    [
        ("dsub-15: 40", "{dsub-15 socket: 40}"),
        ("dsub 21 pin: 40", 'there is no crimp contact "dsub 21"; did you mean "dsub 20"?'),
        ("dsub-15 pin: some", '"some" is no number of contacts'),
        ("BNC pin: 4", "known: a connector type"),
        ("[dsub-15]", "crimp-contacts"),
    ],
)
def test_a_contact_that_is_none_is_told_at_its_place(
    tmp_path: Path, stock: str, meant: str
) -> None:
    held = stock if stock.startswith("[") else f"{{{stock}}}"
    file = tmp_path / "stock.yaml"
    file.write_text(f"{TEXT}stock: {{crimp-contacts: {held}}}\n", encoding="utf-8")
    (mistake,) = read(file).mistakes
    assert mistake.place.line == TEXT.count("\n") + 1
    assert meant in str(mistake)


@pytest.mark.parametrize("name", NAMES)
def test_no_half_of_a_contact_is_left_open(name: str) -> None:
    assert {half for _, half in contacts(whole(name))} <= {"pin", "socket"}
