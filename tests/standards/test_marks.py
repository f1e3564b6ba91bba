"""Every number says how it was got, and nothing that is assumed is called published."""

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from elec.answers.loads.why_draw import continuous_workings
from elec.check import checks, run
from elec.finding import Finding
from elec.read import read
from elec.standards import Cite, cites, defaults, documents, least_sure, table
from elec.standards.cite import REMARKS
from elec.study import Study
from elec.wiring.limits import RULES, published
from tests.physics.test_every_formula import FORMULAS
from tests.standards.names import table_names

SYSTEMS = Path(__file__).parents[2] / "systems"
NAMES = sorted(path.name for path in SYSTEMS.iterdir() if path.is_dir())


@cache
def findings(name: str) -> tuple[Finding, ...]:
    system = read(SYSTEMS / name).system
    assert system is not None
    return run(Study(system), deep=False)


def every_cite() -> Iterator[Cite]:
    for one in checks():
        yield from one.sources
    for name in table_names():
        yield from (row.cite for row in table(name))
    for formula in FORMULAS.values():
        yield from cites(formula)
    for key in RULES:
        yield from (published(key, nominal_v=volts).cite for volts in (14.0, 28.0))
    yield from (one.cite for one in defaults().values())


def test_every_citation_has_a_class_and_a_document() -> None:
    for cite in every_cite():
        assert cite.certainty in REMARKS, str(cite)
        assert cite.document in documents()
        assert cite.remark == "" or str(cite).endswith(f"({cite.remark})")


@pytest.mark.parametrize("name", table_names())
def test_a_compiled_table_is_as_sure_as_its_least_sure_row(name: str) -> None:
    one = table(name)
    if one.cite.document == "elec":
        assert one.cite.certainty != "seen"
        if "certainty" in one.columns and "document" in one.columns:
            assert least_sure(row.cite for row in one).certainty == one.cite.certainty


def test_numbers_of_documents_that_others_quote_say_so() -> None:
    """No page of these was seen; see documents.toml."""
    for cite in every_cite():
        if cite.document in ("as50881", "astm_f2639", "mil_w_5088", "ul_248_14", "sae_j537"):
            assert cite.certainty in ("quoted", "memory", "computed"), str(cite)
        if cite.document in ("mil_prf_5809", "mil_w_22759", "mil_std_704", "do_160", "jcgm100"):
            assert cite.certainty == "memory", str(cite)


def test_each_edition_of_a_rule_stands_under_its_own_name() -> None:
    """23.2525 came with amendment 23-64 of 2017; 23.1351 to 23.1361 went with it."""
    for cite in every_cite():
        if "23.25" in cite.where:
            assert cite.document == "cfr_23_64"
        if "23.13" in cite.where or "23.11" in cite.where:
            assert cite.document == "cfr_23"
    assert "before 23-64" in documents()["cfr_23"].short


@cache
def never_seen() -> dict[str, set[str]]:
    """Places of documents of which no number was seen, and the remarks that they carry."""
    found: dict[str, set[str]] = {}
    for cite in every_cite():
        found.setdefault(cite.place, set()).add(cite.remark)
    return {place: remarks for place, remarks in found.items() if "" not in remarks}


def unmarked(text: str) -> list[str]:
    wrong = []
    for place, remarks in never_seen().items():
        start = text.find(place)
        while start >= 0:
            rest = text[start + len(place) :]
            longer = any(text.startswith(p, start) for p in places() if len(p) > len(place))
            if not longer and not any(rest.startswith(f" ({remark})") for remark in remarks):
                wrong.append(f"{place}: {text}")
            start = text.find(place, start + 1)
    return wrong


@cache
def places() -> frozenset[str]:
    return frozenset(cite.place for cite in every_cite())


def test_a_place_without_its_mark_would_be_found() -> None:
    assert unmarked("it interrupts 6000 A, MIL-PRF-5809 short-circuit interruption.")
    assert not unmarked("MIL-PRF-5809 short-circuit interruption (from memory, not checked)")


@pytest.mark.parametrize("name", NAMES)
def test_every_finding_marks_what_was_not_seen(name: str) -> None:
    found = findings(name)
    assert found
    for one in found:
        assert one.sources, one.check
        for text in (*one.sources, one.sentence, one.remedy):
            assert not unmarked(text), one.check


@pytest.mark.parametrize("name", NAMES)
def test_nothing_assumed_is_called_published(name: str) -> None:
    for one in findings(name):
        said = f"{one.sentence} {one.remedy}"
        if "assumed" in said or "our judgement" in said:
            assert "published" not in said, said


def test_every_step_of_a_finding_marks_what_was_not_seen() -> None:
    """One system is enough: the same steps are made for all."""
    for one in findings("thistledown"):
        if one.working is None:
            continue
        for step in one.working.steps:
            for text in (step.source, step.result.origin, *(t.origin for t in step.terms)):
                assert not unmarked(text), (one.check, step.result.symbol)
                key = text.removeprefix("default ").partition(" (")[0]
                if text.startswith("default ") and key in defaults():
                    assert text == defaults()[key].origin


SHOWN = {
    "free air": ("mil_w_5088/free_air", {"awg": "20", "rise_k": 60.0}, "quoted"),
    "breaker drop": ("elec/breaker_drop", {"rating_a": 5.0}, "memory"),
    "interruption": ("elec/interrupt_capacity", {"device": "breaker-thermal"}, "memory"),
    "limiter": ("elec/interrupt_capacity", {"device": "sf51"}, "memory"),
    "crimp": ("elec/crimp_pull", {"awg": "22"}, "quoted"),
    "thick crimp": ("elec/crimp_pull", {"awg": "6"}, "memory"),
    "large blade fuse": ("elec/fuse_curves", {"family": "blade-e", "multiple": 2.0}, "quoted"),
    "glass fuse": ("elec/fuse_curves", {"family": "glass-ul248-14", "multiple": 2.0}, "quoted"),
    "230 degrees": ("elec/insulation", {"insulation": "etfe-tin"}, "judgement"),
    "AGM at rest": (
        "elec/battery_voltage",
        {"chemistry": "agm", "state_of_charge_percent": 100.0},
        "memory",
    ),
    "60 000 ft": ("ac4313/altitude_derating", {"altitude_ft": 60000.0}, "memory"),
}


@pytest.mark.parametrize("what", SHOWN)
def test_how_single_numbers_were_got(what: str) -> None:
    name, keys, certainty = SHOWN[what]
    assert table(name).row(**keys).certainty == certainty  # type: ignore[arg-type]


def test_a_rest_voltage_that_nobody_gave_has_the_mark_of_its_table() -> None:
    """Foxglove's battery has no curve of its own: 12.9 V is AGM's, from memory."""
    system = read(SYSTEMS / "foxglove").system
    assert system is not None
    study = Study(system)
    origins = {
        term.origin
        for load in system.document.equipment
        for working in continuous_workings(study, load)
        for step in working.steps
        for term in step.terms
        if term.meaning == "full battery at rest"
    }
    (origin,) = origins
    row = table("elec/battery_voltage").row(chemistry="agm", state_of_charge_percent=100.0)
    assert origin == f"rest voltage of battery, {row.cite}"
    assert origin.endswith("(from memory, not checked)")
