"""The season book as a document: everything that terminal, page and sheet show."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field


class Doc(BaseModel):
    """Base of all parts: nothing unknown, nothing changed afterwards."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class Figure(Doc):
    """A count, what it is a part of, the estimate and its 95 % interval; None where it cannot be told."""

    hits: int
    out_of: float
    estimate: float | None
    low: float | None
    high: float | None


class Injuries(Doc):
    """Held animals with moderate trauma or less, with worse, and with nothing written down."""

    good: int
    bad: int
    missing: int


class Row(Doc):
    """Season of one group; rates are per 100 trap-nights."""

    group: str
    waits: int
    sets: int
    nights: float
    corrected_nights: float
    armed_nights: float | None
    catch: Figure
    catch_by_hazard: float | None
    catch_by_sets: tuple[float, float] | None
    catch_widened: tuple[float, float] | None
    scatter: float | None
    nontarget: Figure
    domestic: Figure
    domestic_limit: float | None
    efficiency_strict: Figure
    efficiency_wide: Figure
    selectivity: Figure
    injuries: Injuries


class GroupTable(Doc):
    """Rows of one way of grouping."""

    by: str
    title: str
    rows: list[Row]


class Criterion(Doc):
    """One rig held against one criterion."""

    rig: str
    asks: str
    good: int
    bad: int
    missing: int
    word: str
    say: str
    source: str


class Pair(Doc):
    """Two rigs compared three ways, with the interval of the difference."""

    target: str
    first: str
    second: str
    what: str
    first_said: str
    second_said: str
    second_above: float
    low: float
    high: float
    by_sets: tuple[float, float] | None
    exact: float
    unconditional: float
    shown: bool
    nights_needed: float | None
    say: str


class ShrunkRow(Doc):
    """One rig beside what it borrows from all."""

    rig: str
    raw: float | None
    mean: float
    low: float
    high: float


class Shrunk(Doc):
    """Rigs side by side; bands are 90 %."""

    what: str
    rows: list[ShrunkRow]
    differ: bool
    say: str


class Rule(Doc):
    """A rule that was declared before looking."""

    rig: str
    asks: str
    how: str
    declared: str
    good: int
    bad: int
    missing: int
    word: str
    ended: bool
    halt: bool
    say: str


class Span(Doc):
    """Catch and effort of a span."""

    begins: str
    catches: int
    nights: float
    rate: float | None
    low: float | None
    high: float | None


class Thinning(Doc):
    """How many there were, from catches that thin out."""

    target: str
    catches: list[int]
    nights: list[float]
    seen: bool
    number: float | None
    low: float | None
    high: float | None
    share_per_hundred: float | None
    caught: int
    say: str


class HarvestRow(Doc):
    """Animals of one species as reports ask for them."""

    species: str
    name: str
    count: int
    target: int
    female: int
    male: int
    young: int
    adult: int
    first: str
    last: str
    fates: dict[str, int]
    tags: list[str]


class HeldAnimal(Doc):
    """One held animal with what reports ask for; empty where nobody wrote it down."""

    id: str
    when: str
    species: str
    name: str
    target: bool
    sex: str
    age: str
    alive: str
    part: str
    injuries: str
    fate: str
    tag: str
    set: str
    site: str
    medium: str
    set_type: str
    trap: str
    rig: str
    found_by: str


class TrapReadings(Doc):
    """Readings of the pan of one trap: days since the first, firings since the first, force [N]."""

    trap: str
    days: list[float]
    firings: list[int]
    force: list[float]


class Learned(Doc):
    """One quantity before and after the log: median and 90 % band."""

    what: str
    about: str
    unit: str
    before: tuple[float, float, float]
    after: tuple[float, float, float]
    rests_on: str
    used: bool


class Money(Doc):
    """Margin of this season, and of another like it."""

    currency: str
    gross_animals: dict[str, int]
    costs: float
    cost_rows: list[tuple[str, float]]
    this: tuple[float, float, float]
    this_loss: float
    another: tuple[float, float, float]
    another_loss: float
    break_even: float | None
    say: str


class ColonyRange(Doc):
    """Beavers of counted colonies."""

    colonies: int
    taken: int
    low: float
    high: float
    share_low: float
    share_high: float
    say: str


class Job(Doc):
    """A damage job: price and the odds of clearing by each night."""

    animals: tuple[int, int]
    sets: int
    nights: list[int]
    odds_few: list[float]
    odds_many: list[float]
    quoted_nights: int
    visits: int
    price: float
    currency: str
    say: str


class SeasonBook(Doc):
    """The whole season book."""

    schema_: Literal["setwright/season/1"] = Field(alias="schema", default="setwright/season/1")
    program: str
    line: str
    place: str
    invented: bool
    simulated: bool
    begins: str
    ends: str
    made: str
    events: int
    digest: str
    say: list[str]
    whole: Row | None
    tables: list[GroupTable]
    criteria: list[Criterion]
    shrunk: list[Shrunk]
    pairs: list[Pair]
    rules: list[Rule]
    weeks: list[Span]
    thinning: list[Thinning]
    harvest: list[HarvestRow]
    animals: list[HeldAnimal]
    injury_bars: list[tuple[str, dict[str, int]]]
    pans: list[TrapReadings]
    learned: list[Learned]
    money: Money | None
    colonies: ColonyRange | None
    job: Job | None
    trial: list[tuple[str, str]]
    notes: list[str]
