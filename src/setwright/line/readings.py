"""Bench readings as they are written in a file: what was read, with its settings, and what follows in SI."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Annotated, Any

from pydantic import Field, model_validator

from setwright.basis.errors import BadInput, OutOfRange
from setwright.basis.fields import Angle, Force, Length, Mass, Share, read_quantity, wrapped
from setwright.basis.source import Kind, Quantity, Source
from setwright.line.part import Part
from setwright.trap import tables as trap_tables
from setwright.trap.guard import Guard
from setwright.trap.pulls import next_pull
from setwright.trap.readings import AT_LEAST, KINDS, Reading

Written = Annotated[Any, Field(json_schema_extra={"type": ["string", "number"]})]


class ReadingEntry(Part):
    """One reading on the bench: its kind, the value with its unit, and what must be stated with it."""

    read: str
    value: Written
    sd: Written = None
    at_least: bool = False
    distance: Length | None = None
    lever_angle: Angle | None = None
    eye_height: Length | None = None
    base_height: Length | None = None
    dowel: Length | None = None
    bar_force: Force | None = None
    frame_rate: float | None = Field(default=None, gt=0, le=1e6)
    date: dt.date | None = None
    note: str = ""

    @model_validator(mode="after")
    def _in_si(self) -> ReadingEntry:
        with wrapped():
            self.reading()
        return self

    def reading(self) -> Reading:
        """The reading in SI, with the usual error of its kind where none is stated."""
        kind = KINDS.get(self.read)
        if kind is None:
            raise BadInput("no such reading of a trap", field="read", found=self.read, allowed=", ".join(KINDS))
        value = read_quantity(self.value, kind.unit).number
        if self.sd is None:
            sd = trap_tables.reading_errors()[self.read].sd(value, self.frame_rate)
        else:
            sd = read_quantity(self.sd, kind.unit).number
        try:
            return Reading(
                self.read, value, sd, AT_LEAST if self.at_least else "", _number(self.distance),
                _number(self.lever_angle), _number(self.eye_height), _number(self.base_height), _number(self.dowel),
                _number(self.bar_force), self.frame_rate,
            )  # fmt: skip
        except OutOfRange as error:
            raise BadInput(error.message, field=error.field, found=error.found, allowed=error.allowed) from None


class GuardEntry(Part):
    """A guard arm: what was read on it; the rest stands as in the table of working figures."""

    length: Length | None = None
    mass: Mass | None = None
    torque: Annotated[Any, Field(json_schema_extra={"type": "string"})] = None
    swing: Angle | None = None

    def guard(self) -> Guard:
        """The arm in SI."""
        table = trap_tables.working()
        torque = table.number("guard", "guard_torque") if self.torque is None else _torque(self.torque)
        return Guard(
            length=_or(self.length, table.number("guard", "guard_length")),
            mass=_or(self.mass, table.number("guard", "guard_mass")),
            torque=torque,
            rate=table.number("guard", "guard_rate"),
            swing_angle=_or(self.swing, table.number("guard", "guard_swing")),
        )


class NotchEntry(Part):
    """Notch and bolt of the pan, for a trip force without a pull and for its travel."""

    overlap: Length
    arm: Length
    rake: Angle | None = None
    friction: Share | None = None


def _number(quantity: Quantity | None) -> float | None:
    return None if quantity is None else quantity.number


def _or(quantity: Quantity | None, usual: float) -> float:
    return usual if quantity is None else quantity.number


def _torque(found: Any) -> float:
    with wrapped():
        return read_quantity(found, "N*m", 0.0, 100.0).number


def current(entries: Sequence[ReadingEntry]) -> tuple[Reading, ...]:
    """Readings of the trap as it is now: of dated spring rates the last one, since springs weaken; all others."""
    dated = [one for one in entries if one.read == "spring_rate" and one.date is not None]
    last = max((one.date for one in dated if one.date is not None), default=None)
    return tuple(one.reading() for one in entries if one not in dated or one.date == last)


def pulled(readings: Sequence[Reading]) -> Quantity | None:
    """Trip force from pulls on the pan: their mean, and the band of the next one; None without any."""
    pulls = [one.value for one in readings if one.kind == "pan_pull" and not one.bound]
    if not pulls:
        return None
    found = next_pull(pulls, assumed_share=trap_tables.working().number("pan", "trip_scatter"))
    words = f"{len(pulls)} pulls on the pan" if len(pulls) > 1 else "one pull on the pan, its scatter assumed"
    low = max(float(found.low), 0.0)
    return Quantity(float(found.mean), "N", Source(Kind.MEASURED, words, "stated"), low, float(found.high))
