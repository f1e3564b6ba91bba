"""The cases of the checks: `base.yaml` with a few changes each, and what one check must say.

A case file holds, by name of the case, `change` (merged into the base: mappings by key, list
entries by number, `+` appended, null taken out) and `expect` (about, verdict, and value and limit
where given). Under `said` stands what each case says and under `beside` what stands beside that
(`tests/checks/said.py` writes both), under `never` which verdict the check cannot give, and why.
`beyond` in a change sets the current of equipment to what no file can say, to see what is said
where nothing can be computed. Numbers are compared within half a percent: they are read off a run
and pin it; that the formulas are right is tested against documents elsewhere.
"""

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from elec.check import Check, checks
from elec.finding import Finding
from elec.model.load import Draw
from elec.model.system import System
from elec.read import read
from elec.study import Study
from tests import plain

HERE = Path(__file__).parent
TOLERANCE = 0.005


class Expected(Struct, frozen=True, kw_only=True):
    """What one check must say about one thing."""

    about: str
    verdict: str
    value: float | None = None
    limit: float | None = None


class Case(Struct, frozen=True, kw_only=True):
    """One change of the base."""

    check: str
    name: str
    change: dict[str, Any]
    expect: Expected


def case_files() -> list[Path]:
    return sorted((HERE / "cases").glob("*.yaml"))


@cache
def cases() -> tuple[Case, ...]:
    """Every case of every file."""
    return tuple(case for file in case_files() for case in _cases(file))


def _cases(file: Path) -> Iterator[Case]:
    for name, entry in _texts(file).items():
        if name in {"never", "said", "beside"}:
            continue
        yield Case(
            check=file.stem,
            name=name,
            change=entry.get("change") or {},
            expect=_expected(entry["expect"]),
        )


@cache
def never(check: str) -> dict[str, str]:
    """Verdicts that a check never gives, and why."""
    found: dict[str, str] = _texts(HERE / "cases" / f"{check}.yaml").get("never", {})
    return found


@cache
def said(check: str) -> dict[str, str]:
    """Case → its words, as they were last looked at."""
    found: dict[str, str] = _texts(HERE / "cases" / f"{check}.yaml").get("said", {})
    return found


@cache
def kept_beside(check: str) -> dict[str, str]:
    """Case → what stands beside its sentence, as it was last looked at."""
    found: dict[str, str] = _texts(HERE / "cases" / f"{check}.yaml").get("beside", {})
    return found


def _expected(entry: dict[str, str]) -> Expected:
    return Expected(
        about=entry["about"],
        verdict=entry["verdict"],
        value=float(entry["value"]) if "value" in entry else None,
        limit=float(entry["limit"]) if "limit" in entry else None,
    )


def _texts(file: Path) -> Any:
    """YAML in which every scalar is text, as the builder's file is read."""
    return plain.texts(file.read_text(encoding="utf-8"))


def merged(base: Any, change: Any) -> Any:
    """The base with the change in it.

    >>> merged({"a": "1", "b": ["x", "y"]}, {"a": "null", "b": {"1": "z", "+": "w"}})
    {'b': ['x', 'z', 'w']}
    """
    if isinstance(base, list) and isinstance(change, dict):
        entries = dict(enumerate(base))
        for key, value in change.items():
            if key == "+":
                entries[len(entries)] = value
            elif value == "null":
                del entries[int(key)]
            else:
                entries[int(key)] = merged(entries[int(key)], value)
        return list(entries.values())
    if isinstance(base, dict) and isinstance(change, dict):
        result = dict(base)
        for key, value in change.items():
            if value == "null":
                result.pop(key, None)
            else:
                result[key] = merged(result[key], value) if key in result else value
        return result
    return change


def study_of(change: dict[str, Any], folder: Path) -> Study:
    """The base with a change, read like a builder's file."""
    file = folder / "system.yaml"
    written = {key: value for key, value in change.items() if key != "beyond"}
    whole = merged(_texts(HERE / "base.yaml"), written)
    text = plain.written(whole)
    file.write_text(text, encoding="utf-8")
    reading = read(file)
    assert not reading.mistakes, "\n".join(str(m) for m in reading.mistakes)
    assert reading.system is not None
    return Study(_beyond(reading.system, change.get("beyond", {})))


def _beyond(system: System, amps: dict[str, str]) -> System:
    """The system with currents that are no numbers of this world."""
    document = system.document
    loads = {
        name: document.equipment[name].model_copy(
            update={"draw": Draw(law="current", value=float(value))}
        )
        for name, value in amps.items()
    }
    equipment = {**document.equipment, **loads}
    return replace(system, document=document.model_copy(update={"equipment": equipment}))


def check_of(name: str) -> Check:
    found = {one.id: one for one in checks()}
    assert name in found, f"no check is called {name}: is there an __init__.py in its folder?"
    return found[name]


def finding_of(case: Case, folder: Path) -> tuple[Finding, ...]:
    """What the check says about the thing of the case."""
    found = check_of(case.check).function(study_of(case.change, folder))
    return tuple(found)
