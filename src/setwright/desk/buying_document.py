"""What one more trap of each kind would bring to the line, as a document."""

from __future__ import annotations

from pydantic import Field

from setwright.desk.shape import Shape

SCHEMA = "setwright/buying/1"


class Buy(Shape):
    """One trap to buy, in the order in which traps bring most; targets for 100 nights of the whole line.

    `told_apart` is False where it brings less than the model can tell from nothing.
    """

    order: int
    name: str
    owned: int
    sites_more: int
    held_more: float
    held_after: float
    goes_to: str
    site: str
    told_apart: bool


class Covered(Shape):
    """A kind of trap that, with the others of its list, does nearly as well as the best at every site."""

    name: str
    owned: int
    sites: list[int]


class SiteFit(Shape):
    """One site: the best of what he owns, the best that could be bought, targets for 100 nights."""

    site: str
    number: int
    name: str
    target: str
    owned_best: str
    owned_held: float | None
    buy_best: str
    buy_held: float | None
    why: str
    open: bool


class Buying(Shape):
    """The whole answer."""

    schema_: str = Field(SCHEMA, alias="schema")
    asked: int
    say: str
    limit: int | None
    sites: list[SiteFit]
    buys: list[Buy]
    few: list[Covered]
    notes: list[str]
