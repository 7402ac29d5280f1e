"""Cover to lay in for a season, as a document."""

from __future__ import annotations

from pydantic import Field

from setwright.desk.shape import Shape

SCHEMA = "setwright/cover-season/1"


class CoverRow(Shape):
    """One figure in words, its span, and where it comes from."""

    what: str
    shown: str
    note: str
    source: str


class CoverBed(Shape):
    """One set on land: what one filling takes, and fillings of the season."""

    number: int
    name: str
    trap: str
    cover: str
    once: float
    fillings: float
    shown: str


class CoverSeason(Shape):
    """The whole answer; volumes in m³."""

    schema_: str = Field(SCHEMA, alias="schema")
    sets: int
    weeks: float
    anew: float
    say: str
    once: float
    season: float
    by_rule: tuple[float, float]
    rows: list[CoverRow]
    beds: list[CoverBed]
    notes: list[str]
