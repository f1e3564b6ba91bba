"""Splices one behind the other, joined returns, daisy chains: which wire carries which loads."""

from pathlib import Path

import pytest

from elec.sizing.order import loads_on
from elec.study import Study
from elec.wiring.chains import chains
from tests.read.helper import Wrong, changed, good, reading

LAMP = "  beacon: {place: belly, draw: 12 W, on: taxi..cruise}\n"
LAMPS = LAMP + "".join(f"  {n}: {{place: {p}, draw: 5 W}}\n" for n, p in
                       (("a", "belly"), ("b", "belly"), ("c", "engine")))  # fmt: skip
CIRCUIT = "circuits:\n"


def _carried(tmp_path: Path, keys: str) -> dict[tuple[str, str, str], set[str]]:
    text = changed(LAMP, LAMPS).replace(
        CIRCUIT, f"{CIRCUIT}  lamps: {{bus: main, breaker: auto, feeds: [a, b, c], {keys}}}\n"
    )
    study = Study(good(reading(tmp_path, text)))
    chain = chains(study).by_name["lamps"]
    return {
        (wire.role, wire.a.id, wire.b.id): set(loads_on(chain, wire.id))
        for wire in chain.conductors()
    }


def test_two_splices_one_behind_the_other(tmp_path: Path) -> None:
    keys = "splice: {panel: [a, b, c], belly: [a, b]}, return-splice: {belly: [a, b]}"
    assert _carried(tmp_path, keys) == {
        ("feed", "lamps/breaker", "lamps/splice:panel"): {"a", "b", "c"},
        ("feed", "lamps/splice:panel", "lamps/splice:belly"): {"a", "b"},
        ("feed", "lamps/splice:belly", "a.+"): {"a"},
        ("feed", "lamps/splice:belly", "b.+"): {"b"},
        ("feed", "lamps/splice:panel", "c.+"): {"c"},
        ("return", "a.-", "lamps/return-splice:belly"): {"a"},
        ("return", "b.-", "lamps/return-splice:belly"): {"b"},
        ("return", "lamps/return-splice:belly", "ground:far-block"): {"a", "b"},
        ("return", "c.-", "ground:block"): {"c"},
    }


def test_the_splice_nearer_to_the_bus_comes_first_however_it_is_written(tmp_path: Path) -> None:
    one = _carried(tmp_path, "splice: {panel: [a, b, c], belly: [a, b]}")
    other = _carried(tmp_path, "splice: {belly: [a, b], panel: [a, b, c]}")
    assert one == other


def test_a_daisy_chain_carries_what_lies_behind(tmp_path: Path) -> None:
    assert _carried(tmp_path, "daisy-chain: both") == {
        ("feed", "lamps/breaker", "a.+"): {"a", "b", "c"},
        ("feed", "a.+", "b.+"): {"b", "c"},
        ("feed", "b.+", "c.+"): {"c"},
        ("return", "a.-", "ground:far-block"): {"a", "b", "c"},
        ("return", "b.-", "a.-"): {"b", "c"},
        ("return", "c.-", "b.-"): {"c"},
    }


def test_a_daisy_chain_of_feeds_alone_leaves_each_its_own_return(tmp_path: Path) -> None:
    found = _carried(tmp_path, "daisy-chain: feed")
    returns = {key: loads for key, loads in found.items() if key[0] == "return"}
    assert returns == {
        ("return", "a.-", "ground:far-block"): {"a"},
        ("return", "b.-", "ground:far-block"): {"b"},
        ("return", "c.-", "ground:block"): {"c"},
    }


@pytest.mark.parametrize(
    ("keys", "message"),
    [
        ("splice: {panl: [radio, beacon]}", (
            'splice.panl: there is no place "panl"; did you mean "panel"?'
        )),
        ("splice: {belly: [radio, lamp]}", (
            'splice.belly.2: this circuit does not feed "lamp"; known: radio, beacon'
        )),
        ("splice: {belly: radio}", (
            "splice.belly: a splice joins the wires of several loads; list them: belly: [a, b]"
        )),
        ("splice: belly, daisy-chain: both", (
            "splice: a daisy chain leads from load to load; leave out splice or daisy-chain"
        )),
        ("return-splice: belly, daisy-chain: feed", (
            "return-splice: a daisy chain leads from load to load; leave out return-splice or "
            "daisy-chain"
        )),
        ("daisy-chain: loop", 'daisy-chain: "loop" is none of feed, both'),
        ("daisy-chain: both, through: {root: {feed: A, return: B, for: beacon}}", (
            "through.root.for: a daisy chain passes a plug before its first load, with all of "
            "them; leave out for"
        )),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_told(wrong: Wrong, keys: str, message: str) -> None:
    lamps = f"  lamps: {{bus: main, breaker: auto, feeds: [radio, beacon], {keys}}}\n"
    assert wrong(CIRCUIT, CIRCUIT + lamps) == [f"circuits.lamps.{message}"]


def test_returns_that_join_end_on_one_ground(tmp_path: Path) -> None:
    lamps = "  lamps: {bus: main, breaker: auto, feeds: [radio, beacon], return-splice: belly}\n"
    text = changed(CIRCUIT, CIRCUIT + lamps)
    assert not reading(tmp_path, text).mistakes
    found = reading(
        tmp_path, text.replace("beacon: {place: belly,", "beacon: {ground: block, place: belly,")
    )
    (mistake,) = found.mistakes
    assert mistake.message == (
        "the returns that join end on one ground; name it here as ground-point:, for its loads "
        "name several, or only some of them one"
    )
