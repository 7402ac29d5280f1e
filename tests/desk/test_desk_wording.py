from __future__ import annotations

import math
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.say import KINDS, Say
from setwright.desk.wording import band_words, hours, plain, render, sentence, share, show

SAMPLES = {
    "clock": datetime(2026, 12, 9, 7, 40, tzinfo=UTC),
    "word": "otter",
    "say": Say("{n:count} sets", n=3),
}


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_field_is_put_into_words(kind):
    text = render(Say("it is {x:" + kind + "} here", x=SAMPLES.get(kind, 0.25)))
    assert text.startswith("it is ") and "{" not in text and "None" not in text and "nan" not in text


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in SAMPLES])
def test_what_is_no_number_is_a_dash_and_no_bound_is_said(kind):
    assert show(math.nan, kind) == "–"
    assert show(math.inf, kind) == "no limit"


@pytest.mark.parametrize(
    ("value", "kind", "text"),
    [
        (20.0, "temperature", "68 °F"),
        (1.0, "time", "0 min"),
        (62400.0, "time", "17 h 20"),
        (0.0123, "short_time", "12 ms"),
        (9000.0, "pressure", "9 kPa"),
        (math.pi / 2, "angle", "90°"),
        (20.0, "speed", "45 mph"),
        (2.5, "torque", "2.5 N m"),
        (SAMPLES["clock"], "clock", "Wed 9 Dec 07:40"),
    ],
)
def test_values_in_field_units(value, kind, text):
    assert show(value, kind) == text


@pytest.mark.parametrize(("word", "article"), [("otter", "an"), ("opossum", "an"), ("beaver", "a"), ("eagle", "an")])
def test_the_article_fits_the_word(word, article):
    assert render(Say("a {w:word} comes", w=word)) == f"{article} {word} comes"
    assert render(Say("A {w:word} comes", w=word)) == f"{article.capitalize()} {word} comes"


def test_nothing_to_say_is_an_empty_string_and_sentences_end_once():
    assert render(None) == "" and sentence("  ") == ""
    assert sentence("measure it") == "Measure it." and sentence("is it so?") == "Is it so?"
    assert sentence(sentence("stop here")) == "Stop here."


@given(st.floats(0.0, 1.0))
def test_a_probability_between_is_never_shown_as_certain(value):
    text = share(value)
    if 0.0 < value < 0.005:
        assert text == "<0.01"
    elif 0.995 < value < 1.0:
        assert text == ">0.99"
    else:
        assert float(text) == pytest.approx(value, abs=0.005 + 1e-9)


@given(st.floats(-1e4, 1e4))
def test_plain_numbers_carry_a_true_minus(value):
    text = plain(value)
    assert "-" not in text
    assert text.startswith("<") or text.startswith(">") or abs(float(text.replace("−", "-")) - value) <= 0.5


@given(st.floats(-500.0, 500.0))
def test_hours_have_no_sixty_minutes(value):
    text = hours(value)
    assert " 60" not in text and (text.startswith("−") is (value < 0) or round(value * 60) == 0)


def test_a_band_without_ends_is_not_written():
    assert band_words((0.5, None, None), "share") == ""
    assert band_words((0.5, 0.25, 0.75), "share") == "0.25–0.75"
