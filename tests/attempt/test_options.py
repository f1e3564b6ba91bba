"""Options side by side: held against the table by hand, ngspice, and every pair gone through."""

import csv
import re
import tempfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from elec import cli
from elec.answers.base.points import points
from elec.answers.build.export import spice_deck
from elec.answers.drop.drops import load_drops
from elec.attempt.attempt import begun
from elec.attempt.options.dominated import SHOWN, dominates, dominating
from elec.attempt.options.measures import NONE, Key, Measure, Measures
from elec.attempt.options.offered import offers
from elec.attempt.options.options import Beside, beside, changed_by
from elec.attempt.options.whole import whole_offers
from elec.attempt.plan import Edit
from elec.finding import Verdict
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.chains import chains
from elec.wiring.runs import runs
from tests.answers.helper import loads_of
from tests.network.spice import AGREE_V, needs_ngspice, operating_point
from tests.systems import SYSTEMS

TABLES = Path(__file__).parents[2] / "elec" / "standards" / "data"
SMALL = (
    loads_of({"lamp": "3 A", "radio": "2 A"})
    .replace("places: {panel: }", "places: {panel: , tail: , side: }")
    .replace("lamp: {place: panel", "lamp: {place: tail, basis: measured")
    .replace("lamp: {bus: main, breaker: auto", "lamp: {bus: main, breaker: auto, gauge: AWG 20")
    + "ways:\n"
    "  - {name: floor, between: [panel, tail], length: 10 ft}\n"
    "  - {name: rail, between: [panel, side], length: 9 ft}\n"
    "  - {name: stern, between: [side, tail], length: 9 ft}\n"
)


@pytest.fixture
def small_file(tmp_path: Path) -> Path:
    file = tmp_path / "small.yaml"
    file.write_text(SMALL, encoding="utf-8")
    return file


