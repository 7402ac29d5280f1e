"""What a rule may ask: the models of its checks, one named field for each kind."""

from __future__ import annotations

import re
from datetime import date, time
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PrivateAttr, field_validator, model_validator

from setwright.basis.errors import BadInput
from setwright.basis.fields import Length, Volume, read_quantity
from setwright.law.clock import Interval, parse_interval
from setwright.law.facts import feature
from setwright.law.measure import METHODS

Name = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.:-]{0,59}$")]
Words = Annotated[list[Annotated[str, Field(min_length=1, max_length=80)]], Field(min_length=1, max_length=400)]
Text = Annotated[str, Field(min_length=1, max_length=1200)]


def _text(found: Any) -> Any:
    return str(found) if isinstance(found, (int, float)) and not isinstance(found, bool) else found


Written = Annotated[
    str, BeforeValidator(_text, json_schema_input_type=str | float), Field(min_length=1, max_length=80)
]


def _day(found: Any) -> Any:
    if isinstance(found, str):
        try:
            return date.fromisoformat(found)
        except ValueError:
            raise ValueError(f"not a date: {found!r}; write 2026-10-25") from None
    return found


Day = Annotated[date, BeforeValidator(_day)]


class Part(BaseModel):
    """Base of every part of a pack: a field that is not known here is an error."""

    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True, populate_by_name=True, defer_build=True)


def known_feature(name: str, kind: str | None = None) -> str:
    """Return the name of a feature, of `kind` where given; ValueError when it is none."""
    try:
        about = feature(name)
    except BadInput as error:
        raise ValueError(f"no feature is called {name!r}; near: {error.allowed}") from None
    if kind is not None and about.kind != kind:
        raise ValueError(f"{name!r} is a {about.kind}; here a {kind} is meant")
    return name


class Limit(Part):
    """A number of the set against a limit; `value` may be `none` (no limit is set) or `unknown`."""

    feature: str
    method: str | None = None
    op: Literal["<", "<=", ">", ">="]
    value: Written
    _si: float | None = PrivateAttr(default=None)

    @model_validator(mode="after")
    def _read(self) -> Limit:
        if self.feature == "nominal_size":
            self._si = _plain(self.value, "one")
            return self
        about = feature(known_feature(self.feature, "number"))
        if self.feature == "jaw_spread" and self.method is not None and self.method not in METHODS:
            raise ValueError(f"no way of measuring is called {self.method!r}; known: {', '.join(METHODS)}")
        self._si = _plain(self.value, about.unit)
        return self

    @property
    def limit(self) -> float | None:
        """The limit in SI; None when the pack says `none` or `unknown`."""
        return self._si


def _plain(value: str, unit: str) -> float | None:
    if value in ("none", "unknown"):
        return None
    try:
        return read_quantity(value, unit).number
    except BadInput as error:
        raise ValueError(f"{error.message}: {value!r}; allowed: {error.allowed}") from None


class SunTime(Part):
    """An hour of the day: a clock time, or sunrise or sunset with an offset."""

    clock: time | None = None
    sun: Literal["sunrise", "sunset"] | None = None
    offset_hours: float = Field(default=0.0, ge=-12.0, le=12.0)

    @model_validator(mode="after")
    def _one(self) -> SunTime:
        if (self.clock is None) == (self.sun is None):
            raise ValueError("give `clock` or `sun`, not both")
        return self


_SUN = re.compile(r"(sunrise|sunset)(?:\s*([+-])\s*(\d{1,2}(?:\.\d+)?)\s*h)?")


def _hour(found: Any) -> Any:
    if not isinstance(found, str):
        return found
    match = _SUN.fullmatch(found.strip())
    if match is not None:
        hours = float(match[3] or 0.0)
        return {"sun": match[1], "offset_hours": -hours if match[2] == "-" else hours}
    if re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", found.strip()) is None:
        raise ValueError(f"not an hour: {found!r}; write '07:00', 'sunset' or 'sunrise - 2 h'")
    return {"clock": found.strip()}


Hour = Annotated[SunTime, BeforeValidator(_hour, json_schema_input_type=str | SunTime)]


class Window(Part):
    """A span of the day; it may run over midnight."""

    start: Hour = Field(alias="from")
    end: Hour = Field(alias="to")


class AgentTerms(Part):
    """Who may visit in the trapper's place: so many visits in a row at most, with a written permission or without."""

    in_a_row: Annotated[int, Field(ge=0, le=1000)]
    written: bool = True


