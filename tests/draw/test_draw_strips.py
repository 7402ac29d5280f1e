"""Strips of frost and level: well-formed, to scale, nothing drawn of what is not known."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from datetime import datetime, timedelta

import pytest

from setwright.desk.document import Figure
from setwright.desk.hour_parts import FrostPart, LevelPart
from setwright.desk.tonight_document import Coming, CoverStrip, NightLost
from setwright.draw.frost_strip import coming_strip, frost_strip
from setwright.draw.hours_axis import Hours, axis, runs
from setwright.draw.level_strip import level_strip
from setwright.draw.section import section

BEGUN = datetime.fromisoformat("2026-12-20T15:30-05:00")


def frost(hours=16, first=4, **changes):
    times = [(BEGUN + timedelta(hours=hour)).isoformat() for hour in range(hours)]
    crust = [0.0] * first + [0.006] * (hours - first)
    share = [1.0] * first + [0.1] * (hours - first)
    found = {
        "wait": hours, "lost": (hours - first, 1.0, hours), "visits_lost": (0.5, 0.1, 0.9), "told": hours - first,
        "mild": 1.0, "hard": hours, "first": times[first], "first_hard": times[0], "times": times, "in_order": share,
        "crust": crust, "crust_mild": [0.5 * value for value in crust],
        "crust_hard": [1.5 * value for value in crust],
    }  # fmt: skip
    return FrostPart(**{**found, **changes})


def level(**changes):
    found = {
        "begun": BEGUN.isoformat(), "pan_depth": 0.05,
        "works_share": (0.9, 0.8, 1.0), "too_deep": 0.1, "too_shallow": 0.0, "dry": 0.0,
        "submerges_share": 1.0, "works_band": (-0.025, 0.025), "submerges_band": (-0.2, 0.7),
        "change_low": [0.0, -0.01, -0.02], "change": [0.0, 0.0, 0.0], "change_high": [0.0, 0.02, 0.05],
        "advice": "Leave it.",
    }  # fmt: skip
    return LevelPart(**{**found, **changes})


@pytest.mark.parametrize("width", [340.0, 720.0])
def test_strips_are_well_formed_and_as_wide_as_asked(width):
    for drawing in (frost_strip(frost(), width, "<b>&"), level_strip(level(), width)):
        root = ET.fromstring(drawing)
        assert float(root.get("width")) == width and root.get("aria-label")
        assert "<b>" not in drawing


def test_the_bar_is_black_in_the_hours_out_of_order():
    drawing = frost_strip(frost(hours=16, first=4), 640.0)
    black = re.search(r'<path class="f-i" d="M([\d.]+) [\d.]+L([\d.]+)', drawing)
    assert float(black[1]) == pytest.approx(160.0) and float(black[2]) == pytest.approx(640.0)
    assert "12 of 16 hours out of order" in drawing
    none = frost_strip(frost(in_order=[1.0] * 16, told=0.0), 640.0)
    assert 'class="f-i" d="M' not in none


def test_what_cannot_be_told_is_said_in_place_of_a_strip():
    assert "cannot be told" in frost_strip(frost(in_order=[None] * 16), 640.0)
    empty = Coming(depth=0.01, times=[], air=[], ground=[], dark=[], covers=[], say="")
    assert "weather ends" in coming_strip(empty, 640.0)


def test_bands_without_ends_are_left_out_and_levels_keep_their_order():
    both = level_strip(level(), 640.0)
    assert "submerges" in both and "works" in both
    alone = level_strip(level(submerges_band=(None, None), submerges_share=None), 640.0)
    assert ">submerges<" not in alone and ">works<" in alone
    heights = [float(y) for y in re.findall(r'class="g thin s-w dot" d="M[\d.]+ ([\d.]+)', both)]
    lows = [
        float(y) for y in re.findall(r'class="g thin s-w dash" d="M[\d.]+ [\d.]+L[\d.]+ [\d.]+L[\d.]+ ([\d.]+)', both)
    ]
    assert heights and lows and lows[0] > heights[0], "a fall is drawn lower than the start of a rise"


def test_coming_nights_have_a_row_for_each_cover():
    night = NightLost(date="2026-12-20", hours=14, mild=0, told=5, hard=9)
    times = [(BEGUN + timedelta(hours=hour)).isoformat() for hour in range(30)]
    rows = [
        CoverStrip(
            kind=kind, name=kind, nights=[night], crust=[0.004] * 30, crust_mild=[0.0] * 30, crust_hard=[0.01] * 30
        )
        for kind in ("dry-dirt", "loam-wet")
    ]
    coming = Coming(
        depth=0.01,
        times=times,
        air=[0.0] * 30,
        ground=[-1.0] * 30,
        dark=[True] * 14 + [False] * 16,
        covers=rows,
        say="",
    )
    drawing = coming_strip(coming, 640.0)
    ET.fromstring(drawing)
    assert drawing.count("lost 5 of 14 h") == 2


def test_ticks_stand_at_full_clock_hours():
    hours = Hours(0.0, 480.0, tuple(BEGUN + timedelta(hours=hour) for hour in range(16)))
    drawn = "".join(axis(hours, 0.0, 100.0))
    assert ">16<" in drawn and ">15<" not in drawn
    first = re.search(r'd="M([\d.]+) 0L', drawn)
    assert float(first[1]) == pytest.approx(15.0), "half an hour on, at 30 px an hour"
    assert runs([True, False, True, True]) == [(0, 1), (2, 4)] and runs([]) == []


def test_a_cable_that_the_bed_holds_up_is_drawn_over_it_and_never_through_it():
    bed = [(0.0, 0.0), (1.0, -0.2), (2.0, -0.25), (2.2, -1.4), (3.5, -1.6)]
    cable = [(-0.3, 0.1), (2.0, -0.25), (3.0, -1.5)]
    figure = {
        "kind": "water", "bed": bed, "cable": cable, "levels": {"low": -0.1, "high": 0.1},
        "points": {"stake": cable[0], "anchor": cable[-1], "stop": (2.8, -1.25)}, "lengths": {"reach": 0.5},
    }  # fmt: skip
    drawing = section(Figure.model_validate(figure), 720.0)
    course = re.search(r'class="g inkw cable" d="M([^"]+)"', drawing)[1]
    assert course.count("L") == 2 and 'class="g hair s-l dash" d="M' in drawing
    straight = section(Figure.model_validate({**figure, "cable": [cable[0], cable[-1]]}), 720.0)
    assert 'class="g hair s-l dash" d="M' not in straight
