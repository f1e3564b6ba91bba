"""What elec reads out of a system before it sizes it: `laid_out/`.

`python -m tests.systems.laid_out` writes the files anew. Every analysis of `elec.wiring` stands in
them by itself, and the network that they come to; four digits, of each record what is not usual.
Whoever changes one reads the difference: it says that something changed, not that it was right.
"""

import importlib
import inspect
import pkgutil
import re
import sys
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import fields

import elec.wiring
from elec.model.load import Draw
from elec.read import read
from elec.sizing.sizing import sizing
from elec.study import Study
from elec.wiring.basis import Spread
from elec.wiring.cases import Case, cases, recharging_cases
from elec.wiring.chains import Chain, Conductor, Part, chains
from elec.wiring.circuit_model import build
from elec.wiring.ends import end_id, end_text, wire_ends
from elec.wiring.graph import graph
from elec.wiring.kinds import kind_of
from elec.wiring.ways import Leg
from elec.working import Step, Term
from tests.systems import SYSTEMS

FILES: Mapping[str, Path] = {
    "shapes": SYSTEMS.parent / "docs" / "shapes.yaml",
    "thistledown": SYSTEMS / "thistledown",
}
KNOWN = ("limits.limits", "wires.kinds", "chains.chains", "built.wires_by_id", "graph.graph",
         "demand.conditions")  # fmt: skip
"""Printed by lines of their own, or the same in every system."""


def text(name: str) -> str:
    """All lines of a system; without lines of its text, which any edit of it moves."""
    study = study_of(name)
    found = "\n".join([*_laid(study), *_network(study)]) + "\n"
    return re.sub(r"(\.yaml)(:\d+)+", r"\1", found)


def study_of(name: str) -> Study:
    """Read anew: what was asked of another one is no part of it."""
    found = read(FILES[name])
    assert found.system is not None, found.mistakes
    return Study(found.system)


def file(name: str) -> Path:
    """Where it is kept."""
    return Path(__file__).parent / "laid_out" / f"{name}.txt"


@cache
def analyses() -> Mapping[str, Callable[[Study], object]]:
    """Every public analysis of the room, by its module and name."""
    found: dict[str, Callable[[Study], object]] = {}
    for module in sorted(
        m.name for m in pkgutil.walk_packages(elec.wiring.__path__, "elec.wiring.")
    ):
        for name, one in vars(importlib.import_module(module)).items():
            own = inspect.isfunction(one) and one.__module__ == module
            short = f"{module.removeprefix('elec.wiring.')}.{name}"
            if not own or name.startswith("_") or short in KNOWN:
                continue
            if hasattr(one, "__wrapped__") and len(inspect.signature(one).parameters) == 1:
                found[short] = one
    return found


def _laid(study: Study) -> Iterator[str]:
    parts = {part.id: part for c in chains(study).by_name.values() for part in c.parts()}
    for part in parts.values():
        yield f"part {_said(part, whole=True)}; {end_id(part)}; {end_text(study, part)}"
    for chain in chains(study).by_name.values():
        yield f"chain {_said(chain, whole=True)}"
        for wire in chain.conductors():
            ends, kind = " → ".join(wire_ends(study, wire)), kind_of(study, chain, wire)
            yield f"wire {_said(wire, whole=True)}; {ends}; {kind}"
    for link in graph(study).links:
        yield f"link {link.id} {link.kind} {link.a} {link.b} {link.chain} {link.part}"
    for name, analysis in analyses().items():
        found = analysis(study)
        if isinstance(found, Mapping):
            yield from (f"{name} {_said(key)}: {_said(one)}" for key, one in found.items())
        else:
            yield f"{name} {_said(found)}"


def _said(one: Any, *, whole: bool = False) -> str:
    """A value in a few words; of a record the fields that are not as usual."""
    match one:
        case bool() | None | str():
            return str(one)
        case int() | float():
            return f"{one if abs(one) > 1e-9 else 0:.4g}"
        case Part() | Conductor() if not whole:
            return one.id
        case Chain() if not whole:
            return one.name
        case Spread():
            return f"{one.tolerance:.4g} {one.basis}"
        case Draw():
            return f"{one.law} {_said(one.value)}"
        case Case():
            return f"{one.title} {one.count}"
        case Term():
            return f"{_said(one.value)} {one.unit}".rstrip()
        case Step():
            return " ".join([_said(one.result), one.note]).rstrip()
        case Leg():
            return str(one.index)
        case Struct():
            own = getattr(one, "id", "")
            usual = {"name": own, "inlet": f"{own}.in", "outlet": f"{own}.out", "label": own}
            told = (
                f"{field.name} {_said(value)}"
                for field in fields(one)
                if (value := getattr(one, field.name)) not in (field.default, usual.get(field.name))
            )
            return f"({', '.join(told)})"
        case Mapping() if len(one) > 6 and all(isinstance(v, float) for v in one.values()):
            return _changes(np.array(list(one.values())))
        case Mapping():
            return "{" + ", ".join(f"{_said(k)}: {_said(v)}" for k, v in one.items()) + "}"
        case frozenset() | set():
            return "{" + ", ".join(sorted(map(_said, one))) + "}"
        case tuple() | list():
            return "[" + ", ".join(map(_said, one)) + "]"
    return type(one).__name__


def _network(study: Study) -> Iterator[str]:
    """Each branch of the network with its ends and its values, those of equal cases once."""
    for title, found in (("", cases(study)), ("low ", recharging_cases(study))):
        if not found:
            continue
        model = build(study, found, sizing(study).sizes())
        net, values = model.netlist, model.values
        for kind, branches, arrays in (
            ("resistor", net.resistors, [values.resistance_ohm]),
            ("battery", net.batteries, [values.battery_emf_v, values.battery_resistance_ohm]),
            ("alternator", net.alternators, [values.alternator_setpoint_v,
                values.alternator_droop_ohm, values.alternator_limit_a]),
            ("diode", net.diodes, [values.diode_forward_v, values.diode_resistance_ohm]),
            ("load", net.loads, [values.load_value, values.load_minimum_v]),
        ):  # fmt: skip
            for row, branch in enumerate(() if title and kind == "resistor" else branches):
                numbers = " ".join(_changes(array[row]) for array in arrays)
                yield f"{title}{kind} {branch.name} {branch.a} {branch.b}: {numbers}"


def _changes(values: np.ndarray[Any, Any]) -> str:
    """One value, or a value with how often it follows itself: `0.5×12,inf×4`."""
    if not len(values):
        return "nothing"
    ends = [*(np.flatnonzero(values[1:] != values[:-1]) + 1), len(values)]
    begins = [0, *ends[:-1]]
    if len(ends) == 1:
        return _said(float(values[0]))
    return ",".join(f"{_said(float(values[a]))}×{b - a}" for a, b in zip(begins, ends, strict=True))


if __name__ == "__main__":
    for each in FILES:
        file(each).parent.mkdir(exist_ok=True)
        file(each).write_text(text(each), encoding="utf-8")
    sys.stdout.write(f"{file('*')}\n")