@cache
def of_the_lamp() -> Beside:
    """What the small system's lamp could be, found once."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "small.yaml"
        file.write_text(SMALL, encoding="utf-8")
        return found_in(file, "lamp")


def found_in(file: Path, subject: str | None) -> Beside:
    return beside(file, subject, lambda *_: None)


def lb_per_kft(gauge: str) -> float:
    """A line of the published table, read here a second time."""
    text = (TABLES / "elec" / "wire_mass.csv").read_text(encoding="utf-8").splitlines()
    rows = csv.DictReader(line for line in text if not line.startswith("#"))
    row = next(row for row in rows if row["awg"] == gauge)
    return float(next(value for key, value in row.items() if key.startswith("mass_lb_per_kft")))


def test_more_weight_is_the_wire_by_the_table(small_file: Path) -> None:
    """Wires out and back, AWG 18 in place of AWG 20: lengths times masses of the table."""
    found = found_in(small_file, "lamp")
    thicker = next(one for one in found.options if one.title == "thicker wire: AWG 18")
    assert thicker.measures is not None
    assert found.options[0].measures is not None
    chain = chains(found.study).by_name["lamp"]
    length_m = sum(runs(found.study)[c.id].length_m or 0.0 for c in chain.conductors())
    assert length_m > 2 * 3.048  # ten feet out and ten back, at least
    per_m = (lb_per_kft("18") - lb_per_kft("20")) * 0.45359237 / 304.8
    more = (thicker.measures.mass_kg.value or 0.0) - (found.options[0].measures.mass_kg.value or 0)
    assert more == pytest.approx(length_m * per_m, rel=1e-5)  # the conversion of units is rounded
    assert "gauge: AWG 18" in thicker.diff
    assert small_file.read_text(encoding="utf-8") == SMALL


@pytest.mark.outside
@needs_ngspice
def test_the_network_of_an_option_agrees_with_an_outside_simulator(small_file: Path) -> None:
    edit = Edit(path=("circuits", "lamp", "gauge"), value="AWG 22")
    study, diff = changed_by(begun(small_file), [edit])
    assert "+  lamp: {bus: main, breaker: auto, gauge: AWG 22" in diff
    found = points(study)
    case = next(i for i, c in enumerate(found.cases) if c.count == "momentary")
    text = spice_deck(study, found.cases[case])
    theirs = operating_point(text).voltage_v
    nodes = dict(re.findall(r"^\* +(n\d+|0)  (.*)$", text, re.MULTILINE))
    compared = [n for n in nodes if n in theirs]
    assert len(compared) > 5
    for node in compared:
        assert theirs[node] == pytest.approx(found.node_v(nodes[node])[case], abs=AGREE_V)


def test_the_drop_is_that_of_the_thing_asked_about(small_file: Path) -> None:
    found = found_in(small_file, "lamp")
    built = found.options[0].measures
    assert built is not None
    drop = load_drops(found.study)["lamp", "lamp"]
    assert drop.lost_v is not None
    assert built.drop_part.value == pytest.approx(drop.lost_v / drop.limit_v)
    assert built.device_part.value == sizing(found.study).devices["lamp"].share
    thinner = next(one for one in found.options if one.title.startswith("thinner"))
    assert thinner.measures is not None
    assert (thinner.measures.drop_part.value or 0) > (built.drop_part.value or 1)


def test_round_a_way_is_longer_by_the_other_way(small_file: Path) -> None:
    found = found_in(small_file, "lamp")
    round_ = next(one for one in found.options if one.title == "laid round the way floor")
    assert round_.measures is not None
    assert found.options[0].measures is not None
    assert (round_.measures.mass_kg.value or 0) > (found.options[0].measures.mass_kg.value or 0)
    assert "avoid: floor" in round_.diff


def test_what_cannot_be_built_says_why(small_file: Path) -> None:
    """Battery cable is not made thinner than its table."""
    text = SMALL.replace("gauge: AWG 20", "gauge: AWG 6, wire: battery-cable")
    small_file.write_text(text, encoding="utf-8")
    found = found_in(small_file, "lamp")
    refused = [one for one in found.options if one.measures is None]
    assert refused
    assert all(one.why_not for one in refused)
    assert all(one.by == () for one in refused)


def test_a_subject_that_is_none_is_named(
    capsys: pytest.CaptureFixture[str], small_file: Path
) -> None:
    assert cli.main(["options", str(small_file), "lamb"]) == 2
    assert (
        'There is no circuit, load or feeder "lamb"; did you mean lamp?' in capsys.readouterr().err
    )
    assert cli.main(["options", str(small_file), "lamp", "--single-faults"]) == 2
    assert "leave the name out" in capsys.readouterr().err
    assert cli.main(["options", str(small_file.with_name("no.yaml"))]) == 2
    assert "there is no such file" in capsys.readouterr().err


def test_the_whole_system_has_its_options(small_file: Path) -> None:
    found = found_in(small_file, None)
    titles = [one.title for one in found.options]
    assert "28 V in place of 14 V, sizes chosen" in titles
    assert "a second alternator like alternator, on main" in titles
    assert "battery half as large again, 27 Ah" in titles
    twice = found.options[titles.index("28 V in place of 14 V, sizes chosen")]
    assert twice.measures is not None
    for line in ("nominal: 28 V", "setpoint: 28.4 V", "draw: 1.5 A", "capacity: 9 Ah"):
        assert line in twice.diff, line
    larger = found.options[titles.index("battery half as large again, 27 Ah")]
    built = found.options[0]
    assert larger.measures is not None
    assert built.measures is not None
    assert (larger.measures.endurance_min.value or 0) > (built.measures.endurance_min.value or 0)


def test_twice_the_voltage_draws_half_the_current(small_file: Path) -> None:
    """The same power: by hand, 5 A at 14 V are 2.5 A at 28 V."""
    study = Study(begun(small_file).reading().system)  # type: ignore[arg-type] # it has no mistakes
    offer = whole_offers(study, begun(small_file))[0]
    after, _ = changed_by(begun(small_file), offer.edits)
    draws = [entry.draw for entry in after.document.equipment.values()]
    assert sum(draw.value for draw in draws if draw is not None) == pytest.approx(2.5)
    back = whole_offers(after, begun(small_file))[0]
    assert back.title.startswith("14 V in place of 28 V")


@pytest.mark.parametrize("name", ["yarrow", "thistledown"])
def test_every_offer_of_the_systems_can_be_read_or_says_why(name: str) -> None:
    edits = begun(SYSTEMS / name)
    system = edits.reading().system
    assert system is not None
    study = Study(system)
    for offer in whole_offers(study, edits):
        assert changed_by(edits, offer.edits)[1]
    feeder = next(iter(chains(study).of("feeder")))
    assert offers(study, edits, feeder.name)
    assert edits.diff() == ""


def test_it_prints_the_same_twice(small_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    said = []
    for _ in range(2):
        assert cli.main(["options", str(small_file), "lamp"]) == 0
        said.append(capsys.readouterr().out)
    assert said[0] == said[1]
    assert "None is recommended" in said[0]


@pytest.mark.parametrize("ending", ["html", "pdf", "csv", "svg", "json"])
def test_every_form_is_written(
    ending: str, small_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("elec.attempt.options.options.beside", lambda *_: of_the_lamp())
    out = small_file.with_name(f"out.{ending}")
    assert cli.main(["options", str(small_file), "lamp", "-o", str(out)]) == 0
    content = out.read_bytes()
    assert content
    if ending in ("svg", "html"):
        assert b"it approves nothing" in content
        assert b"Options beside what is built" in content


# -- which is dominated ----------------------------------------------------------------------------

KEYS: tuple[Key, ...] = (("wire-drop", "a"), ("device-holds-load", "b"))
OPEN = (Verdict.FAIL, Verdict.ADVISE, Verdict.CANNOT_TELL)


def measured(numbers: tuple[float | None, ...], verdicts: Mapping[Key, Verdict]) -> Measures:
    mass, drop, margin, device, lasts = (Measure(value=one) for one in numbers)
    return Measures(
        mass_kg=mass,
        unweighed=(),
        drop_part=drop,
        margin_a=margin,
        device_part=device,
        endurance_min=NONE if lasts.value is None else lasts,
        verdicts=verdicts,
        said={},
        marked={},
    )


def by_hand(one: Measures, other: Measures) -> bool:
    """The definition written down a second time, in the steps that are printed."""
    signs: list[int] = []
    for name, step, more in (
        ("mass_kg", 1e-3, False), ("drop_part", 0.01, False), ("margin_a", 0.1, True),
        ("device_part", 0.01, False), ("endurance_min", 1.0, True),
    ):  # fmt: skip
        a, b = getattr(one, name), getattr(other, name)
        if not a.applies and not b.applies:
            continue
        if a.value is None or b.value is None:
            return False
        gap = round(a.value / step) - round(b.value / step)
        signs.append(gap if more else -gap)
    for key in KEYS:
        a, b = one.verdicts.get(key), other.verdicts.get(key)
        if {a, b} == {Verdict.ADVISE, Verdict.CANNOT_TELL}:
            return False
        order = [Verdict.FAIL, Verdict.ADVISE, Verdict.CANNOT_TELL, None]
        signs.append(0 if a is b else order.index(a) - order.index(b))
    return min(signs) >= 0 and max(signs) > 0


NUMBER = st.one_of(st.none(), st.sampled_from([0.1, 0.1004, 0.2, 0.3]))
SOME = st.builds(
    measured,
    st.tuples(st.sampled_from([1.0, 1.0004, 2.0]), NUMBER, NUMBER, NUMBER, NUMBER),
    st.dictionaries(st.sampled_from(KEYS), st.sampled_from(OPEN)),
)


@given(st.lists(SOME, min_size=2, max_size=6))
def test_dominance_is_that_of_every_pair(every: list[Measures]) -> None:
    expected = tuple(
        tuple(k for k in range(len(every)) if k != n and by_hand(every[k], every[n]))
        for n in range(len(every))
    )
    assert dominating(every) == expected
    assert dominating([*every, None])[:-1] == expected


def test_equal_ones_and_unknown_ones_dominate_nobody() -> None:
    one = measured((1.0, 0.1, 0.1, 0.1, 60.0), {})
    assert not dominates(one, one)
    better = measured((0.9, 0.1, 0.1, 0.1, 60.0), {})
    assert dominates(better, one)
    assert not dominates(measured((0.9, None, 0.1, 0.1, 60.0), {}), one)
    failing = measured((0.9, 0.1, 0.1, 0.1, 60.0), {KEYS[0]: Verdict.FAIL})
    assert not dominates(failing, one)
    assert set(SHOWN) == {"mass_kg", "drop_part", "margin_a", "device_part", "endurance_min"}
