"""Findings, criteria and small samples: nothing missing counts as good, nothing bad improves an answer."""

from __future__ import annotations

import ast
import csv
import math
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.animal import injury, sample, welfare, welfare_tables
from setwright.animal.injury import BEHAVIOUR, TRAUMA, Count, Findings, Injury, count, mean_points, tally
from setwright.animal.sample import animals_needed, at_least, lower_bound, upper_bound
from setwright.animal.welfare import Evidence, PublishedTest, read_own, read_points, read_published, read_share
from setwright.animal.welfare_tables import (
    bearing_facts,
    criteria,
    injury_scale,
    read_criteria,
    read_facts,
    read_scale,
)
from setwright.basis import tables as basis_tables
from setwright.basis.errors import BadInput, BadTable

SCALE = injury_scale()
AIHTS, BMP, POINTS = (criteria()[key] for key in ("aihts-restraining", "bmp-trauma", "bmp-points"))
ORDER = {Evidence.AGAINST: 0, Evidence.TOO_FEW: 1, Evidence.SUPPORTS: 2}
FINE = settings(max_examples=60, deadline=None)
COUNTS = st.builds(Count, st.integers(0, 60), st.integers(0, 20), st.integers(0, 10)).filter(
    lambda found: found.total
)
ANIMALS = st.lists(
    st.builds(
        Findings,
        st.one_of(st.none(), st.lists(st.sampled_from(sorted(SCALE)), max_size=4).map(tuple)),
        st.booleans(),
        st.sampled_from(["field", "necropsy"]),
    ),
    max_size=12,
)
CLEAN, MISSING, WORST = Findings(()), Findings(None), Findings(("I25",))


# --- small samples -------------------------------------------------------------------------------------------------


@FINE
@given(n=st.integers(1, 80), data=st.data(), share=st.floats(0.02, 0.98))
def test_bounds_hold_the_chance_that_they_are_named_for(n, data, share):
    good = data.draw(st.integers(0, n))
    low, high = float(lower_bound(good, n)), float(upper_bound(good, n))
    assert 0.0 <= low <= good / n <= high <= 1.0
    if good:
        assert float(at_least(good, n, low)) == pytest.approx(0.05, rel=1e-6)
    if good < n:
        assert 1.0 - float(at_least(good + 1, n, high)) == pytest.approx(0.05, rel=1e-6)
    chance = sum(math.comb(n, k) * share**k * (1 - share) ** (n - k) for k in range(good, n + 1))
    assert float(at_least(good, n, share)) == pytest.approx(chance, rel=1e-9, abs=1e-12)


def test_bounds_of_arrays_are_those_of_their_parts():
    good, total = np.array([[0, 5], [20, 3]]), np.array([20, 20])
    found = lower_bound(good, total)
    assert found.shape == (2, 2)
    assert found[1, 1] == lower_bound(3, 20) and found[0, 0] == 0.0
    assert np.isnan(lower_bound(21, 20)) and np.isnan(upper_bound(-1, 20)) and np.isnan(at_least(3, 2, 0.5))
    assert np.isnan(at_least(1, 2, 1.5)) and np.isnan(at_least(1, 2, np.nan))
    assert (lower_bound(0, 0), upper_bound(0, 0)) == (0.0, 1.0), "no animal, nothing known"


def test_large_samples_do_not_overflow():
    assert float(lower_bound(4000, 5000)) == pytest.approx(0.8 - 1.645 * math.sqrt(0.16 / 5000), abs=5e-4)


@pytest.mark.parametrize("line", [0.6, 0.7, 0.8])
@pytest.mark.parametrize("bad", range(5))
def test_the_needed_number_is_the_first_that_is_enough(bad, line):
    needed = animals_needed(bad, line)
    assert float(lower_bound(needed - bad, needed)) > line >= float(lower_bound(needed - 1 - bad, needed - 1))


def test_the_needed_number_can_be_out_of_reach():
    assert animals_needed(0, 0.999999, most=1000) is None


@pytest.mark.parametrize(("bad", "line"), [(-1, 0.5), (0, 1.0), (0, 0.0)])
def test_misuse_of_the_needed_number(bad, line):
    with pytest.raises(BadInput):
        animals_needed(bad, line)
    with pytest.raises(BadInput, match="level"):
        lower_bound(1, 2, level=1.0)


# --- findings ------------------------------------------------------------------------------------------------------


def test_one_animal_may_pass_the_points_and_fail_the_list():
    tooth, bruises = Findings(("I09",)), Findings(("I10", "I11", "I02"))
    found = tally([tooth, bruises], SCALE)
    assert found.free_of_listed.tolist() == [0.0, 1.0]
    assert found.points_low.tolist() == [30.0, 65.0]
    assert found.no_to_moderate.tolist() == [1.0, 1.0]


