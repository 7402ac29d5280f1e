"""Soil by hand: answers to chances, the test that settles most, moisture, layers from a rod."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.ground import tables
from setwright.ground.anchor import Anchor, capacity
from setwright.ground.handtest import Soils, by_hand, expected_told, weigh
from setwright.ground.soil import Layer, moistened, profile, stress

NAN, INF = math.nan, math.inf
LOAM = Layer("loam", "undrained", INF, NAN, 36e3, 18e3, NAN)
MUCK = Layer("muck", "undrained", INF, NAN, 4e3, 1.2e3, NAN)
SHARES = [tables.hand_test_shares(test) for test in tables.TESTS]
CLASSES = tables.classes()
EVEN = np.ones(len(CLASSES))
answers = st.tuples(*(st.one_of(st.none(), st.integers(0, len(keys) - 1)) for keys, _ in SHARES))


def felt(**said: str) -> Soils:
    given_answers = [
        keys.index(f"{test}-{said[test]}") if test in said else None
        for test, (keys, _) in zip(tables.TESTS, SHARES, strict=True)
    ]
    return by_hand(EVEN, [share for _, share in SHARES], given_answers)


def test_each_class_answers_each_test_somehow() -> None:
    for keys, share in SHARES:
        assert np.sum(share, axis=0) == pytest.approx(EVEN, abs=1e-5), f"{keys}: answers of a class do not add up"
    asked = {name for name in tables.hand_tests().record(SHARES[0][0][0]) if name not in ("test", "answer")}
    assert asked == {name.replace("-", "_") for name in CLASSES}, "hand tests and soils know the same classes"


def test_nothing_felt_is_cannot_tell_and_the_thumb_comes_first() -> None:
    found = felt()
    assert found.best == -1
    assert found.share == pytest.approx(EVEN / EVEN.size)
    assert tables.TESTS[found.settles] == "thumb"


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ({"thumb": "dent", "ribbon": "short"}, "loam"),
        ({"thumb": "nail", "ribbon": "long"}, "stiff-clay"),
        ({"thumb": "inch", "ribbon": "long"}, "soft-clay"),
        ({"thumb": "runs", "stake": "hand"}, "loose-sand"),
        ({"thumb": "runs", "stake": "walks"}, "gravel"),
        ({"stake": "bounces", "ribbon": "stiff"}, "frozen"),
    ],
)
def test_two_answers_name_a_soil(said: dict[str, str], name: str) -> None:
    found = felt(**said)
    assert found.best >= 0 and CLASSES[found.best] == name
    assert found.settles == -1, "nothing more to ask"


def test_what_is_left_open_is_said_and_the_test_that_settles_it() -> None:
    through = felt(thumb="through")
    assert through.best == -1, "mud or muck: the thumb cannot tell"
    assert tables.TESTS[through.settles] == "ribbon"
    runs = felt(thumb="runs")
    assert runs.best == -1 and tables.TESTS[runs.settles] == "stake"
    likeliest = {CLASSES[place] for place in np.argsort(through.share)[-2:]}
    assert likeliest == {"mud", "muck"}


@given(answers)
def test_shares_are_chances_and_tests_never_tell_less_than_nothing(said: tuple[int | None, ...]) -> None:
    found = by_hand(EVEN, [share for _, share in SHARES], said)
    assert float(np.sum(found.share)) == pytest.approx(1.0)
    assert np.all(found.told[~np.isnan(found.told)] >= 0.0)
    assert (found.best >= 0) == (float(found.share.max()) >= 0.8)
    backwards = weigh(
        EVEN, [np.asarray(SHARES[i][1])[a] for i, a in reversed(list(enumerate(said))) if a is not None]
    )
    assert backwards == pytest.approx(found.share), "the order of the tests does not matter"


def test_answers_that_contradict_are_no_answer() -> None:
    strict = [np.array([[1.0, 0.0], [0.0, 1.0]])] * 2
    found = by_hand([0.5, 0.5], strict, [0, 1])
    assert np.isnan(found.share).all() and found.best == -1 and found.settles == -1
    assert expected_told([0.5, 0.5], strict[0]) == pytest.approx(1.0), "a perfect test of two tells one bit"
    assert expected_told([0.5, 0.5], np.full((2, 2), 0.5)) == pytest.approx(0.0)


@pytest.mark.parametrize(("said", "field"), [((9,), "answers[0]"), ((0, 0), "answers")])
def test_answers_that_cannot_be_are_refused_by_name(said: tuple[int, ...], field: str) -> None:
    with pytest.raises(OutOfRange) as caught:
        by_hand([1.0, 1.0], [np.full((2, 2), 0.5)], said)
    assert caught.value.field == field and caught.value.allowed


def test_soaked_loam_holds_half_and_dry_sod_twice() -> None:
    stake = Anchor("stake", width=0.0254, perimeter=0.08, length=0.86, pull_height=0.05)
    table = tables.moisture()
    held = {
        state: float(capacity(stake, [moistened(LOAM, table.number(state, "strength_factor"))]).force)
        for state in table
    }
    assert held["soaked"] / held["moist"] == pytest.approx(0.5, abs=0.01), "a lawn stake study: half when soaked"
    assert held["dry"] / held["moist"] == pytest.approx(2.0, abs=0.02)
    assert float(moistened(LOAM, 0.5).cu) == 18e3 and moistened(LOAM, 0.5).unit_weight == 18e3
    assert moistened(MUCK, 1.0, 500.0).unit_weight == 500.0


def test_layers_from_a_rod() -> None:
    ground = profile([(0.0, 0.4), (0.4, INF)], [MUCK, LOAM])
    assert [layer.thickness for layer in ground] == [0.4, INF]
    assert float(stress(ground, 0.5)) == pytest.approx(0.4 * 1.2e3 + 0.1 * 18e3)


@pytest.mark.parametrize(
    ("cuts", "field", "word"),
    [
        ([(0.0, 0.4), (0.5, INF)], "cuts[1]", "gap"),
        ([(0.0, 0.4), (0.3, INF)], "cuts[1]", "overlap"),
        ([(0.1, 0.4), (0.4, INF)], "cuts[0]", "gap"),
        ([(0.0, 0.0), (0.0, INF)], "cuts[0]", "thickness"),
        ([(0.0, INF)], "cuts", "depths"),
    ],
)
def test_layers_that_cannot_be_are_refused(cuts: list[tuple[float, float]], field: str, word: str) -> None:
    with pytest.raises(OutOfRange) as caught:
        profile(cuts, [MUCK, LOAM])
    assert caught.value.field == field and word in caught.value.message
    assert caught.value.found is not None and caught.value.allowed


@pytest.mark.parametrize(
    ("anchor", "field"),
    [
        (Anchor("stake", length=0.6, refusal=0.4), "length"),
        (Anchor("plate", depth=0.6, refusal=0.4), "depth"),
        (Anchor("plate", plate_width=0.07, plate_length=0.06), "plate_width"),
    ],
)
def test_anchors_that_cannot_be_are_refused(anchor: Anchor, field: str) -> None:
    with pytest.raises(OutOfRange) as caught:
        capacity(anchor, [LOAM])
    assert caught.value.field == field and caught.value.found and caught.value.allowed


def test_a_layer_without_a_thickness_is_refused() -> None:
    with pytest.raises(OutOfRange, match="thickness"):
        capacity(Anchor("stake"), [Layer("loam", "undrained", NAN, NAN, 36e3, 18e3, NAN)])
