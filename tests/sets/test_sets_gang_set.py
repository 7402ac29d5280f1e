"""Gang sets of a book: the exact chain fed by the links of each trap."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.desk.demo import write_demo
from setwright.desk.gang import gang_of
from setwright.desk.plan import read_job
from setwright.line.kit import pick_list
from setwright.sets.evaluate import evaluate
from setwright.sets.gang_set import LARGEST_GROUP, gang_set, group_sizes

BOOK = DATA / "demo" / "line-book.yaml"


@pytest.fixture(scope="module")
def job():
    return read_job(BOOK, draws=200)


def together(job, key, *traps):
    context, rig = job.contexts[key], job.stated[key]
    singles = [replace(rig, trap=job.traps[trap], gang=()) for trap in traps]
    return context, [evaluate(context, one, job.person) for one in singles]


def alone_in_groups(context):
    """The same site where every animal comes alone."""
    lone = {key: replace(one, group=replace(one.group, value=None)) for key, one in context.species.items()}
    return replace(context, species=lone)


def test_every_chance_of_the_chain_is_a_chance(job):
    """Whatever is drawn for it, in every link, at every site of the line."""
    for key, rig in job.stated.items():
        result = evaluate(job.contexts[key], rig, job.person)
        for link in result.links[1:5]:
            for animal, share in link.by_species.items():
                assert ((share >= 0.0) & (share <= 1.0)).all(), f"{key} {link.link} {animal}"


def test_one_trap_of_a_gang_is_the_single_set(job):
    for key in ("ridge", "cattail"):
        context, results = together(job, key, job.stated[key].trap.trap_id)
        found = gang_set(alone_in_groups(context), results)
        assert found.any_held == pytest.approx(results[0].held[: found.any_held.size], abs=1e-9), key
        assert (found.several == 0.0).all()


def test_more_traps_hold_more_but_less_than_that_many_times(job):
    context, results = together(job, "cattail", "T-31", "T-32", "T-33")
    two, three = gang_set(context, results[:2]), gang_set(context, results)
    assert (two.any_held > two.alone - 0.02).all()
    assert (three.held >= two.held - 1e-9).all()
    assert (two.held <= 2.0 * np.maximum(two.alone, two.any_held) + 1e-9).all()
    assert (three.several >= two.several - 1e-9).all()
    assert (two.any_held <= two.held + 1e-9).all()


def test_families_bring_second_catches(job):
    context, results = together(job, "dam", "T-51", "T-52")
    assert context.species["beaver"].group.number == 2
    lone, family = gang_set(alone_in_groups(context), results), gang_set(context, results)
    assert np.median(family.several) > np.median(lone.several)
    assert np.median(family.any_held) < np.median(lone.any_held), "as many animals in fewer passings"


@given(st.floats(1.0, 8.0), st.floats(0.0, 20.0))
def test_group_sizes(group, high):
    shares = group_sizes(group, high)
    assert shares.shape == (LARGEST_GROUP,) and shares.sum() == pytest.approx(1.0)
    assert (shares >= 0).all() and (np.diff(shares[:-1]) <= 0).all()
    if group <= high <= LARGEST_GROUP - 1 and float(high).is_integer():
        assert shares[int(high) :].sum() == pytest.approx(0.05), "beyond the most that are seen: one in twenty"


def test_a_gang_in_the_book_is_told_and_counted(job):
    context = job.contexts["cattail"]
    result = evaluate(context, job.stated["cattail"], job.person)
    told = gang_of(context, result, job.person)
    assert told.traps == ["T-31", "T-32"]
    assert told.say.startswith("Two traps here: ") and "of the first trap alone" in told.note
    assert told.any_held[0] > told.alone[0]
    single = job.contexts["ridge"]
    assert gang_of(single, evaluate(single, job.stated["ridge"], job.person), job.person) is None
    kit = pick_list([(context.site, one) for one in result.rig.singles])
    traps = [item for item in kit if item.compartment == "traps"]
    assert [item.count for item in traps] == [2] and traps[0].note == "T-31, T-32"


@pytest.mark.parametrize(
    ("gang", "words"),
    [
        ("[T-32, T-32]", "twice in a gang"),
        ("[T-31]", "twice in a gang"),
        ("[nothing]", "no such trap"),
        ("[T-11]", "one trap stands at two sites"),
        ("[T-32, T-33, T-35, T-36]", "at most 3"),
    ],
)
def test_gangs_that_cannot_stand_are_refused(tmp_path, gang, words):
    book = write_demo(tmp_path)
    text = book.read_text(encoding="utf-8")
    assert "gang: [T-32]" in text
    book.write_text(text.replace("gang: [T-32]", f"gang: {gang}"), encoding="utf-8")
    with pytest.raises(BadInput, match=words):
        read_job(book, draws=50)
