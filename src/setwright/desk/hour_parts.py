"""Frost and water over one set by the hour of its wait, as parts of a document; lengths in m."""

from __future__ import annotations

from pydantic import Field

from setwright.desk.shape import Shape, Triple

Band = tuple[float | None, float | None]


class FrostPart(Shape):
    """Frost over one set on land.

    `lost` are hours of the wait out of order, `visits_lost` the share of the target's visits in them; `told`, `mild`
    and `hard` hours lost by the forecast, 2 K milder and 2 K harder. `times` begin the hours of `in_order` (share of
    draws in order) and of the three crusts, m.
    """

    wait: float
    lost: Triple
    visits_lost: Triple
    told: float | None
    mild: float | None
    hard: float | None
    first: str | None
    first_hard: str | None
    times: list[str]
    in_order: list[float | None]
    crust: list[float | None]
    crust_mild: list[float | None]
    crust_hard: list[float | None]


class LevelPart(Shape):
    """Water over one set.

    Bands are levels less the level when set, m. `change` is the level by hour of the wait at its 5 %, 50 % and 95 %
    point; the shares are of the hours of the wait.
    """

    begun: str
    pan_depth: float | None
    works_share: Triple
    too_deep: float | None
    too_shallow: float | None
    dry: float | None
    submerges_share: float | None
    works_band: Band
    submerges_band: Band
    change_low: list[float]
    change: list[float]
    change_high: list[float]
    advice: str
    cures: list[str] = Field(default_factory=list)