class IntervalCheck(Part):
    """How often a set must be visited: `P1D`, `P3D`, `PT36H`; or `none`, or `unknown`."""

    every: str
    visit_window: Window | None = None
    agent: AgentTerms | None = None

    @field_validator("every")
    @classmethod
    def _known(cls, value: str) -> str:
        if value not in ("none", "unknown"):
            try:
                parse_interval(value)
            except BadInput as error:
                raise ValueError(f"{error.message}: {value!r}; allowed: {error.allowed}") from None
        return value

    @property
    def interval(self) -> Interval | None:
        """The interval; None when the pack says `none` or `unknown`."""
        return None if self.every in ("none", "unknown") else parse_interval(self.every)


class ClockWindow(Part):
    """Hours in which something may be done (`open`) or may not be done (`closed`)."""

    activity: Literal["set", "visit", "tend", "pull"]
    open: Window | None = None
    closed: Window | None = None

    @model_validator(mode="after")
    def _one(self) -> ClockWindow:
        if (self.open is None) == (self.closed is None):
            raise ValueError("give `open` or `closed`, not both")
        return self


class Distance(Part):
    """Least distance from the set to the nearest thing of a class."""

    to: Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{1,39}$")]
    reference: Literal["edge", "centreline", "point"] | None = None
    at_least: Length


class Tag(Part):
    """What the tag must carry (any one of), and how."""

    any_of: Annotated[list[Literal["name", "name_and_address", "number"]], Field(min_length=1)]
    durable: bool = False
    visible: bool = False


class Bait(Part):
    """Exposed bait that may not be there: seen from where, larger than, nearer than.

    `defined` takes what the pack defines under `definitions: exposed_bait`.
    """

    visible_from: Literal["air", "any", "defined"]
    larger_than: Volume | None = None
    nearer_than: Length | None = None


class Count(Part):
    """Most traps for a person, a site or a set."""

    scope: Literal["person", "site", "set"]
    at_most: Annotated[int, Field(ge=0, le=100000)]


class ListMembership(Part):
    """The device must be on a list of the pack that is in force on the day."""

    list: Name
    feature: str = "device_id"

    @field_validator("feature")
    @classmethod
    def _known(cls, value: str) -> str:
        return known_feature(value, "word")


class Boolean(Part):
    """A truth of the set."""

    feature: str
    be: bool = Field(alias="is")

    @field_validator("feature")
    @classmethod
    def _known(cls, value: str) -> str:
        return known_feature(value, "truth")


class OneOf(Part):
    """A word of the set among words."""

    feature: str
    words: Words

    @field_validator("feature")
    @classmethod
    def _known(cls, value: str) -> str:
        return known_feature(value, "word")


class Deadline(Part):
    """A duty that begins with an event: something to be done within a time."""

    event: Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{1,39}$")]
    within: str
    act: Text

    @field_validator("within")
    @classmethod
    def _known(cls, value: str) -> str:
        try:
            parse_interval(value)
        except BadInput as error:
            raise ValueError(f"{error.message}: {value!r}; allowed: {error.allowed}") from None
        return value


class Check(Part):
    """One check: exactly one of the named kinds."""

    limit: Limit | None = None
    interval: IntervalCheck | None = None
    clock_window: ClockWindow | None = None
    distance: Distance | None = None
    tag: Tag | None = None
    bait: Bait | None = None
    count: Count | None = None
    list_membership: ListMembership | None = None
    boolean: Boolean | None = None
    one_of: OneOf | None = None
    deadline: Deadline | None = None
    all_of: Annotated[list[Check], Field(min_length=1, max_length=40)] | None = None
    any_of: Annotated[list[Check], Field(min_length=1, max_length=40)] | None = None
    not_: Check | None = Field(default=None, alias="not")

    @model_validator(mode="after")
    def _one(self) -> Check:
        if len(self.model_fields_set) != 1 or self.part is None:
            raise ValueError(f"a check is one of: {', '.join(CHECK_KINDS)}")
        return self

    @property
    def kind(self) -> str:
        """Name of the kind of check as the file writes it."""
        return next(iter(self.model_fields_set)).rstrip("_")

    @property
    def part(self) -> Any:
        """The check itself."""
        return getattr(self, next(iter(self.model_fields_set)))


CHECK_KINDS = tuple(name.rstrip("_") for name in Check.model_fields)
