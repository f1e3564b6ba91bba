"""Sense wires, wires of lamps and lights: what guards them, and what a short in them drives."""

import pytest

from elec.answers.heat.heat import heat
from elec.answers.short.damage import opens_in_time
from elec.answers.short.fault import faults
from elec.answers.short.shorts import shorts
from elec.sizing.sizing import guarding, sizing
from elec.standards import default
from elec.wiring.chains import chains
from tests.answers.helper import small, whole
from tests.systems import NAMES

TEXT = """
system: {name: Thin, nominal: 14 V, return: wired, wire: etfe-tin}
phases: {start: {lasts: 10 s, engine: cranking}, cruise: {lasts: 1 h, engine: 2400 rpm}}
sources:
  battery: {kind: lead-acid, place: box, capacity: 18 Ah, resistance: 12 mΩ}
buses: {main: {place: box}}
grounds: {stud: {place: box}}
feeders: [{name: cable, from: battery, to: main, limiter: 60 A, gauge: AWG 4, length: 2 ft}]
equipment:
  lamp: {place: box, draw: 1 A}
  panel:
    place: box
    draw: 1 A
    connectors: {J1: {type: dsub-15, pins: {1: power, 2: ground, 3: lamp}}}
  meter: {place: tail, passive: yes}
circuits:
  lamp: {bus: main, breaker: 5 A, feeds: lamp, gauge: AWG 20, length: 3 ft}
  panel:
    {bus: main, breaker: 3 A, feeds: panel.J1.1, ground: panel.J1.2, gauge: AWG 20, length: 3 ft}
plugs: {root: {type: dsub-9, place: box}, rear: {type: dsub-9, place: box}}
wires:
  - {from: main, to: meter.1, fuse: {rating: 1 A, resistance: 100 mΩ}, gauge: AWG 22, length: 20 ft}
  WIRES
places: {box: {within: 3 ft}, tail: {}}
ways: [{between: [box, tail], length: 10 ft}]
"""
"""AWG 22 has 16.2 Ω in 1000 ft (AC 43.13-1B table 11-9), AWG 4 has 0.28."""

HOT = (234.5 + 150) / 254.5
"""Copper at the rating of its insulation, over copper at 20 °C."""


def _system(*wires: str) -> str:
    return TEXT.replace("WIRES", "\n  ".join(f"- {wire}" for wire in wires))


def test_the_least_current_by_hand() -> None:
    """A low battery, its cable, the fuse and the wire, hot; back it is at the stud."""
    found = faults(small(_system()))["wire-1"]
    volts = default("fault-voltage-14").value
    limiter = default("joint-resistance").si
    joints = 2 * default("joint-resistance").si
    cable = 2 * 0.28e-3 * HOT + joints
    negative = 3 * 0.28e-3 * HOT + joints
    wire = 20 * 16.2e-3 * HOT + joints
    ohms = 12e-3 + cable + limiter + 0.1 + wire + negative
    # 1 %: the table prints AWG 4 with two digits
    assert found.least_a == pytest.approx(volts / ohms, rel=0.01)


@pytest.mark.parametrize("name", [n for n in NAMES if n != "thistledown"])
def test_every_thin_wire_is_shorted_and_judged(name: str) -> None:
    study = whole(name)
    thin = [chain for chain in chains(study).of("wire") if chain.hot]
    assert thin
    for chain in thin:
        fault, shorted = faults(study)[chain.name], shorts(study).by_name[chain.name]
        (far,) = [short for short in shorted.shorts if short.at == "far end"]
        assert fault.least_a is not None, chain.title
        assert fault.greatest_a is not None, chain.title
        # hot wires and a low battery give less than the solved network, the device's post more
        assert fault.least_a < far.normal.drives_a < fault.greatest_a, chain.title
        assert far.normal.opened, chain.title
        assert chain.name in opens_in_time(study)
        assert guarding(study, chain) is not None
        assert all(c.id in heat(study) for c in chain.conductors())


def test_a_system_without_thin_wires_has_none() -> None:
    assert not [chain for chain in chains(whole("thistledown")).of("wire") if chain.hot]


def test_a_wire_behind_plugs_is_guarded_by_the_fuse_before_them() -> None:
    study = small(
        _system(
            "{from: main, to: root.1, fuse: 1 A}",
            "{from: root.1, to: rear.2}",
            "{from: rear.2, to: meter.2}",
            "{from: root.5, to: meter.3}",
        )
    )
    every = chains(study).by_name
    assert [every[f"wire-{n}"].guards for n in (3, 4)] == [("wire-2",), ("wire-2",)]
    assert [every[f"wire-{n}"].after for n in (2, 3, 4)] == ["", "wire-2", "wire-3"]
    assert not every["wire-5"].hot
    first, last = (faults(study)[f"wire-{n}"].least_a for n in (2, 4))
    assert first is not None
    assert last is not None
    assert last < first  # all wires before it lie in its loop
    (far,) = [s for s in shorts(study).by_name["wire-4"].shorts if s.at == "far end"]
    assert [one.device for one in far.normal.opened] == ["wire-2"]


def test_a_wire_of_a_lamp_is_guarded_by_what_feeds_its_box_and_sized_for_it() -> None:
    study = small(_system("{from: panel.J1.3, to: meter.2, function: P}"))
    chain = chains(study).by_name["wire-2"]
    assert (chain.output, chain.guards, chain.after) == ("panel", ("panel",), "panel")
    device = guarding(study, chain)
    assert device is not None
    assert device.label == "3 A breaker"
    gauge = sizing(study).gauges["wire-2/1"]
    assert (gauge.awg, gauge.decided) == ("22", "published chart for a 3 A breaker")


def test_a_return_of_a_lamp_brings_no_power() -> None:
    study = small(_system("{from: panel.J1.3, to: stud, function: P}"))
    assert not chains(study).by_name["wire-2"].hot


def test_a_chosen_fuse_holds_what_its_wire_carries() -> None:
    study = small(_system("{from: main, to: meter.2, fuse: auto, amps: 3 A}",
                          "{from: main, to: meter.3, fuse: auto}"))  # fmt: skip
    found = sizing(study).devices
    assert found["wire-2"].needed_a is not None
    assert found["wire-2"].needed_a > 4  # 3 A at three quarters of the rating, in the warmth
    assert found["wire-2"].rating_a == 5
    assert found["wire-3"].rating_a == default("tap-fuse").si


def test_a_fuse_away_from_its_post_has_a_wire_of_its_own() -> None:
    study = small(_system("{from: battery, to: meter.2, fuse: {rating: 1 A, stub: 5 in}}"))
    stub, wire = chains(study).by_name["wire-2"].conductors()
    assert (stub.id, stub.stub) == ("wire-2/stub", True)
    assert stub.length_m == pytest.approx(5 * 0.0254)
    assert (wire.id, wire.stub) == ("wire-2/1", False)
    assert stub.b.outlet == wire.a.outlet
