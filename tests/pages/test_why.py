"""What `elec why` prints can be followed with a pocket calculator, and says what the tables say.

The calculator reads the printed text alone: `tests/write/calculator.py` says how near it must come.
"""

import math
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from msgspec.structs import replace

from elec.answers.connect.holes import passages
from elec.answers.drop.drops import feeder_drops, load_drops
from elec.answers.drop.why_current import circuit_working, wire_current_workings
from elec.answers.drop.why_network import balance_working, lowest_case, worst_balance
from elec.answers.heat.heat import heat
from elec.answers.loads.loads import loads
from elec.answers.loads.why_draw import continuous_workings
from elec.answers.short.fault import faults as shorts
from elec.answers.why.why_names import KINDS, WhySubject, find, near, subjects
from elec.answers.why.why_thing import bundle_working
from elec.answers.why.why_worked import WORKED, worked
from elec.check import run
from elec.cli import main
from elec.finding import Finding, Verdict
from elec.pages.circuits.wire import circuits
from elec.pages.document import Section, WorkingBlock
from elec.pages.table import Cell
from elec.pages.why.circuit import device_words, short_words
from elec.pages.why.page import why_answer
from elec.physics.heat import bundle_factor
from elec.sizing.sizing import sizing
from elec.wiring.chains import chains
from elec.wiring.demand import worst_circuit_amps
from elec.working import Ref, Working, evaluate
from elec.write.register import Options
from elec.write.to_html import to_html
from elec.write.to_text import text_of, working_text
from tests.answers.helper import NAMES, loads_of, small, whole
from tests.write.calculator import faults, sheets, sheets_of_page

PIPE = Options()
SYSTEMS = Path(__file__).parents[2] / "systems"


@cache
def every_working(name: str) -> tuple[Working, ...]:
    """Each hand calculation that `elec why` prints about anything, and of every finding, once."""
    study = whole(name)
    found: dict[Working, None] = {}
    for subject in subjects(study):
        found |= dict.fromkeys(_workings(why_answer(study, [subject])))
    found |= dict.fromkeys(f.working for f in findings(name) if f.working is not None)
    return tuple(one for one in found if one.steps)


@cache
def findings(name: str) -> tuple[Finding, ...]:
    return run(whole(name))


def _workings(section: Section) -> Iterator[Working]:
    for block in section.blocks:
        if isinstance(block, WorkingBlock):
            yield block.working
    for inner in section.sections:
        yield from _workings(inner)


@pytest.mark.parametrize("name", NAMES)
def test_a_calculator_shows_every_printed_result(name: str) -> None:
    found = every_working(name)
    read = sheets("\n\n".join(working_text(one, PIPE) for one in found))
    wrong = [fault for sheet in read for fault in faults(sheet)]
    assert not wrong, "\n".join(wrong[:10])
    assert len(read) == len(found)  # nothing was overlooked
    assert [len(s.steps) for s in read] == [len(w.steps) for w in found]


@pytest.mark.parametrize("width", [40, 80])
def test_a_narrow_terminal_says_the_same(width: int) -> None:
    for one in every_working("thistledown"):
        (narrow,) = sheets(working_text(one, Options(width=width)))
        (wide,) = sheets(working_text(one, PIPE))
        assert not faults(narrow)
        assert [s.result for s in narrow.steps] == [s.result for s in wide.steps]


@pytest.mark.parametrize("name", NAMES)
def test_the_page_says_what_the_terminal_says(name: str) -> None:
    found = every_working(name)
    blocks = tuple(WorkingBlock(working=one) for one in found)
    page = to_html(Section(id="why", title="Why", blocks=blocks), PIPE).decode()
    read = sheets_of_page(page)
    wrong = [fault for sheet in read for fault in faults(sheet)]
    assert not wrong, "\n".join(wrong[:10])
    results = [step.result for sheet in read for step in sheet.steps]
    printed = sheets("\n\n".join(working_text(one, PIPE) for one in found))
    assert results == [step.result for sheet in printed for step in sheet.steps]


