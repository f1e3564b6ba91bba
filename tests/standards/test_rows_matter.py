"""Every default changes an answer: its row is changed, and what a small system says differs.

A row of `ROWS` names the default, the value it gets, what is changed in the base of the checks
(`tests/checks/base.yaml`) or which case of a check it is, and the question whose answer differs: a
check, or a table or an analysis of `QUESTIONS`. A default whose change nobody remarks is dead.
"""

import re
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from elec.answers.base.days import days
from elec.answers.base.points import points
from elec.answers.connect.panel import panels
from elec.answers.connect.spares import spares
from elec.answers.doubt import log_replay
from elec.answers.doubt.uncertainty import uncertainty
from elec.answers.heat.heat import heat
from elec.answers.time.power_up import power_up
from elec.model.source import Alternator
from elec.model.system import System
from elec.pages.bench import fastenings, proving, shopping
from elec.pages.bench import table as bench
from elec.pages.circuits import bundle, panel
from elec.pages.doubt.table import band_tables
from elec.pages.flight import table as flight
from elec.pages.table import Cell, Table
from elec.sizing.sizing import sizing
from elec.standards import defaults
from elec.study import Study
from elec.wiring.sources import output_a
from tests import plain
from tests.answers import test_log_replay
from tests.answers.helper import small, whole
from tests.answers.test_log_replay import AT_BATTERY
from tests.checks.cases import cases, check_of, study_of
from tests.standards.changed import default_of

LITHIUM = (
    "{sources: {battery: {kind: lithium-iron-phosphate, capacity: 20 Ah, resistance: null, "
    "rate: null}, alternator: {setpoint: 14.4 V}}}"
)
HIGH = (
    "{system: {nominal: 28 V}, sources: {alternator: {setpoint: 28.4 V}}, "
    "buses: {main: {warning: 26 V}}}"
)
CART = (
    "{sources: {cart: {kind: external-power, place: firewall, voltage: 16 V, ground: stud, "
    "in: [taxi]}}, "
    "feeders: {+: {name: cart cable, from: cart, to: power, limiter: 60 A, gauge: AWG 4}}}"
)
HARD = (
    "{equipment: {fan: {character: motor, inrush: {factor: 2, lasts: 100 ms}}}, "
    "circuits: {fan: {breaker: auto, gauge: null}}}"
)
BONDED = (
    "{system: {return: airframe, structure: aluminium}, "
    "grounds: {tail-block: {kind: structure, resistance: null, to: null}}}"
)
AUTO = "{circuits: {fan: {breaker: auto, gauge: null}}}"

Row = tuple[float, str, str]
"""The value it gets, the change of the base or `case: …`, the question."""

