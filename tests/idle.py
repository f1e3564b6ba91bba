"""Which names of the program nobody reaches: a look over its source.

What serves: the entry point, what `import elec` offers, what a decorator registers, what a module
runs as it loads, and all that these reach by name. A module is read with its imports, so equal
names of two modules differ.
"""

import ast
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import elec

ROOT = Path(elec.__file__).parent
START = ("elec.__main__", "run")
KEEPING = ("cache", "lru_cache", "dataclass", "contextmanager")
"""Decorators that hand their function to nobody."""
Name = tuple[str, str]


@cache
def modules() -> dict[str, ast.Module]:
    found = {}
    for path in ROOT.rglob("*.py"):
        parts = path.relative_to(ROOT.parent).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found[name] = ast.parse(path.read_text(encoding="utf-8"))
    return found


def named(node: ast.stmt) -> list[str]:
    """The names that a statement of a module gives."""
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        return [node.name]
    targets = node.targets if isinstance(node, ast.Assign) else []
    targets = [node.target] if isinstance(node, ast.AnnAssign) else targets
    return [target.id for target in targets if isinstance(target, ast.Name)]


def registered(node: ast.stmt) -> bool:
    """Whether a decorator hands a function to somebody who calls it."""
    decorators = getattr(node, "decorator_list", [])
    return any(ast.unparse(d).split("(")[0] not in KEEPING for d in decorators)


class House:
    """The modules, what each defines and imports, and what the program reaches."""

    def __init__(self, trees: dict[str, ast.Module]) -> None:
        self.trees = trees
        self.defined: dict[Name, ast.stmt] = {}
        self.imported: dict[str, dict[str, set[Name]]] = {}
        self.reached: set[Name] = set()
        todo: list[tuple[str, ast.AST]] = []
        for module, tree in trees.items():
            names: dict[str, set[Name]] = defaultdict(set)
            for node in ast.walk(tree):
                if isinstance(node, ast.ImportFrom):
                    for alias in node.names:
                        names[alias.asname or alias.name].add((node.module or "", alias.name))
            self.imported[module] = names
            for node in tree.body:
                given = named(node)
                self.defined |= dict.fromkeys([(module, name) for name in given], node)
                if registered(node):
                    self.reached |= {(module, name) for name in given}
                runs = not given and not isinstance(node, ast.Import | ast.ImportFrom)
                todo += [(module, node)] * (runs or registered(node))
        offered = [(module, name) for name, module in elec.OFFERED.items()]
        for start in (START, ("elec", "__getattr__"), *offered):
            if start in self.defined:
                self.reached.add(start)
                todo.append((start[0], self.defined[start]))
        while todo:
            module, node = todo.pop()
            for name in set(self.uses(module, node)) - self.reached:
                self.reached.add(name)
                todo.append((name[0], self.defined[name]))

    def uses(self, module: str, node: ast.AST) -> Iterator[Name]:
        """What a piece of a module leads to: names, `module.name`, and annotations in quotes."""
        for inner in ast.walk(node):
            if isinstance(inner, ast.Name) and isinstance(inner.ctx, ast.Load):
                yield from self.meant(module, inner.id)
            elif isinstance(inner, ast.Attribute) and isinstance(inner.value, ast.Name):
                for room, name in self.imported[module].get(inner.value.id, ()):
                    yield from self.meant(f"{room}.{name}", inner.attr)
            elif isinstance(inner, ast.Constant) and str(inner.value).isidentifier():
                yield from self.meant(module, str(inner.value))

    def meant(self, module: str, name: str) -> Iterator[Name]:
        """The definitions that a name of a module may stand for."""
        if (module, name) in self.defined:
            yield module, name
        elif module in self.trees:
            for room, real in self.imported[module].get(name, ()):
                yield from self.meant(room, real)

    def idle(self, room: str) -> list[str]:
        """What a room defines and nobody reaches."""
        return sorted(
            f"{module}.{name}"
            for module, name in self.defined.keys() - self.reached
            if f"{module}.".startswith(f"{room}.") and not name.startswith("__")
        )


@cache
def house() -> House:
    return House(modules())