@pytest.mark.parametrize("name", NAMES)
def test_the_record_is_what_the_formula_gives(name: str) -> None:
    for working in every_working(name):
        for step in working.steps:
            if not step.formula:
                continue
            values = {term.symbol: term.value for term in step.terms}
            # The analyses add and multiply in another order, the network is solved to 1e-9 V;
            # one part in a million is far below the digits that are printed.
            assert evaluate(step.formula, values) == pytest.approx(
                step.result.value, rel=1e-6, abs=1e-9
            ), (working.title, step.formula)


@pytest.mark.parametrize("name", NAMES)
def test_every_number_says_where_it_comes_from(name: str) -> None:
    for working in every_working(name):
        made = set()
        for step in working.steps:
            made.add((step.result.symbol, step.result.value))
            symbols = [term.symbol for term in step.terms]
            assert len(set(symbols)) == len(symbols), (working.title, symbols)
            for term in (step.result, *step.terms):
                told = term.origin not in ("", "computed")
                here = (term.symbol, term.value) in made
                assert told or here or (term is step.result and step.formula), (
                    working.title, term,
                )  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_no_formula_has_the_logarithm_that_calculators_read_otherwise(name: str) -> None:
    for working in every_working(name):
        assert not any(re.search(r"\blog\b", step.formula) for step in working.steps)


# -- the numbers are those of the tables --------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_no_wire_passes_in_the_table_and_fails_in_the_working(name: str) -> None:
    study = whole(name)
    seen = 0
    rows = [(c, load) for c in chains(study).of("circuit") for load in c.loads]
    for (chain, load), row in zip(rows, circuits(study).rows, strict=True):
        lost, limit, warm, used = row[5], row[6], row[7], row[9]
        drop = load_drops(study)[chain.name, load]
        assert isinstance(lost, Cell)
        assert isinstance(warm, Cell)
        assert isinstance(used, Cell)
        if lost.value is not None:
            assert lost.working is not None
            assert lost.working.value == pytest.approx(lost.value, rel=1e-9)
            assert lost.working.limit is not None
            assert lost.working.limit.value == limit == drop.limit_v
            assert lost.working.passes == (lost.verdict != "fail")
        if warm.value is not None:
            assert warm.working is not None
            assert warm.working.value == pytest.approx(warm.value, rel=1e-9)
        if isinstance(used.value, float):
            assert used.working is not None
            assert used.working.value == pytest.approx(used.value, rel=1e-9)
            assert used.working.passes == (used.verdict != "fail")
            seen += 1
    assert seen > 8


@pytest.mark.parametrize("name", NAMES)
def test_the_finding_about_a_wire_and_its_working_agree(name: str) -> None:
    study = whole(name)
    by_mark = {f.about: f for f in findings(name) if f.check == "wire-heat"}
    asked = {one.name: one.ask for one in subjects(study) if one.kind == "wire"}
    for conductor, found in heat(study).items():
        mark = asked[conductor]
        verdict = by_mark[mark].verdict
        if verdict in (Verdict.PASS, Verdict.FAIL):
            assert found.working.passes == (verdict is Verdict.PASS), mark
    for chain, drop in feeder_drops(study).items():
        if drop.lost_v is not None:
            assert drop.working.value == pytest.approx(drop.lost_v, rel=1e-9), chain
    for check in ("wire-drop", "feeder-drop"):
        for finding in findings(name):
            if finding.check != check or finding.verdict is Verdict.CANNOT_TELL:
                continue
            assert finding.working is not None
            assert finding.working.value == pytest.approx(finding.value, rel=1e-9)
            assert finding.working.passes == (finding.verdict is Verdict.PASS), finding.about