def test_the_worst_injury_gives_the_class_of_an_animal():
    worst = {"I06": 1.0, "I17": 1.0, "I18": 0.0, "I23": 0.0, "I24": 0.0}
    found = tally([Findings(("I01", key, "I02")) for key in worst], SCALE)
    assert found.no_to_moderate.tolist() == list(worst.values())


def test_a_behaviour_counts_on_the_list_and_has_no_points():
    found = tally([Findings(("B01",))], SCALE)
    assert (found.free_of_listed[0], found.points_low[0], found.no_to_moderate[0]) == (0.0, 0.0, 1.0)


def test_what_was_not_looked_at_stays_open_and_what_is_bad_decides():
    part_clean, part_bad = Findings((), whole=False), Findings(("I25",), whole=False)
    found = tally([MISSING, part_clean, part_bad, CLEAN], SCALE)
    assert np.isnan(found.free_of_listed[:2]).all() and found.free_of_listed[2:].tolist() == [0.0, 1.0]
    assert np.isinf(found.points_high[:3]).all() and found.points_high[3] == 0.0
    assert count(found.no_to_moderate) == Count(1, 1, 2)
    assert mean_points(found) == (25.0, math.inf)
    assert all(math.isnan(value) for value in mean_points(tally([], SCALE)))


@FINE
@given(animals=ANIMALS, key=st.sampled_from(sorted(SCALE)))
def test_one_more_injury_never_betters_an_animal(animals, key):
    before = tally(animals, SCALE)
    after = tally([replace(one, injuries=(*(one.injuries or ()), key)) for one in animals], SCALE)
    assert (after.points_low >= before.points_low).all()
    for name in ("free_of_listed", "no_to_moderate"):
        first, then = getattr(before, name), getattr(after, name)
        known = ~np.isnan(first)
        assert (then[known] <= first[known]).all(), name


@FINE
@given(animals=ANIMALS, seed=st.randoms(use_true_random=False))
def test_the_order_of_animals_does_not_matter(animals, seed):
    mixed = list(animals)
    seed.shuffle(mixed)
    first, second = (read_own(given_, SCALE, criteria().values()) for given_ in (animals, mixed))
    assert [(one.word, one.missing) for one in first] == [(one.word, one.missing) for one in second]
    assert np.allclose([one.least for one in first], [one.least for one in second], equal_nan=True)


def test_misuse_of_findings_names_the_field():
    with pytest.raises(BadInput, match="injuries"):
        tally([Findings(("I99",))], SCALE)
    with pytest.raises(BadInput, match="seen_by"):
        Findings((), seen_by="hearsay")
    with pytest.raises(BadInput, match="bad"):
        Count(1, -1)


# --- readings ------------------------------------------------------------------------------------------------------


@FINE
@given(found=COUNTS, criterion=st.sampled_from([AIHTS, BMP]))
def test_a_bad_result_never_improves_an_answer_and_a_missing_one_is_never_good(found, criterion):
    before = read_share(criterion, found)
    worse = read_share(criterion, replace(found, bad=found.bad + 1))
    unseen = read_share(criterion, replace(found, missing=found.missing + 1))
    seen = read_share(criterion, replace(found, good=found.good + 1))
    assert ORDER[worse.word] <= ORDER[before.word]
    assert ORDER[unseen.word] <= ORDER[seen.word]
    assert unseen.lower <= before.lower + 1e-12 and unseen.least <= before.least
    if unseen.word is Evidence.SUPPORTS:
        assert before.word is Evidence.SUPPORTS, "a missing finding made the record better"
    # Counted as bad or as good, the missing ones lie inside the bounds that are told.
    for bad in range(found.missing + 1):
        settled = read_share(criterion, Count(found.good + found.missing - bad, found.bad + bad))
        assert before.least - 1e-12 <= settled.least <= before.most + 1e-12
        if before.word is Evidence.SUPPORTS:
            assert settled.word is Evidence.SUPPORTS
        if before.word is Evidence.AGAINST:
            assert settled.word is Evidence.AGAINST


@pytest.mark.parametrize(
    ("found", "word"),
    [
        (Count(14, 0), Evidence.SUPPORTS),
        (Count(13, 0), Evidence.TOO_FEW),
        (Count(21, 1), Evidence.SUPPORTS),
        (Count(14, 0, 1), Evidence.TOO_FEW),
        (Count(21, 0, 1), Evidence.SUPPORTS),
        (Count(16, 4), Evidence.TOO_FEW),
        (Count(15, 5), Evidence.AGAINST),
        (Count(15, 5, 6), Evidence.TOO_FEW),
        (Count(1, 5), Evidence.AGAINST),
        (Count(1, 2), Evidence.TOO_FEW),
        (Count(0, 0, 40), Evidence.TOO_FEW),
        (Count(0, 0), Evidence.NO_RECORD),
    ],
)
def test_words_of_own_data(found, word):
    assert read_share(AIHTS, found).word is word


