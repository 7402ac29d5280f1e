"""Tables of the water room: pan depths, reaches, ice, weights; and the readers of level records."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from setwright.basis.tables import Field, Table, read_table, shipped
from setwright.water.gauges import read_stage_features, read_stage_json
from setwright.water.ice import Use
from setwright.water.records import read_stage_csv, read_stage_rdb

__all__ = [
    "anchors", "ice", "ice_use", "reaches", "read_stage_csv", "read_stage_features", "read_stage_json",
    "read_stage_rdb", "windows",
]  # fmt: skip

WINDOW_FIELDS: Mapping[str, Field] = {
    "depth_low": Field("m", 0.0, 0.5, needed=True),
    "depth_high": Field("m", 0.01, 0.6, needed=True),
    "off_centre": Field("m", 0.0, 0.4),
    "guide_gap": Field("m", 0.05, 1.0),
    "chest_low": Field("m", 0.02, 0.4),
    "chest_high": Field("m", 0.02, 0.4),
    "trade_depth": Field("m", 0.2, 3.0),
}

REACH_FIELDS: Mapping[str, Field] = {
    "reach": Field("m", 0.05, 1.5, needed=True),
    "nose_height": Field("m", 0.05, 1.5, needed=True),
}

ICE_FIELDS: Mapping[str, Field] = {
    "label": Field("text", needed=True),
    "growth": Field("m/(K*d)**0.5", 0.001, 0.05),
    "film": Field("W/(m**2*K)", 2.0, 60.0),
    "least": Field("m", 0.03, 1.0),
    "factor": Field("one", 1.0, 4.0),
    "warm_hours": Field("h", 1.0, 72.0),
    "strength": Field("Pa", 1e5, 1e6),
}

ANCHOR_FIELDS: Mapping[str, Field] = {
    "label": Field("text", needed=True),
    "density": Field("kg/m**3", 1050.0, 12000.0, needed=True),
    "factor": Field("one", 0.05, 0.95, needed=True),
    "friction": Field("one", 0.1, 1.0),
    "least_mass": Field("kg", 1.0, 200.0),
}


@cache
def windows() -> Table:
    """Pan depth by animal and foot (`beaver-fore`): `depth_low`, `depth_high`, `off_centre`, chest zone [m]."""
    return read_table("windows.csv", shipped("water", "windows.csv"), WINDOW_FIELDS)


@cache
def reaches() -> Table:
    """Held foot to nostrils `reach` and standing `nose_height` by animal and foot [m]; assumed."""
    return read_table("reaches.csv", shipped("water", "reaches.csv"), REACH_FIELDS)


@cache
def ice() -> Table:
    """Growth factors, guideline thicknesses and what doubles them."""
    return read_table("ice.csv", shipped("water", "ice.csv"), ICE_FIELDS)


@cache
def anchors() -> Table:
    """What deep weights are made of: `density`, `factor` in water; friction on beds."""
    return read_table("anchors.csv", shipped("water", "anchors.csv"), ANCHOR_FIELDS)


def ice_use(key: str) -> Use:
    """A use of the ice with its guideline thickness.

    Parameters
    ----------
    key : str
        Key of a guideline row of `ice`, such as `on-foot`.

    Raises
    ------
    BadInput
        When there is no such row or it has no thickness.

    """
    return Use(ice().text(key, "label"), ice().number(key, "least"))
