"""Tables of the chain: set types, sign, who works a set, figures and limits."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from setwright.basis.source import Quantity
from setwright.basis.tables import Field, Table, read_table, shipped

CLASSES = (
    "canid", "felid", "procyonid", "mustelid", "mephitid", "didelphid", "rodent", "lagomorph", "bird", "ungulate",
)  # fmt: skip


@cache
def set_types() -> Table:
    """Set types: form of the footfalls, lane or patch, who is drawn, misfires, minutes."""
    return read_table(
        "set_types.csv",
        shipped("sets", "set_types.csv"),
        {
            "label": Field("text", needed=True),
            "medium": Field("text", needed=True, words=("land", "water")),
            "foot": Field("text", needed=True, words=("fore", "hind")),
            "form": Field("text", needed=True, words=("lane", "patch")),
            "draws": Field("text", needed=True),
            "lane_width": Field("m", 0.05, 2.0),
            "placements": Field("one", 1, 40),
            "patch_area": Field("m**2", 0.01, 2.0),
            "tread": Field("text", needed=True, words=("worked", "trail", "water")),
            "gait": Field("one", 0.5, 3.0),
            "misfire": Field("one", 0.0, 1.0, needed=True),
            "minutes": Field("s", 60, 7200, needed=True),
        },
    )


@cache
def sign() -> Table:
    """Visits a night by level of sign."""
    return read_table(
        "sign.csv",
        shipped("sets", "sign.csv"),
        {"visits": Field("one", 0.0, 20.0, needed=True), "label": Field("text", needed=True)},
    )


@cache
def works() -> Table:
    """Share of visitors of a class that come right up to a set, by kind of attraction."""
    return read_table(
        "works.csv", shipped("sets", "works.csv"), {name: Field("one", 0.0, 1.0, needed=True) for name in CLASSES}
    )


_FIGURES = {
    "trip_scatter": Field("one", 0.01, 0.6, needed=True),
    "slack_pan": Field("N", 0.1, 50.0, needed=True),
    "kick": Field("one", 0.0, 1.0, needed=True),
    "stride": Field("m", 0.03, 5.0, needed=True),
    "seat_limit": Field("m", 0.001, 0.2, needed=True),
    "cyclic": Field("one", 0.1, 1.0, needed=True),
    "rate_fine": Field("one", 0.5, 3.0, needed=True),
    "lunges": Field("one", 1, 1000, needed=True),
    "lunge_sigma": Field("one", 0.05, 1.5, needed=True),
    "lunge_share": Field("one", 0.05, 1.0, needed=True),
    "foot_height": Field("m", 0.0, 1.0, needed=True),
    "anchor_model": Field("one", 0.1, 10.0, needed=True),
    "wood": Field("one", 0.1, 10.0, needed=True),
    "shock_rate": Field("N/m", 100.0, 1e6, needed=True),
    "shock_stroke": Field("m", 0.001, 1.0, needed=True),
    "kink_left": Field("one", 0.05, 1.0, needed=True),
    "entrained": Field("one", 0.0, 1.0, needed=True),
    "body_factor": Field("one", 0.2, 10.0, needed=True),
    "shock_factor": Field("one", 0.1, 1.0, needed=True),
    "grip_steel": Field("one", 0.01, 10.0, needed=True),
    "grip_padded": Field("one", 0.01, 10.0, needed=True),
    "grip_slope": Field("one", 0.05, 2.0, needed=True),
    "wring_out": Field("one", 0.0, 1.0, needed=True),
    "grip_time": Field("one", 0.05, 2.0, needed=True),
    "clear": Field("m", 0.0, 1.0, needed=True),
    "animal_density": Field("kg/m**3", 850.0, 1050.0, needed=True),
    "swim": Field("one", 0.0, 4.0, needed=True),
    "frost_strength": Field("one", 0.1, 10.0, needed=True),
    "frost_safety": Field("one", 1.0, 5.0, needed=True),
    "trap_weight": Field("one", 0.5, 2.0, needed=True),
}

_LIMITS = {
    name: Field("one", 0.0, 100.0, needed=True)
    for name in (
        "visit",
        "step",
        "fire",
        "order",
        "close",
        "hold",
        "anchor",
        "chest",
        "selective",
        "swivels",
        "submerge",
    )
}


@cache
def figures() -> Mapping[str, Quantity]:
    """Figures that the chain needs and no reading gives, by name."""
    return read_table("figures.csv", shipped("sets", "figures.csv"), _FIGURES).record("chain")


@cache
def limits() -> Mapping[str, Quantity]:
    """Limits that a link or a gate is held against, by name."""
    return read_table("limits.csv", shipped("sets", "limits.csv"), _LIMITS).record("limit")
