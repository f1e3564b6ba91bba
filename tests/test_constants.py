"""No engineering number stands in the program: it stands in `elec/standards/data/`, with its mark.

A number typed is plain arithmetic (`PLAIN`), or stands in a published formula, whose function cites
its document (`@source`), or is allowed below with the reason. Drawings, writers and the command
line hold sizes on paper; nothing is counted there.
"""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[1] / "elec"
LAYOUT = ("drawings/", "write/", "cli/", "pages/columns.py")
PLAIN = {0, 0.5, 1, 2, 3, 4, 10, 20, 60, 100, 1000, 3600}
"""Halves, corners, per cent, thousandths, the 20 °C of resistance tables, minutes and hours."""
EXACT = {0.0254, 0.3048, 25.4, 304.8, 0.45359237, 4.4482216, 9.80665, 273.15, 0.01, 0.001}
"""Inch, foot, pound, pound-force, standard gravity, kelvin: exact by definition."""
FINE = 1e-5
"""What is smaller, or a million and more, is a rounding error, a step of a search, or a unit."""

ALLOWED: dict[str, tuple[str, ...]] = {
    "rounds, steps and bounds of a computation, on which no answer rests": (
        "answers/time/alone.py LONGEST_S LOOK_S MOST_ROUNDS",
        "wiring/cases.py MOST_CHOICES",
        "answers/time/course.py CHARGING_PART MOST_STEPS OVER ROOT_ROUNDS _step",
        "wiring/circuit_model.py CELL_JOINT_OHM",
        "answers/short/damage.py STEPS _grid",
        "answers/build/difference.py SAME_A",
        "answers/time/endurance.py EXPECTED FINER STEP_S",
        "answers/failures/failure_battery.py LONG_MIN",
        "answers/failures/failure_cascade.py MOST_ROUNDS",
        "sizing/feeder_devices.py RESERVE",
        "answers/fields/field.py _field _of_one_ampere",
        "answers/time/flight.py EVERY_S LEAST_MOMENTS",
        "answers/time/lattice.py LEAST_OVER_V MANY_PART PARTS SMALLEST_SLOPE_OHM TRACE",
        "answers/time/loss.py EVERY_S FINER MORE _expect",
        "answers/loads/recharging.py PART TAKES_A",
        "answers/doubt/samples.py CHUNK SCALE deviations",
        "answers/loads/sharing.py UNBOUND_A",
        "answers/short/short_clearing.py CHUNK EVEN",
        "answers/short/shorts.py MOST_TRACED",
        "sizing/search/rounds.py MOST_ROUNDS MOST_SOLUTIONS",
        "sizing/search/solved.py MORE",
        "answers/short/time_current.py LONGEST_S POINTS _damage _sheet",
        "answers/doubt/uncertainty.py KEPT SAMPLES SMALL_STEP _counted",
        "attempt/",
        "network/",
        "physics/magnetics.py _bessel_k",
        "pages/doubt/page.py SAMPLES",
        "pages/doubt/table.py LEAST_SHARE MOST chance",
    ),
    "how readings of a log are told apart: each says its reason beside it; what is close to it is "
    "not told": (
        "answers/doubt/log_fits.py",
        "answers/doubt/log_replay.py",
    ),
    "statistics: nine of ten, and the quantile of the normal distribution that belongs to it": (
        "wiring/basis.py MOST QUANTILE",
    ),
    "how much is printed, how a text is read, what exit status says": (
        "__main__.py",
        "answers/doubt/bands.py SHOWN",
        "answers/loads/margins.py SHORT_A",
        "answers/why/why_names.py NEAR",
        "checks/answer.py apart listed",
        "checks/battery/start.py _buses",
        "checks/battery/charge.py EDGE",
        "checks/device/interrupts.py _finding",
        "checks/sensor/step.py _loose",
        "checks/wire/terminal.py _remedy",
        "read/",
        "answers/build/written.py MOST",
        "pages/compare/page.py FIRST",
        "pages/compare/table.py SAME_KG",
        "pages/failures/page.py MOST",
        "pages/failures/ways.py MOST",
        "pages/sections.py WORST",
        "pages/figures.py MOMENTS",
        "pages/nearest.py LEAST MOST",
        "pages/size/page.py MOST_WAYS MOST_WIRES",
        "pages/why/thing.py ground",
        "pages/why/words.py _apart",
        "pages/loads/endurance.py EVERY_S",
        "pages/failures/table.py MOST",
        "pages/circuits/feeder.py NOTHING_A",
        "pages/bench/proving.py pull_test",
        "pages/things/sensor.py MOST",
        "units.py",
    ),
    "the widest that a builder may write": (
        "model/panel.py",
        "model/run.py LONGEST",
        "model/source.py",
        "model/wiring.py",
    ),
    "14 V and 28 V systems, which the keys of tables and limits name": (
        "wiring/demand.py cells_factor",
        "wiring/limits.py _in_drop published",
        "answers/doubt/measured.py _expected_current",
    ),
    "the rule's own words: what is on for more than five minutes": (
        "wiring/demand.py FIVE_MINUTES_S",
        "wiring/sources.py five_minute_a",
    ),
    "discharge times in use, common practice, said beside it; 12 V of a 14 V system": (
        "checks/sense/battery.py RATES_H _odd",
    ),
    "six cells of lead and acid make 12 V": (
        "wiring/sources.py cells_in_series",
    ),
    "where its table ends, or what temperature it is for; said beside it": (
        "answers/heat/bundles.py MOST_ON_CURVE",
        "wiring/sources.py ROOM_DEGC resistance_ohm capacity_share",
        "wiring/wires.py _table_less",
        "physics/atmosphere.py TOP_M",
        "physics/heat.py",
        "physics/protection.py",
        "standards/wire.py copper",
        "standards/wire.py aluminium",
    ),
    "so many lines as a page of a form, or the beginning of a page, has room for": (
        "pages/binder_sections.py CHANGES",
        "pages/glance.py LONG WORST",
    ),
    "voltages to look a current up at; nothing is judged by them": (
        "pages/loads/by_voltage.py VOLTS",
    ),
    "how long a browser is waited for; nothing of an aircraft": ("live/",),
    "the definition of gauges, cited beside it": ("standards/wire.py alloy",),
    "the row that is meant, by its own words": (
        "answers/fields/neighbours.py _boxes _lines",
    ),
    "a quarter of a wire's length stands for each half of it": (
        "answers/build/weight.py _spread",
    ),
    "constants of nature and of materials, with their source beside them": (
        "physics/atmosphere.py SEA_LEVEL_PA",
        "physics/cylinder.py AIR_GAS_CONSTANT AIR_HEAT_CAPACITY BUNDLE_W_PER_M_K",
        "physics/cylinder.py INSULATION_W_PER_M_K _inner_resistance",
        "physics/damage.py INSULATION_HEAT_J_PER_K_MM3",
        "standards/wire.py ALUMINIUM_G_PER_CM3 ALUMINIUM_HEAT_J_PER_K_MM3 ALUMINIUM_OF_COPPER",
        "standards/wire.py ALUMINIUM_ZERO_DEGC COPPER_HEAT_J_PER_K_MM3 COPPER_ZERO_DEGC",
        "standards/wire.py INSULATION_G_PER_CM3 KG_PER_M_PER_LB_PER_KFT LAY MM2_PER_CIRCULAR_MIL",
        "standards/wire.py STRANDS_FILL",
    ),
}  # fmt: skip
"""Why a number may stand in a room or a module, or in which functions and constants of it."""


