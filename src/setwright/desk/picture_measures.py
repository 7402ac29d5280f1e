"""Depths and distances that the teaching pictures show, each from its table; SI."""

from __future__ import annotations

import math
from collections.abc import Mapping

from setwright.animal import tables as animal_tables
from setwright.desk import tables
from setwright.desk.document import SumLine
from setwright.ground.bedding import CLEARANCE
from setwright.sets import tables as set_tables
from setwright.sets.bed import USUAL_COVER
from setwright.trap import tables as trap_tables
from setwright.water import tables as water_tables

WEIGHT = "concrete"
# Lines of a depth sum in their order, under the names that the picture of the sum asks for.
SUM = ("sum_depth", "sum_fall", "sum_chain", "sum_limb", "sum_clear", "sum_spare")


def measures(total: list[SumLine] | None = None) -> dict[str, float]:
    """Every measure by name [m, rad, kg]; the lines of a depth sum too when one is given.

    Parameters
    ----------
    total : list of SumLine, optional
        Depth sum of a set, as its figure has it.

    """
    trade = {name: quantity.number for name, quantity in tables.figures().items()}
    jaws, windows, types = trap_tables.jaws(), water_tables.windows(), set_tables.set_types()
    weights = water_tables.anchors()
    dry = weights.number(WEIGHT, "least_mass")
    found = {
        **{name: trade[name] for name in ("rod_length", "cross_lean", "plate_length", "plate_depth")},
        **{name: trade[name] for name in ("chain_rod", "chain_plate", "hole_distance", "hole_depth")},
        "offset_gap": jaws.number("offset", "offset_gap"),
        "lamination_width": jaws.number("laminated", "lamination_width"),
        "lamination_thickness": jaws.number("laminated", "lamination_thickness"),
        "pad_width": jaws.number("padded", "pad_width"),
        "pad_thickness": jaws.number("padded", "pad_thickness"),
        "weight_dry": dry,
        "weight_wet": dry * weights.number(WEIGHT, "factor"),
        "bed_clearance": CLEARANCE,
        "cover": USUAL_COVER,
        "bed_depth": trap_tables.patterns().number("coil-1.75", "set_height") + USUAL_COVER,
        "dirt_hole_patch": types.number("dirt-hole", "patch_area"),
        "flat_patch": types.number("flat", "patch_area"),
        "blind_lane": types.number("blind", "lane_width"),
        "coyote_step": animal_tables.species().number("coyote_west", "step"),
        "beaver_off_centre": windows.number("beaver-fore", "off_centre"),
        "beaver_guide_gap": windows.number("beaver-fore", "guide_gap"),
    }
    for animal in ("beaver", "muskrat", "mink"):
        for end in ("low", "high"):
            found[f"{animal}_depth_{end}"] = windows.number(f"{animal}-fore", f"depth_{end}")
    if total:
        found |= {name: abs(line.value) for name, line in zip(SUM[:-1], total, strict=False)}
        found["sum_spare"] = total[-1].value
    return {name: value for name, value in found.items() if math.isfinite(value)}


def known(found: Mapping[str, float], needs: tuple[str, ...]) -> bool:
    """Whether every measure that a picture asks for is there."""
    return all(name in found for name in needs)