def test_own_data_never_meet_and_never_certify():
    for good in (0, 5, 14, 20, 500):
        for bad in (0, 1, 10):
            assert read_share(BMP, Count(good, bad)).word not in (Evidence.MEETS, Evidence.BREAKS)


def test_no_record_counts_no_animal():
    nothing = read_share(BMP, Count(0, 0))
    assert (nothing.animals, nothing.missing) == (0, 0)


def test_points_speak_against_and_never_for():
    clean = read_points(POINTS, [CLEAN] * 200, SCALE)
    assert clean.word is Evidence.TOO_FEW and clean.least == clean.most == 0.0
    assert read_points(POINTS, [Findings(("I22",))] * 20, SCALE).word is Evidence.TOO_FEW, "55 is at the limit"
    bad = [Findings(("I22", "I01"))] * 20
    assert read_points(POINTS, bad, SCALE).word is Evidence.AGAINST
    assert read_points(POINTS, bad[:19], SCALE).word is Evidence.TOO_FEW, "fewer than the scheme asks for"
    assert read_points(POINTS, [*bad[:19], MISSING], SCALE).word is Evidence.TOO_FEW
    nothing = read_points(POINTS, [], SCALE)
    assert nothing.word is Evidence.NO_RECORD and (nothing.animals, nothing.missing) == (0, 0)
    assert read_points(POINTS, [*[CLEAN] * 20, MISSING], SCALE).word is Evidence.TOO_FEW, "open is not bad either"
    open_ = read_points(POINTS, [*bad, MISSING], SCALE)
    assert (open_.least, open_.missing) == (math.inf, 1) and open_.most == pytest.approx(20 * 57 / 21)


def test_own_findings_are_read_on_criteria_of_injury_only_and_say_who_looked():
    readings = read_own([CLEAN] * 20, SCALE, criteria().values())
    assert [one.criterion.key for one in readings] == ["aihts-restraining", "bmp-trauma", "bmp-points"]
    assert all(one.field_only for one in readings)
    opened = read_own([CLEAN] * 19 + [Findings((), seen_by="necropsy")], SCALE, criteria().values())
    assert not any(one.field_only for one in opened)


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({}, Evidence.MEETS),
        ({"figure": 0.8}, Evidence.MEETS),
        ({"figure": 0.79}, Evidence.BREAKS),
        ({"figure": None}, Evidence.TOO_FEW),
        ({"animals": 19}, Evidence.TOO_FEW),
        ({"animals": None}, Evidence.TOO_FEW),
        ({"same_design": None}, Evidence.TOO_FEW),
        ({"same_design": False}, Evidence.NO_RECORD),
    ],
)
def test_a_published_test_counts_only_for_the_design_that_was_tested(change, word):
    given_ = {"criterion": "aihts-restraining", "figure": 0.92, "animals": 26, "same_design": True} | change
    assert read_published(AIHTS, PublishedTest(document="an invented report", place="table 1", **given_)).word is word


def test_a_published_mean_of_points_is_held_against_its_greatest():
    made = {"document": "an invented report", "place": "p. 3", "criterion": "bmp-points", "animals": 30}
    for figure, word in ((55.0, Evidence.MEETS), (55.1, Evidence.BREAKS)):
        assert read_published(POINTS, PublishedTest(**made, figure=figure, same_design=True)).word is word


def test_misuse_of_criteria():
    with pytest.raises(BadInput, match="bmp-points"):
        read_share(POINTS, Count(1, 0))
    with pytest.raises(BadInput, match="iso-10990-5"):
        read_share(criteria()["iso-10990-5"], Count(1, 0))
    with pytest.raises(BadInput, match="aihts-restraining"):
        read_points(AIHTS, [CLEAN], SCALE)
    with pytest.raises(BadInput, match="document"):
        PublishedTest(document=" ", place="p. 1", criterion="bmp-trauma")
    with pytest.raises(BadInput, match="criterion"):
        read_published(BMP, PublishedTest(document="d", place="p", criterion="aihts-restraining"))


# --- tables --------------------------------------------------------------------------------------------------------


