"""What builders wanted to say of two aircraft, and where it is said: no row without a place.

`shapes/wagtail.yaml` is a taildragger of 14 V, `shapes/kestrel.yaml` an aeroplane of 28 V with two
alternators, two batteries and an engine that needs electricity.
"""

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from elec.answers.connect.reversing import reversing
from elec.check import run
from elec.finding import Verdict
from elec.read import read
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.landings import landings
from elec.wiring.material import bears
from tests.read.helper import reading

Place = tuple[str | int, ...]
W, K = "wagtail", "kestrel"

WANTED: tuple[tuple[str, str, tuple[Place, ...]], ...] = (
    ("battery, master, main bus, avionics bus behind a switch", W, (
        ("sources", "battery"), ("feeders", 0, "contactor"), ("feeders", 3, "switch"))),
    ("starter", W, (("circuits", "starter", "contactor"), ("equipment", "starter", "minimum"))),
    ("alternator with a field", W, (
        ("sources", "alternator", "field-circuit"), ("circuits", "alt-field"))),
    ("alternator with a permanent magnet", K, (
        ("sources", "alternator-2"), ("feeders", 3, "contactor"))),
    ("phases, transmit share, night loads", W, (
        ("phases", "taxi"), ("equipment", "radio", "modes", "transmit", "on"),
        ("equipment", "nav-left", "when"))),
    ("connectors, pins, spare pins", W, (
        ("equipment", "radio", "connectors", "J1", "pins", "8"),)),
    ("an encoder's code, contact by contact in two lines", W, (("wires", 3), ("wires", 4))),
    ("thermocouple wire", W, (("wires", 5, "thermocouple"),)),
    ("trim motor by a switch of two poles", W, (("circuits", "trim", "reverse"),)),
    ("flap motor by two relays with limit switches", W, (
        ("circuits", "flaps", "reverse", "limits"), ("switches", "flaps-up", "coil"))),
    ("wings of wood on a fuselage of steel", W, (("places", "left-wing", "structure"),)),
    ("feet and metric in one file", W, (("ways", 0, "length"), ("ways", 1, "length"))),
    ("28 V, two alternators, two batteries, two grounds", K, (
        ("sources", "alternator-1"), ("sources", "alternator-2"), ("sources", "battery-2"),
        ("grounds", "ground-2"))),
    ("a bus fed from both ends, a device at each end", K, (
        ("feeders", 6, "far-end"), ("feeders", 7, "far-end"))),
    ("an essential bus by two diodes", K, (("feeders", 8, "diode"), ("feeders", 9, "diode"))),
    ("an engine that needs electricity", K, (
        ("system", "electrically-dependent"), ("circuits", "ecu", "diode"),
        ("circuits", "ecu-b", "diode"))),
    ("constant power, current and ohms", K, (
        ("equipment", "ecu", "draw"), ("equipment", "cabin-fan", "draw"),
        ("equipment", "pitot-heat", "draw"))),
    ("a shielded pair, its drain at one end", K, (
        ("multicores", "audio", "shield"), ("multicores", "audio", "drain"))),
    ("a coaxial run to an antenna", K, (("coax", "com-antenna"),)),
    ("positions on a panel", K, (("panels", "breakers", "rows"),)),
    ("a fusible link with its gauge and place", W, (
        ("circuits", "phone-charger", "link", "gauge"),
        ("circuits", "phone-charger", "link", "place"))),
    ("a round connector by the builder's own drawing", K, (("connector-types", "bayonet-12"),)),
    ("splices of feed and return, for some of the loads", W, (
        ("circuits", "nav", "splice", "wing-centre"),
        ("circuits", "nav", "return-splice", "wing-centre"))),
    ("the battery's negative cable in a bundle", W, (("ways", 1, "bundled", "negative"),)),
)  # fmt: skip


@cache
def _study(name: str) -> Study:
    found = read(Path(__file__).parent / "shapes" / f"{name}.yaml")
    assert [str(mistake) for mistake in found.mistakes] == []
    assert found.system is not None
    return Study(found.system)


@pytest.mark.parametrize(("wanted", "name", "places"), WANTED, ids=[row[0] for row in WANTED])
def test_what_was_wanted_is_said_there(wanted: str, name: str, places: tuple[Place, ...]) -> None:
    missing = [place for place in places if place not in _study(name).system.places]
    assert missing == [], wanted


def _ways(study: Study) -> bool:
    return [way.name for way in reversing(study)["trim"].ways] == ["nose up", "nose down"]


def _relays(study: Study) -> bool:
    return [way.stops for way in reversing(study)["flaps"].ways] == [
        "flap up limit", "flap down limit",
    ]  # fmt: skip


def _link(study: Study) -> bool:
    device = chains(study).by_name["phone-charger"].device
    return device is not None and device.kind == "link" and device.place == "panel"


def _panel(study: Study) -> bool:
    return [f.verdict for f in run(study) if f.check == "system-panel"] == [Verdict.PASS]


def _negative(study: Study) -> bool:
    return "battery-negative" in chains(study).by_name


def _crowds(study: Study) -> bool:
    """The three wires of the position lights leave its switch as two."""
    return landings(study)["nav nav"].wires == 2


@pytest.mark.parametrize(
    ("name", "holds"),
    [(W, _ways), (W, _relays), (W, _link), (K, _panel), (W, _negative), (W, _crowds)],
)
def test_and_it_does_what_was_meant(name: str, holds: Callable[[Study], bool]) -> None:
    assert holds(_study(name))


def test_a_wing_of_wood_carries_no_return_where_the_fuselage_does(tmp_path: Path) -> None:
    text = (Path(__file__).parent / "shapes" / "wagtail.yaml").read_text(encoding="utf-8")
    found = reading(tmp_path, text.replace("return: wired", "return: airframe")).system
    assert found is not None
    study = Study(found)
    assert bears(study, "panel")
    assert not bears(study, "left-wing")


def test_a_shielded_pair_in_other_words_says_what_to_write(tmp_path: Path) -> None:
    text = (Path(__file__).parent / "shapes" / "kestrel.yaml").read_text(encoding="utf-8")
    other = text.replace("type: 2-core AWG 22 shielded twisted", "type: shielded pair AWG 22")
    (told,) = reading(tmp_path, other).mistakes
    assert "2-core AWG 22 shielded" in told.message
