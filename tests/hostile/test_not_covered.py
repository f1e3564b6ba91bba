"""What no document covers is *cannot tell* for that one thing; all else is answered."""

import re
from pathlib import Path

import pytest
from msgspec.structs import replace

from elec import check
from elec.check import ask, checks, run
from elec.finding import Finding, Verdict
from elec.pages.book import book
from elec.read import read_texts
from elec.standards import NotCovered
from elec.study import Study
from elec.write.register import Options, named
from tests.hostile.systems import FINCH, changed


def study(text: str) -> Study:
    found = read_texts({Path("finch.yaml"): text.encode()})
    assert found.mistakes == ()
    assert found.system is not None
    return Study(found.system)


def of(findings: tuple[Finding, ...], check: str) -> list[Finding]:
    return [one for one in findings if one.check == check]


def test_wire_in_air_hotter_than_its_insulation_fails_and_the_rest_is_answered() -> None:
    plain = run(study(FINCH), deep=False)
    hot = changed(("wire: etfe-tin", "wire: pvc"), ("{ambient: 80 °C}", "{ambient: 110 °C}"))
    found = run(study(hot), deep=False)
    failed = [one for one in of(found, "wire-heat") if one.verdict is Verdict.FAIL]
    assert failed
    assert all("No gauge helps" in one.remedy for one in failed)
    race = {one.about: one.verdict for one in of(found, "device-in-time")}
    assert race["battery cable"] is Verdict.CANNOT_TELL
    assert {one.check for one in found} == {one.check for one in plain}
    assert not re.search(r"\b(inf|nan)\b", " ".join(f"{f.sentence} {f.remedy}" for f in found))


def test_breaker_in_a_place_hotter_than_breakers_are_made_for() -> None:
    found = of(run(study(changed(("desk: {}", "desk: {ambient: 125 °C}")))), "device-holds-load")
    told = {one.about: one for one in found}
    assert told["com"].verdict is Verdict.CANNOT_TELL
    assert "at 125 °C no factor is known" in told["com"].sentence
    assert told["battery cable"].verdict is not Verdict.CANNOT_TELL


def test_wire_so_cold_that_the_curves_end_below_its_rise() -> None:
    cold = study(
        changed(
            ("wire: etfe-tin", "wire: nickel-260"),
            ("ambient: 45 °C", "ambient: -5 °C"),
            ("{ambient: 80 °C}", "{ambient: -5 °C}"),
        )
    )
    found = of(run(cold, deep=False), "wire-heat")
    assert {one.verdict for one in found} == {Verdict.PASS}
    steps = [step for one in found if one.working for step in one.working.steps]
    assert any("min(Tr - Ta, 250)" in step.formula for step in steps)


def test_a_check_that_meets_what_is_not_covered_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = study(FINCH)
    one = next(one for one in checks() if one.id == "wire-length")

    def not_covered(_: Study) -> list[Finding]:
        raise NotCovered("altitude", "99 km", "up to 32 km", "the tables of air")

    monkeypatch.setitem(check._REGISTER, one.id, replace(one, function=not_covered))
    monkeypatch.setattr(
        check, "_asked", check._asked.__wrapped__
    )  # what it remembers is the old one
    (found,) = ask(whole, "wire-length")
    assert found.verdict is Verdict.CANNOT_TELL
    assert "Altitude 99 km is not covered by the tables of air (up to 32 km)" in found.sentence


def without(*begins: str) -> str:
    """The small system without the lines that begin so."""
    lines = [line for line in FINCH.splitlines() if not line.strip().startswith(begins)]
    return "\n".join(lines)


DEGENERATE = {
    "no battery": without("battery:", "- {name: battery cable"),
    "only a name": "system: {name: Wren, nominal: 14 V}\n",
    "no phases": (
        "system: {name: Wren, nominal: 14 V}\nplaces: {hull: {}}\n"
        "sources: {cell: {kind: lead-acid, place: hull, capacity: 9 Ah}}\n"
        "buses: {bar: {place: hull}}\nfeeders: [{from: cell, to: bar, limiter: auto}]\n"
        "equipment: {pump: {place: hull, draw: 2 A}}\n"
        "circuits: {pump: {bus: bar, breaker: auto, feeds: pump}}\n"
    ),
    "a draw that nobody knows": changed(("draw: 28 W, ", "")),
    "no circuits": FINCH[: FINCH.index("circuits:")].replace(", field-circuit: field", "")
    + FINCH[FINCH.index("places:") :],
}  # fmt: skip


@pytest.mark.parametrize("text", DEGENERATE.values(), ids=DEGENERATE)
def test_systems_that_are_hardly_one_get_a_book(text: str) -> None:
    one = study(text)
    made = book(one, findings=run(one))
    printed = named("text").write(made, Options()).decode()
    assert not re.search(r"(?<![\w-])(inf|nan)(?![\w-])", printed)
