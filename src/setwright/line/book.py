"""The line book: one YAML file that describes a line, as pydantic models in SI."""

from __future__ import annotations

import datetime as dt
from datetime import time
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Any, Literal
from zoneinfo import ZoneInfo, available_timezones

from pydantic import BeforeValidator, Field, field_validator, model_validator
from ruamel.yaml.comments import CommentedMap

from setwright.basis.errors import BadInput
from setwright.basis.fields import (
    Angle,
    Force,
    Length,
    Mass,
    Number,
    Rate,
    Share,
    Speed,
    Temperature,
)
from setwright.basis.yamlfile import load, read_text, validate
from setwright.line.brief import expand as expand
from setwright.line.footing import AnchorEntry, BedUse, BoardUse, ChainEntry, Ground
from setwright.line.looked import LookedEntry
from setwright.line.part import Id, Part
from setwright.line.readings import GuardEntry, NotchEntry, ReadingEntry
from setwright.line.seen import AnimalEntry, PanNote, RigRecordEntry, SeenEntry
from setwright.line.ways_book import Bench, Boat, Ways

SCHEMA = "setwright/line-book/1"

Title = Annotated[str, Field(min_length=1, max_length=120)]
Medium = Literal["land", "water"]
Foot = Literal["fore", "hind"]
Jaws = Literal[
    "regular", "offset", "laminated", "laminated inside", "laminated outside", "offset laminated", "padded", "double"
]  # fmt: skip
Access = Literal["truck", "boat", "foot"]
SignLevel = Literal["none", "old", "some", "fresh", "heavy"]


class Position(Part):
    """Place on the map, WGS 84 degrees."""

    latitude: float = Field(ge=-90, le=90)
    longitude: float = Field(ge=-180, le=180)


class Speeds(Part):
    """How fast he gets on between sites."""

    truck: Speed | None = None
    boat: Speed | None = None
    foot: Speed | None = None


