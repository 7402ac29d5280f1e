"""Hours, groups, gaits, how a foot comes down; near names; animals of one's own."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.animal import tables
from setwright.animal.gaits import GAITS, Gait, hourly_rates
from setwright.animal.near import TRADE_NAMES, near_names
from setwright.basis.errors import BadInput
from setwright.basis.source import Kind, Quantity, Source

KEYS = tables.species().keys()
NAMES = {key: tables.species().text(key, "name") for key in KEYS}
OWN = Source(Kind.MEASURED, "line book", "stated")


@pytest.mark.parametrize("key", KEYS)
def test_habits_of_every_animal(key: str) -> None:
    animal = tables.record(key)
    parts = [getattr(animal, part) for part in ("night", "twilight", "day")]
    assert sum(part.number for part in parts) == pytest.approx(1.0)
    assert all(part.source.text for part in parts)
    assert animal.group.low is not None and animal.group.high is not None
    assert 1 <= animal.group.low <= animal.group.number <= animal.group.high


def test_animals_of_the_night_and_of_the_day() -> None:
    for key in ("raccoon", "opossum", "striped_skunk", "river_otter", "coyote_west"):
        assert tables.record(key).night.number > 0.7, key
    for key in ("turkey", "eagle", "crow_raven", "dog_medium"):
        assert tables.record(key).day.number > 0.5, key
    assert tables.record("bobcat").twilight.number == pytest.approx(0.389)


@pytest.mark.parametrize("key", KEYS)
def test_gaits_of_every_animal(key: str) -> None:
    found = tables.gaits(key)
    assert found[0].word == "walk" and found[0].load_factor.number == 1.0
    assert sum(gait.usual for gait in found) == 1
    step = tables.record(key).step
    assert found[0].stride.value == (None if step.value is None else pytest.approx(2 * step.value))
    for gait in found[1:]:
        assert gait.word in GAITS and gait.load_factor.number > 1.4
        if gait.word == "trot" and gait.stride.known and found[0].stride.known:
            assert gait.stride.number > found[0].stride.number
        if gait.stride.known:
            assert gait.stride.low is not None and gait.stride.low < gait.stride.number
        else:
            assert "measure" in gait.stride.source.text


def test_every_mammal_without_a_walk_has_a_stride_in_its_usual_gait() -> None:
    for key in KEYS:
        animal = tables.record(key)
        usual = next(gait for gait in tables.gaits(key) if gait.usual)
        if not animal.step.known and animal.class_ != "bird":
            assert usual.stride.known, key


def test_walk_carries_its_band() -> None:
    gait = Gait.walk(Quantity(0.4, "m", OWN, 0.3, 0.5), usual=True)
    assert (gait.stride.low, gait.stride.number, gait.stride.high) == pytest.approx((0.6, 0.8, 1.0))
    assert not Gait.walk(Quantity(None, "m"), usual=True).stride.known


def test_kinds_of_sets() -> None:
    worked, trail, water = (tables.tread(kind) for kind in ("worked", "trail", "water"))
    assert worked.coupling_mean.number == trail.coupling_mean.number == pytest.approx(0.55)
    assert (worked.coupling_mean.low, worked.coupling_mean.high) == (0.45, 0.65)
    assert worked.gait.number == 1.0 and 1.4 <= trail.gait.number <= 2.0
    assert water.coupling_mean.low < 0.45 and water.coupling_mean.high > 0.65, "nobody tried it in water"
    with pytest.raises(BadInput, match="no such entry"):
        tables.tread("wet")


@given(st.floats(0.05, 1), st.floats(0.05, 1), st.floats(0.05, 1), st.floats(6, 16), st.floats(0.5, 3))
def test_hourly_rates_average_to_one(a: float, b: float, c: float, night: float, twilight: float) -> None:
    shares, hours = np.array([a, b, c]) / (a + b + c), np.array([night, twilight, 24 - night - twilight])
    found = hourly_rates(shares, hours)
    assert (found * hours).sum() == pytest.approx(24.0)
    assert found * hours / 24 == pytest.approx(shares)
    assert hourly_rates(hours / 24, hours) == pytest.approx([1, 1, 1]), "as likely in every hour"


def test_hourly_rates_that_cannot_be() -> None:
    assert np.isnan(hourly_rates([0.5, 0.3, 0.3], [12, 2, 10])).all()
    assert np.isnan(hourly_rates([0.5, 0.3, 0.2], [12, 2, 12])).all()
    assert np.isnan(hourly_rates([0.5, 0.3, 0.2], [24, 0, 0])).all(), "a share and no hours for it"
    assert hourly_rates([1.0, 0.0, 0.0], [24, 0, 0]) == pytest.approx([1, 0, 0])
    both = hourly_rates([[0.5, 0.3, 0.2], [0.1, 0.2, 0.7]], [12, 2, 10])
    assert both.shape == (2, 3) and both[1, 2] == pytest.approx(0.7 * 2.4)


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("coyote", {"coyote_west", "coyote_east"}), ("coon", {"raccoon"}), ("racoon", {"raccoon"}),
        ("fox", {"red_fox", "gray_fox", "kit_swift_fox"}), ("Red Fox", {"red_fox"}), ("possum", {"opossum"}),
        ("grey_fox", {"gray_fox"}), ("musk-rat", {"muskrat"}), ("hound", {"dog_large"}), ("otter", {"river_otter"}),
    ],
)  # fmt: skip
def test_did_you_mean(written: str, meant: set[str]) -> None:
    assert meant <= set(near_names(written, NAMES))
    with pytest.raises(BadInput, match="did you mean") as caught:
        tables.need(written, "sites.0.target")
    assert caught.value.field == "sites.0.target" and caught.value.found == written


def test_nothing_near_is_nothing() -> None:
    assert near_names("xyzzy", NAMES) == () and near_names("  ", NAMES) == ()
    with pytest.raises(BadInput, match="a key of the table"):
        tables.need("xyzzy", "animals")
    for spoken in TRADE_NAMES:
        assert near_names(spoken, NAMES), spoken


def test_an_animal_of_ones_own() -> None:
    found = tables.added("arctic_fox", "Arctic fox", "red_fox", {"mass": Quantity(3.5, "kg", OWN)}, ("target",))
    assert found.class_ == "canid" and found.is_target and found.mass.number == 3.5
    assert found.share == tables.record("red_fox").share and found.night == tables.record("red_fox").night
    assert not found.jaw_low.known and not found.fore_width.known, "nothing else is taken over"


@pytest.mark.parametrize(
    ("key", "like", "mass", "roles", "word"),
    [
        ("red_fox", "red_fox", 3.5, ("target",), "stands in the table"),
        ("arctic_fox", "redfox", 3.5, ("target",), "did you mean red_fox"),
        ("arctic_fox", "red_fox", None, ("target",), "needs a mass"),
        ("arctic_fox", "red_fox", 3.5, ("prey",), "unknown role"),
        ("arctic_fox", "red_fox", 9000.0, ("target",), "outside the range"),
    ],
)
def test_misuse_of_an_own_animal(key: str, like: str, mass: float | None, roles: tuple[str, ...], word: str) -> None:
    own = {} if mass is None else {"mass": Quantity(mass, "kg", OWN)}
    with pytest.raises(BadInput, match=word):
        tables.added(key, "Arctic fox", like, own, roles)


def test_hours_and_groups_may_be_overridden() -> None:
    own = Quantity(4.0, "one", OWN)
    assert tables.record("river_otter", {"group": own}).group is own
    with pytest.raises(BadInput, match="group"):
        tables.record("river_otter", {"grup": own})
