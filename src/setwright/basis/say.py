"""A sentence with SI numbers in it, put into the user's units only at the edge.

Physics and rules must not know how a length is printed. They leave a template whose fields name
what each number is: ``Say("stop {shortfall:length} too shallow", shortfall=0.10)``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

# What a field may be, and the SI unit its number is in.
KINDS = {
    "length": "m",
    "distance": "m",
    "force": "N",
    "mass": "kg",
    "temperature": "degC",
    "share": "one",
    "number": "one",
    "count": "one",
    "time": "s",
    "short_time": "s",
    "pressure": "Pa",
    "torque": "N*m",
    "speed": "m/s",
    "volume": "m**3",
    "angle": "rad",
    "clock": "aware datetime",
    "word": "text",
    "say": "another sentence",
}


@dataclass(frozen=True, slots=True)
class Say:
    """Template with `{name:kind}` fields and the values that belong in it."""

    template: str
    values: tuple[tuple[str, Any], ...] = ()

    def __init__(self, template: str, **values: Any) -> None:
        object.__setattr__(self, "template", template)
        object.__setattr__(self, "values", tuple(values.items()))