ROWS: dict[str, Row] = {
    "wire-slack-per-end": (6, "{}", "wire-drop"),
    "wire-route-factor": (20, "{}", "wire-drop"),
    "within-place-length": (40, "{}", "wire-drop"),
    "order-margin": (20, "{}", "wire to buy"),
    "ambient": (80, "{system: {ambient: null}}", "wire-heat"),
    "panel-ambient": (80, "{}", "device-holds-load"),
    "engine-ambient": (110, "{places: {engine: {ambient: null}}}", "wire-heat"),
    "ceiling": (25000, "{system: {ceiling: null}}", "wire-heat"),
    "minimum-power-gauge": (18, "{}", "wire-strength"),
    "minimum-signal-gauge": (20, "{}", "wire-strength"),
    "switch-resistance": (20, "{}", "wire-drop"),
    "contactor-resistance": (2, "{}", "battery-start"),
    "relay-resistance": (40, "{}", "feeder-drop"),
    "joint-resistance": (0.6, "{}", "wire-drop"),
    "connector-contact-resistance": (20, "{}", "load-voltage"),
    "blade-holder": (5, "{}", "device-clears-fault"),
    "structure-joint-resistance": (10, BONDED, "load-voltage"),
    "breaker-share": (40, "{}", "device-holds-load"),
    "device-floor": (15, AUTO, "sizing"),
    "device-floor-hard": (10, HARD, "sizing"),
    "fuse-slope": (
        0.006,
        "{places: {panel: {ambient: 130 °C}, firewall: {ambient: 130 °C}}}",
        "device-holds-load",
    ),
    "fuse-share": (40, "{}", "device-holds-load"),
    "alternator-hot-share": (60, "{sources: {alternator: {output: null}}}", "alternator-idle"),
    "alternator-limit-share": (130, "{}", "device-holds-load"),
    "output-fall": (
        40,
        "case: alternator-curve: fail where it falls with speed",
        "alternator-curve",
    ),
    "recognition-time": (8, "{}", "battery-endurance"),
    "landing-time": (20, "{}", "battery-endurance"),
    "battery-state-of-charge": (60, "{}", "battery-endurance"),
    "regulator-droop": (20, "{}", "alternator-idle"),
    "alternator-setpoint-14": (
        13.9,
        "case: alternator-setpoint: fail below the rest of the battery",
        "alternator-setpoint",
    ),
    "schottky-forward-voltage": (0.5, "{}", "load-voltage"),
    "silicon-forward-voltage": (1.0, "{feeders: {3: {diode: silicon}}}", "load-voltage"),
    "diode-resistance": (20, "{}", "load-voltage"),
    "battery-resistance-agm": (
        14,
        "{sources: {battery: {resistance: null, construction: agm}}}",
        "battery-start",
    ),
    "battery-resistance-agm-capacity": (
        30,
        "{sources: {battery: {resistance: null, construction: agm}}}",
        "battery-start",
    ),
    "battery-resistance-flooded": (
        20,
        "{sources: {battery: {resistance: null, construction: flooded}}}",
        "battery-start",
    ),
    "battery-resistance-flooded-capacity": (
        60,
        "{sources: {battery: {resistance: null, construction: flooded}}}",
        "battery-start",
    ),
    "battery-resistance-lifepo4-cell": (30, LITHIUM, "battery-start"),
    "battery-resistance-lifepo4-cell-capacity": (5, LITHIUM, "battery-start"),
    "battery-cold-coefficient": (0.02, "{}", "battery-cold-start"),
    "equipment-minimum-14": (13.9, "{equipment: {lamp: {minimum: null}}}", "load-voltage"),
    "equipment-minimum-28": (27.9, HIGH, "alternator-momentary"),
    "contactor-hold-14": (13, "{switches: {master: {coil: 0.7 A}}}", "battery-start"),
    "coil-suppressor-voltage": (
        90,
        "case: coil-suppressor: pass, how long the starter stays engaged",
        "coil-suppressor",
    ),
    "tap-fuse": (9, "{}", "device-holds-load"),
    "tap-current": (0.9, "{}", "device-holds-load"),
    "crowbar-drop": (9, "case: alternator-crowbar: pass", "alternator-crowbar"),
    "contactor-jumper": (9, "{}", "device-present"),
    "crank-current": (150, "{phases: {start: {engine: 1200 rpm}}}", "battery-start"),
    "crank-time": (8, "{phases: {start: {engine: 1200 rpm}}}", "battery-start"),
    "charge-efficiency": (50, "{}", "flight charge"),
    "charge-efficiency-lifepo4": (50, LITHIUM, "flight charge"),
    "spare-current-share": (60, "{}", "alternator-recharge"),
    "fault-voltage-14": (9, "{}", "device-clears-fault"),
    "fault-voltage-28": (18, HIGH, "device-clears-fault"),
    "fault-multiple": (20, "{}", "device-clears-fault"),
    "coordination-ratio": (6, "{}", "device-selective"),
    "parallel-contact-share": (
        50,
        "case: connector-current: two contacts share unevenly",
        "connector-current",
    ),
    "bundle-looseness": (30, "{}", "bundle-size"),
    "hot-resistance": (120, "{}", "spare cores"),
    "emissivity": (0.5, "{}", "second opinion"),
    "horizontal-field": (30, "case: sensor-step: compass", "sensor-step"),
    "design-low-voltage": (10, "{equipment: {fan: {draw: 40 W}}}", "device-holds-load"),
    "within-place-bundle": (2, "{}", "wire-heat"),
    "charge-acceptance-hours": (5, "{}", "alternator-margin"),
    "battery-rate": (20, "{sources: {battery: {rate: null}}}", "battery-endurance"),
    "device-drop-share": (5, AUTO, "sizing"),
    "law-holds-to-14": (12, "{}", "battery-start"),
    "alternator-fault-multiple": (3, "{}", "device-interrupts"),
    "tolerance-measured": (20, "{}", "load-spread"),
    "tolerance-data-sheet": (40, "{}", "load-spread"),
    "tolerance-typical": (60, "{equipment: {fan: {basis: typical}}}", "load-spread"),
    "tolerance-estimate": (60, "{equipment: {fan: {basis: estimate}}}", "load-spread"),
    "tolerance-unstated": (80, "{equipment: {fan: {basis: null}}}", "load-spread"),
    "tolerance-coil": (60, "{switches: {master: {coil: 0.7 A}}}", "bands"),
    "tolerance-setpoint": (5, "{equipment: {fan: {draw: 40 W}}}", "bands"),
    "tolerance-rest-voltage": (5, "{}", "load-spread"),
    "tolerance-battery-resistance": (90, "{}", "load-spread"),
    "tolerance-wire-resistance": (50, "{}", "load-spread"),
    "tolerance-contact-resistance": (90, "{}", "load-spread"),
    "tolerance-device-resistance": (90, "{}", "load-spread"),
    "tolerance-diode": (90, "{}", "load-spread"),
    "external-power-resistance": (60, CART, "solved"),
    "cold-day": (-20, "{}", "battery-cold-start"),
    "usual-day": (25, "{}", "flight charge"),
    "hot-day": (60, "{}", "flight charge"),
    "alternator-test": (
        0,
        "{sources: {alternator: {cold-output: {1000 rpm: 20 A, 2600 rpm: 40 A}}}}",
        "output by day",
    ),
    "charge-hours": (3, "{}", "battery-recharge"),
    "charge-start-agm": (10, "{sources: {battery: {construction: agm}}}", "flight charge"),
    "charge-start-flooded": (5, "{sources: {battery: {construction: flooded}}}", "flight charge"),
    "charge-start-lifepo4": (5, LITHIUM, "flight charge"),
    "charge-hours-lifepo4": (1, LITHIUM, "flight charge"),
    "no-charge-below": (20, LITHIUM, "battery-cold-charge"),
    "battery-cold-coefficient-lifepo4": (0.06, LITHIUM, "battery-cold-start"),
    "battery-cold-share": (70, "{}", "battery-endurance"),
    "cutoff-lifepo4-cell": (3.2, LITHIUM, "battery-endurance"),
    "map-accuracy": (100, "case: sensor-step: fail", "sensor-step"),
    "bundle-spacing": (4, "system: thistledown", "sensor-step"),
    "panel-columns": (2, "{}", "panels"),
    "log-crank": (500, "{}", "engine log"),
    "log-running": (1000, "{}", "engine log"),
    "log-warm": (100, "{}", "engine log"),
    "log-sag": (5, "{}", "engine log"),
    "log-rest": (0.0001, "{}", "engine log"),
    "measured-current-share": (1, "case: measured-agrees: pass", "measured-agrees"),
    "measured-voltage-band": (0.01, "case: measured-agrees: bus", "measured-agrees"),
    "measured-resistance-share": (50, "{}", "ring-out"),
    "measured-resistance-lead": (50, "{}", "ring-out"),
    "insulation-least": (2e8, "{}", "insulation test"),
    "insulation-installed": (5e7, "{}", "insulation test"),
    "panel-heading-height": (5, "{}", "panel labels"),
    "panel-switch-height": (4, "{}", "panel labels"),
    "panel-breaker-height": (3, "{}", "panel labels"),
    "panel-lever-height": (3, "system: thistledown", "panel labels"),
    "chart-decides-up-to": (
        0.5,
        "case: device-in-time: pass, the chart allows it and only the assumed curve is slower",
        "device-in-time",
    ),
    "starter-first-turn-factor": (4, "{equipment: {starter: {inrush: null}}}", "battery-start"),
    "starter-first-turn-time": (300, "{equipment: {starter: {inrush: null}}}", "battery-start"),
    "clamp-spacing": (9, "{}", "fastenings"),
    "tie-spacing": (2, "{}", "fastenings"),
    "sleeve-spacing": (24, "{}", "labels"),
    "intermittent-time": (0.05, "{}", "wire-drop"),
    "high-ceiling": (5000, "{}", "battery-endurance"),
    "audio-level": (5, "case: ground-loop: pass", "ground-loop"),
    "audio-quiet": (-90, "case: ground-loop: pass", "ground-loop"),
    "contact-loaded": (2.5, "case: connector-current: fail", "connector-current"),
    "damage-above-rating": (
        10,
        "{wire-types: {shop: {rated: 105 °C}}, circuits: {fan: {wire: shop}}}",
        "device-in-time",
    ),
    "dead-bus": (95, "{}", "short-essential"),
    "warning-room-14": (5, "case: battery-warning: lit with all well", "battery-warning"),
    "heavy-cable": (500, "{}", "feeder-cranking"),
    "cut-tolerance": (1, "{build: {spare: {cut: 14 ft 1 in, state: cut}}}", "wire-cut"),
    "recharging-charge": (60, "case: battery-charge: pass", "battery-charge"),
    "insulation-share": (20, "{}", "device-in-time"),
    "supply-limit-share": (100, "{}", "first power-up"),
    "supply-limit-step": (1, "{}", "first power-up"),
    "supply-limit-least": (9, "{}", "first power-up"),
    "start-shown": (100, HARD, "first power-up"),
    "ring-out-current": (2, "{}", "ring-out"),
    "ring-out-current-small": (0.05, "{}", "ring-out"),
    "meter-ohm-resolution": (1, "{}", "meters"),
    "meter-volt-resolution": (1, "{}", "meters"),
    "meter-counts": (2, "{}", "meters"),
    "strip-allowance": (6, "{}", "cut list"),
}

