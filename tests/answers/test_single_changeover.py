"""One load, an audio line, an ignition line changed over, as docs/file-format.md writes them."""

import re
from pathlib import Path

import pytest

from elec.answers.connect.magnetos import magneto_leads
from elec.answers.failures.failures import effects
from elec.answers.failures.welds import welds
from elec.check import run
from elec.finding import Finding, Verdict
from elec.sizing.sizing import guarding
from elec.study import Study
from elec.wiring.chains import chains
from tests.read.helper import good, reading

DOCS = Path(__file__).parents[2] / "docs" / "file-format.md"
(EXAMPLE,) = (
    text
    for text in re.findall(r"```yaml\n(.*?)```", DOCS.read_text(encoding="utf-8"), re.DOTALL)
    if "horizon-relay" in text
)
AROUND = """\
system: {name: Tern, nominal: 14 V, return: wired}
phases: {taxi: {lasts: 10 min, engine: 1200 rpm}, cruise: {lasts: 1 h, engine: 2300 rpm}}
sources:
  battery: {kind: lead-acid, place: firewall, capacity: 30 Ah, resistance: 9 mΩ}
  reserve: {kind: lead-acid, place: panel, capacity: 5 Ah, resistance: 30 mΩ}
  alternator: {kind: alternator, place: firewall, setpoint: 14.2 V, output: {1000 rpm: 40 A}}
grounds:
  block: {place: firewall, kind: block}
  panel-block: {place: panel, kind: block, to: block}
places: {firewall: , panel: }
ways: [{between: [firewall, panel], length: 4 ft}]
"""
MORE = """\
feeders:
  - {from: battery, to: main, contactor: master, limiter: 40 A}
  - {from: main, to: alternator, limiter: 60 A}
"""


def _study(folder: Path, old: str = "", new: str = "") -> Study:
    text = AROUND + EXAMPLE.replace("feeders:\n", MORE)
    assert not old or text.count(old) == 1, old
    return Study(good(reading(folder, text.replace(old, new) if old else text)))


def _of(study: Study, check: str, about: str) -> Finding:
    return next(f for f in run(study) if (f.check, f.about) == (check, about))


def test_a_single_load_is_changed_over_behind_the_devices_of_its_feeders(tmp_path: Path) -> None:
    study = _study(tmp_path)
    chain = chains(study).by_name["horizon"]
    assert chain.device is None
    assert chain.guards == ("horizon from main", "horizon from reserve")
    for check in ("device-present", "device-protects-wire", "device-clears-fault"):
        assert _of(study, check, "horizon").verdict is Verdict.PASS, check
    said = _of(study, "device-present", "horizon").sentence
    assert "3 A breaker of horizon from main and 3 A fuse of horizon from reserve" in said
    lost = {one.failure.id: one.lost for one in effects(study, "cruise")}
    assert "horizon" not in lost["bus:main"]
    assert "horizon" not in lost["coil:horizon-relay"]
    assert {one.failure.id: dict(one.then_lost) for one in welds(study)} == {
        "weld:horizon-relay:pulled-in": {"main": ("horizon",)},
        "weld:horizon-relay:at-rest": {"reserve": ("horizon",)},
        "weld:horizon-relay:bridged": {},
    }


def test_the_greater_device_counts(tmp_path: Path) -> None:
    study = _study(tmp_path, "fuse: {rating: 3 A, stub: 3 in}", "fuse: {rating: 30 A, stub: 3 in}")
    guard = guarding(study, chains(study).by_name["horizon"])
    assert guard is not None
    assert guard.rating_a == 30
    # the gauge is chosen for it
    assert _of(study, "device-protects-wire", "horizon").verdict is Verdict.PASS
    thin = _study(tmp_path, "feeds: horizon}", "feeds: horizon, gauge: AWG 24}")
    assert _of(thin, "device-protects-wire", "horizon").verdict is Verdict.PASS


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("to: horizon-feed, breaker: 3 A,", 'to: horizon-feed, unprotected: "short",'),
        ("  audio-relay: {bus: main,", "  audio-relay: {bus: horizon-feed,"),
    ],
)
def test_without_a_device_in_each_feeder_or_beside_others_it_needs_its_own(
    tmp_path: Path, old: str, new: str
) -> None:
    study = _study(tmp_path, old, new)
    assert chains(study).by_name["horizon"].guards == ()
    assert _of(study, "device-present", "horizon").verdict is Verdict.FAIL


def test_signal_relays_are_boxes_whose_draw_is_the_coil(tmp_path: Path) -> None:
    study = _study(tmp_path)
    assert {"audio-relay", "magneto-relay"} <= chains(study).feeds.keys()
    ends = {
        f"{end.name}.{end.contact}"
        for chain in chains(study).of("wire")
        for wire in chain.conductors()
        for end in (wire.a, wire.b)
    }
    assert {"audio-relay.K.11", "audio-relay.K.12", "audio-relay.K.14"} <= ends
    (lead,) = magneto_leads(study)["left-magneto"]
    assert lead.far.name == "magneto-relay"
