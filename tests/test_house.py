"""The house keeps its shape: top level, rooms, words, and nothing slow at import."""

import ast
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path
from statistics import median

import pytest

from elec.check import ids
from elec.standards import table as published
from tests.idle import House, house

ROOT = Path(__file__).parents[1]
FILES = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE"}
FOLDERS = {"elec", "tests", "systems", "docs"}


def _tracked() -> list[str]:
    done = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True)
    return done.stdout.splitlines()


def test_top_level_is_what_the_readme_says() -> None:
    top = {name.split("/")[0] for name in _tracked()}
    assert {name for name in top if not name.startswith(".")} == FILES | FOLDERS


def test_nothing_is_left_over_from_a_merge() -> None:
    assert not [name for name in _tracked() if name.endswith((".orig", ".rej", ".bak", "~"))]


def test_every_room_says_what_comes_in_and_out() -> None:
    for name in _tracked():
        if re.fullmatch(r"elec/\w+/__init__\.py", name):
            text = (ROOT / name).read_text(encoding="utf-8")
            assert text.lstrip().startswith('"""'), f"{name} has no docstring"


def test_nothing_is_called_approved() -> None:
    word = re.compile(r"\bairworthy\b|\bapproved\b", re.IGNORECASE)
    for name in _tracked():
        path = ROOT / name
        if path.suffix not in {".py", ".html", ".j2", ".yaml", ".css"} or "tests" in path.parts:
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            found = word.search(line)
            assert found is None, f"{name}:{number} prints {found}"


def test_no_drawing_is_read_back() -> None:
    """Every writer has the ink of a drawing; none takes apart what another wrote."""
    reads = re.compile(r"ElementTree|minidom|xml\.(dom|parsers)|lxml")
    for name in _tracked():
        if name.startswith("elec/") and name.endswith(".py"):
            assert not reads.search((ROOT / name).read_text(encoding="utf-8")), name


