"""Count what the house is made of, for docs/architecture.md: `python docs/house.py [FOLDER …]`.

A folder is a checkout; two of them are compared column by column, such as before and after a move.
"""

import ast
import re
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path

SAME = 6
"""Lines that two places share before they count as a pair."""


def modules(folder: Path) -> dict[Path, str]:
    """The program's modules and their text."""
    return {path: path.read_text() for path in sorted((folder / "elec").rglob("*.py"))}


def records(trees: dict[Path, ast.Module]) -> int:
    """Classes that are mostly fields."""
    return sum(
        isinstance(node, ast.ClassDef)
        and sum(isinstance(line, ast.AnnAssign) for line in node.body) >= 2
        for tree in trees.values()
        for node in ast.walk(tree)
    )


def alike(texts: dict[Path, str]) -> int:
    """Pairs of places with the same lines, blank lines, imports and closing brackets left out."""
    places: dict[tuple[str, ...], list[tuple[Path, int]]] = defaultdict(list)
    for path, text in texts.items():
        imports = {
            number
            for node in ast.walk(ast.parse(text))
            if isinstance(node, ast.Import | ast.ImportFrom)
            for number in range(node.lineno, (node.end_lineno or node.lineno) + 1)
        }
        lines = enumerate(map(str.strip, text.splitlines()), 1)
        told = [line for number, line in lines if len(line) > 3 and number not in imports]
        for at in range(len(told) - SAME + 1):
            places[tuple(told[at : at + SAME])].append((path, at))
    pairs: set[tuple[Path, int, Path, int]] = set()
    for found in places.values():
        for i, (one, at) in enumerate(found):
            for other, there in found[i + 1 :]:
                pairs.add((one, at, other, there))
    return sum((one, at - 1, other, there - 1) not in pairs for one, at, other, there in pairs)


def unreferenced(trees: dict[Path, ast.Module], texts: dict[Path, str]) -> list[str]:
    """Public functions and classes that no other line of the program names."""
    words = Counter(word for text in texts.values() for word in re.findall(r"\w+", text))
    return sorted(
        f"{path.stem}.{node.name}"
        for path, tree in trees.items()
        for node in tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
        and not node.name.startswith("_")
        and not node.decorator_list
        and words[node.name] - _listed(tree, node.name) <= 1
    )


def _listed(tree: ast.Module, name: str) -> int:
    """How often a module names it in its own `__all__`."""
    return sum(
        isinstance(item, ast.Constant) and item.value == name
        for line in tree.body
        if isinstance(line, ast.Assign) and getattr(line.targets[0], "id", "") == "__all__"
        for item in ast.walk(line.value)
    )


def figures(folder: Path) -> Iterator[tuple[str, str]]:
    """Each figure's name and value."""
    texts = modules(folder)
    trees = {path: ast.parse(text) for path, text in texts.items()}
    length = {path: text.count("\n") for path, text in texts.items()}
    code = [path for path in texts if path.name != "__init__.py"]
    folders = Counter(path.parent.relative_to(folder) for path in code)
    where, most = folders.most_common(1)[0]
    longest = max(length, key=lambda path: length[path])
    yield "modules", f"{len(code)}"
    yield "lines", f"{sum(length.values())}"
    yield "modules over 300 lines", f"{sum(lines > 300 for lines in length.values())}"
    yield "longest module", f"{longest.relative_to(folder)}, {length[longest]}"
    yield "folder with most modules", f"{where}, {most}"
    yield "records", f"{records(trees)}"
    yield f"pairs of places with {SAME} equal lines", f"{alike(texts)}"
    yield "public names that nothing names again", f"{len(unreferenced(trees, texts))}"


def main(folders: list[str]) -> None:
    """Print a Markdown table, one column a folder."""
    where = [Path(name).resolve() for name in folders or ["."]]
    columns = [dict(figures(folder)) for folder in where]
    print("| | " + " | ".join(folder.name for folder in where) + " |")
    print("|---|" + "---:|" * len(where))
    for name in columns[0]:
        print(f"| {name} | " + " | ".join(column.get(name, "") for column in columns) + " |")


if __name__ == "__main__":
    main(sys.argv[1:])
