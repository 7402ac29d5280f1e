"""The designer against every combination evaluated one by one, and gates that no catch buys back."""

from __future__ import annotations

from collections import Counter
from dataclasses import astuple, replace
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.verdict import Answer, Standing
from setwright.desk.plan import read_job
from setwright.sets.designer import RESOLUTION, design, undominated
from setwright.sets.designer_combine import Links, combine, figures_of
from setwright.sets.designer_gates import guarded, law_screens, pets, welfare_screens
from setwright.sets.designer_options import Menu, Pick, menu_of
from setwright.sets.evaluate import evaluate

BOOK = Path(__file__).resolve().parents[2] / "docs" / "examples" / "dogs-run.yaml"
FIELDS = ("catch", "others", "pets", "guarded")


@pytest.fixture(scope="module")
def job():
    return read_job(BOOK, draws=120)


@pytest.fixture(scope="module")
def small(job):
    """Two kinds of traps and one anchor, so that every combination can be evaluated."""
    traps = tuple(trap for trap in job.options.traps if trap.trap_id[:4] in ("A-01", "A-11"))
    return replace(job.options, traps=traps, anchors=job.options.anchors[:1], covers=job.options.covers[:1])


def everything(menu: Menu) -> list[Pick]:
    return [
        Pick(tuned, force, *rest)
        for tuned, one in enumerate(menu.tuned)
        for force in range(len(one.forces))
        for rest in product(*(range(size) for size in menu.sizes[2:]))
    ]


def key_of(figures) -> tuple[int, int, int]:
    return round(figures.catch / RESOLUTION), -round(figures.others / RESOLUTION), -round(figures.minutes / 5.0)


def betters(one, other) -> bool:
    return one != other and all(a >= b for a, b in zip(one, other, strict=True))


@pytest.fixture(scope="module", params=["track", "hedge"])
def searched(request, job, small):
    """A site, its menu, and every combination evaluated in full."""
    context = job.contexts[request.param]
    menu = menu_of(context, small, None, job.person)
    whole = {}
    for pick in everything(menu):
        at = menu.placements[pick.placement].context
        whole[pick] = at, evaluate(at, menu.rig(pick), job.person)
    return context, menu, whole, design(context, small, None, job.person)


def figures(job, menu, whole, pick):
    return figures_of(*whole[pick], menu.minutes(pick), job.person.closed)


def meets(result) -> bool:
    return result.standing is not Standing.FAILS and (result.lawful, result.welfare) == (Answer.MEETS, Answer.MEETS)


def breaks(result) -> bool:
    return result.standing is Standing.FAILS or Answer.BREAKS in (result.lawful, result.welfare)


def test_nothing_owned_betters_a_member(job, searched):
    _, menu, whole, found = searched
    assert len(whole) > 20
    for members, wanted in ((found.members, meets), (found.unsettled, lambda r: not meets(r) and not breaks(r))):
        good = {
            pick: key_of(figures(job, menu, whole, pick)) for pick, (_, result) in whole.items() if wanted(result)
        }
        assert bool(good) == bool(members)
        for member in members:
            assert wanted(member.result)
            own = key_of(member.figures)
            assert not any(betters(other, own) for other in good.values()), member.words
        told = {key_of(member.figures) for member in members}
        for key in good.values():
            assert any(key == own or betters(own, key) for own in told), "each one is matched by a member"


def test_combined_figures_are_near_those_of_the_whole_chain(job, searched):
    """They take the hours of all animals together; who comes at which hour is left to the whole chain."""
    context, menu, whole, _ = searched
    links = Links(menu, job.person)
    open_ = np.full(menu.sizes, 2, dtype=np.int8)
    for tuned, one in enumerate(menu.tuned):
        open_[tuned, len(one.forces) :] = 0
    combined = list(combine(links, open_))
    assert len(combined) == len(whole)
    for one in combined:
        exact = figures(job, menu, whole, one.pick)
        for name in FIELDS:
            assert getattr(one.figures, name) == pytest.approx(getattr(exact, name), rel=0.06, abs=0.02), (
                f"{context.site.key} {name} of {one.pick}"
            )


