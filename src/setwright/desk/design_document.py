"""The answer of the designer as a document: the versioned shape that `setwright design --json` prints.

Figures are for 100 nights; triples are median, 5 % point, 95 % point. Words are in the user's units.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from setwright.desk.document import Answer, Caution, Shape, Standing, Triple

SCHEMA = "setwright/design/1"

CutKind = Literal["law", "welfare", "chain"]


class OpenAnswer(Shape):
    """A rule, gate or check that is broken, failing or cannot be told, and why or what would settle it."""

    name: str
    say: str


class DesignedRig(Shape):
    """One design: what is set, what is done to get there, and what 100 nights of it bring."""

    traps: list[str]
    label: str
    jaws: str
    springs: str
    trip_force: str
    set_type: str
    chain: str
    anchor: str
    catch: Triple
    others: Triple
    pets: float
    guarded: float
    minutes: float
    standing: Standing
    law: Answer
    welfare: Answer
    restraining: bool
    do: list[str] = Field(default_factory=list)
    why: str = ""
    open: list[OpenAnswer] = Field(default_factory=list)
    lacks: list[OpenAnswer] = Field(default_factory=list)


class DesignCut(Shape):
    """How many combinations one gate cut; each is counted at the first gate that cuts it."""

    kind: CutKind
    name: str
    count: int


class MendedRig(Shape):
    """Changes or purchases beyond the outfit after which the nearest miss was computed anew."""

    change: list[str]
    mends: bool
    rig: DesignedRig


class MeasureFirst(Shape):
    """An unknown that moves a result: its share of the variance, and what to do in the field."""

    input: str
    what: str
    do: str
    settles: bool
    share: Triple
    rises: bool | None


class Moved(Shape):
    """One result with what moves it, greatest first; `rest` is what no single unknown accounts for."""

    result: str
    say: str
    measures: list[MeasureFirst]
    rest: float


class Design(Shape):
    """The whole answer for one site."""

    schema_: str = Field(SCHEMA, alias="schema")
    program: str
    site: str
    number: int
    name: str
    target: str
    seed: int
    draws: int
    say: str
    members: list[DesignedRig]
    unsettled: list[DesignedRig]
    cuts: list[DesignCut]
    possible: int
    combined: int
    evaluated: int
    nearest: DesignedRig | None = None
    mended: list[MendedRig] = Field(default_factory=list)
    measured_rig: str = ""
    measure_first: str = ""
    measures: list[Moved] = Field(default_factory=list)
    cautions: list[Caution] = Field(default_factory=list)
    notes: list[str] = Field(default_factory=list)
