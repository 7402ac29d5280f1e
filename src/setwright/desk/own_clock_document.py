"""What a line can bear by somebody's own clock, as a document."""

from __future__ import annotations

from pydantic import Field

from setwright.desk.shape import Shape

SCHEMA = "setwright/own-clock/1"


class ClockDay(Shape):
    """One day of the week to come: when he can be out, what he sees, the latest start that keeps every set lawful."""

    date: str
    out: str
    window: float
    leave: str | None
    latest: str | None
    back: str | None
    sets: int
    missed: list[str]
    why: str


class SetOut(Shape):
    """One day of setting out: sets made, in their order, and how many stand at its end."""

    date: str
    made: list[str]
    standing: int


class OwnClock(Shape):
    """The whole answer; times at a set in minutes."""

    schema_: str = Field(SCHEMA, alias="schema")
    asked: dict[str, str]
    say: str
    sets: int
    daily: int
    most: int
    pull: list[str]
    alike: int | None
    days: list[ClockDay]
    set_out: list[SetOut]
    left_over: list[str]
    look: float
    leg: float
    notes: list[str]
