"""What the chain is computed from: a site, a rig, the night; frozen records in SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta, tzinfo

import numpy as np
from numpy.typing import NDArray

from setwright.basis.source import Quantity, Source
from setwright.law.facts import Fact
from setwright.trap.guard import Guard
from setwright.trap.model import Dimensions
from setwright.trap.readings import Reading

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Soil:
    """One layer of the ground: table key, thickness [m] (inf below), strength stated or None, state of moisture.

    `key` is empty where nobody can tell which soil it is; `settles` then names the hand test that tells most.
    """

    key: str
    thickness: float
    strength: Quantity | None = None
    moisture: str = "moist"
    settles: str = ""


@dataclass(frozen=True)
class Treated:
    """What is mixed into a cover against frost: table key, and share by mass of the solution in it as laid [-]."""

    key: str
    strength: Quantity


@dataclass(frozen=True)
class WaterAtSite:
    """Soundings (out, depth) [m] from the bank outwards, pan depth, wave height, level scale.

    `off_centre` is how far the pan lies off the line on which the animal comes in.
    """

    out: tuple[float, ...] = ()
    depth: tuple[float, ...] = ()
    pan_depth: Quantity | None = None
    off_centre: Quantity | None = None
    wave: float = 0.0
    current: float = 0.0
    level_scale: float = 1.0
    level_scale_stated: bool = False


@dataclass(frozen=True)
class SiteFacts:
    """A site as the chain needs it; `sign` maps species to a sign level, absent means not stated."""

    key: str
    number: int
    name: str
    medium: str
    set_type: str
    set_type_stated: bool
    target: str
    foot: str
    latitude: float | None = None
    longitude: float | None = None
    access: str = "truck"
    soils: tuple[Soil, ...] = ()
    frozen_depth: float = 0.0
    snags: Quantity | None = None
    water: WaterAtSite | None = None
    cover: str | None = None
    cover_depth: Quantity | None = None
    treated: Treated | None = None
    canopy: str = "open"
    near: Mapping[str, float] = field(default_factory=dict)
    sign: Mapping[str, str] = field(default_factory=dict)
    tenure: str | None = None
    permission: bool | None = None
    bait: str | None = None
    bait_visible: bool | None = None
    lane_width: float | None = None
    minutes: float | None = None
    law_facts: Mapping[str, Fact] = field(default_factory=dict)


@dataclass(frozen=True)
class TrapKnowledge:
    """What is known of one trap before anything is changed on it.

    `key` names its pattern in the table; `base` is the trap as it was read (jaws, springs, all that is exact);
    `stated` holds figures that the book states, by field of `Dimensions`; `readings` what was read on the bench.
    """

    key: str
    base: Dimensions
    stated: tuple[tuple[str, Quantity], ...] = ()
    readings: tuple[Reading, ...] = ()


@dataclass(frozen=True)
class TrapRig:
    """A trap with its tuning; `dimensions` are the readings, those in `measured` his own.

    `jaws` and `toothed` are None when not stated: the mechanics then take regular jaws, and law and welfare ask.
    """

    trap_id: str
    pattern: str
    label: str
    family: str
    dimensions: Dimensions
    knowledge: TrapKnowledge
    spread: Quantity
    jaws: str | None
    springs: int
    trip_force: Quantity
    pan_radius: Quantity
    mass: Quantity
    bearing_area: Quantity
    bed_length: float
    bed_width: float
    bed_depth: float
    set_height: float
    base_swivel: bool | None = None
    tag: str | None = None
    toothed: bool | None = None
    dogless: bool = False
    nominal: str = ""
    state: str = "good"
    measured: tuple[str, ...] = ()
    guard: Guard | None = None

    @property
    def jaws_said(self) -> str:
        """Kind of jaws in words."""
        return self.jaws or "jaws not stated"

    def has_jaws(self, kind: str) -> bool | None:
        """Whether the jaws are of a kind (`offset`, `padded`, ...); None when their kind is not stated."""
        return None if self.jaws is None else kind in self.jaws


@dataclass(frozen=True)
class Shock:
    """A shock spring in the chain: rate [N/m], stroke until it is solid [m], preload [N]."""

    rate: Quantity
    stroke: Quantity
    preload: float = 0.0


@dataclass(frozen=True)
class Chain:
    """A chain assembly: length [m], parts by table key, swivels in it (None: not stated).

    `worn` is the share of a new wire's diameter left where it was gauged; `rusted` are seasons, (place, years), for
    what was not gauged, and `zinc` its coat [m]. `tested` are the forces [N] at which samples of a part failed on the
    bench, `proved` what parts held without a mark.
    """

    key: str
    length: Quantity
    parts: tuple[str, ...] = ()
    swivels: int | None = None
    shock_spring: Shock | bool = False
    worn: float | None = None
    rusted: tuple[tuple[str, float], ...] = ()
    zinc: float = 0.0
    tested: tuple[tuple[str, tuple[float, ...]], ...] = ()
    proved: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class AnchorRig:
    """An anchor of the outfit: kind, stock key for its dimensions, proof pull [N] when it was done.

    `driven` is the depth reached where it is known, `refused` the depth at which the ground let it no deeper [m];
    `lean` the head from the vertical, above zero away from the animal [rad]. A proof that `moved` the anchor is
    where it began to give. `dead` wood holds nothing.
    """

    key: str
    kind: str
    label: str
    length: float | None = None
    width: float | None = None
    perimeter: float | None = None
    yield_moment: float | None = None
    plate_width: float | None = None
    plate_length: float | None = None
    diameter: float | None = None
    mass: float | None = None
    material: str | None = None
    proof: Quantity | None = None
    source: Source | None = None
    proof_angle: Quantity | None = None
    moved: bool = False
    driven: float | None = None
    refused: float | None = None
    lean: float | None = None
    pull_height: float | None = None
    dead: bool = False
    prongs: float = 0.0


@dataclass(frozen=True)
class Board:
    """Board or mesh under the trap: its sides [m] and the share that is not open [-]."""

    length: float = 0.25
    width: float = 0.25
    solid: float = 1.0
    stated: bool = False


@dataclass(frozen=True)
class Bedding:
    """How the trap lies: springs turned out of the hinge line [rad], places that bear (along, across, height) [m].

    `pan_rise` is how far the set pan stands above the plane of the jaws [m], below zero where it hangs, None when
    nobody looked. `steady` is the four-point test by hand, None when nobody made it; `base` whether the floor of the
    bed is dry or wet, empty when not stated.
    """

    springs_bent: float = 0.0
    same_side: bool = False
    stones: tuple[tuple[float, float, float], ...] = ()
    steady: bool | None = None
    base: str = ""
    pan_rise: float | None = None


@dataclass(frozen=True)
class SlideRig:
    """A slide cable at a site: deep end `deep_out` [m] from the bank, stop `stop_back` [m] before it.

    `bank_height` is the bank end's height over the level [m].
    """

    key: str
    length: float
    deep_out: float
    stop_back: float
    cable: str | None = None
    ends: str | None = None
    bank_height: float = 0.15
    bank_anchor: AnchorRig | None = None
    deep_anchor: AnchorRig | None = None
    kinked: bool = False


@dataclass(frozen=True)
class Rig:
    """All that is set at a site; `gang` are traps beside it on the same tackle, which share its visitors."""

    trap: TrapRig
    chain: Chain | None
    anchor: AnchorRig | None
    slide: SlideRig | None = None
    cover: str | None = None
    cover_depth: Quantity | None = None
    board: Board | bool = False
    stated: bool = False
    bedding: Bedding = Bedding()
    gang: tuple[TrapRig, ...] = ()
    treated: Treated | None = None

    @property
    def trap_ids(self) -> tuple[str, ...]:
        """The trap and those beside it."""
        return (self.trap.trap_id, *(trap.trap_id for trap in self.gang))

    @property
    def singles(self) -> tuple[Rig, ...]:
        """One rig for each trap, the first one first."""
        alone = replace(self, gang=())
        return (alone, *(replace(alone, trap=trap) for trap in self.gang))


@dataclass(frozen=True)
class Level:
    """Hourly water level record, m, with its words; `counts` marks the hours at which a wait like this one begins.

    None counts every hour.
    """

    hourly: Floats
    label: str
    source: Source
    counts: NDArray[np.bool_] | None = None


@dataclass(frozen=True)
class Night:
    """Weather over the check interval, hourly from the setting: sky-corrected air and its parts.

    `humidity` is a share by hour [-], shape (h,), NaN where no dew point is told.
    """

    start: datetime
    hours: int
    air: Floats
    equivalent: Floats
    surface: Floats
    rain: Floats
    before: Floats
    before_surface: Floats
    before_rain: Floats
    dark: NDArray[np.bool_]
    label: str
    source: Source
    assumed_sky: bool
    zone: tzinfo = UTC
    humidity: Floats | None = None

    def hour(self, index: int) -> datetime:
        """Beginning of an hour of the night, in the line's own time."""
        return (self.start + timedelta(hours=index)).astimezone(self.zone)


@dataclass(frozen=True)
class CheckPlan:
    """When the set is made and seen: times are aware; `interval` as written (P1D, PT48H)."""

    made: datetime
    visit: datetime
    interval: str
    interval_source: Source
    limit: datetime | None = None
    daylight_end: datetime | None = None

    @property
    def hours(self) -> float:
        """Hours from making the set to the planned visit."""
        return (self.visit - self.made).total_seconds() / 3600.0

    @property
    def nights(self) -> float:
        """Nights between making the set and the visit; part of a day counts by its hours."""
        whole = (self.visit.date() - self.made.date()).days
        return float(whole) if whole > 0 else self.hours / 24.0


@dataclass(frozen=True)
class Conditions:
    """What the line's sets share on the day."""

    on: date
    night: Night | None
    level: Level | None
    soil_temperature: Quantity | None
    water_temperature: Quantity | None
    snow: Quantity | None
    sunrise: datetime | None = None
    sunset: datetime | None = None
