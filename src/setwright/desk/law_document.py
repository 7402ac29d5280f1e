"""What `law` shows, as a document: the pack, what is wrong or open in it, and the line judged by it."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from setwright.desk.document import Answer, Shape

SCHEMA = "setwright/law/1"


class PackHead(Shape):
    """One pack with who stands by it."""

    name: str
    kind: Literal["law", "permit", "landowner", "profile"]
    title: str
    jurisdiction: str
    authority: str
    invented: bool
    in_force: str
    checked: str
    stale: str = ""


class Remark(Shape):
    """What is wrong or doubtful in the pack by itself."""

    level: Literal["fault", "doubt", "note"]
    place: str
    text: str
    mend: str


class Topic(Shape):
    """What the pack says on one topic."""

    topic: str
    state: Literal["stated", "none", "unknown"]
    rules: list[str]
    citation: str
    needed: bool


class RuleAnswer(Shape):
    """Answer of one rule for one set, with the pack in which it stands."""

    pack: str
    kind: str
    rule: str
    topic: str
    answer: Answer
    text: str
    reason: str
    citation: str
    cure: str = ""
    question: str = ""
    asks: Literal["", "authority", "trapper"] = ""
    aside: str = ""


class JudgedSet(Shape):
    """One set of the book, rule by rule; `law` leaves the profile of good practice out."""

    site: str
    number: int
    name: str
    target: str
    rig: str
    law: Answer
    practice: Answer
    rules: list[RuleAnswer]


class SpareUse(Shape):
    """One use of a trap that stands nowhere: on land or in water and for an animal, as the sites `sets` have it."""

    use: str
    law: Answer
    sets: list[int]
    rules: list[RuleAnswer]


class SpareTrap(Shape):
    """Alike traps of the outfit that no set of the book names, by the rules that ask for the trap alone."""

    traps: list[str]
    label: str
    jaws: str
    uses: list[SpareUse]


class WardenQuestion(Shape):
    """A question that only the authority (or the owner of the land) can answer, in full, with the sets it is for."""

    to: str
    text: str
    sets: list[int]


class LawSheet(Shape):
    """The whole answer."""

    schema_: str = Field(SCHEMA, alias="schema")
    program: str
    on: str
    packs: list[PackHead]
    remarks: list[Remark]
    topics: list[Topic]
    sets: list[JudgedSet] = Field(default_factory=list)
    spare: list[SpareTrap] = Field(default_factory=list)
    ask: list[WardenQuestion] = Field(default_factory=list)
    look: list[WardenQuestion] = Field(default_factory=list)
    say: str
    notes: list[str]
