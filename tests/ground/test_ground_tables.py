"""Tables of the ground: every row readable, in order with its neighbours, usable by the models."""

from __future__ import annotations

import numpy as np
import pytest

from setwright.ground import tables
from setwright.ground.anchor import Anchor, capacity
from setwright.ground.soil import Layer

SOILS = ("loose-sand", "firm-sand", "loam", "stiff-clay", "soft-clay", "mud", "muck", "gravel", "frozen")


def layer(key: str) -> Layer:
    table = tables.soils()
    record = table.record(key)
    phi, cu, delta = (
        table.number(key, name) if name in record else float("nan") for name in ("phi", "cu", "delta_steel")
    )
    return Layer(key, table.text(key, "model"), float("inf"), phi, cu, table.number(key, "unit_weight"), delta)


@pytest.mark.parametrize("key", SOILS)
def test_a_soil_has_what_its_model_needs(key: str) -> None:
    table = tables.soils()
    record = table.record(key)
    needed = {"undrained": {"cu"}, "drained": {"phi", "delta_steel"}, "adfreeze": {"adfreeze"}}
    assert needed[table.text(key, "model")] <= set(record)
    if "unit_weight_submerged" in record:
        assert table.number(key, "unit_weight_submerged") < table.number(key, "unit_weight")
    held = capacity(Anchor("stake"), [layer(key)], angle=0.26)
    assert bool(np.isfinite(held.force)) == (key != "frozen")


def test_soils_stand_in_the_order_of_the_hand_test() -> None:
    table = tables.soils()
    cu = [table.number(key, "cu") for key in ("muck", "mud", "soft-clay", "loam", "stiff-clay")]
    phi = [table.number(key, "phi") for key in ("loose-sand", "firm-sand", "gravel")]
    assert cu == sorted(cu)
    assert phi == sorted(phi)


def test_terrains_of_which_some_cannot_be_inverted() -> None:
    table = tables.terrains()
    keys = table.keys()
    n = {key: table.number(key, "n") for key in keys}
    refused = {key for key, value in n.items() if value <= 0.2}
    assert refused >= {"heavy-clay-25", "heavy-clay-40", "lean-clay-32-wes", "sandy-loam-22-lll"}
    assert "snow-us" not in refused


def test_anchor_stock_is_of_one_piece() -> None:
    table = tables.stakes()
    keys = table.keys()
    for key in keys:
        record = table.record(key)
        if table.text(key, "kind") == "plate":
            assert table.number(key, "plate_width") < table.number(key, "plate_length"), key
            continue
        assert {"width", "perimeter", "yield_moment"} <= set(record), key
        assert table.number(key, "perimeter") >= 2.0 * table.number(key, "width"), (
            f"{key}: outline under twice the width"
        )
    rods = [table.number(f"rod-{inches}", "mass") for inches in (18, 24, 30)]
    wire = 7850.0 * np.pi * 0.0127**2 / 4.0 * 0.0254
    assert rods == pytest.approx([wire * inches for inches in (18, 24, 30)], rel=0.02)


def test_harder_ground_digs_slower() -> None:
    table = tables.digging()
    rates = [table.number(key, "rate") for key in ("loose", "firm", "clay", "gravel", "boulders")]
    assert rates == sorted(rates, reverse=True)
    assert table.number("frozen", "factor") > table.number("small-pit", "factor") > 1.0