def test_screens_answer_as_the_whole_evaluation_does(job, searched):
    _, menu, whole, _ = searched
    law = np.full(menu.sizes, 2, dtype=np.int8)
    for screen in law_screens(menu, job.person):
        law = np.minimum(law, screen.codes)
    codes = {Answer.BREAKS: 0, Answer.CANNOT_TELL: 1, Answer.MEETS: 2}
    for pick, (_, result) in whole.items():
        assert law[astuple(pick)] == codes[result.lawful], pick
    names = Counter(screen.name for screen in welfare_screens(menu, job.person.closed))
    told = {gate.name for _, result in whole.values() for gate in result.gates}
    assert set(names) == told - {"others"}, "every gate but the one on other animals, which is told with the figures"


def test_cuts_and_what_is_left_add_up(searched):
    _, menu, whole, found = searched
    welfare = sum(cut.count for cut in found.cuts if cut.name == "others")
    before = sum(cut.count for cut in found.cuts if cut.name != "others")
    assert before + found.combined == len(whole)
    assert welfare <= found.combined
    assert (
        found.possible
        == sum(len(one.forces) for one in menu.tuned) * len(menu.placements) * len(menu.beds) * menu.tackle_seen
    )


def test_catch_never_buys_a_gate_back(job, small):
    """More targets coming by changes no answer of law, and never brings in what breaks a gate."""
    context = job.contexts["track"]
    poor = replace(context, site=replace(context.site, sign={**context.site.sign, "red_fox": "some"}))
    for at in (context, poor):
        found = design(at, small, None, job.person)
        for member in (*found.members, *found.unsettled):
            assert not breaks(member.result)
            assert Answer.BREAKS not in [gate.answer for gate in member.result.gates]


def test_who_counts_as_other(job):
    context = job.contexts["track"]
    closed = job.person.closed
    assert "dog_medium" in pets(context)
    assert context.site.target not in (*pets(context), *guarded(context, closed))
    assert not set(pets(context)) & set(guarded(context, closed))


def test_where_nothing_owned_fits_a_change_is_told_and_computed(job, small):
    """Jaws that the rules of this place do not allow, and no others owned."""
    context = job.contexts["hedge"]
    plain = tuple(trap for trap in small.traps if trap.jaws == "regular")
    found = design(context, replace(small, traps=plain), None, job.person)
    good = [*found.members, *found.unsettled]
    if good:
        assert all(member.result.rig.trap.jaws != "regular" for member in good), "given other jaws first"
    bare = tuple(replace(trap, family="long", springs=2) for trap in plain)
    found = design(context, replace(small, traps=bare, anchors=()), None, job.person)
    assert not found.members
    assert found.unsettled or breaks(found.nearest.result)
    for mended in found.mended:
        assert mended.whole == (meets(mended.result)), "what is said to mend it stands when it is computed anew"


def test_owning_more_never_takes_the_best_away(job, small):
    context = job.contexts["hedge"]
    less = replace(small, traps=tuple(t for t in small.traps if t.trap_id.startswith("A-11")))

    def best(options):
        found = design(context, options, None, job.person)
        return max((m.figures.catch for m in (*found.members, *found.unsettled)), default=0.0)

    assert best(small) >= best(less) - RESOLUTION
    assert best(job.options) >= best(small) - RESOLUTION


keys = st.tuples(st.integers(-5, 5), st.integers(-5, 5), st.integers(-5, 5))


@given(st.lists(keys, max_size=30))
def test_what_is_kept_is_just_what_nothing_betters(found):
    kept = undominated(found)
    assert len({found[place] for place in kept}) == len(kept), "of alike ones the first"
    assert {found[place] for place in kept} == {
        one for one in found if not any(betters(other, one) for other in found)
    }


def test_the_same_question_has_the_same_answer(job, small):
    context = job.contexts["track"]
    one, two = (design(context, small, None, job.person) for _ in range(2))
    assert [m.figures for m in one.members] == [m.figures for m in two.members]
    assert [m.words for m in one.unsettled] == [m.words for m in two.unsettled]
