"""What tonight makes of a line, as a document: the versioned shape of `setwright tonight --json`.

Numbers are SI (temperatures in °C); `say`, `cause`, `what` are already in the user's words and units. Triples are
median, 5 % point, 95 % point. A number that is unknown is null; times are ISO 8601 with offset.
"""

from __future__ import annotations

from typing import Literal

from pydantic import ConfigDict, Field

from setwright.desk.document import Answer, Caution, Figure, Provenance
from setwright.desk.hour_parts import FrostPart, LevelPart
from setwright.desk.shape import Shape

SCHEMA = "setwright/tonight/1"

Fires = Literal["fires", "doubtful", "will not fire", "cannot tell"]
Works = Literal["works", "too deep", "too shallow", "dry", "cannot tell"]
Submerges = Literal["submerges", "does not", "cannot tell"]


class EveningRecord(Shape):
    """A record that the answers stand on; `issued` is when a forecast was made or a gauge last read."""

    what: str
    label: str
    origin: str
    stand_in: bool
    issued: str | None = None
    age_hours: float | None = None
    stale: bool = False
    remarks: list[str] = Field(default_factory=list)


class IcePart(Shape):
    """Ice that may form over the pan: computed, never measured. Hours are from now; null: not within the wait."""

    first: float | None
    likely: float | None
    last: float | None
    least: float
    most: float
    guideline: str


class WorkPart(Shape):
    """What can be done this evening: minutes at the set and what it then is, computed anew.

    `must`: law or welfare ask for it; `saves`: the set stays and fishes.
    """

    what: str
    minutes: float
    then: str
    must: bool = False
    saves: bool = True


class CoverPart(Shape):
    """Cover of one bed, m³: of the kind that lies there, or of the one that would keep it in order."""

    kind: str
    name: str
    volume: float
    shown: str


class EveningSet(Shape):
    """One set tonight."""

    number: int
    site: str
    name: str
    medium: Literal["land", "water"]
    target: str
    trap: str
    cover: str
    fires: Fires
    works: Works | None = None
    submerges: Submerges | None = None
    holds_alive: bool
    law: Answer
    check_by: str | None
    seen: str
    say: str
    cause: str
    cause_under: str = ""
    mend: str = ""
    frost: FrostPart | None = None
    level: LevelPart | None = None
    figure: Figure | None = None
    ice: IcePart | None = None
    work: list[WorkPart] = Field(default_factory=list)
    needs: CoverPart | None = None
    provenance: list[Provenance] = Field(default_factory=list)


class NightLost(Shape):
    """One coming night in one cover: hours between sunset and sunrise out of order, by three forecasts."""

    date: str
    hours: int
    mild: int
    told: int
    hard: int


class CoverStrip(Shape):
    """One cover over the coming nights: hours lost by night, and the crust by hour, m."""

    kind: str
    name: str
    nights: list[NightLost]
    crust: list[float | None]
    crust_mild: list[float | None]
    crust_hard: list[float | None]


class Coming(Shape):
    """The coming nights in every cover of the line, over moist loam, by the rule of thumb on crusts."""

    depth: float
    times: list[str]
    air: list[float]
    ground: list[float]
    dark: list[bool]
    covers: list[CoverStrip]
    say: str


class WorkStop(Shape):
    """One task of the evening, in the order of the way."""

    number: int
    name: str
    what: str
    minutes: float
    done: str
    must: bool
    saves: bool


class EveningWork(Shape):
    """The least work that saves most sets before dark, and how that was found; `musts` were settled, `saved` kept."""

    minutes_left: float | None
    until: str | None
    minutes: float
    saved: int
    musts: int
    stops: list[WorkStop]
    left_out: list[str]
    how: str


class CoverTotal(Shape):
    """Cover to lay in for the line, of one kind, m³."""

    kind: str
    name: str
    sets: int
    volume: float
    litres: float
    gallons: float
    shown: str


class AdditiveSet(Shape):
    """Additive that brings the water of one bed below freezing tonight, kg."""

    number: int
    name: str
    share: float | None
    mass: float | None
    say: str


class Additive(Shape):
    """What an additive would take, with what it does besides."""

    key: str
    name: str
    harm: str
    sets: list[AdditiveSet]
    mass: float


class Light(Shape):
    """Sun of this evening and the next morning, rounded inward to full minutes."""

    sunset: str | None
    dusk: str | None
    dawn: str | None
    sunrise: str | None
    say: str


class Trapper(Shape):
    """What the wait does to a person: coldest air, wind chill and heat index [°C]; null where it is not known.

    `heat` is told only where it is high enough to warn of.
    """

    coldest: float | None
    chill: float | None
    heat: float | None = None
    say: str


class Tonight(Shape):
    """The whole answer."""

    schema_: str = Field(SCHEMA, alias="schema")
    program: str
    seed: int
    draws: int
    line: str
    place: str
    invented: bool
    now: str
    check: str
    say: str
    counts: dict[str, int]
    records: list[EveningRecord]
    light: Light
    trapper: Trapper
    sets: list[EveningSet]
    work: EveningWork
    covers: list[CoverTotal]
    additive: Additive | None = None
    coming: Coming | None = None
    cautions: list[Caution]
    notes: list[str]

    model_config = ConfigDict(extra="forbid", populate_by_name=True)
