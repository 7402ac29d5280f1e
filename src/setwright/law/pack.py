"""The law pack: the rules of one place, or good practice, as data that somebody checked on a day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, time, timedelta
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, field_validator, model_validator

from setwright.basis.fields import Length, Share
from setwright.law.clock import parse_day_start
from setwright.law.condition import Bait, Check, Day, Hour, Name, Part, Text, Words
from setwright.law.measure import METHODS
from setwright.law.zones import Zone

SCHEMA = "setwright/law-pack/1"

# What a pack must speak of, and the fact that makes a topic idle when it is certainly False.
TOPICS: dict[str, str | None] = {
    "seasons": None,
    "check-interval": None,
    "jaw-spread": None,
    "jaw-form": None,
    "teeth": "toothed",
    "pan-trip-force": None,
    "swivels": None,
    "drags": "drag",
    "submersion": "submersion",
    "setbacks": None,
    "bait": "bait_present",
    "tag": None,
    "trap-count": None,
    "permission": None,
    "reports": None,
}
OTHER_TOPICS = ("covering", "suspension", "chain", "anchor", "device", "hours", "licence", "agents", "other")

Confidence = Literal["seen", "secondary", "memory", "derived", "common practice", "assumed"]
Species = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]{1,39}$")]


class Span(Part):
    """Days on which something is in force, both included; a missing end is open."""

    start: Day | None = Field(default=None, alias="from")
    end: Day | None = Field(default=None, alias="to")

    @model_validator(mode="after")
    def _ordered(self) -> Span:
        if self.start is not None and self.end is not None and self.start > self.end:
            raise ValueError("`from` comes after `to`")
        return self

    def holds(self, on: date) -> bool:
        """True when `on` lies in the span."""
        return (self.start is None or self.start <= on) and (self.end is None or on <= self.end)


TopicWord = Literal["stated", "none", "unknown"]


class TopicState(Part):
    """Whether the rules of the place speak on a topic; `none` needs the citation that shows it."""

    state: TopicWord
    citation: str = ""

    @model_validator(mode="after")
    def _cited(self) -> TopicState:
        if self.state == "none" and not self.citation.strip():
            raise ValueError("`none` needs a citation: write {state: none, citation: …}; otherwise it is `unknown`")
        return self


def _topic(found: Any) -> Any:
    return {"state": found} if isinstance(found, str) else found


Topic = Annotated[TopicState, BeforeValidator(_topic, json_schema_input_type=TopicWord | TopicState)]


class WaterSet(Part):
    """When a set counts as a water set: at least this share of the trap under water."""

    submerged_share_at_least: Share


class GroundSet(Part):
    """When a set on land counts as a ground set: when the trap lies at most so high above the ground."""

    height_at_most: Length


class Definitions(Part):
    """Terms that differ from place to place.

    `submersion_set` and `lethal_set` are conditions; without them a set is one when it is rigged to hold the animal
    under water. `day_start` is the hour at which a calendar day of a check interval begins, midnight otherwise.
    """

    jaw_spread_method: str | None = None
    jaw_gap_method: Name | None = None
    water_set: WaterSet | None = None
    ground_set: GroundSet | None = None
    submersion_set: Check | None = None
    lethal_set: Check | None = None
    exposed_bait: Bait | None = None
    day_start: Annotated[time | None, BeforeValidator(parse_day_start, json_schema_input_type=str)] = None
    nominal_size_map: dict[str, float] = Field(default_factory=dict)
    species: dict[Species, list[Species]] = Field(default_factory=dict)
    terms: dict[str, Text] = Field(default_factory=dict)

    @field_validator("jaw_spread_method")
    @classmethod
    def _known(cls, value: str | None) -> str | None:
        if value is not None and value not in METHODS:
            raise ValueError(f"no way of measuring is called {value!r}; known: {', '.join(METHODS)}")
        return value

    @field_validator("exposed_bait")
    @classmethod
    def _told(cls, value: Bait | None) -> Bait | None:
        if value is not None and value.visible_from == "defined":
            raise ValueError("the definition itself must say from where bait is seen: air or any")
        return value


class RelativeDay(Part):
    """A moveable day: the last such weekday on or before a day some weeks before another season's opening."""

    weekday: Literal["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]
    weeks_before: Annotated[int, Field(ge=0, le=52)]
    opening_of: Day

    @property
    def day(self) -> date:
        """The day itself."""
        names = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
        latest = self.opening_of - timedelta(weeks=self.weeks_before)
        return latest - timedelta(days=(latest.weekday() - names.index(self.weekday)) % 7)


class SeasonRow(Part):
    """One open season of one species; `closed` says that there is none."""

    species: Species
    open: Day | RelativeDay | None = None
    close: Day | None = None
    closed: bool = False
    zone: Words | None = None
    device: Words | None = None
    when: Check | None = None
    first_hour: Hour | None = None
    last_hour: Hour | None = None
    citation: Text

    @model_validator(mode="after")
    def _whole(self) -> SeasonRow:
        if self.closed and (self.open is not None or self.close is not None):
            raise ValueError("a closed season has no `open` and `close`")
        if not self.closed and (self.open is None or self.close is None):
            raise ValueError("a season needs `open` and `close`, or `closed: true`")
        opens = self.opens
        if opens is not None and self.close is not None and opens > self.close:
            raise ValueError("the season closes before it opens; write the year of each day")
        return self

    @property
    def opens(self) -> date | None:
        """First day."""
        return self.open.day if isinstance(self.open, RelativeDay) else self.open

    def covers(self, on: date) -> bool:
        """True when the season is open on the day."""
        opens = self.opens
        return opens is not None and self.close is not None and opens <= on <= self.close


class DeviceList(Part):
    """A dated list of devices."""

    effective: Span = Span()
    members: Words
    citation: Text


class ActiveWhen(Part):
    """A rule that is switched on by an event, some hours after it."""

    event: Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{1,39}$")]
    after_hours: float = Field(default=0.0, ge=0.0, le=100000.0)


JawType = Literal["regular", "offset", "laminated", "padded", "double", "toothed"]


class Applies(Part):
    """To which sets a rule applies: everything that is named must hold."""

    species: list[Species] | None = Field(default=None, min_length=1)
    zone: Words | None = None
    device: Words | None = None
    jaw_type: Annotated[list[JawType], Field(min_length=1)] | None = None
    medium: Literal["land", "ground", "water"] | None = None
    set_type: Words | None = None
    submersion: bool | None = None
    lethal: bool | None = None
    days: Span | None = None
    land_tenure: Words | None = None
    licence_class: Words | None = None
    purpose: Words | None = None
    season_open: list[Species] | None = Field(default=None, min_length=1)
    active_when: ActiveWhen | None = None
    when: Check | None = None


class LiftedWhen(Part):
    """When it certainly holds, the rule is lifted, or `instead` is checked in its place."""

    when: Check | None = None
    season_open: list[Species] | None = Field(default=None, min_length=1)
    instead: Check | None = None
    text: str = ""

    @model_validator(mode="after")
    def _some(self) -> LiftedWhen:
        if self.when is None and self.season_open is None:
            raise ValueError("an exception needs `when` or `season_open`")
        return self


class Rule(Part):
    """One rule.

    `limit` and `require` are broken when the check is not met, `forbid` when it is met (without a check: by
    whatever it applies to), `permit` is never broken and sets aside rules of its topic with a lower priority,
    `duty` is a deadline after an event.
    """

    id: Name
    kind: Literal["limit", "require", "forbid", "permit", "duty"]
    topic: str
    priority: Annotated[int, Field(ge=-100, le=100)] = 0
    applies: Applies = Applies()
    check: Check | None = None
    unless: list[LiftedWhen] = Field(default_factory=list, max_length=20)
    text: Text
    citation: Text
    source_seen_on: Day | None = None
    confidence: Confidence
    effective: Span = Span()

    @field_validator("topic")
    @classmethod
    def _known(cls, value: str) -> str:
        if value not in TOPICS and value not in OTHER_TOPICS:
            raise ValueError(f"no topic is called {value!r}; known: {', '.join((*TOPICS, *OTHER_TOPICS))}")
        return value

    @model_validator(mode="after")
    def _whole(self) -> Rule:
        if self.check is None and self.kind in ("limit", "require", "duty"):
            raise ValueError(f"a rule of the kind `{self.kind}` needs a check")
        if self.kind == "duty" and (self.check is None or self.check.deadline is None):
            raise ValueError("a duty is checked by a deadline")
        return self


class SetsAside(Part):
    """What a permit lifts: one rule of the law, or all rules of a topic, for the species and while `when` holds."""

    rule: Name | None = None
    topic: str | None = None
    species: list[Species] | None = Field(default=None, min_length=1)
    when: Check | None = None
    text: Text
    citation: Text

    @model_validator(mode="after")
    def _one(self) -> SetsAside:
        if (self.rule is None) == (self.topic is None):
            raise ValueError("a permit sets aside a `rule` or a `topic`, not both")
        if self.topic is not None and self.topic not in TOPICS and self.topic not in OTHER_TOPICS:
            raise ValueError(f"no topic is called {self.topic!r}; known: {', '.join((*TOPICS, *OTHER_TOPICS))}")
        return self


class Pack(Part):
    """A pack of rules: the law of a place, a permit, the terms of a landowner, or a profile of good practice."""

    schema_: Literal["setwright/law-pack/1"] = Field(alias="schema")
    kind: Literal["law", "permit", "landowner", "profile"] = "law"
    jurisdiction: Text
    place_code: Annotated[str, Field(pattern=r"^[A-Z]{2}(-[A-Z0-9]{1,3})?$")] | None = None
    authority: Text
    title: Text
    invented: bool = False
    language: Annotated[str, Field(pattern=r"^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$")] = "en"
    retrieved_on: Day | None = None
    effective: Span = Span()
    checked_by: str = ""
    checked_on: Day | None = None
    licence_of_file: Text
    topics: dict[str, Topic] = Field(default_factory=dict)
    definitions: Definitions = Definitions()
    zones: dict[Name, Zone] = Field(default_factory=dict, max_length=200)
    area: Name | None = None
    lists: dict[Name, DeviceList] = Field(default_factory=dict)
    sets_aside: list[SetsAside] = Field(default_factory=list, max_length=50)
    seasons: list[SeasonRow] = Field(default_factory=list, max_length=2000)
    rules: list[Rule] = Field(default_factory=list, max_length=2000)

    @model_validator(mode="after")
    def _whole(self) -> Pack:
        seen: set[str] = set()
        for rule in self.rules:
            if rule.id in seen:
                raise ValueError(f"two rules are called {rule.id!r}")
            seen.add(rule.id)
            for name in _lists_of(rule):
                if name not in self.lists:
                    raise ValueError(f"rule {rule.id!r} asks for a list {name!r} that the pack does not hold")
        self._check_topics()
        if self.area is not None and self.area not in self.zones:
            raise ValueError(f"the area {self.area!r} is none of the zones of the pack")
        if self.sets_aside and self.kind != "permit":
            raise ValueError("only a permit sets rules of the law aside: write kind: permit")
        return self

    def _check_topics(self) -> None:
        spoken = {rule.topic for rule in self.rules} | ({"seasons"} if self.seasons else set())
        for name, topic in self.topics.items():
            if name not in TOPICS and name not in OTHER_TOPICS:
                raise ValueError(f"no topic is called {name!r}; known: {', '.join((*TOPICS, *OTHER_TOPICS))}")
            if topic.state == "stated" and name not in spoken:
                raise ValueError(f"the topic {name!r} is `stated`, but no rule of the pack is on it")
            if topic.state == "none" and name in spoken:
                raise ValueError(f"the topic {name!r} is `none`, but the pack holds a rule on it")

    def state_of(self, topic: str) -> TopicWord:
        """Answer `stated`, `none` or `unknown`; a topic that is absent is `unknown`."""
        found = self.topics.get(topic)
        return "unknown" if found is None else found.state


def same_species(named: str, species: str, pack: Pack) -> bool:
    """True when a species of a pack is the one of the set.

    A name also covers its varieties, which add a word: `coyote` covers `coyote_east`. Other names stand in the
    pack's own `definitions.species`.
    """
    names = (named, *pack.definitions.species.get(named, ()))
    return any(species == name or species.startswith(f"{name}_") for name in names)


def checks_within(check: Check | None) -> Iterator[Check]:
    """A check and all checks inside it."""
    if check is None:
        return
    yield check
    for inner in (*(check.all_of or ()), *(check.any_of or ()), *((check.not_,) if check.not_ else ())):
        yield from checks_within(inner)


def must_all(check: Check) -> Iterator[Check]:
    """The checks that must hold for a check to hold: itself, or the parts of an `all_of`."""
    if check.all_of is None:
        yield check
    for inner in check.all_of or ():
        yield from must_all(inner)


def _lists_of(rule: Rule) -> Iterator[str]:
    wholes = [rule.check, rule.applies.when]
    wholes += [check for exception in rule.unless for check in (exception.when, exception.instead)]
    for whole in wholes:
        for check in checks_within(whole):
            if check.list_membership is not None:
                yield check.list_membership.list
