"""What `run` shows, as a document: the days of checks, what binds each set, the ways, and what the line can bear.

Times are ISO 8601 with offset, durations s, positions degrees. The independent checker reads the same document.
"""

from __future__ import annotations

from pydantic import Field

from setwright.desk.document import Caution, Shape

SCHEMA = "setwright/run/1"


class RunInterval(Shape):
    """A check interval that binds a set, where it stands, and the hour at which its days begin."""

    every: str
    citation: str
    day_start: str | None = None


class RunHours(Shape):
    """Hours of the day that are open or closed to a visit: clock times, or the sun with hours added."""

    open: bool
    start: str = Field(alias="from")
    end: str = Field(alias="to")
    citation: str


class RunSet(Shape):
    """A set as the run sees it."""

    site: str
    number: int
    name: str
    latitude: float | None
    longitude: float | None
    access: str
    holds_alive: bool
    seen: str
    service: float
    spread: float
    caught: float
    sprung: float
    intervals: list[RunInterval]
    hours: list[RunHours]
    trap: str = ""
    anchor: str = ""
    letting_go: str = ""
    standing: str = ""


class RunStep(Shape):
    """A part of the way to a stop."""

    start: str = Field(alias="from")
    end: str = Field(alias="to")
    mode: str
    seconds: float
    assumed: bool


class RunStopDoc(Shape):
    """One stop: begin, leaving, last lawful moment, time left then, and the latest start that keeps it lawful."""

    order: int
    site: str
    number: int
    name: str
    begin: str
    leave: str
    limit: str | None
    left: float | None
    wait: float
    latest_start: str | None
    late_chance: float
    why: str
    way: list[RunStep]


class RunDayDoc(Shape):
    """One day: who goes, when, the stops in order, what was missed, and the chance to be back late."""

    date: str
    who: str | None
    earliest: str
    start: str
    back: str
    end: str
    light: dict[str, str | None]
    stops: list[RunStopDoc]
    home: list[RunStep]
    missed: list[str]
    latest_start: str | None
    late_chance: float
    proved: bool
    say: str


class RunGround(Shape):
    """Water or a track behind the map: positions as longitude and latitude."""

    kind: str
    closed: bool
    positions: list[tuple[float, float]]


class RunTurned(Shape):
    """A set that comes too late when the next day goes the other way round."""

    site: str
    number: int
    gap: float
    over: float


class RunFault(Shape):
    """What the independent checker found."""

    kind: str
    site: str
    day: str
    text: str
    by: float


class RunChecked(Shape):
    """Report of the independent checker."""

    visits: int
    gaps: int
    ways: int
    faults: list[RunFault]
    say: str


class RunBears(Shape):
    """What the line can bear: the most sets seen on one day, which ones to pull, and a staged set-out."""

    sets: int
    most: int
    pull: list[str]
    set_out: list[int]
    say: str


class RunDocument(Shape):
    """The whole plan of checks."""

    schema_: str = Field(SCHEMA, alias="schema")
    program: str
    line: str
    invented: bool
    zone: str
    place: tuple[float, float] | None
    law: str
    base: tuple[float, float] | None
    sets: list[RunSet]
    ground: list[RunGround]
    spots: dict[str, tuple[float, float] | None]
    ways: dict[str, dict[str, float]]
    assumed_ways: int
    days: list[RunDayDoc]
    until: str
    parts: list[list[int]]
    bears: RunBears
    turned: list[RunTurned]
    turned_say: str
    conflict: list[str]
    checked: RunChecked | None
    say: str
    warnings: list[str]
    notes: list[str]
    cautions: list[Caution]
