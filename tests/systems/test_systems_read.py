"""The systems that come with elec: they read, hold enough, and their hand sums are right."""

from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest

from elec.check import run
from elec.finding import Verdict
from elec.model.load import Equipment
from elec.model.phase import uses
from elec.model.source import Alternator, Lithium
from elec.model.system import Document, System
from elec.read import read
from elec.standards.table import table
from elec.study import Study
from tests.systems import NAMES

SYSTEMS = Path(__file__).parents[2] / "systems"


@cache
def system(name: str) -> System:
    reading = read(SYSTEMS / name)
    assert not reading.mistakes, "\n".join(map(str, reading.mistakes))
    assert reading.system is not None
    return reading.system


def document(name: str) -> Document:
    return system(name).document


@pytest.mark.parametrize("name", NAMES)
def test_reads_without_a_mistake(name: str) -> None:
    assert system(name).about.name.casefold() == name


def connector_types(name: str) -> list[str]:
    found = document(name)
    boxes = [c.type for e in found.equipment.values() for c in e.connectors.values()]
    return boxes + [c.type for c in found.plugs.values()]


def multi_pin(name: str) -> list[str]:
    return [kind for kind in connector_types(name) if kind.startswith(("dsub", "circular"))]


def coaxial(name: str) -> list[str]:
    return [key for key, cable in document(name).coax.items()]


def spares(name: str) -> list[str]:
    return [key for key, cable in document(name).cables.items() if cable.spare]


def count(name: str) -> dict[str, int]:
    found = document(name)
    return {
        "circuits": len(found.circuits),
        "equipment": len(found.equipment),
        "buses": len(found.buses),
        "places": len(found.places),
        "zones": len(found.zones),
        "multi-pin": len(multi_pin(name)),
        "coaxial": len(coaxial(name)),
        "spares": len(spares(name)),
        "inline": len(found.plugs),
    }


@pytest.mark.parametrize(
    ("name", "least"),
    [
        (
            "foxglove",
            {"circuits": 25, "equipment": 40, "buses": 3, "places": 10, "zones": 4}
            | {"multi-pin": 6, "coaxial": 3, "spares": 1, "inline": 2},
        ),
        (
            "larkspur",
            {"circuits": 60, "equipment": 100, "buses": 8, "places": 12, "zones": 5}
            | {"multi-pin": 25, "coaxial": 8, "spares": 2, "inline": 2},
        ),
        (
            "thistledown",
            {"circuits": 9, "equipment": 14, "buses": 1, "places": 5, "zones": 2}
            | {"multi-pin": 6, "coaxial": 2, "spares": 1, "inline": 0},
        ),
    ],
)
def test_is_large_enough_to_try_everything(name: str, least: Mapping[str, int]) -> None:
    got = count(name)
    short = {key: (got[key], wanted) for key, wanted in least.items() if got[key] < wanted}
    assert not short


def test_foxglove_has_every_family_of_connector() -> None:
    kinds = set(connector_types("foxglove"))
    assert {"dsub-9", "dsub-15", "dsub-25", "dsub-37"} <= kinds
    assert any(kind.startswith("dsub-hd-") for kind in kinds)
    assert any(kind.startswith("circular-") for kind in kinds)


def alternators(name: str) -> list[Alternator]:
    return [s for s in document(name).sources.values() if isinstance(s, Alternator)]


def test_thistledown_has_no_alternator_and_one_of_two_batteries_at_a_time() -> None:
    assert not alternators("thistledown")
    sources = document("thistledown").sources.values()
    assert [type(source) for source in sources] == [Lithium, Lithium]
    assert {feeder.changeover for feeder in document("thistledown").feeders} == {"battery-select"}


def test_larkspur_standby_alternator_is_set_lower_and_the_engine_needs_current() -> None:
    primary, standby = alternators("larkspur")
    assert standby.setpoint_v < primary.setpoint_v
    assert system("larkspur").about.electrically_dependent


def claims(found: Document) -> Iterator[str]:
    """Every contact that a conductor ends on."""
    for circuit in found.circuits.values():
        yield from (contact for contact in (*circuit.feeds, *circuit.ground) if "." in contact)
        for name, through in circuit.through.items():
            # Both halves of the connector, like the two wires of a signal that passes through.
            yield from [f"{name}.{through.feed}"] * 2
            if through.return_ is not None:
                yield from [f"{name}.{through.return_}"] * 2
    for wire in found.wires:
        yield from (wire.from_, *wire.to)
    for cable in found.cables.values():
        for core in cable.cores.values():
            yield from (core.from_, core.to)
        if cable.drain is not None:
            yield cable.drain


def contacts(found: Document) -> Iterator[str]:
    for name, box in found.equipment.items():
        for plug, connector in box.connectors.items():
            yield from (f"{name}.{plug}.{pin}" for pin in connector.pins)


