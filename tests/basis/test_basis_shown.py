"""Figures in US or metric units: the setting of a surface, never of the figures themselves."""

from __future__ import annotations

import math
import threading

import pytest

from setwright.basis import units
from setwright.basis.errors import BadInput
from setwright.desk.wording import show
from setwright.sheets import words


@pytest.mark.parametrize(
    ("kind", "value", "us", "metric"),
    [
        ("length", 0.1365, "5¼ in", "136 mm"),
        ("length", 0.00953, "⅜ in", "9.5 mm"),
        ("length", 4.2672, "14.0 ft", "4.27 m"),
        ("length", 0.99996, "3.3 ft", "1.00 m"),
        ("length", -0.05, "−2 in", "−50 mm"),
        ("distance", 67.0, "220 ft", "67 m"),
        ("distance", 1609.344, "1.0 mi", "1.6 km"),
        ("force", 15.57, "3.5 lbf", "15.6 N"),
        ("force", 1112.0, "250 lbf", "1112 N"),
        ("mass", 0.726, "1.6 lb", "0.73 kg"),
        ("mass", 19.05, "42 lb", "19 kg"),
        ("temperature", -3.0, "27 °F", "−3 °C"),
        ("temperature", -0.2, "32 °F", "0 °C"),
        ("speed", 4.4704, "10 mph", "16 km/h"),
        ("volume", 0.0075708, "2.0 gal", "7.6 L"),
        ("share", 0.25, "0.25", "0.25"),
    ],
)
def test_a_figure_in_both(kind: str, value: float, us: str, metric: str) -> None:
    assert show(value, kind) == us
    with units.shown_in("metric"):
        assert show(value, kind) == metric
        with units.shown_in("us"):
            assert show(value, kind) == us
    assert show(value, kind) == us


def test_words_of_the_sheets() -> None:
    assert (words.miles(1609.344), words.force(15.5688), words.depth(0.0508)) == ("1.00 mi", "3.5 lbf", "2 in")
    with units.shown_in("metric"):
        assert (words.miles(1609.344), words.force(15.5688), words.depth(0.0508)) == ("1.61 km", "15.57 N", "51 mm")
        assert units.feet(math.nan) == "–"


def test_another_thread_and_a_fault_keep_their_own() -> None:
    seen: list[bool] = []
    with units.shown_in("metric"):
        other = threading.Thread(target=lambda: seen.append(units.metric()))
        other.start()
        other.join()
    assert seen == [False]
    with pytest.raises(ZeroDivisionError), units.shown_in("metric"):
        raise ZeroDivisionError
    assert not units.metric()
    with pytest.raises(BadInput, match="no such system"), units.shown_in("furlongs"):
        pass