def _modules_after(code: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys\nprint('\\n'.join(sys.modules))"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return {line.split(".")[0] for line in done.stdout.splitlines()}


@pytest.mark.parametrize(
    ("code", "heavy"),
    [
        ("import elec.cli", {"numpy", "pydantic", "pandas", "pint", "matplotlib", "schemdraw"}),
        (
            "import elec.check; elec.check.checks()",
            {"pandas", "pint", "matplotlib", "schemdraw", "scipy"},
        ),
    ],
)
def test_nothing_slow_is_imported_before_it_is_needed(code: str, heavy: set[str]) -> None:
    assert not _modules_after(code) & heavy


def test_every_name_serves_the_program_and_not_its_tests_alone() -> None:
    assert house().idle("elec") == []


@pytest.mark.parametrize(
    ("text", "idle"),
    [
        ("def used(): ...\ndef run(): used()", ""),
        ("def unused(): ...\ndef run(): ...", "unused"),
        ("def one(): two()\ndef two(): one()\ndef run(): ...", "one two"),
        ("SIZE = 3\nSPARE = 4\ndef run(): return SIZE", "SPARE"),
        ("@cache\ndef kept(): ...\n@check('x')\ndef told(): ...\ndef run(): ...", "kept"),
        ("class Record: ...\ndef run(found: 'Record'): ...", ""),
    ],
)
def test_what_nobody_reaches_is_found(text: str, idle: str) -> None:
    found = House({"elec.__main__": ast.parse(text)}).idle("elec")
    assert found == [f"elec.__main__.{name}" for name in idle.split()]


def test_equal_names_of_two_modules_are_told_apart() -> None:
    trees = {
        "elec.__main__": (
            "from elec import other\nfrom elec.more import same as theirs\n"
            "def run(): other.same(); theirs()"
        ),
        "elec.other": "def same(): ...\ndef spare(): ...",
        "elec.more": "from elec.deep import same",
        "elec.deep": "def same(): ...\ndef spare(): ...",
    }
    found = House({name: ast.parse(text) for name, text in trees.items()}).idle("elec")
    assert found == ["elec.deep.spare", "elec.other.spare"]


PRINTING = ("cli", "drawings", "pages", "write")
"""What prints numbers: it asks for the verdict of the finding about them."""
JUDGING = {"allows", "compare", "judged", "within"}
BOUND = re.compile(r"(^|[_.( ])(limit|allowed|minimum|needed|asked|rule|margin_v)(_\w+)?\b")


def _ordered(node: ast.AST) -> bool:
    orders = (ast.Lt, ast.LtE, ast.Gt, ast.GtE)
    return isinstance(node, ast.Compare) and any(isinstance(op, orders) for op in node.ops)


def judgements(text: str) -> list[str]:
    """Where a text of the program holds a number against a bound.

    >>> judgements("over = drop.lost_v > drop.limit_v * (1 + 1e-9)")
    ['drop.lost_v > drop.limit_v * (1 + 1e-09)']
    >>> judgements("good = rule.allows(part)"), judgements("part = a / limit if limit > 0 else 1")
    (['rule.allows(part)'], [])
    """
    found = []
    for node in ast.walk(ast.parse(text)):
        words = ast.unparse(node) if isinstance(node, ast.Compare | ast.Call) else ""
        if isinstance(node, ast.Call) and words.partition("(")[0].split(".")[-1] in JUDGING:
            found.append(words)
        divisor = words.endswith((" > 0", " <= 0")) and "margin" not in words
        if _ordered(node) and BOUND.search(words) and "sheet" not in words and not divisor:
            found.append(words)
    return found


def test_what_prints_a_number_does_not_judge_it() -> None:
    for name in _tracked():
        printing = name.removeprefix("elec/").startswith(PRINTING)
        if name.endswith(".py") and printing:
            found = judgements((ROOT / name).read_text(encoding="utf-8"))
            assert not found, f"{name} judges by itself: {found[0]}; ask elec.check.verdict_of"


def test_one_tolerance_for_all_bounds() -> None:
    own = re.compile(r"\(1 [-+] (1e-9|ROUNDING)\)|1 [-+] 1e-9")  # 1e-6: what the solver leaves
    may = {
        # steps of a solution
        "elec/answers/time/course.py", "elec/answers/short/short_clearing.py",
        "elec/drawings/layout/view.py",  # a scale of paper
    }  # fmt: skip
    for name in _tracked():
        if name.startswith("elec/") and name.endswith(".py") and name not in may:
            found = own.search((ROOT / name).read_text(encoding="utf-8"))
            assert found is None, f"{name} has a tolerance of its own: elec.working.within"


SHARED = ("elec/check.py", "elec/wiring/limits.py", "elec/read/starter.py",
          "tests/checks/test_cases.py", "tests/checks/base.yaml")  # fmt: skip


def test_a_check_and_a_limit_stand_in_no_list_of_names() -> None:
    """Whoever adds one touches what is its own alone: module, cases, row."""
    limits = (ROOT / "elec/standards/data/elec/limits.csv").read_text(encoding="utf-8")
    keys = {line.split(",")[0] for line in limits.splitlines() if line[:1] not in "#k"}
    names = {Path(name).stem for name in _tracked() if name.startswith("tests/checks/cases/")}
    assert len(keys) > 40
    assert len(names) > 80
    for name in SHARED:
        text = (ROOT / name).read_text(encoding="utf-8")
        code = re.sub(r'"""(.|\n)*?"""', "", text) if name.endswith(".py") else text
        words = set(re.findall(r"[a-z][a-z0-9-]+", code))
        assert not words & names, f"{name} lists checks: {words & names}"
        if name == "elec/wiring/limits.py":
            assert not words & keys, f"{name} lists limits: {words & keys}"


WRITTEN_ANYWAY = ("docs/checks.md", "docs/changes.md")
"""One is generated, the other has whatever a builder sees."""


def _elsewhere(names: set[str], texts: dict[str, str]) -> tuple[dict[str, int], dict[str, int]]:
    """In how many texts each name stands, and how many of the names stand in each text."""
    word = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")
    found = {file: names & set(word.findall(text)) for file, text in texts.items()}
    return (
        {name: sum(name in those for those in found.values()) for name in names},
        {file: len(those) for file, those in found.items()},
    )


def _texts(besides: str = "") -> dict[str, str]:
    endings = (".py", ".csv", ".toml", ".yaml", ".md")
    names = [name for name in _tracked() if name.endswith(endings)]
    return {
        name: (ROOT / name).read_text(encoding="utf-8")
        for name in names
        if name not in WRITTEN_ANYWAY and name != besides
    }


def test_whoever_adds_a_check_or_a_limit_touches_what_the_recipe_names() -> None:
    """DEVELOPERS.md: module and cases of a check, whose names are its id; the row of a limit.

    What else names one speaks of that one. Were there a list to keep, every name would stand in it:
    so no text may have half of them, and half of them may stand nowhere else.
    """
    checks = set(ids())
    for name in checks:
        subject, what = name.split("-", 1)
        assert (ROOT / f"elec/checks/{subject}/{what.replace('-', '_')}.py").is_file(), name
        assert (ROOT / f"tests/checks/cases/{name}.yaml").is_file(), name
    table = "elec/standards/data/elec/limits.csv"
    limits = {row.text("key") for row in published("elec/limits")}
    # a limit stands in the module of its check, too
    for names, own, modules in ((checks, "", 0), (limits, table, 1)):
        texts = _texts(own)
        each, of_text = _elsewhere(names, texts)
        assert max(of_text.values()) < len(names) / 2, max(of_text, key=lambda one: of_text[one])
        program, _ = _elsewhere(names, {f: text for f, text in texts.items() if f[:5] == "elec/"})
        assert median(program.values()) == modules, program
        assert min(each.values()) == modules, each


def test_a_list_of_names_would_be_found() -> None:
    each, of_text = _elsewhere({"a-b", "c-d"}, {"list.py": '("a-b", "c-d")', "one.py": "a-b-c a-b"})
    assert each == {"a-b": 2, "c-d": 1}
    assert of_text == {"list.py": 2, "one.py": 1}


def test_a_name_means_one_thing() -> None:
    found: dict[str, list[str]] = {}
    for name in _tracked():
        if name.startswith("elec/") and name.endswith(".py"):
            for node in ast.parse((ROOT / name).read_text(encoding="utf-8")).body:
                if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                    found.setdefault(node.name, []).append(name)
    assert {name: where for name, where in found.items() if len(where) > 1} == {}


def test_a_folder_fits_a_screen_and_says_what_it_is() -> None:
    files = [Path(name) for name in _tracked() if name.startswith("elec/")]
    folders = Counter(file.parent for file in files if file.suffix == ".py")
    assert max(folders.values()) <= 30, folders.most_common(1)
    for folder in folders:
        assert folder / "__init__.py" in files, f"{folder} is no package, or git ignores it"
        text = (ROOT / folder / "__init__.py").read_text(encoding="utf-8")
        assert ast.get_docstring(ast.parse(text)), f"{folder} does not say what it is"