QUESTIONS: dict[str, Callable[[Study], object]] = {
    "bundles": bundle.bundles,
    "fastenings": fastenings.fastenings_to_buy,
    "bands": lambda study: [table.rows for table in band_tables(uncertainty(study))],
    "cut list": bench.cut_list,
    "engine log": lambda _: (
        log_replay.replay(  # of a system of its own
            small(test_log_replay.SYSTEM), test_log_replay.columns(test_log_replay.MADE), AT_BATTERY
        ).rows
    ),
    "first power-up": power_up,
    "meters": lambda study: [
        [cell.text for cell in row if isinstance(cell, Cell)]
        for row in proving.ring_out(study).rows
    ],
    "flight charge": flight.flight_charge,
    "output by day": lambda study: [
        output_a(study, name, one, "cruise", day.air_degc)
        for name, one in study.document.sources.items()
        if isinstance(one, Alternator)
        for day in days(study)
    ],
    "second opinion": lambda study: [
        step.result.value for step in heat(study)["lamp/1"].working.steps
    ],
    "insulation test": proving.insulation_test,
    "labels": bench.labels,
    "panel labels": panel.labels,
    "panels": panels,
    "ring-out": proving.ring_out,
    "sizing": lambda study: (sizing(study).devices, sizing(study).gauges),
    "solved": lambda study: points(study).solution.voltage_v.tolist(),
    "spare cores": spares,
    "wire to buy": shopping.wire_to_buy,
}
"""What is no check: what it prints or finds."""


