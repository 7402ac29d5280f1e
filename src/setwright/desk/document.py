"""The plan as a document: the versioned shape of `plan.json`, which every surface shows.

Numbers are SI (temperatures in °C); `shown` and `why` are already in the user's words and units.
Triples are median, 5 % point, 95 % point. A number that is unknown is null.
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import ConfigDict, Field

from setwright.desk.document_footing import Footing
from setwright.desk.hour_parts import FrostPart, LevelPart
from setwright.desk.shape import Shape as Shape
from setwright.desk.shape import Triple as Triple

SCHEMA = "setwright/plan/1"

Standing = Literal["sound", "thin", "fails", "cannot tell"]
Answer = Literal["meets", "breaks", "cannot tell"]
Medium = Literal["land", "water"]
Family = Literal["coil", "long"]
Positions = Literal["exact", "1 km", "5 km", "10 km", "left out"]
LINKS = ("visit", "step", "fire", "close", "hold", "check")


class Provenance(Shape):
    """Where one input of a figure came from."""

    what: str
    kind: Literal["measured", "table", "common practice", "assumed", "computed"]
    source: str


class Check(Shape):
    """One check inside a link (for instance `hold`: anchor, weakest tackle, grip, depth sum)."""

    name: str
    standing: Standing
    shown: str
    value: float | None = None
    limit: float | None = None
    margin: float | None = None
    unit: str = "one"
    why: str
    mend: str = ""
    provenance: list[Provenance] = Field(default_factory=list)


class Link(Shape):
    """One link of the chain for the target animal."""

    link: Literal["visit", "step", "fire", "close", "hold", "check"]
    question: str
    standing: Standing
    value: float | None
    band: tuple[float | None, float | None]
    unit: str
    shown: str
    shown_band: str
    limit: float | None = None
    margin: float | None = None
    governs: str
    why: str
    mend: str = ""
    checks: list[Check] = Field(default_factory=list)
    provenance: list[Provenance] = Field(default_factory=list)


class Outcome(Shape):
    """What one kind of animal (or `misfire`, `nothing`) does to this set over one check interval."""

    species: str
    name: str
    roles: list[str]
    first: Triple
    held: Triple
    lost: Triple


class CurveSeries(Shape):
    """One species over the trip forces of a `TripCurve`: chance to fire, or what 100 nights bring."""

    species: str
    name: str
    roles: list[str]
    median: list[float]
    low: list[float]
    high: list[float]


class TripCost(Shape):
    """What one trip force, N, brings in 100 nights: target held, firings by all others that are drawn."""

    force: float
    catch: Triple
    nuisance: Triple


class NoFigure(Shape):
    """An animal that no figure from its weight is given for, and why."""

    species: str
    name: str
    reason: str


class TripCurve(Shape):
    """P(fire | a foot is on the pan), and what 100 nights bring, against pan trip force, N.

    `series` are the chances; `catch` is the target held in 100 nights, `others` the firings by each other animal.
    Both are empty when the target has no figure from its weight. `ends` are the costs at the two ends of `advised`,
    `own` those of the set as it stands; `words` are the plain sentences that go with the curve,
    `not_kept_out` the animals that no trip force parts from the target.
    """

    force: list[float]
    series: list[CurveSeries]
    yours: Triple
    catch: CurveSeries | None = None
    others: list[CurveSeries] = Field(default_factory=list)
    advised: tuple[float, float] | None = None
    ends: list[TripCost] = Field(default_factory=list)
    own: TripCost | None = None
    rule: str = ""
    say: str = ""
    words: list[str] = Field(default_factory=list)
    not_kept_out: list[str] = Field(default_factory=list)
    no_figure: list[NoFigure] = Field(default_factory=list)


class RankedRig(Shape):
    """A rig from the owned outfit at this site."""

    rank: int | None
    traps: list[str]
    label: str
    detail: str
    held: Triple
    standing: Standing
    weakest: str
    law: Answer
    welfare: Answer
    why: str
    behind: float | None = None
    chosen: bool = False


class LawFinding(Shape):
    """One rule's answer for this set."""

    rule: str
    pack: str
    answer: Answer
    reason: str
    citation: str
    cure: str = ""
    question: str = ""


