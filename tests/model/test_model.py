"""The records: keys, laws of loads, phases in which a load is on."""

from collections.abc import Iterator
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from elec import units
from elec.finding import Place
from elec.model.load import Draw, Equipment, Use
from elec.model.phase import uses
from elec.model.source import Alternator
from elec.model.system import Document, System
from elec.model.wiring import Circuit, Feeder, Protection
from elec.read.shape import keys_of, records_in

PHASES = ["start", "taxi", "climb", "cruise", "approach"]


def records(record: type[BaseModel], seen: set[type[BaseModel]]) -> Iterator[type[BaseModel]]:
    if record in seen:
        return
    seen.add(record)
    yield record
    for field in record.model_fields.values():
        stack = [field.annotation]
        while stack:
            kind = stack.pop()
            for other in records_in(kind):
                yield from records(other, seen)
            stack += get_args(kind)


ALL = sorted(records(Document, set()), key=lambda record: record.__name__)


def test_all_records_are_found() -> None:
    assert {"Document", "Alternator", "Lithium", "Core", "Through", "Hole"} <= {
        record.__name__ for record in ALL
    }


@pytest.mark.parametrize("record", ALL)
def test_no_two_fields_have_one_key(record: type[BaseModel]) -> None:
    assert len(keys_of(record)) == len(record.model_fields)
    for key in keys_of(record):
        assert "_" not in key
        assert key == key.strip("-")


@pytest.mark.parametrize("record", ALL)
def test_records_are_frozen_and_closed(record: type[BaseModel]) -> None:
    assert record.model_config.get("frozen") is True
    assert record.model_config.get("extra") == "forbid"


@given(st.floats(min_value=0.01, max_value=100), st.floats(min_value=1, max_value=40))
def test_the_three_laws(value: float, voltage_v: float) -> None:
    # Ohm's law and P = U·I; 1e-12 forgives the rounding of one division.
    assert Draw(law="current", value=value).current_a(voltage_v) == value
    power = Draw(law="power", value=value).current_a(voltage_v)
    assert power * voltage_v == pytest.approx(value, rel=1e-12)
    resistance = Draw(law="resistance", value=value).current_a(voltage_v)
    assert resistance * value == pytest.approx(voltage_v, rel=1e-12)


def test_text_becomes_numbers_at_the_door() -> None:
    box = Equipment.model_validate(
        {"place": "panel", "draw": "35 W", "drop": "500 mV", "shed": "5 min", "essential": "no"}
    )
    assert box.draw == Draw(law="power", value=35.0)
    assert (box.drop_v, box.shed, box.essential) == (0.5, 300.0, False)
    feeder = Feeder(from_="a", to="b", fuse=Protection(rating_a=15.0))
    assert feeder.device() == ("fuse", Protection(rating_a=15.0))
    auto = Circuit.model_validate({"bus": "main", "feeds": "box", "breaker": "auto"})
    assert auto.feeds == ("box",)
    device = auto.device()
    assert device is not None
    assert device[1].rating_a is None
    assert Circuit.model_validate({"bus": "main", "feeds": "box"}).device() is None


def test_the_output_of_an_alternator_rises_with_speed() -> None:
    made = Alternator.model_validate(
        {
            "kind": "alternator",
            "place": "engine",
            "setpoint": "14.2 V",
            "output": {"2600 rpm": "40 A", "1000 rpm": "8 A"},
        }
    )
    assert made.output == ((1000.0, 8.0), (2600.0, 40.0))
    assert made.rated_a() == 40.0


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_no_number_is_refused_everywhere(value: float) -> None:
    with pytest.raises(ValidationError):
        Draw(law="power", value=value)
    with pytest.raises(ValidationError):
        Protection(rating_a=value)


@pytest.mark.parametrize(
    ("on", "named"),
    [
        ("always", PHASES),
        ("never", []),
        ("climb", ["climb"]),
        ("taxi..cruise", ["taxi", "climb", "cruise"]),
        ("taxi .. climb", ["taxi", "climb"]),
        (["start", "climb..approach"], ["start", "climb", "cruise", "approach"]),
    ],
)
def test_when_a_load_is_on(on: str | list[str], named: list[str]) -> None:
    found = uses(on, PHASES)
    assert sorted(found) == sorted(named)
    assert all(use.share_of(600.0) == 1.0 for use in found.values())


def test_shares_and_times() -> None:
    found = uses({"taxi..climb": Use(share=0.1), "cruise": Use(time_s=60.0)}, PHASES)
    assert found["climb"].share_of(600.0) == 0.1
    assert found["cruise"].share_of(600.0) == pytest.approx(0.1)
    assert found["cruise"].share_of(30.0) == 1.0
    with pytest.raises(KeyError, match="landing"):
        uses("taxi..landing", PHASES)


def test_where_gives_the_nearest_that_is_written() -> None:
    place = Place(file="a.yaml", line=3, column=5, path="circuits.nav")
    document = Document.model_validate({"system": {"name": "x", "nominal": "14 V"}})
    system = System(document=document, places={("circuits", "nav"): place})
    assert system.where("circuits", "nav", "breaker") == place
    assert system.where("buses", "main") == Place(path="buses.main")
    assert str(system.where("circuits", "nav", "gauge")) == "a.yaml:3"


@pytest.mark.parametrize("suffix", sorted(units.SUFFIXES))
def test_every_suffix_is_cut_off(suffix: str) -> None:
    assert units.split_suffix(f"some_field_{suffix}") == ("some_field", suffix)
