"""The documents do not rot: commands exist, links lead somewhere, examples read."""

import re
from pathlib import Path

import click
import pytest

from elec import cli

ROOT = Path(__file__).parents[1]
DOCUMENTS = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]


def test_readme_holds_two_set_up_commands() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert len(re.findall(r"^python3 -m venv \.venv", text, re.MULTILINE)) == 2


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: path.name)
def test_links_lead_somewhere(path: Path) -> None:
    for target in re.findall(r"\]\(([^)#:]+)\)", path.read_text(encoding="utf-8")):
        assert (path.parent / target).exists(), f"{path.name} links to {target}"


def test_sections_of_the_file_format_are_there() -> None:
    """Each section of the table leads to a heading of the same page."""
    text = (ROOT / "docs" / "file-format.md").read_text(encoding="utf-8")
    heads = {
        head.lower().replace(" ", "-") for head in re.findall(r"^#+ (.*)$", text, re.MULTILINE)
    }
    asked = set(re.findall(r"\]\(#([^)]+)\)", text))
    assert "sensors" in asked
    assert asked - heads == set()


def _commands() -> dict[str, click.Command]:
    context = click.Context(cli.cli)
    found = {name: cli.cli.get_command(context, name) for name in cli.COMMANDS}
    return {name: command for name, command in found.items() if command is not None}


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: path.name)
def test_commands_named_exist(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    quoted = re.findall(r"`elec ([a-z]+)\b", text)
    typed = [
        name
        for block in re.findall(r"```sh\n(.*?)```", text, re.DOTALL)
        for name in re.findall(r"^elec ([a-z]+)\b", block, re.MULTILINE)
    ]
    for name in quoted + typed:
        assert name in _commands(), f"{path.name} names elec {name}"


def test_every_command_has_a_help_text() -> None:
    for name, command in _commands().items():
        assert command.help, name


def test_models_are_what_runs() -> None:
    """What DEVELOPERS.md shows as a model stands so in the file that it names before it."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    shown = re.findall(r"from `(elec/[\w/]+\.py)`:[^`]*```python\n(.*?)\n```", text, re.DOTALL)
    assert shown
    assert len(shown) == text.count("```python")
    for name, code in shown:
        assert code in (ROOT / name).read_text(encoding="utf-8"), name


def test_files_that_developers_are_sent_to_are_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = re.findall(r"`((?:elec|tests|docs)/[\w/.-]+\.\w+)`", text)
    assert len(named) > 20
    for name in named:
        assert (ROOT / name).exists(), name
