"""Frost and water by the hour of a wait, from what was computed to parts of a document."""

from __future__ import annotations

from datetime import datetime, tzinfo

import numpy as np

from setwright.basis.spread import band
from setwright.desk.hour_parts import Band, FrostPart, LevelPart
from setwright.desk.shape import Triple
from setwright.desk.wording import render, sentence
from setwright.sets.context import Context, Floats
from setwright.sets.evening_frost import HARD, MILD, TOLD, FrostEvening
from setwright.sets.evening_water import WaterEvening


def number(value: float) -> float | None:
    """A figure for a document: unknown and endless are null."""
    return None if np.isnan(value) or np.isinf(value) else round(float(value), 4)


def _triple(values: Floats) -> Triple:
    middle, low, high = band(values)
    return number(middle), number(low), number(high)


def _stamp(moment: datetime | None, zone: tzinfo) -> str | None:
    return None if moment is None else moment.astimezone(zone).isoformat(timespec="minutes")


def frost_part(found: FrostEvening, zone: tzinfo) -> FrostPart:
    """Frost over one set as its part of a document."""
    known = not bool(np.isnan(found.in_order).any())
    rows = [[number(float(value)) for value in row] for row in (found.in_order, *found.crust)]
    return FrostPart(
        wait=round(float(found.widths.sum()), 2),
        lost=_triple(found.lost),
        visits_lost=_triple(found.visits_lost),
        told=round(found.hours_out(TOLD), 2) if known else None,
        mild=round(found.hours_out(MILD), 2) if known else None,
        hard=round(found.hours_out(HARD), 2) if known else None,
        first=_stamp(found.first(), zone),
        first_hard=_stamp(found.first(HARD), zone),
        times=[start.astimezone(zone).isoformat(timespec="minutes") for start in found.starts],
        in_order=rows[0],
        crust_mild=rows[1 + MILD],
        crust=rows[1 + TOLD],
        crust_hard=rows[1 + HARD],
    )


def level_part(context: Context, water: WaterEvening) -> LevelPart:
    """Water over one set as its part of a document."""
    shares = water.shares
    depth = context.site.water.pan_depth if context.site.water is not None else None

    def mean(values: Floats | None) -> float | None:
        return None if values is None else number(float(np.mean(values)))

    return LevelPart(
        begun=context.check.made.isoformat(timespec="minutes"),
        pan_depth=None if depth is None or depth.value is None else depth.value,
        works_share=(None, None, None) if shares is None else _triple(water.works),
        too_deep=mean(None if shares is None else shares.too_deep),
        too_shallow=mean(None if shares is None else shares.too_shallow),
        dry=mean(None if shares is None else shares.dry),
        submerges_share=mean(None if shares is None or water.under is None else shares.submerges),
        works_band=_ends(water.band_works),
        submerges_band=_ends(water.band_under),
        change_low=[round(float(value), 4) for value in water.change[0]],
        change=[round(float(value), 4) for value in water.change[1]],
        change_high=[round(float(value), 4) for value in water.change[2]],
        advice=sentence(render(water.advice.say)),
        cures=[sentence(render(cure.say)) for cure in water.cures],
    )


def _ends(ends: tuple[float, float] | None) -> Band:
    return (None, None) if ends is None else (number(ends[0]), number(ends[1]))
