"""Dog and notch of one trap as a document: what to file, where to stop, what the bolt does."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from setwright.desk.shape import Shape

SCHEMA = "setwright/filing/1"


class FilingRow(Shape):
    """One figure in words, with its value in `unit` where it is known."""

    what: str
    shown: str
    note: str = ""
    value: float | None = None
    unit: str = ""


class FilingStep(Shape):
    """One step, in order, and where it comes from."""

    text: str
    source: str


class FilingSheet(Shape):
    """The whole answer for one trap."""

    schema_: str = Field(SCHEMA, alias="schema")
    trap: str
    label: str
    state: Literal["cannot tell", "keeps", "creeps", "lets go by itself"]
    say: str
    rows: list[FilingRow]
    steps: list[FilingStep]
    missing: list[str]
    cautions: list[str]
