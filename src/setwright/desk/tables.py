"""Tables of the desk: figures of the trade for handouts and teaching pictures, and the lines that handouts print."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from setwright.basis.source import Quantity
from setwright.basis.tables import Field, Table, read_table, shipped

_FIGURES = {
    "chain_rod": Field("m", 0.1, 3.0, needed=True),
    "chain_plate": Field("m", 0.1, 3.0, needed=True),
    "rod_length": Field("m", 0.2, 2.0, needed=True),
    "cross_lean": Field("rad", 0.0, 1.2, needed=True),
    "plate_length": Field("m", 0.02, 0.3, needed=True),
    "plate_depth": Field("m", 0.2, 2.0, needed=True),
    "hole_distance": Field("m", 0.05, 1.0, needed=True),
    "hole_depth": Field("m", 0.05, 1.0, needed=True),
    "wax_low": Field("kg", 0.01, 5.0, needed=True),
    "wax_high": Field("kg", 0.01, 5.0, needed=True),
    "sets_per_gallon_low": Field("one", 0.2, 20.0, needed=True),
    "sets_per_gallon_high": Field("one", 0.2, 20.0, needed=True),
    "swivels": Field("one", 1.0, 6.0, needed=True),
    "students_per_helper": Field("one", 1.0, 20.0, needed=True),
    "pot_share": Field("one", 0.05, 1.0, needed=True),
    "trap_bulk": Field("one", 0.05, 3.0, needed=True),
    "boil": Field("s", 60.0, 1e5, needed=True),
    "dye": Field("s", 60.0, 1e5, needed=True),
    "wax_dip": Field("s", 10.0, 1e4, needed=True),
    "load_change": Field("s", 10.0, 1e4, needed=True),
    "dry_layer": Field("m", 0.005, 0.2, needed=True),
    "dry_days": Field("one", 0.5, 30.0, needed=True),
    "bucket": Field("m**3", 0.001, 0.1, needed=True),
    "anew_a_week": Field("one", 0.0, 7.0, needed=True),
    "ice_foot": Field("m", 0.05, 0.5, needed=True),
    "water_cold": Field("degC", 0.0, 25.0, needed=True),
}


@cache
def figures() -> Mapping[str, Quantity]:
    """Figures of the trade for handouts and pictures, by name."""
    return read_table("figures.csv", shipped("desk", "figures.csv"), _FIGURES).record("trade")


@cache
def lines() -> Table:
    """Lines of the handouts by key such as `release.3`: the sentence, and where it comes from."""
    return read_table("lines.csv", shipped("desk", "lines.csv"), {"say": Field("text", needed=True)})
