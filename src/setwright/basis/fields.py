"""Pydantic field types for quantities as a trapper writes them.

A quantity is text with its unit (`5 3/8 in`) or a mapping `{value, sd | low + high, source}`.
Reading turns it into a `Quantity` in SI whose source says that it was stated in the file.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Any

from pydantic import BeforeValidator, PlainSerializer, WithJsonSchema

from setwright.basis.errors import BadInput
from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.spread import Z95
from setwright.basis.units import EXAMPLES, parse

_KEYS = {"value", "sd", "low", "high", "source"}


def read_quantity(found: Any, unit: str, low: float = float("-inf"), high: float = float("inf")) -> Quantity:
    """Read a quantity as written in a file; `low` and `high` bound it in SI."""
    if isinstance(found, Quantity):
        return found
    if isinstance(found, dict):
        extra = set(found) - _KEYS
        if extra or "value" not in found:
            raise BadInput(
                "a quantity needs `value`, and may have `sd` or `low` and `high`, and `source`",
                found=", ".join(map(str, found)), allowed=", ".join(sorted(_KEYS)),
            )  # fmt: skip
        value = _read(found["value"], unit)
        low_point = high_point = None
        if "sd" in found:
            half = Z95 * _read_difference(found["sd"], unit)
            if half < 0 or "low" in found or "high" in found:
                raise BadInput("give `sd`, at least zero, or `low` and `high`", found=found["sd"])
            low_point, high_point = value - half, value + half
        if "low" in found or "high" in found:
            low_point = _read(found["low"], unit) if "low" in found else value
            high_point = _read(found["high"], unit) if "high" in found else value
        origin = str(found.get("source", "line book"))
        kind = next((kind for kind in Kind if origin.startswith(kind.value)), Kind.MEASURED)
    else:
        value, low_point, high_point = _read(found, unit), None, None
        origin, kind = "line book", Kind.MEASURED
    for number in (value, low_point, high_point):
        if number is not None and not low <= number <= high:
            raise BadInput(
                "outside what is possible here", found=found if not isinstance(found, dict) else found["value"],
                allowed=f"{low:g} to {high:g} {unit}" if high < float("inf") else f"at least {low:g} {unit}",
            )  # fmt: skip
    if (low_point is not None and low_point > value) or (high_point is not None and high_point < value):
        raise BadInput("low, value and high are not in order", found=str(found))
    return Quantity(value, unit, Source(kind, origin, "stated"), low_point, high_point)


def _read(found: Any, unit: str) -> float:
    if isinstance(found, bool) or found is None:
        raise BadInput("a quantity is missing here", found=found, allowed=EXAMPLES.get(unit, unit))
    return parse(str(found), unit)


def _read_difference(found: Any, unit: str) -> float:
    if unit == "degC":
        return parse(str(found), "degC") - parse("0 " + str(found).split()[-1], "degC")
    return _read(found, unit)


def quantity(unit: str, low: float = float("-inf"), high: float = float("inf")) -> Any:
    """Annotated pydantic type of a quantity in SI unit `unit` between `low` and `high`."""

    def before(found: Any) -> Quantity:
        with wrapped():
            return read_quantity(found, unit, low, high)

    return Annotated[
        Quantity,
        BeforeValidator(before),
        PlainSerializer(_as_written, return_type=Any),
        WithJsonSchema(
            {
                "anyOf": [
                    {
                        "type": ["string", "number"] if unit == "one" else "string",
                        "description": EXAMPLES.get(unit, unit),
                    },
                    {
                        "type": "object",
                        "required": ["value"],
                        "additionalProperties": False,
                        "properties": {key: {"type": ["string", "number"]} for key in sorted(_KEYS)},
                    },
                ]
            }
        ),
    ]


class _Wrapped(ValueError):
    """Carries a BadInput through pydantic."""

    def __init__(self, error: BadInput) -> None:
        super().__init__(error.message)
        self.error = error


@contextmanager
def wrapped() -> Iterator[None]:
    """Let a BadInput raised inside pass through pydantic with its found and allowed."""
    try:
        yield
    except BadInput as error:
        raise _Wrapped(error) from None


def unwrap(error: Any) -> Any:
    """The BadInput inside a validation error's context, or the error itself."""
    return error.error if isinstance(error, _Wrapped) else error


def _as_written(value: Quantity) -> Any:
    text = f"{value.value!r} {value.unit}" if value.unit != "one" else repr(value.value)
    if value.low is None and value.high is None:
        return text
    suffix = "" if value.unit == "one" else f" {value.unit}"
    return {"value": text, "low": f"{value.low!r}{suffix}", "high": f"{value.high!r}{suffix}"}


Length = quantity("m", 0.0, 1e7)
Level = quantity("m", -1e4, 1e4)
Rise = quantity("m", -0.05, 0.05)
Mass = quantity("kg", 0.0, 1e5)
Force = quantity("N", 0.0, 1e7)
Time = quantity("s", 0.0, 1e9)
Temperature = quantity("degC", -90.0, 90.0)
Strength = quantity("Pa", 0.0, 1e12)
Rate = quantity("N/m", 0.0, 1e9)
Speed = quantity("m/s", 0.0, 100.0)
Acceleration = quantity("m/s**2", 0.0, 100.0)
Share = quantity("one", 0.0, 1.0)
Number = quantity("one", 0.0, 1e9)
Angle = quantity("rad", -3.2, 3.2)
Volume = quantity("m**3", 0.0, 1e6)