@pytest.mark.parametrize("name", NAMES)
def test_the_temperature_of_the_drop_is_that_of_the_wire(name: str) -> None:
    """A wire may carry least in one spot and get warmest in another; the drop counts the latter."""
    study = whole(name)
    for conductor, found in heat(study).items():
        warm = found.warmest_degc
        assert warm is not None
        assert sizing(study).temperatures_degc[conductor] == pytest.approx(
            min(warm, found.rated_degc), rel=1e-12
        )
        assert found.temperature.value == warm
        assert found.expected_degc is None or warm >= found.expected_degc


@pytest.mark.parametrize("name", NAMES)
def test_currents_are_those_that_sized_the_wires(name: str) -> None:
    study = whole(name)
    for chain in chains(study).of("circuit"):
        working = circuit_working(study, chain)
        amps = worst_circuit_amps(study)[chain.name]
        assert (working is None) == (amps is None)
        if working is not None and amps is not None:
            assert working.value == pytest.approx(amps, rel=1e-12)
    for conductor, found in sizing(study).currents_a.items():
        chain = chains(study).by_name[conductor.rpartition("/")[0]]
        one = next(c for c in chain.conductors() if c.id == conductor)
        most = [w.value for w in wire_current_workings(study, one)]
        # what follows from a solved voltage: the network is solved to 1e-9 V
        top = max(found.values())
        assert not most or any(value == pytest.approx(top, rel=1e-9) for value in most)
        peak = sizing(study).peaks_a[conductor]
        assert not most or any(value == pytest.approx(peak, rel=1e-9) for value in most)


@pytest.mark.parametrize("name", NAMES)
def test_what_counts_in_a_phase_is_that_of_the_load_analysis(name: str) -> None:
    study = whole(name)
    for load in study.document.equipment:
        values = {w.steps[-2].result.value for w in continuous_workings(study, load)}
        lines = [ln for ln in loads(study).lines if ln.equipment == load and not ln.coil]
        for line in lines:
            if line.continuous_a is not None:
                assert any(math.isclose(line.continuous_a, v) for v in values), (load, line.phase)


@pytest.mark.parametrize("name", NAMES)
def test_as_much_flows_out_of_a_bus_as_into_it(name: str) -> None:
    study = whole(name)
    for bus in study.document.buses:
        found = worst_balance(study, bus)
        assert found is not None
        into, out = (step.result.value for step in balance_working(found, bus).steps)
        assert into == pytest.approx(out, abs=1e-5)  # ten times what the network is solved to


@pytest.mark.parametrize("name", NAMES)
def test_hand_calculations_end_at_the_numbers_of_the_analyses(name: str) -> None:
    """What an analysis sums in its loops is what the formulas make of the printed terms."""
    study = whole(name)
    pairs: list[tuple[str, float | None, float | None]] = []
    for fault in shorts(study).values():
        if fault.least_a is not None and fault.greatest_a is not None:
            pairs.append((f"least {fault.chain}", fault.least.value, fault.least_a))
            pairs.append((f"greatest {fault.chain}", fault.greatest.value, fault.greatest_a))
    pairs += [
        (one.title, one.working.value, one.all_m * 1000)
        for one in passages(study).values()
        if one.all_m is not None and one.working.steps
    ]
    pairs += [
        (f"opening of {one.title}", found, number * 1000)
        for one in passages(study).values()
        for hole in one.openings
        if not one.unknown and len(hole.working.steps) > 1
        for found, number in (
            (hole.working.value, hole.needed_m),
            (hole.working.steps[-2].result.value, hole.passing_m),
        )
    ]
    pairs += [
        (load, working.value, lowest_case(study, load)[1])
        for load in study.document.equipment
        for one in find(study, load)
        if one.kind == "equipment"
        for working in _workings(why_answer(study, [one]))
        if working.title.startswith("Lowest voltage")
    ]
    assert len(pairs) > 30
    for about, value, number in pairs:
        # sums in another order; a voltage adds up a network that is solved to 1e-9 V
        assert value == pytest.approx(number, rel=1e-8), about


