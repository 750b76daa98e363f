"""Has every figure that laws and controller hold in code its unit, range and source in data, and the same value there?"""

from __future__ import annotations

import ast
import importlib
import math
from functools import cache
from pathlib import Path
from typing import Any

import msgspec
import pytest

from parked_hvac.places import data_dir
from parked_hvac.tables import read_table

PACKAGE = "widgets/parked_hvac"
KERNEL = ("controller", "isolator", "compressor", "climate", "branches", "loads")
RIG = ("figures", "senses", "beginning", "compressor", "truck", "electrics", "climate")

# What is no figure of a truck: where iterations begin and end, how tables and fits are laid out, the coefficients of a
# published formula, which its module names, and the state in which a battery begins.
NUMERICS = {
    "physics.air": {"_ICE", "_WATER"},
    "physics.battery": {f"BatteryState.{name}" for name in ("fast_V", "slow_V", "surface_V", "draw_A")},
    "physics.drive": {"_CANCELS"},
    "physics.refrigerant": {
        *("LOWEST_SATURATION_C", "HIGHEST_SATURATION_C", "_LOWEST_SATURATION_KPA", "_REDUCING_TEMPERATURE_K"),
        *("_LEAD_1", "_LEAD_2", "_LOG_TAU"),
    },
    "physics.scalar.alternator": {"ROUNDING_FRACTION", "_LARGEST_EXPONENT"},
    "physics.scalar.battery": {"_SETTLED_V", "_SHORT_SPAN"},
    "physics.scalar.cabin": {"_TRACE_W_PER_K", "_TRACE_PER_S"},
    "physics.scalar.circuit_balance": {"_FADE_PER_K", "_LONGEST_STEP_K", "_SETTLED_K", "_HOTTEST_GAP_K"},
    "physics.scalar.motor": {"_GATE_V", "_LARGEST_EXPONENT"},
    "physics.scalar.refrigerant": {
        *("LOWEST_EVAPORATING_C", "HIGHEST_EVAPORATING_C", "LOWEST_CONDENSING_C", "HIGHEST_CONDENSING_C"),
        *("LOW_TERMS", "HIGH_TERMS", "WORK_TERMS", "LOW_ROWS", "HIGH_ROWS", "_WAGNER"),
    },
    "physics.scalar.thermistor": {"_HOTTEST_K", "_COLDEST_K"},
    "physics.scalar.unit": {"STANDING_RPM", "FIRST_SURFACE_K", "FIRST_CONDENSING_K"},
    "physics.thermistor": {"_REFINEMENTS"},
    "physics.unit": {"STEPS_FROM_SCRATCH", "STEPS_FROM_GUESS"},
    "rig.kernel.controller": {"_OUTPUT_V"},
    "rig.kernel.climate": {"_STEPS_FROM_GUESS", "_STEPS_FROM_SCRATCH"},
    "rig.kernel.loads": {
        *(
            "_STEPS",
            "_ANEW",
            "_SMALL",
            "_TOLERANCE_V",
            "_LARGEST_STEP_V",
            "_GAP_OHM",
            "_TURNS",
            "_GAP_SHARE",
            "_LAST_BIT",
        ),
        *("MOST_LOADS", "_SINKS"),
    },
    "rig.truck": {"COARSE", "USUAL", "FINE"},
}


class Constant(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A figure that is alike in every truck."""

    value: float | list[float]
    unit: str
    range: tuple[float, float]
    source: str


@cache
def told() -> dict[str, Constant]:
    path = data_dir() / "physics" / "constants.toml"
    return read_table(path, dict[str, dict[str, Constant]])["constants"]


def in_code(name: str) -> Any:
    module, _, rest = name.partition(":")
    found: Any = importlib.import_module(f"parked_hvac.{module}")
    for part in rest.split("."):
        found = getattr(found, part)
    return found


def is_figure(node: ast.expr | None) -> bool:
    """Whether it is a number, or a tuple of numbers, written down."""
    if node is None:
        return False
    try:
        value = ast.literal_eval(node)
    except ValueError:
        return False
    numbers = value if isinstance(value, tuple) else (value,)
    return len(numbers) > 0 and all(isinstance(n, int | float) and not isinstance(n, bool) for n in numbers)


def figures_of(text: str) -> set[str]:
    """Names of the numbers that a module holds: its constants, and the defaults of its classes."""
    found: set[str] = set()
    for node in ast.parse(text).body:
        if isinstance(node, ast.Assign):
            target = node.targets[0]
            if isinstance(target, ast.Tuple) and isinstance(node.value, ast.Tuple):
                pairs = zip(target.elts, node.value.elts, strict=True)
                found |= {ast.unparse(name) for name, value in pairs if is_figure(value)}
            elif is_figure(node.value):
                found.add(ast.unparse(target))
        elif isinstance(node, ast.ClassDef):
            found |= {
                f"{node.name}.{ast.unparse(field.target)}"
                for field in node.body
                if isinstance(field, ast.AnnAssign) and is_figure(field.value)
            }
    return found


def modules(repository: Path) -> dict[str, str]:
    top = repository / PACKAGE
    files = [
        *(top / "physics").rglob("*.py"),
        *(top / "rig" / "kernel" / f"{name}.py" for name in KERNEL),
        *(top / "rig" / f"{name}.py" for name in RIG),
    ]
    return {
        ".".join(path.relative_to(top).with_suffix("").parts): path.read_text(encoding="utf-8")
        for path in files
    }


@pytest.mark.parametrize("name", told())
def test_is_a_constant_in_code_what_data_tell_of_it(name: str) -> None:
    one, code = told()[name], in_code(name)
    values = one.value if isinstance(one.value, list) else [one.value]
    assert list(code if isinstance(code, tuple) else (code,)) == values
    low, high = one.range
    assert all(low <= value <= high and math.isfinite(value) for value in values)
    assert one.unit
    assert len(one.source) > 4


def test_is_no_figure_of_a_truck_in_code_alone(repository: Path) -> None:
    alone = {
        f"{module}:{name}"
        for module, text in modules(repository).items()
        for name in figures_of(text) - NUMERICS.get(module, set())
    } - set(told())
    assert alone == set(), "write them into data/physics/constants.toml"


def test_does_no_list_name_what_is_no_longer_there(repository: Path) -> None:
    texts = modules(repository)
    gone = {
        f"{module}:{name}" for module, names in NUMERICS.items() for name in names - figures_of(texts[module])
    }
    assert gone == set()


def test_is_a_new_figure_seen() -> None:
    text = "A = 3.0\nB, C = 1.0, (2.0, 4)\nD = 'x'\nclass P:\n    e: float = 0.5\n    f: str = 'y'\n"
    assert figures_of(text) == {"A", "B", "C", "P.e"}