class Head(Part):
    """The line as a whole and the day planned for; `units` and `position_form` are those in which it is shown."""

    name: Title
    place: Title | None = None
    invented: bool = False
    timezone: str = "UTC"
    date: dt.date = Field(ge=dt.date(1900, 1, 1), le=dt.date(2199, 12, 31))
    base: Position | None = None
    set_at: time = time(15, 0)
    start: time | None = None
    be_back: time | None = None
    speeds: Speeds = Speeds()
    season_open: dt.date | None = None
    season_close: dt.date | None = None
    units: Literal["us", "metric"] = "us"
    position_form: Literal["degrees", "utm"] = "degrees"

    @field_validator("timezone")
    @classmethod
    def _zone(cls, value: str) -> str:
        if value not in available_timezones():
            raise ValueError("this time zone is not known; allowed: a name such as America/New_York")
        return value

    @field_validator("set_at", "start", "be_back", mode="before")
    @classmethod
    def _clock(cls, value: Any) -> Any:
        if isinstance(value, (int, float)):
            if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value < 1440:
                raise ValueError('a time of day is needed, such as "15:30"')
            return time(value // 60, value % 60)  # YAML 1.1 reads 15:30 as sixties
        return value

    @field_validator("set_at", "start", "be_back")
    @classmethod
    def _local(cls, value: time | None) -> time | None:
        if value is not None and value.tzinfo is not None:
            raise ValueError('a time of day of the line\'s own zone is needed, such as "15:30"')
        return value

    @model_validator(mode="after")
    def _season(self) -> Head:
        if self.season_open and self.season_close and self.season_close < self.season_open:
            raise ValueError("season_close lies before season_open")
        return self

    @property
    def zone(self) -> ZoneInfo:
        """Time zone of the line."""
        return ZoneInfo(self.timezone)


class Law(Part):
    """Law packs that bind and the facts on the person that they ask for."""

    packs: list[Annotated[str, Field(max_length=200)]] = Field(default_factory=list, max_length=12)
    profile: Annotated[str, Field(max_length=200)] | None = "best-practice"
    interval: Annotated[str, Field(pattern=r"^P(\d{1,2}D|T\d{1,3}H)$")] | None = None
    tag_name: bool | None = None
    licence: str | None = None
    facts: dict[str, Any] = Field(default_factory=dict, max_length=200)
    traps_out: int | None = Field(default=None, ge=0, le=5000)


class RecordFile(Part):
    """A weather or level record beside the book (or `shipped:demo/weather.csv`)."""

    file: Annotated[str, Field(min_length=1, max_length=200)]
    scale: Number | None = None


class FetchEntry(Part):
    """Addresses asked when `tonight --fetch` says so, and how their services reach whoever asks."""

    forecast: Annotated[str, Field(pattern=r"^https?://\S{1,500}$")] | None = None
    gauge: Annotated[str, Field(pattern=r"^https?://\S{1,500}$")] | None = None
    contact: Annotated[str, Field(pattern=r"^[ -~]{1,120}$")] | None = None


class Conditions(Part):
    """What the ground, the water and the sky do on the day."""

    weather: RecordFile | None = None
    level: RecordFile | None = None
    fetch: FetchEntry | None = None
    soil_temperature: Temperature | None = None
    water_temperature: Temperature | None = None
    snow: Length | None = None


class Measured(Part):
    """Bench readings of a trap; every one replaces the figure of its pattern."""

    spread: Length | None = None
    face_width: Length | None = None
    leg_thickness: Length | None = None
    offset_gap: Length | None = None
    lamination_width: Length | None = None
    lamination_thickness: Length | None = None
    wire_diameter: Length | None = None
    coil_diameter: Length | None = None
    coil_turns: Number | None = None
    coil_leg: Length | None = None
    lever_length: Length | None = None
    pivot_drop: Length | None = None
    lever_mass: Mass | None = None
    eye_half_opening: Length | None = None
    loop_clearance: Length | None = None
    bevel: Angle | None = None
    leaf_width: Length | None = None
    leaf_thickness: Length | None = None
    leaf_arm: Length | None = None
    leaf_bend: Length | None = None
    leaf_lift: Length | None = None
    pan_radius: Length | None = None
    mass: Mass | None = None
    bearing_area: Annotated[Any, BeforeValidator(lambda v: _area(v))] = None
    spring_health: Share | None = None
    spring_rate: Rate | None = None


def _area(found: Any) -> Any:
    from setwright.basis.fields import read_quantity

    return read_quantity(found, "m**2", 0.0, 1.0)


class TrapEntry(Measured):
    """One tagged trap of the outfit, or `count` alike ones."""

    id: Id
    pattern: Id
    count: int = Field(default=1, ge=1, le=500)
    springs: Literal[1, 2, 4] | None = None
    jaws: Jaws | None = None
    trip_force: Force | None = None
    dogless: bool = False
    base_swivel: bool | None = None
    swivel: Literal["base", "side", "end"] | None = None
    eye: Literal["round", "slot"] | None = None
    guard: GuardEntry | None = None
    notch: NotchEntry | None = None
    post_diameter: Length | None = None
    set_removed: bool | None = None
    readings: list[ReadingEntry] = Field(default_factory=list, max_length=100)
    looked: LookedEntry | None = None
    tag: str | None = None
    state: Literal["good", "doubtful", "repair"] = "good"
    toothed: bool | None = None
    note: str = ""


class SlideEntry(Part):
    """A slide cable with its one-way lock and stop."""

    id: Id
    length: Length
    cable: Id | None = None
    ends: Id | None = None
    kinked: bool = False
    count: int = Field(default=99, ge=1)
    note: str = ""


class Outfit(Part):
    """The traps and tackle that he owns."""

    traps: list[TrapEntry] = Field(default_factory=list, max_length=2000)
    chains: list[ChainEntry] = Field(default_factory=list, max_length=200)
    anchors: list[AnchorEntry] = Field(default_factory=list, max_length=200)
    slides: list[SlideEntry] = Field(default_factory=list, max_length=200)
    covers: list[Id] = Field(default_factory=list, max_length=20)
    boards: int = Field(default=0, ge=0, le=5000)
    boat: Boat | None = None
    bench: Bench = Bench()
    reserve: int = Field(default=0, ge=0, le=1000)


class Sounding(Part):
    """Depth of water at a distance out from the bank."""

    out: Length
    depth: Length


class Water(Part):
    """Water at the set: soundings from the bank outwards, pan depth, current and waves."""

    soundings: list[Sounding] = Field(default_factory=list, max_length=60)
    pan_depth: Length | None = None
    off_centre: Length | None = None
    current: Speed | None = None
    wave: Length | None = None
    level_scale: Number | None = None

    @field_validator("soundings")
    @classmethod
    def _ordered(cls, value: list[Sounding]) -> list[Sounding]:
        outs = [s.out.number for s in value]
        if any(b <= a for a, b in pairwise(outs)):
            raise ValueError("soundings must go outwards from the bank, each farther than the last")
        return value


class CoverAdditive(Part):
    """Salt or glycol mixed into a cover: `strength` is its share by mass of the solution in the cover as laid."""

    kind: Id
    strength: Share


class Cover(Part):
    """What lies over the trap."""

    kind: Id
    depth: Length | None = None
    additive: CoverAdditive | None = None


class Near(Part):
    """Something near by that the law or good sense asks about."""

    what: Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{1,39}$")]
    distance: Length


class SlideUse(Part):
    """How the slide cable lies at a site: bank stake and deep end from the bank, stop from the deep end."""

    slide: Id
    bank_anchor: Id | None = None
    deep_anchor: Id | None = None
    deep_out: Length
    stop_back: Length | None = None
    bank_height: Length | None = None


class RigUse(Part):
    """The rig that he means to set here; anything left out is chosen from the outfit.

    `gang`: other traps set beside it on the same tackle, each read and tuned as it is.
    """

    trap: Id | None = None
    gang: list[Id] = Field(default_factory=list, max_length=3)
    trip_force: Force | None = None
    chain: Id | None = None
    anchor: Id | None = None
    proof_pull: Force | None = None
    proof_angle: Angle | None = None
    proof_moved: bool = False
    driven: Length | None = None
    refused: Length | None = None
    lean: Angle | None = None
    slide: SlideUse | None = None
    board: bool | BoardUse = False
    bed: BedUse = BedUse()


class Bait(Part):
    """Attractant facts that rules ask about."""

    kind: Literal["none", "lure", "meat", "plant"] = "none"
    visible_from_above: bool | None = None


class SiteEntry(Part):
    """One site and the set that is to stand on it."""

    id: Id
    name: Title
    position: Position | None = None
    access: Access = "truck"
    landing: Id | None = None
    medium: Medium
    set_type: Id | None = None
    target: Id
    foot: Foot | None = None
    ground: Ground | None = None
    water: Water | None = None
    cover: Cover | None = None
    canopy: Literal["open", "trees"] | None = None
    near: list[Near] = Field(default_factory=list, max_length=40)
    sign: dict[Id, SignLevel] = Field(default_factory=dict)
    record: dict[Id, SeenEntry] = Field(default_factory=dict, max_length=60)
    tenure: Literal["private", "public", "own"] | None = None
    permission: bool | None = None
    bait: Bait | None = None
    rig: RigUse | None = None
    facts: dict[str, Any] = Field(default_factory=dict, max_length=200)
    check_minutes: Number | None = None
    note: str = ""

    @model_validator(mode="after")
    def _fits(self) -> SiteEntry:
        if self.medium == "land" and self.water is not None and self.water.soundings:
            raise ValueError("a set on land has no soundings; say medium: water, or take them out")
        for key, seen in self.record.items():
            if seen.visits > 0 and self.sign.get(key) == "none":
                raise ValueError(f"sign.{key} says none, and record.{key} has {seen.visits} visits: which is it?")
        return self


class LineBook(Part):
    """The whole book."""

    schema_: Literal["setwright/line-book/1"] = Field(alias="schema")
    line: Head
    law: Law = Law()
    ways: Ways = Ways()
    conditions: Conditions = Conditions()
    patterns: dict[Id, PatternEntry] = Field(default_factory=dict)
    outfit: Outfit
    animals: dict[Id, AnimalEntry] = Field(default_factory=dict)
    notes_on_pans: list[PanNote] = Field(default_factory=list, max_length=5000)
    rig_records: list[RigRecordEntry] = Field(default_factory=list, max_length=200)
    sites: list[SiteEntry] = Field(max_length=1000)

    @model_validator(mode="after")
    def _names(self) -> LineBook:
        for label, ids in (
            ("sites", [s.id for s in self.sites]),
            ("outfit.traps", [t.id for t in self.outfit.traps]),
            ("outfit.chains", [c.id for c in self.outfit.chains]),
            ("outfit.anchors", [a.id for a in self.outfit.anchors]),
            ("outfit.slides", [s.id for s in self.outfit.slides]),
        ):
            twice = sorted({i for i in ids if ids.count(i) > 1})
            if twice:
                raise ValueError(f"{label}: the id {twice[0]!r} stands twice")
        return self


class PatternEntry(Measured):
    """A kind of trap of his own, by measured dimensions on top of a table pattern."""

    like: Id
    label: Title | None = None


LineBook.model_rebuild()


def read_book(path: Path) -> tuple[LineBook, CommentedMap]:
    """Read a line book; returns the checked model and the raw map that keeps lines.

    Raises
    ------
    BadInput
        With file, line, field, found and allowed, for the first fault.
    """
    return book_of(read_text(path), file=path)


def book_of(text: str, *, file: object) -> tuple[LineBook, CommentedMap]:
    """Read a line book from its text, as `read_book` does from its file.

    Raises
    ------
    BadInput
        As `read_book`.
    """
    data = load(text, file=file)
    found = data.get("schema")
    if found != SCHEMA:
        raise BadInput(
            "this is not a line book of a known version", file=file, field="schema", found=found, allowed=SCHEMA
        )
    return validate(LineBook, data, file=file), data
