"""The part of a line book on ways and days: landings, legs, minutes, work, agents, the maps behind."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, field_validator, model_validator

from setwright.basis.fields import Length, Mass, Share, Time
from setwright.line.part import Part

Mode = Literal["truck", "boat", "foot"]
Place = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._/+-]{0,39}$")]
Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
BASE = "base"


def _clock(found: Any) -> Any:
    if isinstance(found, int) and not isinstance(found, bool) and 0 <= found < 1440:
        return dt.time(found // 60, found % 60)  # YAML 1.1 reads 15:30 as sixties
    return found


Clock = Annotated[dt.time, BeforeValidator(_clock, json_schema_input_type=str)]


class Spot(Part):
    """Place on the map, WGS 84 degrees."""

    latitude: float = Field(ge=-90, le=90)
    longitude: float = Field(ge=-180, le=180)


class Landing(Part):
    """A place where he changes from truck to boat or foot, or from boat to foot."""

    id: Place
    name: Annotated[str, Field(min_length=1, max_length=120)] | None = None
    position: Spot | None = None
    access: Mode = "truck"
    landing: Place = BASE
    offers: Annotated[list[Mode], Field(min_length=1, max_length=2)]
    change: Time | None = None


class Leg(Part):
    """A way between two places by one means: time there, and time back when that differs."""

    start: Place = Field(alias="from")
    end: Place = Field(alias="to")
    mode: Mode
    time: Time
    back: Time | None = None
    one_way: bool = False
    distance: Length | None = None

    @model_validator(mode="after")
    def _apart(self) -> Leg:
        if self.start == self.end:
            raise ValueError("a leg leads from one place to another")
        if self.one_way and self.back is not None:
            raise ValueError("a leg that is one_way has no time back")
        if self.time.number <= 0 or (self.back is not None and self.back.number <= 0):
            raise ValueError("a leg takes time")
        return self


class Minutes(Part):
    """Minutes beside the plain look at a set: a catch, a set made again, one made; and their spread."""

    catch: Time | None = None
    remake: Time | None = None
    set: Time | None = None
    spread: Share | None = None


class Hours(Part):
    """Hours that are not free, on some days of the week."""

    days: list[Weekday] = Field(min_length=1, max_length=7)
    start: Clock = Field(alias="from")
    end: Clock = Field(alias="to")

    @model_validator(mode="after")
    def _ordered(self) -> Hours:
        if self.end <= self.start:
            raise ValueError("`to` comes after `from` on the same day")
        return self


class Agent(Part):
    """Somebody else who makes the run on some days."""

    name: Annotated[str, Field(min_length=1, max_length=60)]
    days: list[dt.date] = Field(min_length=1, max_length=366)
    written: bool | None = None


class Ways(Part):
    """How he gets about, how long things take, and which hours are his."""

    landings: list[Landing] = Field(default_factory=list, max_length=100)
    legs: list[Leg] = Field(default_factory=list, max_length=5000)
    minutes: Minutes = Minutes()
    work: list[Hours] = Field(default_factory=list, max_length=20)
    agents: list[Agent] = Field(default_factory=list, max_length=20)
    nobody: list[dt.date] = Field(default_factory=list, max_length=366)
    earliest: Clock | None = None
    by_daylight: bool = False
    home_by_dark: bool = False
    water: Annotated[str, Field(min_length=1, max_length=200)] | None = None
    tracks: Annotated[str, Field(min_length=1, max_length=200)] | None = None

    @field_validator("landings")
    @classmethod
    def _once(cls, value: list[Landing]) -> list[Landing]:
        ids = [landing.id for landing in value]
        twice = sorted({one for one in ids if ids.count(one) > 1} | ({BASE} & set(ids)))
        if twice:
            raise ValueError(f"the landing {twice[0]!r} stands twice, or bears the name of the start")
        return value


class Bench(Part):
    """Bench hours before the sets are made, and what a trap that is to be repaired or looked at takes of them."""

    hours: Time | None = None
    repair: Time | None = None
    doubtful: Time | None = None


class Boat(Part):
    """The boat: what its plate allows, what it weighs by itself with motor and fuel, who sits in it."""

    name: Annotated[str, Field(min_length=1, max_length=60)] = "boat"
    plate: Mass
    fittings: Mass | None = None
    persons: int = Field(default=1, ge=1, le=20)
    person_mass: Mass | None = None