class WelfareFinding(Shape):
    """One welfare gate's answer for this set."""

    gate: str
    answer: Answer
    reason: str
    source: str
    cure: str = ""
    criterion: str = ""


class BearingFact(Shape):
    """A fact that bears on a held animal: which way, how large as far as published, and by whom; never summed."""

    about: str
    bearing: Literal["favourable", "unfavourable", "not known"]
    why: str
    size: str
    source: str
    mend: str = ""
    question: str = ""


class RigRecord(Shape):
    """What is recorded of the trap design, in one word and one sentence."""

    word: Literal["no record", "too few", "supports", "against", "meets", "breaks"]
    say: str
    source: str


class Advice(Shape):
    """A change (or a pair) that was tried, with the gain it brings on the same draws."""

    change: str
    effort: str
    before: Triple
    after: Triple
    gain: Triple
    standing_before: Standing
    standing_after: Standing
    mends: list[str] = Field(default_factory=list)
    why: str = ""


class Caution(Shape):
    """A caution that must be read with the set."""

    head: str
    text: str


class SumLine(Shape):
    """One line of the depth sum, m."""

    label: str
    value: float


class Figure(Shape):
    """Geometry for the section drawing, m; z up from the ground line or set water level, x away from bank.

    `kind` "water": `bed` is [[x, z], ...], `cable` the course of the tight cable over it; `levels` has `high`, `low`
    (z); `points` may hold `stake`, `stake_tip`, `trap`, `stop`, `anchor`, `anchor_tip`, `lock`; `lengths` may hold
    `reach`, `chain`, `pan_depth`, `required_clear`, `spare`.
    `kind` "land": `lengths` may hold `bed_length`, `bed_depth`, `cover`, `stake_length`, `stake_angle`,
    `hole_distance`, `hole_depth`, `crust`, `chain`; `points` is empty. `words` hold names for labels:
    `trap`, `anchor`, `cover`, `ground`, `ground_below`, `set_type`.
    """

    kind: Literal["water", "land"]
    bed: list[tuple[float, float]] = Field(default_factory=list)
    cable: list[tuple[float, float]] = Field(default_factory=list)
    levels: dict[str, float] = Field(default_factory=dict)
    points: dict[str, tuple[float, float]] = Field(default_factory=dict)
    lengths: dict[str, float] = Field(default_factory=dict)
    layers: list[dict[str, Any]] = Field(default_factory=list)
    words: dict[str, str] = Field(default_factory=dict)
    sum: list[SumLine] = Field(default_factory=list)


class Site(Shape):
    """The place of a set; its position is null where left out, the middle of a square where blurred."""

    id: str
    number: int
    name: str
    latitude: float | None
    longitude: float | None
    medium: Medium
    set_type: str
    target: str
    target_name: str
    ground: str
    cover: str
    access: str = ""
    near: list[str] = Field(default_factory=list)
    sign: list[str] = Field(default_factory=list)


class Rig(Shape):
    """The rig as planned for the site."""

    trap: str
    pattern: str
    label: str
    family: Family
    jaws: str
    springs: str
    spread: float
    offset_gap: float
    trip_force: Triple
    chain: str
    chain_length: float
    swivels: int | None = None
    anchor: str
    submersion: str | None = None
    cover: str
    facts: list[tuple[str, str]] = Field(default_factory=list)
    stated: bool = False


class GangPlan(Shape):
    """Several traps at one site, in one wait: chances and expected numbers."""

    traps: list[str]
    any_held: Triple
    alone: Triple
    held: Triple
    several: Triple
    others: Triple
    say: str
    note: str


