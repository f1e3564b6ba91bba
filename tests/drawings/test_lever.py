"""Throws of switches whose terminals are counted: the sheets of circuits and panels agree."""

import math

import pytest

from elec.drawings.records.circuits import circuit_record
from elec.drawings.records.panel import panel_record
from elec.model.reverse import MARKS
from tests.drawings.test_set import drawn, study
from tests.systems import NAMES

UP, DOWN = ("(2)–(3), (5)–(6)", "(1)–(2), (4)–(5)")


def _engraved(name: str) -> dict[str, tuple[str, ...]]:
    """Switch → the words of its lever from the top, as the panel has them."""
    panels = [panel_record(study(name), panel, {}) for panel in study(name).document.panels]
    return {spot.ref: spot.lever for p in panels for row in p.rows for spot in row if spot.lever}


@pytest.mark.parametrize("name", NAMES)
def test_the_same_lever_joins_the_same_terminals(name: str) -> None:
    """Lever up is (2)–(3) on every switch, by the words that the panel has at it."""
    document, levers = study(name).document, _engraved(name)
    met = 0
    for circuit, entry in document.circuits.items():
        record = circuit_record(study(name), circuit)
        bridges = [n.bridge for row in record.rows for n in row.nodes if n.bridge is not None]
        throws = [n for row in record.rows for n in row.nodes if n.kind == "throw"]
        lever = document.switches[entry.switch].lever if entry.switch else ()
        if bridges and bridges[0].centred:
            facts = dict(record.facts)
            assert facts[lever[0]].startswith(f"lever up joins {UP}"), circuit
            assert facts[lever[-1]].startswith(f"lever down joins {DOWN}"), circuit
            assert set(bridges[0].marks) == set(MARKS["switch"])
        for node in throws:
            assert (node.pin, node.pin_out) == ("(2)", {lever[0]: "(3)", lever[-1]: "(1)"}[
                node.signal_out])  # fmt: skip
        if throws or (bridges and bridges[0].centred):
            met += 1
            assert levers.get(entry.switch or "", lever) == lever
    assert met or name == "thistledown"


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_what_a_lever_joins_stands_over_its_circuit(name: str) -> None:
    """A clipped note in the title block was all that told (1)–(2) down from (1)–(2) closed."""
    document, met = study(name).document, 0
    texts = {
        ref: " ".join(i.text for s in drawn(name).sheets for i in s.items
                      if i.ref == ref and s.title.label.startswith("C"))
        for ref in document.circuits
    }  # fmt: skip
    for circuit in document.circuits:
        nodes = [n for row in circuit_record(study(name), circuit).rows for n in row.nodes]
        if any(n.bridge is not None and n.bridge.centred for n in nodes):
            assert "lever up joins (2)–(3), (5)–(6)" in texts[circuit]
            assert "lever down joins (1)–(2), (4)–(5)" in texts[circuit]
            met += 1
        elif any(n.kind == "throw" for n in nodes):
            assert "lever: up joins (2)–(3), down joins (1)–(2)" in texts[circuit]
            met += 1
    assert met


def test_a_changeover_counts_as_every_other_lever() -> None:
    """Thistledown's BATTERY joined (1) with (2) when up, all others (2) with (3)."""
    (sheet,) = drawn("thistledown").of("one-line")[0].sheets
    said = " ".join(item.text for item in sheet.items)
    up = study("thistledown").document.switches["battery-select"].lever[0].upper()
    assert f"{up} (3)" in said
    assert f"{up} (6)" in said


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_wires_that_cross_between_terminals_meet_nowhere(name: str) -> None:
    """One leads over the middle of the other, and the line of the lever keeps clear of it."""
    met = 0
    for sheet in (s for d in drawn(name).of("circuit") for s in d.sheets):
        wires = [i for i in sheet.items if i.kind == "wire"]
        lever = [i.segments or ((i.box[:2], i.box[2:]),) for i in sheet.items if i.role == LEVER]
        for through in wires:
            if len(through.segments) != 1 or not _slants(through.segments[0]):
                continue
            (ax, ay), (bx, by) = through.segments[0]
            middle = ((ax + bx) / 2, (ay + by) / 2)
            others = [i.segments for i in wires if i.ref != through.ref]
            assert all(_off(s, middle) > CLEAR_MM for lines in (*others, *lever) for s in lines)
            assert any(_off(s, middle) < 3.0 for lines in others for s in lines)
            met += 1
    assert met


LEVER = "one lever"
CLEAR_MM = 1.0
"""A millimetre apart is seen as apart at arm's length."""


def _slants(segment: tuple[tuple[float, float], ...]) -> bool:
    (ax, ay), (bx, by) = segment
    return abs(ax - bx) > 5.0 and abs(ay - by) > 5.0


def _off(segment: tuple[tuple[float, float], ...], at: tuple[float, float]) -> float:
    """How far a point is from a piece of line."""
    (ax, ay), (bx, by) = segment
    dx, dy = bx - ax, by - ay
    along = ((at[0] - ax) * dx + (at[1] - ay) * dy) / (dx * dx + dy * dy or 1.0)
    share = max(0.0, min(1.0, along))
    return math.hypot(ax + share * dx - at[0], ay + share * dy - at[1])
