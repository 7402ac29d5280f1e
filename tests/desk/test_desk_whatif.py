"""A set with something changed on it: every change, paired differences, clear refusals."""

from __future__ import annotations

import json

import numpy as np
import pytest

from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.desk.document import SetWhatIf
from setwright.desk.plan import read_job
from setwright.desk.set_whatif import STEPS, apply, compared, one_set_changed
from setwright.sets.evaluate import evaluate

BOOK = DATA / "demo" / "line-book.yaml"
GOOD = {
    "trap": "T-21",
    "trip_force": "2 lbf",
    "springs": "2",
    "jaws": "laminated",
    "chain": "five-foot",
    "anchor": "rod",
    "board": "yes",
    "cover": "waxed-dirt",
    "cover_depth": "1/2 in",
    "pan_depth": "2 1/2 in",
    "off_centre": "4 in",
    "visit": "36 h",
}


@pytest.fixture(scope="module")
def job():
    return read_job(BOOK, draws=100)


def on(name: str) -> str:
    return "dam" if name in ("pan_depth", "off_centre") else "ridge"


@pytest.mark.parametrize("name", STEPS)
def test_every_change_is_made_and_said(job, name: str) -> None:
    key = on(name)
    context, rig = job.contexts[key], job.stated[key]
    changed = apply(job, context, rig, {name: GOOD[name]})
    assert len(changed.words) == 1 and changed.words[0]
    assert (changed.context, changed.rig) != (context, rig), "something is different"
    assert job.contexts[key] is context, "and what it was stays"


def test_no_change_no_difference(job) -> None:
    before = evaluate(job.contexts["ridge"], job.stated["ridge"], job.person)
    found = compared(job, job.contexts["ridge"], before, {"chain": "short-12"})
    assert found.held == (0.0, 0.0, 0.0) and found.others == (0.0, 0.0, 0.0)
    assert found.say.startswith("Held in 100 waits stay as they are")


def test_a_lighter_pan_lets_small_animals_in(job) -> None:
    before = evaluate(job.contexts["ridge"], job.stated["ridge"], job.person)
    found = compared(job, job.contexts["ridge"], before, "trip_force=1 lbf, jaws = laminated")
    assert found.changes == ["pan set to 1.0 lbf", "laminated jaws"]
    assert found.others[1] > 0, "in nine draws of ten, and in fact in all"
    assert "more firings by others" in found.say
    after = {row.species: row.first[0] for row in found.after.outcome}
    was = {row.species: row.first[0] for row in found.before.outcome}
    assert after["striped_skunk"] > 2 * was["striped_skunk"]
    assert found.before.rig.label == found.after.rig.label


def test_differences_are_paired(job) -> None:
    before = evaluate(job.contexts["ridge"], job.stated["ridge"], job.person)
    changed = apply(job, job.contexts["ridge"], job.stated["ridge"], {"trip_force": "4 lbf"})
    after = evaluate(changed.context, changed.rig, job.person)
    found = compared(job, job.contexts["ridge"], before, {"trip_force": "4 lbf"})
    gain = 100.0 * (after.held - before.held)
    assert found.held == pytest.approx(tuple(np.quantile(gain, q) for q in (0.5, 0.05, 0.95)), abs=1e-9)
    assert np.ptp(gain) < np.ptp(100.0 * before.held), "what is not known of visits drops out"


def test_a_later_visit_holds_longer_and_may_break_the_law(job) -> None:
    before = evaluate(job.contexts["ridge"], job.stated["ridge"], job.person)
    found = compared(job, job.contexts["ridge"], before, {"visit": "60 h"})
    assert found.before.links[-1].standing != "fails" and found.after.links[-1].standing == "fails"


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ("trip_force", "name=value"),
        ("trip_force=3", "the unit is missing"),
        ("trip_force=300 lbf", "outside what can be"),
        ("trip_force=3 lbf, trip-force=2 lbf", "changed twice"),
        ("colour=red", "no such change"),
        ("springs=3", "allowed: 2, 4"),
        ("chain=gold", "short-12"),
        ("anchor=gold", "rod"),
        ("trap=gold", "no such trap"),
        ("jaws=gold", "laminated"),
        ("board=perhaps", "yes, no"),
        ("cover=gold", "dry-dirt"),
        ("pan_depth=2 in", "does not stand in water"),
        ("visit=20 min", "outside what can be"),
    ],
)
def test_what_cannot_be_is_refused_by_name(changes: str, words: str) -> None:
    with pytest.raises(BadInput, match="what-if") as found:
        one_set_changed(BOOK, "ridge", changes, draws=50)
    assert words in str(found.value)


def test_a_cover_in_water_is_refused() -> None:
    with pytest.raises(BadInput, match="in water has no cover"):
        one_set_changed(BOOK, "dam", "cover=dry-dirt", draws=50)


def test_the_document_as_json() -> None:
    found = one_set_changed(BOOK, "dam", "pan_depth=6 in, off_centre=0 in", draws=50)
    text = found.model_dump_json(by_alias=True)
    assert SetWhatIf.model_validate_json(text) == found
    assert "NaN" not in text and json.loads(text)["changes"][0].startswith("6 in of water")


def test_a_book_without_that_site() -> None:
    with pytest.raises(BadInput, match="no such site"):
        one_set_changed(BOOK, "nowhere", "springs=2", draws=50)
