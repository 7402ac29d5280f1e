"""The head of a lesson file: aim, live question, stations, what people believe, questions to check."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

from setwright.desk.lessons.markdown import Block

Text = Annotated[str, Field(min_length=1, max_length=600)]
Key = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,40}$")]
Confidence = Literal["seen", "secondary", "memory", "derived", "common practice", "assumed"]
Tool = Literal["trap", "set", "clock", "nights"]


class Part(BaseModel):
    """Base of all parts: unknown fields are an error."""

    model_config = ConfigDict(extra="forbid")


class Choice(Part):
    """One value that the live question may be given, and how it is said."""

    value: Text
    words: str = ""


class Live(Part):
    """A question that the program answers while the class looks on.

    `tool` says what computes it: one trap on the bench, one set of the line, the check clock, or counted nights.
    `figures` are the three numbers, `picture` the name of a drawing.
    """

    ask: Text
    tool: Tool
    trap: str = ""
    site: str = ""
    medium: Literal["land", "water", ""] = ""
    change: Text
    label: str = ""
    choices: Annotated[list[Choice], Field(min_length=2, max_length=8)]
    figures: Annotated[list[str], Field(min_length=3, max_length=3)]
    picture: str = ""
    learn: Text

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if self.tool == "trap" and not self.trap:
            raise ValueError("a question about a trap names the trap")
        if self.tool == "set" and not (self.site and self.medium):
            raise ValueError("a question about a set names its site, and the medium for another book")
        return self


class Kit(Part):
    """A thing that a station needs: one for so many students, so many a station, or so many in all."""

    what: Text
    one_for: Annotated[int, Field(ge=1, le=60)] | None = None
    a_station: Annotated[int, Field(ge=1, le=60)] | None = None
    in_all: Annotated[int, Field(ge=1, le=60)] | None = None
    trap: bool = False

    @model_validator(mode="after")
    def _one_way(self) -> Self:
        if sum(part is not None for part in (self.one_for, self.a_station, self.in_all)) != 1:
            raise ValueError("say one of one_for, a_station, in_all")
        return self


class Station(Part):
    """A place to practise, for so many students at a time."""

    name: Text
    minutes: Annotated[int, Field(ge=1, le=240)]
    students: Annotated[int, Field(ge=1, le=30)] = 6
    steps: Annotated[list[Text], Field(min_length=1, max_length=12)]
    kit: list[Kit] = Field(default_factory=list)
    caution: str = ""


class Belief(Part):
    """What people believe, what is so, and where that is from."""

    believed: Text
    fact: Text
    source: Text
    confidence: Confidence


class Check(Part):
    """A question to ask aloud, with the answer to look for."""

    ask: Text
    answer: Text


class Head(Part):
    """Everything of a lesson that is not running text."""

    schema_: Literal["setwright/lesson/1"] = Field(alias="schema")
    name: Key
    title: Text
    order: Annotated[int, Field(ge=0, le=999)] = 500
    minutes: Annotated[int, Field(ge=5, le=480)]
    aim: Annotated[list[Text], Field(min_length=1, max_length=8)]
    skills: list[Annotated[int, Field(ge=1, le=18)]] = Field(default_factory=list)
    live: Live
    stations: Annotated[list[Station], Field(min_length=1, max_length=6)]
    beliefs: list[Belief] = Field(default_factory=list)
    check: Annotated[list[Check], Field(min_length=1, max_length=10)]
    quiz: list[Key] = Field(default_factory=list)
    cautions: Annotated[list[Text], Field(min_length=1, max_length=6)]
    invented: bool = False


@dataclass(frozen=True)
class Lesson:
    """A lesson as it was read.

    Parameters
    ----------
    head : Head
        Aim, live question, stations and the like.
    body : tuple of Block
        What to show, in order.
    place : Path
        File that it was read from.
    own : bool
        Written by an instructor, not shipped.

    """

    head: Head
    body: tuple[Block, ...]
    place: Path
    own: bool = False

    @property
    def name(self) -> str:
        """Name by which it is called."""
        return self.head.name


Known = Mapping[str, tuple[str, ...]]
"""Names of drawings, each with the names of what may be said of it."""
