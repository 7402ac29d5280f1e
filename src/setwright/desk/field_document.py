"""What goes along into the field, as a document: everything that the field pages show and nothing that they compute.

Times are ISO 8601 with offset. `digest` is over everything but `made`, `person` and `log_last`, so that a pack that
says the same has the same digest.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from setwright.desk.document import Answer, Caution, Medium, Standing
from setwright.desk.shape import Shape

SCHEMA = "setwright/field-pack/1"


class FieldFinding(Shape):
    """An answer of law or welfare at a set."""

    name: str
    answer: Answer
    reason: str
    source: str
    question: str = ""


class FieldLink(Shape):
    """How one link of the chain stands, what governs it, why, and the mend."""

    link: str
    standing: Standing
    governs: str
    why: str
    mend: str = ""


class FieldStop(Shape):
    """Place of a set in the run as it was planned."""

    order: int
    arrive: str
    limit: str | None


class FieldDue(Shape):
    """Last moment of the next look: by the log where it has the set, by the plan otherwise."""

    by: str | None
    why: str
    told_by: str


class FieldState(Shape):
    """What the log says of a set when the pack was made."""

    phase: str
    trap: str | None
    rig: str | None
    since: str | None
    seen: str | None


class FieldExpected(Shape):
    """The rig that should lie there, as an entry of its making has it."""

    trap: str | None
    rig: str | None
    label: str
    set_type: str | None
    target: str
    anchor: str | None
    chain: str | None
    cover: str | None
    swivels: int | None
    facts: list[tuple[str, str]] = Field(default_factory=list)


class FieldSet(Shape):
    """One set on its card."""

    id: str
    number: int
    name: str
    latitude: float | None
    longitude: float | None
    access: str
    medium: Medium
    target: str
    target_name: str
    set_words: str
    holds_alive: bool
    say: str
    must: str
    standing: Standing
    law_answer: Answer
    welfare_answer: Answer
    law: list[FieldFinding]
    welfare: list[FieldFinding]
    links: list[FieldLink]
    expected: FieldExpected
    animals: list[str]
    steps: list[str]
    cautions: list[Caution]
    drawing: str
    keys: list[tuple[str, str]]
    stop: FieldStop | None
    due: FieldDue
    state: FieldState | None


class FieldAnimal(Shape):
    """An animal that may be named."""

    key: str
    name: str
    domestic: bool


class FieldCause(Shape):
    """What may have fired a trap that lies empty."""

    medium: str
    share: float
    label: str
    evidence: str
    change: str


class FieldLook(Shape):
    """One look at a trap that lies empty: for each answer its chance by cause."""

    key: str
    question: str
    answers: dict[str, list[float]]


class FieldTree(Shape):
    """Looks and causes, and what was seen with one's own eyes."""

    causes: list[FieldCause]
    looks: list[FieldLook]
    enough: float
    most: int
    seen: list[tuple[str, str, str]]


class FieldClock(Shape):
    """A deadline that begins with a catch, for the animals named (`*` for one that nobody named)."""

    act: str
    within: str
    source: str
    target: list[str]
    other: list[str]
    domestic: list[str]


class FieldLine(Shape):
    """The line that the pack is of."""

    name: str
    place: str
    invented: bool
    zone: str
    date: str
    season: str
    check: str
    law: str
    law_checked: str
    units: Literal["us", "metric"]


class FieldRun(Shape):
    """The run in words."""

    say: str
    start: str
    finish: str
    warnings: list[str]


class FieldPerson(Shape):
    """Who the pack was made for."""

    name: str
    role: str
    may: list[str]


class FieldPack(Shape):
    """Everything for the field."""

    schema_: str = Field(SCHEMA, alias="schema")
    program: str
    made: str
    planned: str
    digest: str
    log_last: int
    person: FieldPerson
    line: FieldLine
    run: FieldRun
    sets: list[FieldSet]
    animals: list[FieldAnimal]
    tree: FieldTree
    clocks: list[FieldClock]
    dog_release: list[str]
    letting_go: str
    dispatch: str
    disease: list[Caution]
    cautions: list[Caution]
    questions: list[str]
