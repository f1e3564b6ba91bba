"""One module of the program loaded from another text."""

import sys
from collections.abc import Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder, SourceFileLoader
from pathlib import Path
from types import CodeType, ModuleType


class _Other(SourceFileLoader):
    """Gives the text in the place of the file's."""

    text = ""

    def get_code(self, fullname: str) -> CodeType:
        """Compile the text, with the path of the file."""
        code: CodeType = compile(self.text, self.get_filename(fullname), "exec")
        return code


class Loader(MetaPathFinder):
    """Finds the one module, and leaves all others to the rest."""

    def __init__(self, path: Path, text: str) -> None:
        """Take the path below the root of the project, and the text."""
        parts = path.with_suffix("").parts
        self.name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        self.text = text

    def find_spec(
        self,
        fullname: str,
        path: Sequence[str] | None,
        target: ModuleType | None = None,  # noqa: ARG002 - the protocol of finders
    ) -> ModuleSpec | None:
        """Say where the module comes from, where it is the one."""
        if fullname != self.name:
            return None
        assert fullname not in sys.modules
        spec = PathFinder.find_spec(fullname, path)
        assert spec is not None
        assert spec.origin is not None
        loader = _Other(fullname, spec.origin)
        loader.text = self.text
        spec.loader = loader
        return spec
