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