@pytest.mark.parametrize("name", NAMES)
def test_the_factor_of_a_bundle_is_that_of_its_wires(name: str) -> None:
    study = whole(name)
    seen = 0
    for found in heat(study).values():
        working = bundle_working(study, found.spot)
        if working is None:
            continue
        share = bundle_factor(wires=min(40.0, found.wires), loading=found.loading)
        assert working.value == pytest.approx(share, rel=1e-9)
        seen += 1
    assert seen


def test_the_voltage_at_a_load_begins_at_the_source_and_ends_at_the_load() -> None:
    study = whole("foxglove")
    answer = why_answer(
        study, [s for s in subjects(study) if s.name == "landing-light" and s.kind == "equipment"]
    )
    (working,) = [w for w in _workings(answer) if w.title.startswith("Lowest voltage")]
    case, volts = lowest_case(study, "landing-light")
    assert case is not None
    assert working.value == pytest.approx(volts, rel=1e-9)
    assert working.rule == "at least"
    assert working.passes


# -- what can be asked --------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_everything_with_a_name_is_answered(name: str) -> None:
    study = whole(name)
    kinds = set()
    for subject in subjects(study):
        section = why_answer(study, [subject])
        assert section.blocks, subject
        text = text_of(section, PIPE)
        assert subject.title in text, subject
        assert "None" not in text, subject
        assert "nan" not in text.split(), subject
        kinds.add(subject.kind)
    assert kinds >= set(KINDS) - {"ground connection", "cable", "thin wire"}
    assert ("thin wire" in kinds) == any(chain.hot for chain in chains(study).of("wire"))


@pytest.mark.parametrize("name", NAMES)
def test_a_name_finds_its_thing(name: str) -> None:
    study = whole(name)
    for subject in subjects(study):
        assert subject in find(study, subject.ask)
        if subject.kind == "device":
            assert subject in find(study, f"{subject.name} device")


@pytest.mark.parametrize(
    ("asked", "kinds"),
    [
        ("landing-light", ("circuit", "equipment")),
        ("Landing Light", ("circuit", "equipment")),
        ("landing-light breaker", ("device",)),
        ("landing-light/breaker", ("device",)),
        ("l20a16", ("wire",)),
        ("main feed", ("feeder",)),
        ("power stud to main bus", ("feeder",)),
        ("main", ("bus",)),
        ("battery", ("source",)),
        ("radio.J1", ("connector",)),
        ("radio.J1.1", ("contact",)),
        ("panel to belly", ("way",)),
        ("belly to panel", ("way",)),
        ("panel", ("place",)),
        ("roof-block", ("ground",)),
        ("roof-block-ground", ("ground connection",)),
        ("climb", ("phase",)),
        ("com-antenna", ("equipment", "cable")),
        ("master", ("switch",)),
        ("nothing-of-that-name", ()),
    ],
)
def test_names_as_people_say_them(asked: str, kinds: tuple[str, ...]) -> None:
    assert tuple(one.kind for one in find(whole("foxglove"), asked)) == kinds


def test_what_is_near_is_offered() -> None:
    study = whole("foxglove")
    assert near(study, "landing-lihgt")[0] == "landing-light"
    assert near(study, "L20A61")[0] == "L20A16"
    assert near(study, "wire-dorp", ("wire-drop",))[0] == "wire-drop"
    assert near(study, "qqqqqq") == ()


def _asked(name: str, kind: str) -> WhySubject:
    return next(one for one in find(whole("foxglove"), name) if one.kind == kind)


def test_two_things_of_one_name_are_told_apart_and_nothing_is_printed_twice() -> None:
    study = whole("foxglove")
    text = text_of(why_answer(study, find(study, "landing-light")), PIPE)
    first = text.splitlines()[0]
    assert first.startswith("2 things have that name: the circuit landing light")
    assert "the piece of equipment landing light" in first
    assert text.index("\ncircuit landing light") < text.index("\npiece of equipment landing light")
    assert text.count("\nThe most that landing light draws\n") == 1
    assert "The most that landing light draws: as above." in text


