"""Outside checks of the water room; `published.csv` has the rows."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from outside import hold, rows
from setwright.basis.tables import shipped
from setwright.water import anchor, ice, stage, tables, tails
from setwright.water.cable import cable_run
from setwright.water.freeze_in import freezes_in, ice_course
from setwright.water.ledges import hang_ups, lock_stands
from setwright.water.profile import Profile
from setwright.water.submersion import Slide, breathing_ground, depth_sum, lock_point

RECORDS = Path(__file__).parent / "records"
INCH = 0.0254
POUND = 0.45359237
PSI = 6894.757293168


def spare_inches(depth: float, fall: float, chain: float, limb: float, clear: float) -> float:
    """Sum over a level bed, stop at the anchor itself, all in inches."""
    pool = Profile.from_depths([0.0, 5.0], [depth * INCH, depth * INCH])
    slide = Slide(-1.0, 0.3, 3.0, 0.0, chain * INCH)
    total = depth_sum(pool, slide, reach=limb * INCH, margin=clear * INCH, fall=fall * INCH)
    return float(total.spare) / INCH


def slope() -> tuple[Profile, Slide]:
    """Bed that falls 0.4 m in a metre and a cable that lies along it."""
    return Profile.from_depths([4.0], [1.6]), Slide(-1.0, 0.4, 3.0, float(np.hypot(0.5, 0.2)), 0.25)


def slope_part(part: str) -> float:
    bed, slide = slope()
    if part == "spare":
        return float(depth_sum(bed, slide, reach=0.30, margin=0.10, fall=0.12, wave=0.10).spare)
    if part == "ground":
        return float(breathing_ground(bed, slide, 0.55, 0.45, -0.12).shortfall[0])
    return float(getattr(lock_point(bed, slide), part))


def weight_newtons(pounds: float, material: str) -> float:
    return float(anchor.submerged_weight(pounds * POUND, tables.anchors().number(material, "density")))


def weight_pounds(pounds: float, material: str) -> float:
    return weight_newtons(pounds, material) / (POUND * anchor.GRAVITY)


def drag(area: float, cd: float, speed: float) -> float:
    return float(anchor.drag_force(area, cd, speed))


def carcass(speed: float) -> float:
    return float(anchor.carcass_drag(speed))


def growth_inches(key: str, end: str) -> float:
    """Growth factor in inches per root of °F days."""
    factor = tables.ice().get(key, "growth")
    chosen = {"low": factor.low, "high": factor.high, "value": factor.number}[end]
    return float(ice.stefan_ice(5.0 / 9.0, chosen)) / INCH


def young_ice_mm(fdd: float, film: float) -> float:
    return 1000.0 * float(ice.thin_ice(fdd, film))


def bound_cm() -> float:
    return 100.0 * float(ice.stefan_ice(1.0, tables.ice().number("conduction-bound", "growth")))


def load_kilograms(inches: float, psi: float, white: float) -> float:
    return float(ice.bearing_load(inches * INCH, white, psi * PSI)) / anchor.GRAVITY


def load_at_table_factor(centimetres: float) -> float:
    strength = tables.ice().number("gold-factor", "strength")
    return float(ice.bearing_load(centimetres / 100.0, 0.0, strength)) / anchor.GRAVITY


def least_inches(use: str, white: float, warm: float) -> float:
    """Thinnest ice at which the guideline is met, found by halving."""
    low, high = 0.0, 2.0
    while high - low > 1e-6:
        middle = 0.5 * (low + high)
        met = ice.guideline(middle, white, tables.ice_use(use), warm_hours=warm).standing is ice.Standing.MET
        low, high = (low, middle) if met else (middle, high)
    return high / INCH


def level(what: str, hours: int, over: float | None = None, quantile: float | None = None) -> float:
    """A figure of the rises or falls of the shipped record."""
    record = stage.hourly(tables.read_stage_csv(shipped("demo", "stage.csv")))
    rise, fall = stage.rise_fall(record, hours)
    found = rise if what == "rise" else fall
    if over is not None:
        return float(tails.exceedance(found, over))
    if quantile is not None:
        return tails.quantile_with_band(found, quantile).value
    return float(np.isfinite(found).sum())


def feature_level(number: int) -> float:
    """A level of the packed sample of the newer public form [m]."""
    return float(tables.read_stage_features((RECORDS / "continuous_features.json").read_text("utf-8")).level[number])


def instantaneous_level(site: str, number: int) -> float:
    """A level of the packed sample of the older public form [m]."""
    text = (RECORDS / "instantaneous_values.json").read_text("utf-8")
    return float(tables.read_stage_json(text, site=site).level[number])


def shelf_part(part: str) -> float:
    """A shelf through which a straight cable would cut."""
    bed = Profile.from_depths([0.5, 1.0, 1.2, 3.0], [0.05, 0.10, 1.2, 1.4])
    slide = Slide(-0.3, 0.15, 2.6, 0.2, 0.25)
    if part == "clearance":
        return cable_run(bed, slide).clearance
    if part == "bend_degrees":
        return float(np.degrees(hang_ups(bed, slide)[0].bend))
    return float(lock_stands(bed, slide, reach=0.3, nose_height=0.45, fall=0.05, wave=0.1)[0].sum.spare) / INCH


def freeze_in_hour(air: float, pan: float, growth: float) -> float:
    course = ice_course(np.full(48, air), depth=0.1, water_temperature=0.0, growth_low=growth, growth_high=growth)
    return float(freezes_in(course, pan).first)


def cooling_hours(air: float, depth: float, water: float) -> float:
    """Hours until the water is at 0 °C, from the degree-days that a day leaves."""
    course = ice_course(np.full(24, air), depth=depth, water_temperature=water, growth_low=0.017, growth_high=0.024)
    return 24.0 - float(course.fdd[-1]) * 24.0 / -air


CHECKS = {
    "feature_level": feature_level,
    "instantaneous_level": instantaneous_level,
    "shelf_part": shelf_part,
    "freeze_in_hour": freeze_in_hour,
    "cooling_hours": cooling_hours,
    "spare_inches": spare_inches,
    "slope_part": slope_part,
    "weight_newtons": weight_newtons,
    "weight_pounds": weight_pounds,
    "drag": drag,
    "carcass": carcass,
    "growth_inches": growth_inches,
    "young_ice_mm": young_ice_mm,
    "bound_cm": bound_cm,
    "load_kilograms": load_kilograms,
    "load_at_table_factor": load_at_table_factor,
    "least_inches": least_inches,
    "level": level,
}


@pytest.mark.parametrize("row", rows("water", "published"))
def test_water_published(row: dict[str, str]) -> None:
    hold(row, CHECKS)
