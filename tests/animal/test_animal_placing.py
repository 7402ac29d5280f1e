"""Which foot, if a foot; pan and jaws against it; how an animal stands in water."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.animal import tables
from setwright.animal.jawfit import FIT_WORDS, Fit, fit_state, jaw_fit, pad_catch
from setwright.animal.placing import (
    LEVEL_WORDS,
    DepthBands,
    Level,
    PanSize,
    Part,
    chest_chance,
    pan_against_foot,
    pan_level,
    part_at_depth,
)
from setwright.animal.step import contact_area, foot_radius
from setwright.animal.wade import Footing, leg_length, stand

BEAVER = DepthBands(fore_low=0.025, fore_high=0.075, chest_low=0.10, chest_high=0.18, hind_low=0.20, hind_high=0.35)
MUSKRAT = DepthBands(fore_low=0.025, fore_high=0.05)
INCH = 0.0254


@pytest.mark.parametrize(
    ("depth", "part"),
    [
        (-0.02, Part.BARE), (0.0, Part.BARE), (0.01, Part.BETWEEN), (0.025, Part.FORE), (0.05, Part.FORE),
        (0.09, Part.BETWEEN), (0.15, Part.CHEST), (0.19, Part.BETWEEN), (0.28, Part.HIND), (0.60, Part.OVER),
        (0.075, Part.FORE), (0.076, Part.BETWEEN), (0.10, Part.CHEST), (0.18, Part.CHEST), (0.20, Part.HIND),
        (0.35, Part.HIND), (0.351, Part.OVER), (np.nan, Part.UNKNOWN),
    ],
)  # fmt: skip
def test_depth_picks_the_part(depth: float, part: Part) -> None:
    assert part_at_depth(depth, BEAVER) == part


def test_off_centre_the_chest_passes_by() -> None:
    assert part_at_depth(0.15, BEAVER, [0.0, 0.03, 0.0875, -0.0875]).tolist() == [
        Part.CHEST, Part.CHEST, Part.BETWEEN, Part.BETWEEN,
    ]  # fmt: skip
    assert part_at_depth(0.05, BEAVER, 0.2) == Part.FORE


def test_bands_that_nobody_knows() -> None:
    assert part_at_depth([0.05, 0.2], DepthBands()).tolist() == [Part.UNKNOWN] * 2
    assert part_at_depth([0.03, 0.10], MUSKRAT).tolist() == [Part.FORE, Part.OVER]


def test_chest_fires_at_six_inches_on_the_centre() -> None:
    depth = np.linspace(0.01, 0.5, 400)
    assert depth[np.argmax(chest_chance(depth))] == pytest.approx(6 * INCH, abs=0.005)
    assert chest_chance(0.05) < 0.01 and chest_chance(0.28) < 0.01, "neither at a front-foot nor at a hind-foot set"
    assert chest_chance(6 * INCH) > 0.7 and chest_chance(6 * INCH, 0.0875) < 0.35 * chest_chance(6 * INCH)
    assert chest_chance([0.0, -0.1]).tolist() == [0.0, 0.0] and np.isnan(chest_chance(np.nan))


@given(st.floats(0.001, 0.6), st.floats(0, 0.5), st.floats(0, 0.3))
def test_farther_off_centre_never_meets_more_chest(depth: float, near: float, more: float) -> None:
    assert 0 <= chest_chance(depth, near + more) <= chest_chance(depth, near) <= 0.8
    assert chest_chance(depth, -near) == chest_chance(depth, near), "left or right"


@given(st.floats(0.01, 0.05), st.floats(0.02, 0.13), st.floats(0.02, 0.17))
def test_pan_against_foot_by_areas(pan: float, width: float, length: float) -> None:
    found = pan_against_foot(pan, width, length)
    pad = 0.4 * float(foot_radius(width, length))
    assert found.ratio == pytest.approx(pan / pad)
    touch, press = contact_area(pan, foot_radius(width, length)), contact_area(pan, pad)
    assert found.edge_only == pytest.approx(1 - press / touch) and 0 < found.edge_only < 1
    assert found.state == (PanSize.SMALL if pan < pad else PanSize.FITS)
    assert pan_against_foot(1.2 * pan, width, length).edge_only < found.edge_only, (
        "a larger pan is touched less by edges"
    )


def test_pan_sizes_in_use() -> None:
    coyote, beaver = tables.record("coyote_west"), tables.record("beaver")
    assert pan_against_foot(0.028, coyote.fore_width.number, coyote.fore_length.number).state == PanSize.FITS
    assert pan_against_foot(0.025, beaver.hind_width.number, beaver.hind_length.number).state == PanSize.SMALL
    assert pan_against_foot([0.0, np.nan], 0.05, 0.06).state.tolist() == [PanSize.UNKNOWN] * 2


def test_pan_level_words() -> None:
    found = pan_level([0.0, 0.002, 0.01, -0.01, np.nan])
    assert found.tolist() == [Level.LEVEL, Level.LEVEL, Level.HIGH, Level.LOW, Level.UNKNOWN]
    assert set(LEVEL_WORDS) == set(Level) and set(FIT_WORDS) == set(Fit)


def test_fit_in_words_is_the_band() -> None:
    spread = np.array([0.10, 0.13, 0.16, np.nan, -0.1])
    found = fit_state(spread, 0.12, 0.15)
    assert found.tolist() == [Fit.SMALL, Fit.FITS, Fit.WIDE, Fit.UNKNOWN, Fit.UNKNOWN]
    band = jaw_fit(spread[:3], 0.12, 0.15)
    assert (found[:3] == Fit.SMALL).tolist() == band.small.tolist()
    assert (found[:3] == Fit.WIDE).tolist() == band.large.tolist()


def test_fit_by_the_foot_where_no_band_is_known() -> None:
    assert fit_state([0.05, 0.13, 0.35], np.nan, np.nan, 0.055, 0.065).tolist() == [Fit.SMALL, Fit.FITS, Fit.WIDE]
    assert fit_state(0.13, np.nan, np.nan) == Fit.UNKNOWN
    table = tables.species()
    kept = 0
    for key in table:
        animal = tables.record(key)
        if animal.jaw_low.known:
            middle = 0.5 * (animal.jaw_low.number + animal.jaw_high.number)
            foot = (animal.fore_width.number, animal.fore_length.number)
            kept += fit_state(middle, np.nan, np.nan, *foot) == Fit.FITS
    assert kept == 17, "the rule by the foot agrees with the middle of every band in the table"


def test_a_jaw_far_too_small_loses_the_pad() -> None:
    coyote = tables.record("coyote_west")
    foot = (coyote.fore_width.number, coyote.fore_length.number)
    small = 0.06
    assert fit_state(small, coyote.jaw_low.number, coyote.jaw_high.number) == Fit.SMALL
    assert pad_catch(small, 0.028, *foot) < 0.5 < pad_catch(coyote.jaw_low.number, 0.028, *foot)


def test_how_an_animal_stands_in_water() -> None:
    found = stand([-0.1, 0.05, 0.5, np.nan], 0.12)
    assert found.state.tolist() == [Footing.DRY, Footing.WADES, Footing.AFLOAT, Footing.UNKNOWN]
    assert found.carried[0] == 1.0 and 0.85 < found.carried[1] < 1.0 and np.isnan(found.carried[2:]).all()
    assert stand(0.05, 0.0).state == Footing.UNKNOWN
    beaver = tables.record("beaver")
    leg = leg_length(beaver.mass.number, beaver.class_)
    assert stand([0.05, 0.28], leg).state.tolist() == [Footing.WADES, Footing.AFLOAT]
