"""What a study found, as data for every surface."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

SCHEMA = "setwright/study-result/1"


class Part(BaseModel):
    """A part of the document."""

    model_config = ConfigDict(extra="forbid")


class Cell(Part):
    """All cases that share a level of the book's first factor and one choice for the rig.

    `good`, `untold` and `bad` add up to `cases`; the figures are the median over the cases, and the least and
    greatest of their medians, in 100 waits. `why` is what most often stands in the way.
    """

    row: str
    choice: dict[str, str]
    cases: int
    good: int
    untold: int
    bad: int
    held: tuple[float, float, float] | None
    others: tuple[float, float, float] | None
    pets: tuple[float, float, float] | None
    why: str = ""


class Best(Part):
    """The choices for one row, the best first: those that are good in most cases, then those that hold most."""

    row: str
    choices: list[dict[str, str]]
    good: int
    cases: int
    say: str


class Study(Part):
    """The whole result; `table` has a row for every case."""

    schema_: str = Field(default=SCHEMA, serialization_alias="schema")
    program: str
    digest: str
    name: str
    meets: list[str]
    rows: str
    factors: dict[str, list[str]]
    repeats: int
    draws: int
    seed: int
    cells: list[Cell]
    best: list[Best]
    say: str
    notes: list[str]
    columns: list[str]
    table: list[dict[str, Any]]