def numbers(path: Path) -> Iterator[tuple[str, float]]:
    """(in which function or constant, number) of a module, leaving out published formulas."""
    yield from _numbers(ast.parse(path.read_text(encoding="utf-8")), "")


def _numbers(tree: ast.AST, inside: str) -> Iterator[tuple[str, float]]:
    for node in ast.iter_child_nodes(tree):
        name = inside
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            if any(_cites(one) for one in node.decorator_list):
                continue
            name = node.name
        elif isinstance(node, ast.Assign) and not inside and isinstance(node.targets[0], ast.Name):
            name = node.targets[0].id
        if isinstance(node, ast.Subscript) and isinstance(node.slice, ast.Constant | ast.Slice):
            yield from _numbers(node.value, name)
            continue
        if isinstance(node, ast.keyword) and node.arg in ("digits", "importance"):
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
            size = abs(node.value)
            if size not in PLAIN | EXACT and FINE <= size < 1e6:
                yield name, node.value
        yield from _numbers(node, name)


def _cites(node: ast.expr) -> bool:
    return isinstance(node, ast.Call) and getattr(node.func, "id", "") == "source"


@cache
def typed() -> dict[str, list[float]]:
    """Where numbers stand that nothing explains yet: `module function` → the numbers."""
    found: dict[str, list[float]] = {}
    for path in sorted(ROOT.rglob("*.py")):
        module = path.relative_to(ROOT).as_posix()
        if not module.startswith(LAYOUT):
            for name, value in numbers(path):
                found.setdefault(f"{module} {name}", []).append(value)
    return found


def allowed(place: str, key: str) -> bool:
    """Whether a key, `room/` or `module name name …`, covers a place, `module name`."""
    module, *names = key.split()
    where, _, name = place.partition(" ")
    return (
        where.startswith(module)
        and (module.endswith("/") or where == module)
        and (not names or name in names)
    )


def test_every_number_has_a_home_or_a_reason() -> None:
    keys = [key for some in ALLOWED.values() for key in some]
    left = {p: n for p, n in typed().items() if not any(allowed(p, key) for key in keys)}
    assert not left


def test_no_reason_is_left_over() -> None:
    for key in (key for some in ALLOWED.values() for key in some):
        module, *names = key.split()
        for one in [f"{module} {name}" for name in names] or [key]:
            assert any(allowed(place, one) for place in typed()), one


def test_a_number_typed_would_be_found(tmp_path: Path) -> None:
    file = tmp_path / "some.py"
    file.write_text(
        '@source("trade")\ndef law():\n    return 0.42\ndef f(x):\n    return x[7] * 0.42 / 100\n'
    )
    assert list(numbers(file)) == [("f", 0.42)]
