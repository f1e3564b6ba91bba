"""Design, check, draw and document the electrical system of a home-built light aircraft.

For programs and notebooks, three lines; docs/python.md goes on from there:

>>> import elec
>>> results = elec.analyse(elec.load("systems/foxglove"))
>>> results.frame("loads").columns[0]
'Phase'

What is offered here keeps its name; the rooms behind may change. Nothing is loaded before it is
asked for.
"""

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

OFFERED = {
    "load": "elec.results",
    "analyse": "elec.results",
    "compare": "elec.results",
    "Results": "elec.results",
    "Mistaken": "elec.finding",
    "System": "elec.model.system",
    "Finding": "elec.finding",
    "Verdict": "elec.finding",
    "Table": "elec.pages.table",
}
"""Name → the module that it comes from. What each is stands in `__init__.pyi` for type checkers."""
__all__ = [*OFFERED, "__version__"]  # noqa: PLE0604 - keys of a mapping are texts


def __getattr__(name: str) -> Any:
    """What is offered, loaded when it is first asked for."""
    if name not in OFFERED:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found = globals()[name] = getattr(import_module(OFFERED[name]), name)
    return found


def __dir__() -> list[str]:
    return sorted({*globals(), *OFFERED})
