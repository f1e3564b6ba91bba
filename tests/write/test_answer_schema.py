"""The published schema says all that the JSON output holds, and nothing else."""

import json
from pathlib import Path

import msgspec
import pytest

from elec import cli
from elec.write.answer import AnswerOut, BookOut, MistakesOut, answer_schema
from elec.write.register import Options
from elec.write.to_json import to_json
from tests.systems import SYSTEMS
from tests.write.sample import book

YARROW = str(SYSTEMS / "yarrow")
STORED = Path(__file__).parents[2] / "docs" / "answer.schema.json"
ASKED = (
    ("check", YARROW), ("loads", YARROW), ("loads", YARROW, "--sheet"), ("wires", YARROW),
    ("pins", YARROW), ("why", YARROW, "radio"), ("try", YARROW, "--remove", "landing-light"),
    ("compare", YARROW, YARROW), ("bench", YARROW, "first-power"), ("buy", YARROW),
    ("size", YARROW), ("show", YARROW, "radio.J1"), ("checks",), ("measured", YARROW),
)  # fmt: skip


@pytest.mark.parametrize("asked", ASKED, ids=lambda asked: asked[0])
def test_answers_are_as_published(
    asked: tuple[str, ...], capfd: pytest.CaptureFixture[str]
) -> None:
    assert cli.main([*asked, "--format", "json"]) in (0, 1)
    found = msgspec.json.decode(capfd.readouterr().out, type=AnswerOut)
    assert found.blocks


def test_books_are_as_published() -> None:
    made = to_json(book(), Options(cautions=("Careful.",)))
    assert msgspec.json.decode(made, type=BookOut).sections


def test_mistakes_are_as_published(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "plane.yaml"
    path.write_text("system: 3\n", encoding="utf-8")
    assert cli.main(["check", str(path), "--format", "json"]) == 2
    assert msgspec.json.decode(capfd.readouterr().out, type=MistakesOut).mistakes


def test_a_field_that_is_not_published_is_found() -> None:
    made = json.loads(to_json(book(), Options()))
    made["more"] = 1
    with pytest.raises(msgspec.ValidationError, match="more"):
        msgspec.convert(made, type=BookOut)
    del made["more"]
    del made["digest"]
    with pytest.raises(msgspec.ValidationError, match="digest"):
        msgspec.convert(made, type=BookOut)


def test_the_file_is_what_the_records_say(capfd: pytest.CaptureFixture[str]) -> None:
    stored = json.loads(STORED.read_text(encoding="utf-8"))
    assert stored == answer_schema()
    assert {part["$ref"] for part in stored["anyOf"]} == {
        f"#/$defs/{name}" for name in ("AnswerOut", "BookOut", "MistakesOut")
    }
    assert cli.main(["schema", "--answers"]) == 0
    assert json.loads(capfd.readouterr().out) == stored
