"""The yearly treatment as a document."""

from __future__ import annotations

from pydantic import Field

from setwright.desk.shape import Shape

SCHEMA = "setwright/treatment/1"


class TreatStep(Shape):
    """One step of the treatment: minutes for one load with their span, and for all loads with the changing."""

    name: str
    minutes: float
    low: float
    high: float
    all_minutes: float
    source: str


class TreatLine(Shape):
    """One line of the order, and where it comes from."""

    text: str
    source: str


class Treatment(Shape):
    """The whole batch plan."""

    schema_: str = Field(SCHEMA, alias="schema")
    pot_gallons: float
    finish: str
    hours: float
    say: str
    loads: list[list[str]]
    steps: list[TreatStep]
    minutes: float
    days: int
    order: list[TreatLine]
    left_out: list[str]
    too_large: list[str]
    again: list[str]
    cautions: list[str]
