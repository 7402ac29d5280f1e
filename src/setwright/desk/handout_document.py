"""A handout as a document: what one printed page says, before it is drawn or set in type.

Sentences are templates: `{name}` in a text stands for `values[name]`, so that a sentence can be put into another
language without its figures. A blank to write on is the empty string.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from setwright.desk.document import Caution, Shape, SumLine

SCHEMA = "setwright/handouts/1"

# Where a line comes from, as one letter beside it.
Mark = Literal["", "g", "p", "m", "a", "s"]
MARKS: dict[str, str] = {
    "g": "read in public trapper-education guides",
    "s": "read, as quoted by others",
    "p": "common practice of the trade",
    "m": "from memory, no document",
    "a": "assumed by this program",
}


class Words(Shape):
    """One sentence with the figures in it, and where it comes from."""

    text: str
    values: dict[str, str] = Field(default_factory=dict)
    mark: Mark = ""


class Picture(Shape):
    """A teaching picture by name, and its share of the room."""

    kind: Literal["picture"] = "picture"
    name: str
    high: float = 1.0
    keys: Literal["words", "blanks", "none"] = "words"


class Lines(Shape):
    """Sentences under a heading: numbered steps, plain lines, or lines with a box to tick."""

    kind: Literal["lines"] = "lines"
    head: str = ""
    form: Literal["steps", "plain", "boxes"] = "plain"
    lines: list[Words]
    columns: int = 1


class Cell(Shape):
    """One cell of a table: words, or a blank to write in."""

    text: str = ""
    mark: Mark = ""


class Grid(Shape):
    """A table; `widths` are shares; `blank_rows` are ruled rows to fill in."""

    kind: Literal["grid"] = "grid"
    head: str = ""
    columns: list[str]
    widths: list[float]
    rows: list[list[Cell]] = Field(default_factory=list)
    blank_rows: int = 0
    note: str = ""


class Blank(Shape):
    """A thing asked for, with what is known of it."""

    label: str
    value: str = ""
    wide: bool = False


class Blanks(Shape):
    """Things to fill in or already filled, two beside each other unless wide."""

    kind: Literal["blanks"] = "blanks"
    head: str = ""
    blanks: list[Blank]


Block = Picture | Lines | Grid | Blanks


class Handout(Shape):
    """One printed page.

    Parameters
    ----------
    name, title : str
        File name without its ending; heading.
    say : Words
        The answer in one sentence, under the heading.
    student : bool
        Written for students: short words, held to a reading grade.
    half : bool
        Meant as half a sheet: two of them stand on a page of Letter or A4.
    long : bool
        Rather goes on over a second page than leaves out rows.
    blocks : list of Block
        In the order in which they stand.
    cautions : list of Caution
        Never left out.
    rule, rule_date : str
        Where the local rule stands, and its date; blanks when not known.
    about : str
        Whose line or which set it is filled from.
    total : list of SumLine
        Depth sum that a picture shows.
    traps : dict of str to str
        Tags or patterns of the traps that pictures show, by family.

    """

    name: str
    title: str
    say: Words
    student: bool = False
    half: bool = False
    long: bool = False
    blocks: list[Block]
    cautions: list[Caution]
    rule: str = ""
    rule_date: str = ""
    about: str = ""
    total: list[SumLine] = Field(default_factory=list)
    traps: dict[str, str] = Field(default_factory=dict)


class Handouts(Shape):
    """All handouts that were asked for, from one book or blank."""

    schema_: str = Field(SCHEMA, alias="schema")
    program: str
    line: str = ""
    invented: bool = False
    handouts: list[Handout]