class SetPlan(Shape):
    """One set: the rig at its site, all links, the outcome, the gates and the advice.

    `hours_held` are the hours that the target is held before the visit, median and 95 % point; `release` the steps
    of letting a dog go, where one may come.
    """

    site: Site
    rig: Rig
    standing: Standing
    law_answer: Answer
    welfare_answer: Answer
    restraining: bool
    say: str
    must: str
    links: list[Link]
    outcome: list[Outcome]
    trip_curve: TripCurve | None = None
    hours_held: tuple[float, float] | None = None
    gang: GangPlan | None = None
    rigs: list[RankedRig] = Field(default_factory=list)
    law: list[LawFinding] = Field(default_factory=list)
    welfare: list[WelfareFinding] = Field(default_factory=list)
    bearing: list[BearingFact] = Field(default_factory=list)
    record: RigRecord | None = None
    advice: list[Advice] = Field(default_factory=list)
    cautions: list[Caution] = Field(default_factory=list)
    release: list[str] = Field(default_factory=list)
    steps: list[str] = Field(default_factory=list)
    figure: Figure
    frost: FrostPart | None = None
    level: LevelPart | None = None
    footing: Footing | None = None
    questions: list[str] = Field(default_factory=list)


class SetWhatIf(Shape):
    """A set before and after changes; differences in 100 waits, draw by draw."""

    changes: list[str]
    before: SetPlan
    after: SetPlan
    held: Triple
    others: Triple
    say: str


class Stop(Shape):
    """One stop of the check run; times are ISO 8601 with offset, the way is null where positions are not exact."""

    order: int
    site: str
    number: int
    name: str
    arrive: str
    leave: str
    limit: str | None
    left_hours: float | None
    distance: float | None
    bearing_deg: float | None
    mode: str
    restraining: bool
    why: str
    late: bool = False


class Run(Shape):
    """A sensible first order of the checks."""

    start: str
    finish: str
    light: dict[str, str | None]
    total_distance: float | None
    stops: list[Stop]
    say: str
    warnings: list[str] = Field(default_factory=list)


class KitItem(Shape):
    """One line of the pick list."""

    compartment: str
    item: str
    count: float
    unit: str
    mass: float | None
    sites: str
    note: str = ""


class Load(Shape):
    """Weights of the set-out, kg, and what the boat takes; `say` tells it in words."""

    out: float
    back: float
    unknown: list[str]
    capacity: float | None = None
    boat_empty: float | None = None
    boat_filled: float | None = None
    trips_empty: int | None = None
    trips_filled: int | None = None
    most_beavers: int | None = None
    say: list[str]


class Question(Shape):
    """Something unknown that decides an answer."""

    site: str | None
    text: str
    why: str


class Record(Shape):
    """A record that the plan stands on."""

    what: str
    label: str
    origin: str
    licence: str
    stand_in: bool
    say: str


class Line(Shape):
    """The line and the night it was planned for.

    `positions`: `exact`, `left out`, or the side of the squares whose middles stand for the sites; without exact
    ones, or where the book has none, the base is null.
    """

    name: str
    place: str
    invented: bool
    date: str
    timezone: str
    base: tuple[float, float] | None
    positions: Positions = "exact"
    season: str
    check: str
    weather: str
    law_pack: str
    law_checked: str
    records: list[Record] = Field(default_factory=list)


class Plan(Shape):
    """Everything that the pages, cards and tables show."""

    schema_: str = Field(SCHEMA, alias="schema")
    program: str
    made: str
    seed: int
    draws: int
    line: Line
    say: str
    counts: dict[str, int]
    sets: list[SetPlan]
    run: Run
    kit: list[KitItem]
    questions: list[Question]
    outfit: list[str] = Field(default_factory=list)
    load: Load | None = None
    cautions: list[Caution]
    lesson: list[Caution] = Field(default_factory=list)
    notes: list[str]

    model_config = ConfigDict(extra="forbid", populate_by_name=True)