@pytest.mark.parametrize("name", NAMES)
def test_every_contact_with_a_signal_has_exactly_one_wire(name: str) -> None:
    claimed = Counter(claims(document(name)))
    assert {c: claimed[c] for c in contacts(document(name)) if claimed[c] != 1} == {}


@pytest.mark.parametrize("name", NAMES)
def test_every_contact_between_harnesses_has_a_wire_on_both_sides(name: str) -> None:
    claimed = Counter(claims(document(name)))
    inline = [
        f"{plug}.{pin}"
        for plug, connector in document(name).plugs.items()
        for pin, contact in connector.pins.items()
        if contact.signal != "spare"
    ]
    assert {c: claimed[c] for c in inline if claimed[c] != 2} == {}


@pytest.mark.parametrize("name", NAMES)
def test_spare_contacts_are_left(name: str) -> None:
    # AC 43.13-1B 11-234: two spares up to 25 contacts, four up to 100.
    rows = {
        row.text("arrangement"): int(row.number("contacts_count"))
        for row in table("elec/dsub_shells").select()
    }
    short = {}
    for key, box in document(name).equipment.items():
        for plug, connector in box.connectors.items():
            if connector.type in rows:
                free = rows[connector.type] - len(connector.pins)
                if free < (2 if rows[connector.type] <= 25 else 4):
                    short[f"{key}.{plug}"] = free
    assert not short


def fed(found: Document) -> set[str]:
    return {contact.split(".")[0] for c in found.circuits.values() for contact in c.feeds}


@pytest.mark.parametrize("name", NAMES)
def test_everything_that_draws_is_fed_and_says_where_its_current_comes_from(name: str) -> None:
    found = document(name)
    drawing = {key for key, box in found.equipment.items() if not box.passive}
    assert drawing == fed(found)
    unsaid = [
        key
        for key in drawing
        if found.equipment[key].basis is None
        and not all(mode.basis for mode in found.equipment[key].modes.values())
    ]
    assert unsaid == []
    assert all(box.modes or box.basis for key, box in found.equipment.items() if key in drawing)


@pytest.mark.parametrize("name", NAMES)
def test_no_two_circuits_share_a_wire_number(name: str) -> None:
    circuits = document(name).circuits.values()
    marks = Counter((c.function, c.number) for c in circuits if c.number is not None)
    assert {mark: count for mark, count in marks.items() if count > 1} == {}


def drawn_a(found: Document, box: Equipment, phase: str, condition: str, at_v: float) -> float:
    """Average current over a phase, by the plain arithmetic of the comment in system.yaml."""
    if box.passive or box.when not in ("always", condition):
        return 0.0
    phases = list(found.phases)
    lasts_s = found.phases[phase].lasts_s

    def share(on: object) -> float:
        use = uses(on, phases).get(phase)  # type: ignore[arg-type]
        return use.share_of(lasts_s) if use else 0.0

    if not box.modes:
        return box.draw.current_a(at_v) * share(box.on or "always") if box.draw else 0.0
    base, *others = box.modes.values()
    assert base.draw is not None
    total = base.draw.current_a(at_v) * share(base.on)
    for mode in others:
        assert mode.draw is not None
        total += (mode.draw.current_a(at_v) - base.draw.current_a(at_v)) * share(mode.on)
    return total


@pytest.mark.parametrize(
    ("name", "condition", "at_v", "hand_a"),
    [
        # The amperes of the comment at the head of each system.yaml, added up by hand.
        (
            *("foxglove", "day", 14.0),
            {"taxi": 8.8, "climb": 11.2, "cruise": 10.3, "approach": 9.8, "dock": 7.4},
        ),
        (
            *("foxglove", "night", 14.0),
            {"taxi": 14.6, "climb": 16.3, "cruise": 12.2, "approach": 14.8, "dock": 13.5},
        ),
        (
            *("larkspur", "night", 28.0),
            {"taxi": 16.6, "climb": 24.1, "cruise": 22.4, "approach": 22.4},
        ),
        ("thistledown", "day", 13.1, {"grid": 1.0, "soaring": 1.75}),
    ],
)
def test_hand_sums(name: str, condition: str, at_v: float, hand_a: Mapping[str, float]) -> None:
    found = document(name)
    for phase, wanted_a in hand_a.items():
        # The starter is no load that lasts, and the relay for the emergency is open.
        idle = ("starter", "essential-feed-coil", "cross-feed-coil")
        boxes = [box for key, box in found.equipment.items() if key not in idle]
        got_a = sum(drawn_a(found, box, phase, condition, at_v) for box in boxes)
        # The comment gives one decimal of amperes (thistledown two).
        assert got_a == pytest.approx(wanted_a, abs=0.06), phase


@pytest.mark.parametrize("name", NAMES)
def test_no_system_that_comes_with_elec_fails_a_check(name: str) -> None:
    found = run(Study(system(name)), deep=False)
    assert not [f"{f.check} {f.about}: {f.sentence}" for f in found if f.verdict is Verdict.FAIL]
