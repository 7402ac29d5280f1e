"""The tables of the animal room, row by row against their neighbours."""

from __future__ import annotations

import pytest

from setwright.animal import tables
from setwright.animal.dive import CAUTION, KILL_LIMIT, dive_facts
from setwright.animal.model import QUANTITIES, ROLES, UNKNOWN, Species
from setwright.basis.errors import BadInput, BadTable
from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.tables import shipped

KEYS = tables.species().keys()


def test_thirty_five_kinds() -> None:
    assert len(KEYS) == 35


@pytest.mark.parametrize("key", KEYS)
def test_each_animal_is_whole_and_likely(key: str) -> None:
    animal = tables.record(key)
    assert animal.roles and set(animal.roles) <= set(ROLES)
    assert animal.mass_low.number < animal.mass.number < animal.mass_high.number
    assert animal.mass.low is None and animal.mass.high is None, "the spread of individuals is mass_cv, once"
    for foot in ("fore", "hind"):
        width, length = getattr(animal, f"{foot}_width"), getattr(animal, f"{foot}_length")
        assert width.known == length.known
        if width.known:
            assert 0.3 < width.number / length.number < 1.35
            grip = getattr(animal, f"grip_thickness_{foot}")
            share = 0.17 if animal.class_ == "bird" else 0.45
            assert grip.number == pytest.approx(share * width.number, rel=0.02)
            assert grip.low == pytest.approx(0.75 * grip.number, rel=0.02)
            assert grip.source.kind is Kind.ASSUMED
    assert 0.1 < animal.share_sd.number / animal.share.number < 0.3
    assert 0.25 < animal.grip_height.number / animal.fore_length.number < 0.65
    assert animal.jaw_low.known == animal.jaw_high.known
    assert animal.pan_low.known == animal.pan_high.known
    for name in QUANTITIES:
        quantity = getattr(animal, name)
        assert quantity.unit == tables.FIGURES[name].unit, name
        assert not quantity.known or quantity.source.text, name


@pytest.mark.parametrize("key", KEYS)
def test_foot_grows_with_the_body(key: str) -> None:
    animal = tables.record(key)
    size = (animal.fore_width.number * animal.fore_length.number) ** 0.5
    assert 0.010 < size / animal.mass.number ** (1 / 3) < 0.08, "a foot of a likely size for the body"


def test_targets_have_bands_and_pets_have_none() -> None:
    for key in KEYS:
        animal = tables.record(key)
        if animal.is_target:
            assert animal.jaw_low.known and animal.pan_low.known, key
        if animal.is_pet or animal.is_stock or animal.is_game:
            assert animal.is_nontarget and not animal.pan_low.known, key


def test_roles_by_name() -> None:
    assert tables.record("river_otter").roles == ("target", "protected", "limited")
    assert tables.record("river_otter").is_limited and tables.record("eagle").is_protected
    assert tables.record("house_cat").is_pet and tables.record("calf").is_stock and tables.record("turkey").is_game
    assert not tables.record("coyote_west").is_nontarget


def test_figures_are_read_in_si() -> None:
    coyote = tables.record("coyote_west")
    assert coyote.jaw_low.number == pytest.approx(4.75 * 0.0254)
    assert coyote.pan_high.number == pytest.approx(5 * 4.4482216)
    assert coyote.step.number == pytest.approx(0.4)
    assert tables.record("beaver").loss_time.number == pytest.approx(540)
    assert tables.record("mink").dive_max.number == pytest.approx(57.9)


def test_blank_figures_are_unknown_and_say_what_to_ask() -> None:
    deer = tables.record("deer_adult")
    assert deer.jaw_low.value is None and not deer.jaw_low.known
    assert deer.jaw_low == UNKNOWN["jaw_low"] and deer.jaw_low.source.text
    bare = Species(key="x", name="X")
    assert all(not getattr(bare, name).known for name in QUANTITIES)


def test_own_figures_take_the_place_of_the_table() -> None:
    own = Quantity(10.4, "kg", Source(Kind.MEASURED, "line book", "stated"))
    assert tables.record("coyote_west", {"mass": own}).mass is own
    assert tables.record("coyote_west").mass.number == 12.0, "the table is not touched"


@pytest.mark.parametrize(
    ("key", "overrides", "word"),
    [
        ("coyote_wets", {}, "no such entry"),
        ("coyote_west", {"weight": Quantity(1.0, "kg")}, "no such figure"),
        ("coyote_west", {"mass": Quantity(12.0, "one")}, "wrong unit"),
        ("coyote_west", {"mass": Quantity(12000.0, "kg")}, "outside the range"),
        ("coyote_west", {"mass": Quantity(12.0, "kg", low=-1.0, high=13.0)}, "outside the range"),
    ],
)
def test_misuse_is_named(key: str, overrides: dict[str, Quantity], word: str) -> None:
    with pytest.raises(BadInput, match=word):
        tables.record(key, overrides)


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        ("coyote_west,role,target", "coyote_west,role,prey", "unknown role"),
        ("coyote_west,class,canid", "coyote_west,class,dog", "unknown word"),
        ("coyote_west,jaw_low,4.75", "coyote_west,jaw_low,6.75", "jaw_low is above jaw_high"),
        ("coyote_west,mass,12.0", "coyote_west,mass,1200", "outside the range"),
        ("coyote_west,mass_cv,0.15,,,one", "coyote_west,mass_cv,0.15,,,kg", "unit"),
    ],
)
def test_a_broken_row_is_refused(old: str, new: str, word: str) -> None:
    text = shipped("animal", "species.csv")
    assert old in text
    with pytest.raises(BadTable, match=word):
        tables.read_species("species.csv", text.replace(old, new, 1))


def test_trials_as_published() -> None:
    trials = tables.trials()
    assert len(trials.keys()) == 22
    assert [trials.number(row, "share") for row in ("T02", "T03", "T04")] == pytest.approx([0.92, 1.00, 0.95])
    assert [trials.number(row, "share") for row in ("T05", "T06", "T07", "T08")] == pytest.approx(
        [0.98, 0.87, 0.92, 0.84]
    )
    assert trials.number("T09", "ratio") == 3 and not trials.has("T09", "share")
    assert not trials.has("T15", "share") and trials.get("T15", "measure").source.confidence == "memory"
    assert (trials.number("T12", "caught"), trials.number("T12", "of")) == (17, 17)


def test_withdrawal_is_assumed() -> None:
    table = tables.withdrawal()
    for name in ("reaction", "lift_acceleration"):
        found = table.get("foot", name)
        assert found.source.kind is Kind.ASSUMED and found.low < found.number < found.high
    assert table.number("foot", "reaction") == pytest.approx(0.045)


def test_dive_facts_show_both_sides() -> None:
    beaver = dive_facts(tables.record("beaver"))
    assert beaver.over_limit is True and KILL_LIMIT.number == 300
    assert dive_facts(tables.record("muskrat")).over_limit is False
    assert dive_facts(tables.record("river_otter")).over_limit is None, "loss time is not known"
    assert "Ludders" in beaver.objection and "Gilbert" in beaver.statement and beaver.caution == CAUTION
    words = f"{beaver.statement} {beaver.objection} {beaver.caution}".lower()
    assert "painless" not in words and "humanely" not in words
