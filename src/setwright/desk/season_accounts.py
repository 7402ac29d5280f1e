"""Accounts of a season: prices, costs, colonies counted and a job to quote, in one small file of the user's."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from setwright.basis.errors import BadInput
from setwright.basis.fields import wrapped
from setwright.basis.yamlfile import load, read_text, validate
from setwright.line.part import Part
from setwright.log.money import Price

SCHEMA = "setwright/accounts/1"
BESIDE = "accounts.yaml"
Amount = Annotated[float, Field(ge=0, le=1e7)]


class PriceEntry(Part):
    """What one animal brings: lowest, likely, highest."""

    low: Amount
    likely: Amount
    high: Amount

    def price(self) -> Price:
        """The price as the log reckons with it."""
        with wrapped():
            return Price(self.low, self.likely, self.high)


class Costs(Part):
    """What the season costs."""

    travel_distance: Amount = 0.0
    per_distance: Amount = 0.0
    boat_hours: Amount = 0.0
    per_boat_hour: Amount = 0.0
    bait_and_lure: Amount = 0.0
    gear_wear: Amount = 0.0
    licences_and_tags: Amount = 0.0
    hours: Amount = 0.0
    per_hour: Amount = 0.0
    other: Amount = 0.0

    def rows(self) -> list[tuple[str, float]]:
        """Names and amounts of what was stated."""
        found = [
            ("travel", self.travel_distance * self.per_distance),
            ("boat", self.boat_hours * self.per_boat_hour),
            ("bait and lure", self.bait_and_lure),
            ("wear and loss of gear", self.gear_wear),
            ("licences and tags", self.licences_and_tags),
            ("own hours", self.hours * self.per_hour),
            ("other", self.other),
        ]
        return [(name, amount) for name, amount in found if amount > 0]


class JobEntry(Part):
    """A damage job to be quoted."""

    target: Annotated[str, Field(max_length=60)]
    fewest: Annotated[int, Field(ge=1, le=500)]
    most: Annotated[int, Field(ge=1, le=500)]
    sets: Annotated[int, Field(ge=1, le=500)]
    nights: Annotated[int, Field(ge=1, le=120)]
    check_days: Annotated[float, Field(gt=0, le=3)] = 1.0
    visit_cost: Amount
    gear: Amount = 0.0
    disposal: Amount = 0.0
    margin: Annotated[float, Field(ge=0, le=2)] = 0.15


class Accounts(Part):
    """The whole file."""

    schema_: Literal["setwright/accounts/1"] = Field(alias="schema")
    currency: Annotated[str, Field(min_length=1, max_length=12)] = "USD"
    commission: Annotated[float, Field(ge=0, lt=1)] = 0.0
    prices: dict[str, PriceEntry] = Field(default_factory=dict, max_length=60)
    costs: Costs = Costs()
    colonies: Annotated[int, Field(ge=1, le=500)] | None = None
    job: JobEntry | None = None


def read_accounts(path: Path) -> Accounts:
    """Read an accounts file.

    Raises
    ------
    BadInput
        With file, line, field, found and allowed.
    """
    data = load(read_text(path), file=path)
    if data.get("schema") != SCHEMA:
        raise BadInput(
            "this is not an accounts file of a known version", file=path, field="schema", found=data.get("schema"),
            allowed=SCHEMA,
        )  # fmt: skip
    found = validate(Accounts, data, file=path)
    for key, entry in found.prices.items():
        if not entry.low <= entry.likely <= entry.high:
            raise BadInput(
                "low, likely and high must rise", file=path, field=f"prices.{key}",
                found=(entry.low, entry.likely, entry.high),
            )  # fmt: skip
    if found.job is not None and found.job.fewest > found.job.most:
        raise BadInput("fewest is above most", file=path, field="job.fewest", found=found.job.fewest)
    return found


def accounts_beside(book: Path) -> Accounts | None:
    """The accounts file that lies beside a line book; None where there is none.

    Raises
    ------
    BadInput
        With file, line, field, found and allowed.
    """
    place = book.resolve().parent / BESIDE
    return read_accounts(place) if place.is_file() else None
