"""Devices and spare fuses within reach.

After: 14 CFR 91.205(c), by night one spare set of fuses or three of each kind, within reach in
flight; 14 CFR 23.1357(d) and (e) before amendment 64, reset or replacement essential to safety
within reach, one spare of each rating or half of them.
"""

from pathlib import Path

import pytest

from elec.answers.failures.at_hand import SpareFuses, enough, needed, not_said
from elec.check import ask
from elec.finding import Finding, Verdict
from elec.read import read
from elec.study import Study

TEXT = """
system: {{name: Dunlin, nominal: 14 V, conditions: [{when}]{spares}}}
phases: {{cruise: {{lasts: 1 h, engine: 2300 rpm}}}}
sources:
  battery: {{kind: lead-acid, place: shelf, capacity: 20 Ah, rate: 20 h, resistance: 10 mΩ}}
  ground-cart: {{kind: external-power, place: shelf, voltage: 14 V}}
buses: {{main: {{place: dash, essential: yes}}}}
feeders:
  - {{name: lead, from: battery, to: main, breaker: 30 A}}
  - {{name: cart, from: ground-cart, to: main, breaker: 30 A}}
{second}
grounds: {{stud: {{place: shelf, kind: block}}}}
equipment:
  radio: {{place: dash, draw: 1 A, on: always, essential: yes, basis: measured}}
  pump-a: {{place: dash, draw: 3 A, on: always, essential: yes, basis: measured, backup: pump-b}}
  pump-b: {{place: dash, draw: 3 A, on: always, essential: yes, basis: measured}}
  lamp: {{place: dash, draw: 1 A, on: always, basis: measured}}
circuits:
  radio: {{bus: main, fuse: 5 A, feeds: radio}}
  pump-a: {{bus: main, fuse: 5 A, feeds: pump-a}}
  pump-b: {{bus: main, breaker: 5 A, feeds: pump-b}}
  lamp: {{bus: main, fuse: 3 A, feeds: lamp}}
places: {{shelf: {{{shelf}}}, dash: {{{dash}}}}}
ways: [{{between: [shelf, dash], length: 6 ft}}]
"""
SECOND = "  - {name: second, from: battery, to: main, breaker: 30 A, used: emergency}"
BOTH = {"dash": "reach: yes", "shelf": "reach: no"}


def study_of(tmp_path: Path, **given: str) -> Study:
    texts = {"when": "day", "spares": "", "second": "", "shelf": "", "dash": ""}
    file = tmp_path / "dunlin.yaml"
    file.write_text(TEXT.format(**texts | given), encoding="utf-8")
    reading = read(file)
    assert reading.system, [str(m) for m in reading.mistakes]
    return Study(reading.system)


def about(study: Study, name: str) -> Finding | None:
    return next((f for f in ask(study, "device-reach") if f.about == name), None)


def test_needed_is_what_nothing_takes_over_for(tmp_path: Path) -> None:
    names = {one.chain.name for one in needed(study_of(tmp_path))}
    assert names == {"radio", "lead"}  # neither pump, lamp nor the cart
    names = {one.chain.name for one in needed(study_of(tmp_path, second=SECOND))}
    assert names == {"radio"}


def test_what_is_not_said_is_told_once(tmp_path: Path) -> None:
    study = study_of(tmp_path)
    assert set(not_said(study)) == {"dash", "shelf"}
    (only,) = ask(study, "device-reach")
    assert only.verdict is Verdict.CANNOT_TELL


def test_out_of_reach_is_told_of_the_only_feeder(tmp_path: Path) -> None:
    study = study_of(tmp_path, **BOTH)
    lead, radio = about(study, "lead"), about(study, "radio")
    assert lead is not None
    assert radio is not None
    assert (lead.verdict, radio.verdict) == (Verdict.ADVISE, Verdict.PASS)
    assert about(study_of(tmp_path, second=SECOND, **BOTH), "lead") is None