def test_a_circuit_begins_with_three_sentences_and_follows_the_hand() -> None:
    text = text_of(why_answer(whole("foxglove"), [_asked("dock-light", "circuit")]), PIPE)
    paragraphs = text.split("\n\n")
    assert re.match(r"The wire of dock light is AWG 16 because AWG 18 loses .* and", paragraphs[1])
    assert re.match(r"The breaker of dock light is 7.5 A because", paragraphs[2])
    assert re.match(r"0.46 V of 0.50 V is lost to dock light and back; the wire", paragraphs[3])
    heads = ["What it draws", "Protective device", "Gauge", "Length and resistance", "Heat",
             "Voltage drop", "Short circuit"]  # fmt: skip
    places = [text.index(f"\n{head}\n──") for head in heads]
    assert places == sorted(places)


def test_an_unknown_current_is_said_and_never_zero() -> None:
    study = small(loads_of({"pump": "", "radio": "2 A"}))
    text = text_of(why_answer(study, find(study, "pump")), PIPE)
    assert "What pump draws is not known" in text
    assert "what it must hold is not known" in text
    assert circuit_working(study, chains(study).by_name["pump"]) is None
    assert continuous_workings(study, "pump") == ()


def test_a_drop_that_is_too_great_fails_in_words() -> None:
    study = small(
        loads_of({"pump": "4 A"})
        .replace("places: {panel: }", "places: {panel: , tail: }\nways: [{between: [panel, tail], "
                 "length: 60 ft}]")
        .replace("pump: {place: panel", "pump: {place: tail")
        .replace("feeds: pump}", "feeds: pump, gauge: AWG 22}")
    )  # fmt: skip
    text = text_of(why_answer(study, find(study, "circuit pump") or find(study, "pump")), PIPE)
    assert re.search(r"V = [\d.]+ V; allowed: at most 0.5 V \(.*\)\. It fails\.", text)
    assert re.search(r"is AWG 22 because it is given .*: it does not do \(voltage drop\)", text)


def test_the_hint_of_every_finding_asks_for_that_finding() -> None:
    import shlex

    from elec.check import ask
    from elec.write.to_text import text_of as printed

    for name in NAMES:
        for finding in findings(name):
            if finding.verdict is Verdict.PASS or finding.working is None:
                continue
            from elec.pages.document import FindingList

            section = Section(id="x", title="", blocks=(FindingList(findings=(finding,)),))
            text = printed(section, Options(again="elec why systems/x"))
            (hint,) = re.findall(r"elec why systems/x .*", text)
            assert shlex.split(hint) == ["elec", "why", "systems/x", finding.check, finding.about]
            again = ask(whole(name), finding.check)
            assert any(one.about == finding.about for one in again)


# -- the walk -----------------------------------------------------------------------------------


def test_what_a_number_came_from_stands_before_it_and_once() -> None:
    text = text_of(why_answer(whole("foxglove"), [_asked("landing-light", "circuit")]), PIPE)
    current, length = "\nWhat L20A16 carries at most\n", "\nLength and resistance of L20A16\n"
    drop = "\nVoltage drop to landing light and back\n"
    assert text.count(current) == text.count(length) == text.count(drop) == 1
    assert text.index(current) < text.index(drop)
    assert text.index(length) < text.index(drop)
    # The heat of one wire is a page: that of others is named, to ask by their marks.
    assert text.count("\nHeat of L20") == 1


def test_a_current_of_the_solved_network_has_the_voltage_that_it_follows_from() -> None:
    text = text_of(why_answer(whole("foxglove"), [_asked("landing-light", "circuit")]), PIPE)
    found = re.search(r"I = P / U\n +=\s+45 / ([\d.]+)\n +=\s+([\d.]+) A", text)
    assert found is not None
    volts, amps = float(found[1]), float(found[2])
    assert amps == pytest.approx(45 / volts, rel=1e-3)  # as printed, four digits
    assert amps == pytest.approx(sizing(whole("foxglove")).peaks_a["landing-light/1"], rel=1e-3)
    assert re.search(rf"U = {found[1]} V +voltage at landing light +solved network, climb", text)


