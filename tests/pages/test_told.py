"""What one check finds is told once, on every page for people; machines get each finding."""

import json
from typing import Any

import pytest

from elec.finding import Finding, Verdict
from elec.pages.document import FindingList, Section
from elec.pages.told import told
from elec.write.register import Options
from elec.write.to_html import to_html
from elec.write.to_json import to_json
from elec.write.to_markdown import to_markdown
from elec.write.to_text import text_of

DO = "Take a thicker wire."


def found(about: str, **more: Any) -> Finding:
    usual = {"verdict": Verdict.FAIL, "remedy": DO, "sources": ("AC 43.13-1B 11-66",)}
    return Finding(check="wire-drop", about=about, sentence=f"{about} loses 2 V.", **usual | more)


SAME = (found("lamp"), found("fan"))
SECTION = Section(id="check", title="Wren", blocks=(FindingList(findings=SAME),), new_page=False)


def test_they_are_put_together_by_check_and_verdict() -> None:
    other = found("pump", verdict=Verdict.ADVISE)
    passed = (found("a", verdict=Verdict.PASS), found("b", verdict=Verdict.PASS))
    groups = told((*SAME, other, *passed))
    assert [len(group.findings) for group in groups] == [2, 1, 1, 1]


def test_what_differs_stays_with_its_own() -> None:
    (group,) = told((found("lamp"), found("fan", remedy="Shorten it.")))
    assert group.remedies == ()
    assert group.item(group.findings[1]) == "fan loses 2 V. Shorten it."


def written(kind: str) -> str:
    options = Options()
    made = {
        "text": lambda: text_of(SECTION, options),
        "markdown": lambda: to_markdown(SECTION, options).decode(),
        "html": lambda: to_html(SECTION, options).decode(),
    }
    return made[kind]()


@pytest.mark.parametrize("kind", ["text", "markdown", "html"])
def test_remedy_and_source_stand_once(kind: str) -> None:
    text = written(kind)
    assert text.count("Take a thicker wire") == 1
    assert text.count("11-66") == 1
    assert "lamp loses 2" in text.replace("\u00a0", " ")
    assert "fan loses 2" in text.replace("\u00a0", " ")


def test_machines_get_each() -> None:
    data = json.loads(to_json(SECTION, Options()))
    assert json.dumps(data).count("Take a thicker wire") == 2
