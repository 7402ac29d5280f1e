"""Equations of the trap room hold in any units that agree: answers are the same in feet, pounds and ms."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from types import ModuleType
from typing import Any

import numpy as np
import pint
import pytest
from dimension_parts import APART, CONSTANTS, TRAPS, Record, Spec
from dimension_specs import SPECS

import setwright.trap as room
from setwright.trap import closing, springs, swivel, trigger
from setwright.trap.model import Trap

UNITS: Any = pint.UnitRegistry(cache_folder=None)
# A second set of units that agree among themselves: a force there is a pound foot per square millisecond.
OTHER = {"[length]": "foot", "[mass]": "pound", "[time]": "millisecond"}


def _factor(unit: str, there: Mapping[str, str]) -> float:
    """Number in the other units for one of a unit."""
    quantity = UNITS.Quantity(1.0, unit or "dimensionless")
    wanted = UNITS.Unit("dimensionless")
    for base, power in quantity.dimensionality.items():
        wanted = wanted * UNITS.Unit(there[base]) ** power
    return float(quantity.to(wanted).magnitude)


HERE = {"[length]": "meter", "[mass]": "kilogram", "[time]": "second"}


def _told(value: Any, there: Mapping[str, str]) -> Any:
    """An argument in the other units."""
    if isinstance(value, Record):
        return value.kind(**{name: _told(field, there) for name, field in value.fields.items()})
    if isinstance(value, tuple) and len(value) == 2 and isinstance(value[1], str):
        number = np.asarray(value[0], dtype=float) * _factor(value[1], there)
        return float(number) if number.ndim == 0 else number
    return value


def _answers(spec: Spec, there: Mapping[str, str]) -> dict[str, np.ndarray]:
    """What a call gives in the other units, brought back to SI, by field."""
    with np.errstate(all="ignore"):
        found = spec.call(*(_told(value, there) for value in spec.given),
                          **{name: _told(value, there) for name, value in spec.named.items()})  # fmt: skip
    if isinstance(spec.gives, str):
        parts, units = {"": found}, {"": spec.gives}
    elif isinstance(spec.gives, tuple):
        parts, units = dict(enumerate(found)), dict(enumerate(spec.gives))
    else:
        parts, units = {name: getattr(found, name) for name in spec.gives}, spec.gives
    return {str(name): np.asarray(part, dtype=float) / _factor(units[name], there) for name, part in parts.items()}


def _place(module: str, name: str) -> tuple[dict[str, Any], str]:
    """Where a figure stands that is to be changed: names of a module, or defaults of a function."""
    names = vars(importlib.import_module(f"{room.__name__}.{module}"))
    if "." in name:
        function, argument = name.split(".")
        return names[function].__kwdefaults__, argument
    return names, name


@pytest.fixture
def elsewhere(monkeypatch: pytest.MonkeyPatch) -> Mapping[str, str]:
    """The other units, with the figures inside the code told in them too."""
    for (module, name), (unit, _) in CONSTANTS.items():
        where, key = _place(module, name)
        monkeypatch.setitem(where, key, where[key] * _factor(unit, OTHER))
    return OTHER


def _ids(specs: list[Spec]) -> list[str]:
    return [spec.name for spec in specs]


def _differs(one: dict[str, np.ndarray], other: dict[str, np.ndarray]) -> list[str]:
    return [name for name in one if not np.allclose(one[name], other[name], rtol=1e-7, atol=0.0, equal_nan=True)]


@pytest.mark.parametrize("spec", SPECS, ids=_ids(SPECS))
def test_same_answer_in_other_units(spec: Spec, request: pytest.FixtureRequest) -> None:
    plain = _answers(spec, HERE)
    assert any(np.isfinite(part).any() for part in plain.values()), "a call that tells something"
    told = _answers(spec, request.getfixturevalue("elsewhere"))
    wrong = _differs(plain, told)
    assert not wrong, f"{spec.name}: {', '.join(f'{name}: {plain[name]} and {told[name]}' for name in wrong)}"


@pytest.mark.parametrize("spec", SPECS, ids=_ids(SPECS))
def test_every_field_of_an_answer_is_held(spec: Spec) -> None:
    if not isinstance(spec.gives, dict) or spec.name in ("build.build", "loop.loop_at"):
        return
    found = spec.call(*(_told(value, HERE) for value in spec.given),
                      **{name: _told(value, HERE) for name, value in spec.named.items()})  # fmt: skip
    assert is_dataclass(found)
    assert {entry.name for entry in fields(found)} == set(spec.gives)


@cache
def _all_plain() -> list[dict[str, np.ndarray]]:
    return [_answers(spec, HERE) for spec in SPECS]


@pytest.mark.parametrize(("module", "name"), CONSTANTS)
def test_every_figure_inside_the_code_is_felt(module: str, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    where, key = _place(module, name)
    plain = _all_plain()
    with np.errstate(all="ignore"):
        # A longest time matters when it is short.
        monkeypatch.setitem(where, key, where[key] * (0.01 if name == "_SLOWEST" else 1.5))
        assert any(_differs(one, _answers(spec, HERE)) for one, spec in zip(plain, SPECS, strict=True))


def test_a_slip_of_dimension_is_seen() -> None:
    slip = Spec("slip", lambda length, force: force * length + force, "N*m", ((0.5, "m"), (3.0, "N")), {})
    assert _differs(_answers(slip, HERE), _answers(slip, OTHER))
    wrong_power = Spec("slip", springs.leaf_stress, "N/m", ((90.0, "N"), *((0.02, "m"),) * 4), {})
    assert _differs(_answers(wrong_power, HERE), _answers(wrong_power, OTHER))


def _public() -> Iterator[str]:
    """Every public function, method and property of the room, as module.function or module.Class.method."""
    for entry in pkgutil.iter_modules(room.__path__):
        module = importlib.import_module(f"{room.__name__}.{entry.name}")
        for name, value in vars(module).items():
            if name.startswith("_") or getattr(value, "__module__", None) != module.__name__:
                continue
            if inspect.isclass(value):
                for part, what in vars(value).items():
                    if not part.startswith("_") and (inspect.isfunction(what) or isinstance(what, property)):
                        yield f"{entry.name}.{name}.{part}"
            elif callable(value):
                yield f"{entry.name}.{name}"


def test_no_public_function_is_left_out() -> None:
    held = {spec.name for spec in SPECS}
    missing = [
        name for name in _public() if name not in held and name not in APART and name.split(".")[0] not in APART
    ]
    assert not missing, f"neither in SPECS nor in APART of dimension_parts.py: {', '.join(missing)}"


def test_nothing_stands_apart_that_is_held_or_gone() -> None:
    every = set(_public())
    modules = {name.split(".")[0] for name in every}
    assert {name for name in APART if name not in every and name not in modules} == set(), "gone"
    held = {spec.name for spec in SPECS}
    assert not [name for name in APART if name in held or any(each.split(".")[0] == name for each in held)]


class _Through:
    """NumPy whose `asarray` lets quantities through as they are."""

    def __getattr__(self, name: str) -> Any:
        return getattr(np, name)

    @staticmethod
    def asarray(value: Any, dtype: Any = None) -> Any:
        return value if isinstance(value, UNITS.Quantity) else np.asarray(value, dtype=dtype)


@dataclass(frozen=True)
class _Direct:
    """A call with quantities all the way through."""

    module: ModuleType
    spec: Spec


DIRECT = [
    _Direct(module, spec)
    for module, names in (
        (springs, {
            "springs.active_turns", "springs.coil_rate", "springs.stress_factor", "springs.coil_stress",
            "springs.leaf_rate", "springs.leaf_stress", "springs.wound_inside_diameter",
        }),
        (trigger, {"trigger.bolt_moment"}),
        (closing, {"closing.water_terms"}),
        (swivel, {"swivel.turning_moment"}),
    )
    for spec in SPECS
    if spec.name in names
]  # fmt: skip


def _quantity(value: Any) -> Any:
    if isinstance(value, Record):
        return value.kind(**{name: _quantity(field) for name, field in value.fields.items()})
    if isinstance(value, tuple) and len(value) == 2 and isinstance(value[1], str):
        return UNITS.Quantity(np.asarray(value[0], dtype=float), value[1] or "dimensionless")
    return value


@pytest.mark.parametrize("direct", DIRECT, ids=_ids([direct.spec for direct in DIRECT]))
def test_quantities_go_through_with_the_right_unit(direct: _Direct, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(direct.module, "np", _Through())
    spec = direct.spec
    found = spec.call(*map(_quantity, spec.given), **{name: _quantity(value) for name, value in spec.named.items()})
    units = spec.gives if isinstance(spec.gives, tuple) else (spec.gives,)
    for part, unit in zip(found if isinstance(found, tuple) else (found,), units, strict=True):
        quantity = UNITS.Quantity(part) if not isinstance(part, UNITS.Quantity) else part
        assert quantity.check(UNITS.Quantity(1.0, unit or "dimensionless").dimensionality)


def test_the_traps_of_the_table_close() -> None:
    for record in TRAPS.values():
        assert isinstance(_told(record, HERE), Trap)
        assert int(closing.close(_told(record, HERE), friction=0.15).state) == closing.CLOSES
