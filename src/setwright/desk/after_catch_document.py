"""What to do, bring and write down at a set that has caught, as a document."""

from __future__ import annotations

from pydantic import Field

from setwright.desk.shape import Shape

SCHEMA = "setwright/after-catch/1"


class Item(Shape):
    """One thing to do, bring or write: what, how it is at this set, and where the rule comes from."""

    what: str
    here: str = ""
    source: str = ""


class AfterCatch(Shape):
    """The list of one set."""

    schema_: str = Field(SCHEMA, alias="schema")
    site: str
    number: int
    name: str
    say: str
    do: list[Item]
    bring: list[Item]
    note: list[Item]
    tonight: str
    mend: str
    cautions: list[str]