@pytest.mark.parametrize(
    ("when", "spares", "verdict"),
    [
        ("day", "{5 A: 1, 3 A: 1}", Verdict.PASS),
        ("night", "{5 A: 1, 3 A: 1}", Verdict.FAIL),
        ("night", "{5 A: 2, 3 A: 1}", Verdict.PASS),
        ("night", "{}", Verdict.FAIL),
        ("day", "{5 A: 2}", Verdict.ADVISE),
    ],
)
def test_spares(tmp_path: Path, when: str, spares: str, verdict: Verdict) -> None:
    study = study_of(tmp_path, when=when, spares=f", spare-fuses: {spares}", **BOTH)
    found = about(study, "spare fuses")
    assert found is not None
    assert found.verdict is verdict


def test_spares_that_are_not_said_are_no_pass(tmp_path: Path) -> None:
    found = about(study_of(tmp_path, **BOTH), "spare fuses")
    assert found is not None
    assert found.verdict is Verdict.CANNOT_TELL


def fitted(*counts: int) -> tuple[SpareFuses, ...]:
    return tuple(
        SpareFuses(family="blade-c", rating_a=float(i + 1), fitted=n, carried=0)
        for i, n in enumerate(counts)
    )


def test_by_night_one_set_or_three_of_each_whichever_is_fewer() -> None:
    assert enough(fitted(8, 5), night=True) == (4, 3)  # three of each, and half of the eight
    assert enough(fitted(2, 1), night=True) == (2, 1)  # one set
    assert enough(fitted(8, 1), night=False) == (4, 1)


@pytest.mark.parametrize(
    ("spares", "meant"),
    [
        ("{5 V: 2}", "voltage"),
        ("{5 A: few}", "number of fuses"),
        ("{5 A: -2}", "number of fuses"),
        ("[5 A]", "how many"),
        ("{5 A: 1, 5.0 A: 2}", "twice"),
        ("{blade-e 5 A: 1, 5 A blade-e: 2}", "twice"),
        ("{blade-ee 5 A: 1}", "blade-e"),
    ],
)
def test_a_wrong_spare_is_told_at_its_line(tmp_path: Path, spares: str, meant: str) -> None:
    file = tmp_path / "dunlin.yaml"
    given = {"when": "day", "second": "", "shelf": "", "dash": ""}
    file.write_text(TEXT.format(spares=f", spare-fuses: {spares}", **given), encoding="utf-8")
    (mistake,) = read(file).mistakes
    assert mistake.place.line == 2
    assert meant in str(mistake)


MAXI = ("fuse: 5 A, feeds: radio", "fuse: {rating: 5 A, class: blade-e}, feeds: radio")


@pytest.mark.parametrize(
    ("spares", "verdict", "says"),
    [
        ("{5 A: 2, 3 A: 1}", Verdict.CANNOT_TELL, "Of which class the spare fuses of 5 A are"),
        ("{blade-c 5 A: 2, 3 A: 1}", Verdict.FAIL, "5 A blade-e: 1 asked, 0 carried"),
        ("{blade-c 5 A: 1, 5 A blade-e: 1, 3 A: 1}", Verdict.PASS, "Enough"),
    ],
)
def test_a_spare_of_another_kind_does_not_fit(
    tmp_path: Path, spares: str, verdict: Verdict, says: str
) -> None:
    file = tmp_path / "dunlin.yaml"
    given = {"when": "night", "second": "", **BOTH, "spares": f", spare-fuses: {spares}"}
    file.write_text(TEXT.format(**given).replace(*MAXI), encoding="utf-8")
    found_in = read(file)
    assert found_in.system, [str(m) for m in found_in.mistakes]
    found = about(Study(found_in.system), "spare fuses")
    assert found is not None
    assert found.verdict is verdict
    assert says in found.sentence


@pytest.mark.parametrize(
    ("dash", "verdict"),
    [("reach: no", Verdict.ADVISE), ("reach: yes", Verdict.PASS), ("", None)],
)
def test_of_a_load_and_its_backup_one_is_within_reach(
    tmp_path: Path, dash: str, verdict: Verdict | None
) -> None:
    study = study_of(tmp_path, dash=dash, shelf="reach: no")
    found = about(study, "pump-a, pump-b")
    assert (found.verdict if found else None) is verdict
    if found is not None and verdict is Verdict.ADVISE:
        assert "neither can be reset in flight" in found.sentence
    assert ("dash" in not_said(study)) == (dash == "")