def test_the_scale_rises_with_its_classes():
    spans = {
        trauma: [entry.points for entry in SCALE.values() if entry.trauma == trauma]
        for trauma in (*TRAUMA, BEHAVIOUR)
    }
    assert spans["none"] == [] and set(spans[BEHAVIOUR]) == {0.0}
    for lower, upper in (("mild", "moderate"), ("moderate", "moderately_severe"), ("moderately_severe", "severe")):
        assert max(spans[lower]) < min(spans[upper])
    assert Counter(entry.trauma for entry in SCALE.values()) == {
        "mild": 6, "moderate": 11, "moderately_severe": 6, "severe": 11, BEHAVIOUR: 3,
    }  # fmt: skip
    assert all(entry.listed for entry in SCALE.values() if entry.trauma in ("moderately_severe", "severe", BEHAVIOUR))
    assert not any(entry.listed for entry in SCALE.values() if entry.trauma == "mild")
    assert len({entry.words for entry in SCALE.values()}) == len(SCALE)


def test_methods_and_judgements_have_no_limit_and_the_rest_have_one():
    for entry in criteria().values():
        assert (entry.limit is None) == (entry.measure in ("method", "judged")), entry.key
        assert (entry.compare == "") == (entry.limit is None), entry.key


def test_time_limits_of_killing_traps_by_animal():
    assert [found.limit for found in welfare_tables.time_limits("beaver")] == [300.0, 180.0]
    assert [found.limit for found in welfare_tables.time_limits("ermine")] == [45.0]
    assert welfare_tables.time_limits("cottontail") == ()
    aimed = welfare_tables.time_limits("beaver")[1]
    assert aimed.source.confidence == "memory"


def test_every_row_says_where_it_comes_from_and_how_sure():
    assert welfare_tables.KINDS == basis_tables.CONFIDENCE
    for name in ("injury_scale", "welfare_criteria", "risk_facts"):
        text = (welfare_tables.FOLDER / f"{name}.csv").read_text(encoding="utf-8")
        body = [line for line in text.splitlines() if not line.startswith("#")]
        for row in csv.DictReader(body):
            assert row["source"] and row["confidence"] in basis_tables.CONFIDENCE, row
            assert row["confidence"] != "seen" or "memory" not in row["source"], row
    assert all(entry.source.confidence == "memory" for key, entry in criteria().items() if key == "bmp-points")


def test_facts_that_bear_on_an_animal_have_a_direction_and_no_number_to_add():
    for fact in bearing_facts().values():
        assert fact.bearing in welfare_tables.BEARINGS
        assert fact.mend or fact.bearing != "unfavourable", f"{fact.key}: what would mend it"
        assert not any(isinstance(getattr(fact, name), int | float) for name in fact.__slots__), fact.key


BROKEN = [
    (read_scale, "injury_scale", "mild,2,", "light,2,", "trauma"),
    (read_scale, "injury_scale", "mild,2,", "mild,0,", "points"),
    (read_scale, "injury_scale", "mild,2,", "mild,many,", "points"),
    (read_scale, "injury_scale", "I02,", "I01,", "key"),
    (read_scale, "injury_scale", "a claw lost,no", "a claw lost,maybe", "listed"),
    (read_scale, "injury_scale", "a claw lost", "", "words"),
    (read_criteria, "welfare_criteria", "free_of_listed,0.8", "free_of_listed,80", "limit"),
    (read_criteria, "welfare_criteria", "free_of_listed,0.8", "share,0.8", "measure"),
    (read_criteria, "welfare_criteria", "killing,method,,", "killing,method,0.8,at_least", "limit"),
    (read_criteria, "welfare_criteria", "0.8,at_least,20", "0.8,at_least,none", "least_animals"),
    (read_facts, "risk_facts", "padded,jaws,favourable", "padded,jaws,good", "bearing"),
    (read_facts, "risk_facts", "padded,jaws,favourable", "padded,,favourable", "about"),
]


@pytest.mark.parametrize(("read", "name", "old", "new", "says"), BROKEN)
def test_a_broken_row_is_named_with_its_line(read, name, old, new, says):
    text = (welfare_tables.FOLDER / f"{name}.csv").read_text(encoding="utf-8")
    assert read(text, file=name), "the shipped table itself is whole"
    assert old in text
    with pytest.raises(BadTable, match=rf"{name}, line \d+.*{says}"):
        read(text.replace(old, new, 1), file=name)


def test_a_table_without_head_or_columns_is_refused():
    with pytest.raises(BadTable, match="comment lines"):
        read_scale("key,trauma\n", file="x.csv")
    with pytest.raises(BadTable, match="columns"):
        read_scale("# a head\nkey,trauma\n", file="x.csv")


def test_no_injury_is_worked_out_from_a_force():
    for module in (injury, sample, welfare):
        tree = ast.parse(Path(module.__file__).read_text(encoding="utf-8"))
        names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
        names |= {node.arg for node in ast.walk(tree) if isinstance(node, ast.arg)}
        found = {name for name in names if any(word in name for word in ("force", "clamp", "momentum", "pressure"))}
        assert not found, f"{module.__name__}: {found}"
    assert all(isinstance(entry, Injury) for entry in SCALE.values())
