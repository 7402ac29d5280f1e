"""Stakes against an independent library of digitised manuals; `authorities/ground` has the questions and answers."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from setwright.ground import stake
from setwright.ground.soil import Layer

PLACE = Path(__file__).resolve().parents[2] / "authorities" / "ground" / "geotechnics.csv"


def told(text: str) -> dict[str, float]:
    return {name: float(value) for name, value in (part.split("=") for part in text.split())}


def asked(what: str) -> list[tuple[dict[str, float], dict[str, float]]]:
    with PLACE.open(encoding="utf-8") as lines:
        return [(told(row["asked"]), told(row["answered"])) for row in csv.DictReader(lines) if row["what"] == what]


def test_a_stake_in_clay_of_the_length_that_it_says_carries_the_load_that_was_asked() -> None:
    rows = asked("clay")
    assert len(rows) == 96
    for given, found in rows:
        force, _ = stake.lateral_undrained(given["cu"], given["width"], found["length"], given["height"])
        assert float(force) == pytest.approx(given["load"], rel=1e-6), given


def test_a_stake_in_sand_carries_the_load_and_is_bent_as_it_says() -> None:
    rows = asked("sand")
    assert len(rows) == 54
    for given, found in rows:
        force, moment = stake.lateral_drained(
            math.radians(given["degrees"]), given["unit_weight"], given["width"], found["length"], given["height"]
        )
        assert float(force) == pytest.approx(given["load"], rel=1e-6), given
        assert float(moment) == pytest.approx(found["moment"], rel=1e-6), given


def test_friction_of_a_shaft_in_sand_is_that_of_the_beta_method() -> None:
    for given, found in asked("beta"):
        # A thin slice under so much soil that its stress is the one asked for.
        weight = 18e3
        deep = given["stress"] / weight
        sand = Layer("sand", "drained", math.inf, np.nan, np.nan, weight, math.radians(given["degrees"]))
        step = 1e-4
        drawn = [
            float(stake.axial([sand], perimeter=1.0, length=length, top_loose=0.0, earth_pressure=given["pressure"]))
            for length in (deep - step, deep + step)
        ]
        assert (drawn[1] - drawn[0]) / (2.0 * step) == pytest.approx(found["friction"], rel=1e-5)
