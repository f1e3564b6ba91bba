"""How thick wires are drawn: by their gauge, by one rule on every sheet."""

from itertools import pairwise

import pytest

from elec.drawings.ink import InkPath, Placed
from elec.drawings.records import words
from elec.drawings.sheets.bridge import LEAD
from elec.drawings.sheets.parts import line_mm
from elec.drawings.symbols import shape
from elec.wiring.chains import chains
from tests.drawings.test_set import drawn, study
from tests.systems import NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_heavy_wire_is_never_a_hairline(name: str) -> None:
    """Starter cables stood beside thinner feeders as the thinnest lines of the sheet."""
    own = study(name)
    gauges = {c.id: words.gauge(own, c) for c in chains(own).conductors()}
    met = set()
    for d in drawn(name).of("one-line") + drawn(name).of("circuit") + drawn(name).of("grounds"):
        for sheet in d.sheets:
            for item in sheet.items:
                if isinstance(item.ink, InkPath) and item.kind == "wire" and item.ref in gauges:
                    assert item.ink.width_mm == line_mm(gauges[item.ref]), item.ref
                    met.add(line_mm(gauges[item.ref]))
    assert met


@pytest.mark.parametrize("name", ["foxglove", "larkspur", "yarrow"])
def test_a_wire_keeps_its_weight_up_to_the_contacts_of_a_bridge(name: str) -> None:
    """Foxglove's water rudder: AWG 12 was thin between its texts and the relay's terminals."""
    met = set()
    for sheet in (s for d in drawn(name).of("circuit") for s in d.sheets):
        wires = [(i, i.ink.width_mm) for i in sheet.items
                 if i.kind == "wire" and isinstance(i.ink, InkPath)]  # fmt: skip
        ends = {(round(p[0], 2), round(p[1], 2)): mm
                for i, mm in wires for line in i.segments for p in line}  # fmt: skip
        for lead in (i for i in sheet.items if i.role == LEAD):
            assert isinstance(lead.ink, InkPath)
            found = [ends[at] for line in lead.segments for p in line
                     if (at := (round(p[0], 2), round(p[1], 2))) in ends]  # fmt: skip
            assert found
            assert {lead.ink.width_mm} == set(found), (sheet.title.label, lead.ref)
            met.add(lead.ink.width_mm)
    assert (0.5 in met) == (name == "foxglove")


@pytest.mark.parametrize("name", NAMES)
def test_rows_and_feeders_of_the_one_line_diagram_are_as_thick_as_their_wires(name: str) -> None:
    own, met = study(name), 0
    for d in drawn(name).of("one-line"):
        for sheet in d.sheets:
            for item in sheet.items:
                chain = chains(own).by_name.get(item.ref)
                if item.kind != "wire" or chain is None or not chain.conductors():
                    continue
                assert isinstance(item.ink, InkPath)
                met += 1
                known = {line_mm(words.gauge(own, c)) for c in chain.conductors()}
                assert item.ink.width_mm in known, item.ref
    assert met


def test_amperes_have_three_figures() -> None:
    assert [words.amps(a) for a in (0.04, 24.44, 99.94, 99.96, 120.1)] == [
        "0.04", "24.4", "99.9", "100", "120",
    ]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_what_is_joined_without_a_wire_is_a_broken_line(name: str) -> None:
    """Drawn like a cable it is looked for in the aircraft, and not found."""
    own = study(name)
    wires = {c.id for c in chains(own).conductors()}
    sheets = [s for d in drawn(name).of("grounds") for s in d.sheets]
    rows = [i for s in sheets for i in s.items if i.kind == "wire" and not i.ref.count("ground:")]
    broken = [i for i in rows if isinstance(i.ink, InkPath) and i.ink.dash]
    assert not {i.ref for i in broken} & wires
    said = " ".join(i.text for s in sheets for i in s.items)
    bare = [i for s in sheets for i in s.items if i.text == "no wire"]
    assert len(broken) >= len(bare)
    assert bool(broken) == ("Broken line: metal bolted together" in said)


@pytest.mark.parametrize("name", NAMES)
def test_symbols_of_a_key_are_clear_of_each_other(name: str) -> None:
    """Battery and alternator, contactor and relay ran into one another."""
    for d in (*drawn(name).of("legend"), *drawn(name).of("one-line")):
        for sheet in d.sheets:
            high: dict[float, list[tuple[float, float]]] = {}
            for item in sheet.items:
                if isinstance(item.ink, Placed) and item.ref == "legend":
                    form, (_, y) = shape(item.ink.name), item.ink.at
                    up, down = form.above_mm * item.ink.scale, form.below_mm * item.ink.scale
                    high.setdefault(item.box[0], []).append((y - up, y + down))
            for spans in high.values():
                for (_, low), (top, _) in pairwise(sorted(spans)):
                    assert top - low > 0.9, sheet.title.label
