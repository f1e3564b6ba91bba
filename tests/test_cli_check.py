"""`elec check`: only what fails, only what is about one thing, one paragraph a check."""

from collections.abc import Callable
from pathlib import Path

import pytest

from elec import cli
from tests import plain
from tests.checks.cases import HERE, merged

FOXGLOVE = str(Path(__file__).parents[1] / "systems" / "foxglove")
WRONG = {
    "system": {"electrically-dependent": "yes"},
    "equipment": {"radio": {"role": "engine"}, "intercom": {"role": "engine"}},
    "circuits": {"lamp": {"breaker": "20 A", "gauge": "AWG 22"}},
}

Asked = Callable[..., tuple[int, str]]


@pytest.fixture(scope="module")
def wrong(tmp_path_factory: pytest.TempPathFactory) -> str:
    base = plain.texts((HERE / "base.yaml").read_text(encoding="utf-8"))
    file = tmp_path_factory.mktemp("check") / "bench.yaml"
    file.write_text(plain.written(merged(base, WRONG)), encoding="utf-8")
    return str(file)


@pytest.fixture
def asked(capfd: pytest.CaptureFixture[str]) -> Asked:
    def command(*words: str) -> tuple[int, str]:
        status = cli.main(["check", *words])
        return status, "\n".join(capfd.readouterr())

    return command


def _heads(text: str, *verdicts: str) -> list[str]:
    return [line.split()[1] for line in text.splitlines() if line.split(" ")[0] in verdicts]


def test_what_stops_the_engine_stands_first_and_heat_before_the_rest(
    wrong: str, asked: Asked
) -> None:
    _, text = asked(wrong)
    fails = _heads(text, "fail")
    assert fails[0] == "failure-single"
    assert "device-protects-wire" in fails
    heat = text.index("device-protects-wire")
    assert text.index("The engine stops") < heat
    assert heat < text.index("\nadvise")


def test_one_check_is_told_once(wrong: str, asked: Asked) -> None:
    _, text = asked(wrong)
    heads = [tuple(line.split()[:2]) for line in text.splitlines() if "  " in line[:12].strip(" ")]
    assert len(heads) == len(set(heads))
    lines = text.splitlines()
    first = next(i for i, line in enumerate(lines) if "failure-single" in line)
    assert lines[first].endswith("findings")
    assert lines[first + 1].lstrip().startswith("- ")


def test_only_what_fails(wrong: str, asked: Asked) -> None:
    status, text = asked(wrong, "--fails")
    assert status == 1
    assert _heads(text, "fail", "advise", "cannot-tell") == _heads(text, "fail")
    assert "that do not fail" in text


def test_nothing_fails(asked: Asked) -> None:
    status, text = asked(FOXGLOVE, "--fails")
    assert status == 0
    assert "Nothing fails." in text


@pytest.mark.parametrize("name", ["radio", "radio breaker", "fan", "to the panel"])
def test_about_one_thing(wrong: str, asked: Asked, name: str) -> None:
    _, every = asked(wrong, "--all")
    _, text = asked(wrong, "--about", name)
    assert _heads(text, "pass", "fail", "advise")
    assert len(text) < len(every) / 2
    alone = [line for line in every.splitlines() if "device-holds-load" in line and "lamp" in line]
    assert alone
    assert not set(alone) & set(text.splitlines())


def test_about_a_check(wrong: str, asked: Asked) -> None:
    _, text = asked(wrong, "--about", "device-alone")
    assert set(_heads(text, "pass", "fail", "advise")) == {"device-alone"}


def test_about_something_unknown_is_helped(wrong: str, asked: Asked) -> None:
    status, text = asked(wrong, "--about", "raido")
    assert status == 2
    assert 'There is nothing called "raido"; did you mean "radio"' in text


def test_all_and_fails_at_once(wrong: str, asked: Asked) -> None:
    status, text = asked(wrong, "--all", "--fails")
    assert status == 2
    assert "contradict" in text


def test_what_is_not_given_is_no_pass(wrong: str, asked: Asked) -> None:
    _, text = asked(wrong)
    (line,) = [line for line in text.splitlines() if "had nothing to judge" in line]
    assert "bend on ways (way-bend)" in line
    assert "backup on equipment (failure-pair-connector," in line
    named = line.split("Not given: ")[1].count("-")
    assert int(line.split()[0]) <= named
    assert "alternator-idle" not in line  # it was asked
