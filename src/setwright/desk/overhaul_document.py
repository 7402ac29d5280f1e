"""The traps that come in for the off season, one by one, as a document: verdict, why, what to do, what to buy."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from setwright.desk.shape import Shape

SCHEMA = "setwright/overhaul/1"
Verdict = Literal["keep", "retune", "repair", "scrap", "cannot tell"]


class Found(Shape):
    """One thing that was looked at or read, and what follows from it."""

    what: str
    found: str
    act: Verdict
    why: str
    do: str
    minutes: float
    source: str


class PartWanted(Shape):
    """A part for the lot, and the traps that it is for."""

    name: str
    count: int
    traps: list[str]


class TrapOverhaul(Shape):
    """The verdict on one trap."""

    trap: str
    label: str
    verdict: Verdict
    why: str
    findings: list[Found]
    unread: list[Found]
    minutes: float
    looked: str
    spread: str
    stands: str


class Overhauled(Shape):
    """The verdict on every trap of the outfit, the parts for the lot and the time it takes."""

    schema_: str = Field(alias="schema")
    most_minutes: float
    say: str
    counts: dict[Verdict, int]
    traps: list[TrapOverhaul]
    parts: list[PartWanted]
    minutes: float
    notes: list[str]
    cautions: list[str]