def test_a_load_says_what_its_circuit_carries_at_the_voltage_that_is_left() -> None:
    text = text_of(why_answer(whole("foxglove"), [_asked("landing-light", "equipment")]), PIPE)
    first = text.split("\n\n")[1]
    assert "draws 3.75 A at most; its circuit carries 3.93 A in the solved network" in first
    assert "What L20A16 carries at most" in text
    assert re.search(r"U = 11.46\d* V +voltage at landing light +solved network", text)


@pytest.mark.parametrize("name", NAMES)
def test_every_solved_current_of_a_circuit_is_followed_to_its_loads(name: str) -> None:
    study = whole(name)
    for chain in chains(study).of("circuit"):
        for conductor in chain.conductors():
            for working in wire_current_workings(study, conductor):
                assert all("elec export" not in s.result.origin for s in working.steps), (
                    working.title
                )


@pytest.mark.parametrize("name", NAMES)
def test_every_reference_leads_to_a_calculation_of_that_thing(name: str) -> None:
    study = whole(name)
    refs = {
        term.came
        for working in every_working(name)
        for step in working.steps
        for term in step.terms
        if isinstance(term.came, Ref)
    }
    assert len(refs) > 20
    assert {ref.what for ref in refs} <= set(WORKED)
    for ref in refs:
        assert all(one.steps for one in worked(study, ref)), ref


@pytest.mark.parametrize(
    ("asked", "heads", "others"),
    [
        (["landing-light", "drop"], ["Voltage drop"], ["Short circuit", "What it draws"]),
        (["landing-light", "voltage drop"], ["Voltage drop"], ["Short circuit"]),
        (["landing-light", "current"], ["What it draws"], ["Voltage drop"]),
        (["main", "voltage"], ["Voltage"], ["What flows in and out"]),
        (["L20A16", "heat"], ["Heat"], ["Voltage drop"]),
    ],
)
def test_a_part_of_an_answer_is_asked_for_by_its_word(
    asked: list[str], heads: list[str], others: list[str], capfd: pytest.CaptureFixture[str]
) -> None:
    assert main(["why", str(SYSTEMS / "foxglove"), *asked]) == 0
    out = capfd.readouterr().out
    assert all(f"\n{head}\n──" in out for head in heads)
    assert not any(f"\n{head}\n──" in out for head in others)


def test_a_part_that_an_answer_does_not_have_is_told_with_those_that_it_has(
    capfd: pytest.CaptureFixture[str],
) -> None:
    assert main(["why", str(SYSTEMS / "foxglove"), "landing-light", "dorp"]) == 2
    found = capfd.readouterr().err
    assert 'no part of the answer about landing-light "dorp"; did you mean "drop"?' in found
    assert main(["why", str(SYSTEMS / "foxglove"), "landing-light", "colour"]) == 2
    found = capfd.readouterr().err
    assert "There are: device, draw, drop, gauge, heat, length, short, voltage" in found


@pytest.mark.parametrize("name", NAMES)
def test_no_current_is_told_by_a_power_of_ten(name: str) -> None:
    """A short just behind a device drives 1057 A, not 1.06e+03 A."""
    study = whole(name)
    said = [text for chain in chains(study).by_name.values() for text in device_words(study, chain)]
    assert any("just behind it" in text for text in said)
    assert not [text for text in said if re.search(r"\de[+-]?\d", text)]


def test_a_short_of_which_the_greatest_is_not_known_says_so() -> None:
    """No *0 A*: nothing is silently zero."""
    study = whole("foxglove")
    fault = replace(shorts(study)["radio"], greatest_a=None)
    (text,) = short_words(fault, 5.0)
    assert text.endswith("; how much one just behind it drives is not known.")
    assert not list(short_words(replace(fault, least_a=None), 5.0))
