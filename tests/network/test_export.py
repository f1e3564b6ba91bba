"""`elec export … --to spice`: ngspice runs the file as it is, and agrees with what it says."""

import re
from pathlib import Path

import numpy as np
import pytest

from elec import cli
from elec.answers.base.points import points
from elec.read import read
from elec.study import Study
from tests.answers.helper import SYSTEMS, small, whole
from tests.network.spice import AGREE_V, as_written, needs_ngspice

ngspice = [pytest.mark.outside, needs_ngspice]


@pytest.mark.outside
@needs_ngspice
@pytest.mark.parametrize(
    ("name", "case"),
    [
        ("foxglove", "climb, night, all well"),
        ("larkspur", "Cruise, Night, On the battery, loads shed"),
        ("thistledown", "approach, day, on the second battery"),
    ],
)
def test_ngspice_agrees_with_an_exported_case(name: str, case: str, tmp_path: Path) -> None:
    file = tmp_path / "case.cir"
    given = ["export", str(SYSTEMS / name), "--to", "spice", "--case", case, "-o", str(file)]
    assert cli.main(given) == 0
    text = file.read_text(encoding="utf-8")
    theirs = as_written(text).voltage_v
    found = points(whole(name))
    number = next(
        k
        for k, one in enumerate(found.cases)
        if one.title.casefold() == case.casefold() and one.count == "momentary"
    )
    nodes = dict(re.findall(r"^\* +(n\d+|0)  (.*)$", text, re.MULTILINE))
    assert len(nodes) == len(found.solution.nodes)
    compared = 0
    for node, title in nodes.items():
        ours = found.node_v(title)[number]
        if node in theirs and np.isfinite(ours):
            assert theirs[node] == pytest.approx(ours, abs=AGREE_V)
            compared += 1
    assert compared > 0.5 * len(nodes)
    said = re.findall(r"^\*   (.*): (\d+\.\d{9}) V$", text, re.MULTILINE)
    titles = {whole(name).system.title("buses", b): b for b in whole(name).document.buses}
    assert said
    for title, volts in said:
        bus = next(node for node, label in nodes.items() if label == titles[title])
        assert theirs[bus] == pytest.approx(float(volts), abs=AGREE_V)


@pytest.mark.outside
@needs_ngspice
@pytest.mark.parametrize("file", ["docs/shapes.yaml", "tests/checks/base.yaml"])
def test_ngspice_answers_every_deck_as_it_is_written(file: str) -> None:
    """Its first guess is our answer, and no simulator is led astray by it.

    Without it some of these decks have no answer: the guess is what helps, not what hinders.
    """
    from elec.answers.build.export import spice_deck
    from elec.wiring.cases import cases

    found = read(SYSTEMS.parent / file)
    assert found.system is not None
    study = Study(found.system)
    for case in cases(study)[::3]:
        text = spice_deck(study, case)
        theirs = as_written(text).voltage_v
        nodes = {v: k for k, v in re.findall(r"^\* +(n\d+|0)  (.*)$", text, re.MULTILINE)}
        for bus in study.document.buses:
            said = re.search(
                rf"^\*   {re.escape(study.system.title('buses', bus))}: (\d+\.\d{{9}}) V$",
                text, re.MULTILINE,
            )  # fmt: skip
            if said is not None:
                assert theirs[nodes[bus]] == pytest.approx(float(said[1]), abs=AGREE_V), case.title


def test_the_deck_tells_elements_by_the_builders_names(capsys: pytest.CaptureFixture[str]) -> None:
    system = str(SYSTEMS / "foxglove")
    case = ["--phase", "cruise", "--condition", "night", "--scenario", "normal"]
    assert cli.main(["export", system, "--to", "spice", *case, "--count", "steady"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("* Foxglove: cruise, night, all well; each load with its share of")
    names = {line.split(" ; ")[1] for line in text.splitlines() if " ; " in line}
    study = whole("foxglove")
    for circuit in study.document.circuits:
        assert any(name.startswith(f"{circuit}/") for name in names), circuit
    assert set(study.document.sources) & names
    assert re.search(r"^Ba0 \S+ \S+ I=min\(max\(.*\) +; alternator$", text, re.MULTILINE)
    assert ".op\n.end\n" in text


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ([], "cases are meant; name one with --case"),
        (["--case", "cruise, nigt, all well"], 'did you mean "cruise, night, all well"'),
        (["--phase", "orbit"], "No cases are meant"),
    ],
)
def test_which_case_must_be_clear(
    options: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["export", str(SYSTEMS / "foxglove"), "--to", "spice", *options]) == 2
    assert said in capsys.readouterr().err


def test_a_case_that_collapses_says_why() -> None:
    from elec.answers.build.export import spice_deck
    from elec.wiring.cases import cases
    from tests.answers.helper import loads_of

    study = small(loads_of({"pump": "40 kW"}))
    text = spice_deck(study, cases(study)[0])
    assert "The demand cannot be met" in text
    assert re.search(r"pump needs 40000 W at 8 V or more; .* can deliver \d+ W there", text)