@cache
def system_of(change: str) -> System:
    """The base of the checks with a change, or the system of one of their cases."""
    if change.startswith("system: "):
        return whole(change.removeprefix("system: ")).designed
    if change.startswith("case: "):
        check, _, name = change.removeprefix("case: ").partition(": ")
        made = next(c.change for c in cases() if (c.check, c.name) == (check, name))
    else:
        made = plain.texts(change)
    with tempfile.TemporaryDirectory() as folder:
        return study_of(made, Path(folder)).designed


def answer(change: str, question: str) -> object:
    study = Study(system_of(change))
    if question in QUESTIONS:
        return _printed(QUESTIONS[question](study))
    found = check_of(question).function(study)
    return tuple((f.about, f.verdict, f.value, f.limit, f.sentence, f.remedy) for f in found)


def _printed(found: object) -> str:
    """A table or an analysis as text, without what its workings say of where a number is from."""
    if isinstance(found, Table):
        rows = [[c.value if isinstance(c, Cell) else c for c in row] for row in found.rows]
        return f"{rows} {found.note}"
    return re.sub(" at 0x[0-9a-f]+", "", repr(found))


usual = cache(answer)


@pytest.mark.parametrize("key", sorted(defaults()))
def test_a_changed_default_changes_an_answer(key: str) -> None:
    value, change, question = ROWS[key]
    before = usual(change, question)
    assert before
    with default_of(key, value):
        assert answer(change, question) != before


def test_a_default_that_nobody_asks_for_would_be_found() -> None:
    """A row that no analysis of the base reads leaves the answer as it is."""
    before = usual("{}", "wire-drop")
    with default_of("crank-time", 9.0):
        assert answer("{}", "wire-drop") == before
