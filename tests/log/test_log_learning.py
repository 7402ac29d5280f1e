"""What is learned from a log: seasons made up from a known truth give that truth back, as often as they say."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from log.makers import EAST, event
from setwright.animal.contacts import step_update
from setwright.basis.errors import BadInput
from setwright.cli.main import app
from setwright.desk.demo_season import demo_season
from setwright.desk.learning import learned_job
from setwright.desk.plan import read_job
from setwright.log import kinds, learn
from setwright.log.amend import standing
from setwright.log.evidence import AnchorStory, Segment, anchors, minutes, pans, sites
from setwright.log.fold import fold
from setwright.log.harvest import animals
from setwright.log.simulate import DEVICE, MadeUpAnimal, MadeUpSet, season
from setwright.log.store import Store
from setwright.log.waits import read

DEMO = Path(__file__).resolve().parents[2] / "src" / "setwright" / "data" / "demo" / "line-book.yaml"
BEGIN = dt.datetime(2026, 11, 1, 7, 0, tzinfo=EAST)
# Laws from which the truth is drawn: what the plan assumes before a log.
RATE, RATE_SPREAD = 0.4, 0.68
STEP_MODEL, STEP_WEIGHT = 0.35, 8.0
FACTOR, FACTOR_SPREAD = 0.6, 0.21
STRENGTH, STRENGTH_SPREAD = 1500.0, 0.4
MINUTES = learn.Band(8.0, 8.0 * np.exp(-0.56), 8.0 * np.exp(0.56))


def truth(number: int) -> tuple[list[MadeUpSet], dict[str, float]]:
    """Sets of one season with everything drawn from what is assumed."""
    dice = np.random.default_rng([77, number])
    by_firing, by_day = dice.normal(0.0, learn.BY_FIRING), dice.normal(0.0, learn.BY_DAY)
    factor = FACTOR * np.exp(FACTOR_SPREAD * dice.standard_normal())
    found = {"by_firing": by_firing, "by_day": by_day, "factor": factor}
    made = []
    for k in range(8):
        rate = RATE * np.exp(RATE_SPREAD * dice.standard_normal())
        step = dice.beta(STEP_WEIGHT * STEP_MODEL, STEP_WEIGHT * (1 - STEP_MODEL))
        variance = (learn.WEIGHT - 1) * learn.VISIT_SCATTER**2 / dice.gamma(learn.WEIGHT)
        weight = (learn.VISIT_SCATTER * 2 * 1.6448536 / np.log(MINUTES.high / MINUTES.low)) ** 2
        typical = MINUTES.median * np.exp(np.sqrt(variance / weight) * dice.standard_normal())
        found |= {f"rate {k}": rate, f"step {k}": step, f"minutes {k}": typical}
        made.append(
            MadeUpSet(
                f"S{k}", f"P{k}", "flat", "land", "red_fox", f"T{k}", f"R{k % 2}",
                {"red_fox": MadeUpAnimal(rate, step, fire=0.7, hold=0.9)},
                misfires=0.03, by_firing=by_firing, by_day=by_day,
                anchor=STRENGTH * np.exp(STRENGTH_SPREAD * dice.standard_normal()), loosened=factor,
                minutes=typical, spread=float(np.sqrt(variance)),
            )
        )  # fmt: skip
    return made, found


def learned(made: list[MadeUpSet], number: int) -> Iterator[tuple[str, str, learn.Band]]:
    """Every band that the log of the season gives."""
    events = standing(season(made, BEGIN, 25, number)).events
    waits, _ = read(events)
    prior = RATE * np.exp(RATE_SPREAD * np.random.default_rng(3).standard_normal(20_000))
    by_set = minutes(events)
    for place, one in sites(events, waits).items():
        feet, k = one.feet.get("red_fox"), place.removeprefix("P")
        contacts, refusals = (feet.contacts, feet.refusals) if feet else (0, 0)
        yield "visits", f"rate {k}", learn.gamma_band(*learn.visit_rate(prior, contacts + refusals, one.nights))
        belief = step_update(contacts, contacts + refusals, STEP_MODEL, STEP_WEIGHT)
        yield "step", f"step {k}", learn.beta_band(belief.hits, belief.misses)
        yield "minutes", f"minutes {k}", learn.service(by_set[f"S{k}"], MINUTES).typical
    found = learn.drift(pans(events))
    yield "drift", "by_firing", found.band(0)
    yield "drift", "by_day", found.band(1)
    draws = FACTOR * np.exp(FACTOR_SPREAD * np.random.default_rng(4).standard_normal(1500))
    stories = anchors(events)
    weight = learn.loosening(draws, stories, [(STRENGTH, STRENGTH_SPREAD)] * len(stories))
    yield "loosening", "factor", learn.weighted_band(draws, weight)


def coverage(seasons: int) -> dict[str, tuple[float, int]]:
    """Share of bands that hold the truth, by quantity, and how many bands there were."""
    hits: dict[str, list[bool]] = {}
    for number in range(seasons):
        made, true = truth(number)
        for what, name, band in learned(made, number):
            hits.setdefault(what, []).append(band.low <= true[name] <= band.high)
    return {what: (float(np.mean(found)), len(found)) for what, found in hits.items()}


def test_bands_of_nine_in_ten_hold_the_truth_nine_times_in_ten() -> None:
    for what, (share, number) in coverage(10).items():
        reach = 3.5 * np.sqrt(0.9 * 0.1 / number)
        assert abs(share - 0.9) < max(reach, 0.03), f"{what}: {share:.3f} of {number}"


@pytest.mark.slow
def test_the_same_over_many_seasons() -> None:
    for what, (share, number) in coverage(500).items():
        assert 0.87 <= share <= 0.93, f"{what}: {share:.3f} of {number}"


def test_made_up_seasons_say_so_and_repeat() -> None:
    made, _ = truth(3)
    first = season(made, BEGIN, 12, 9)
    assert first == season(made, BEGIN, 12, 9) != season(made, BEGIN, 12, 10)
    assert {one.device for one in first} == {DEVICE} and len({one.id for one in first}) == len(first)
    assert fold(first).sets["S0"].events > 12


def test_a_segment_ends_when_the_pan_is_tuned() -> None:
    events = [
        event(1, kinds.SET, 0, trap_id="T", trip_force=12.0),
        event(2, kinds.CATCH, 1, trap_id="T"),
        event(3, kinds.RESET, 1, place=1, trap_id="T"),
        event(4, kinds.MEASURED, 2, trap_id="T", trip_force=11.0),
        event(5, kinds.SPRUNG, 3, trap_id="T"),
        event(6, kinds.RESET, 3, place=1, trap_id="T", trip_force=14.0),
        event(7, kinds.ESCAPE, 4, trap_id="T"),
    ]
    first, second = pans(events)
    assert (first.days, first.firings, first.force, first.open_firings) == ((0.0, 2.0), (0, 1), (12.0, 11.0), 2)
    assert (second.force, second.open_firings) == ((14.0,), 1)


def test_feet_are_told_apart_from_refusals_and_doubtful_guesses() -> None:
    events = [
        event(1, kinds.SET, 0, site="P"),
        event(2, kinds.TRACK, 1, species_guess="fox"),
        event(3, kinds.REFUSED, 1, place=1, species_guess="fox"),
        event(4, kinds.CHECKED, 1, place=2),
        event(5, kinds.SPRUNG, 2, species_guess="fox", doubtful=True),
        event(6, kinds.RESET, 2, place=1),
        event(7, kinds.CATCH, 3, species="fox"),
    ]
    found = sites(events, read(events)[0])["P"]
    assert (found.feet["fox"].contacts, found.feet["fox"].refusals, found.tracked) == (2, 1, True)
    assert found.nights == pytest.approx(2.5, abs=0.7)


def test_minutes_of_one_visit_are_added_up() -> None:
    visit = "00000000-0000-4000-8000-000000000001"
    events = [
        event(1, kinds.CATCH, 1, visit=visit, minutes=10.0),
        event(2, kinds.RESET, 1, place=1, visit=visit, minutes=15.0),
        event(3, kinds.CHECKED, 2, minutes=4.0),
    ]
    assert minutes(events) == {"S1": [25.0, 4.0]}


def test_nothing_in_the_log_leaves_what_was_assumed() -> None:
    none = learn.service([], MINUTES)
    assert none.typical.median == pytest.approx(MINUTES.median)
    assert learn.drift([]).band(0).median == 0.0
    draws = np.linspace(0.3, 0.9, 500)
    flat = learn.loosening(draws, [AnchorStory("S", ((500.0, True),), (), 2)], [(900.0, 0.4)])
    assert flat == pytest.approx(1 / 500)
    shape, rate = learn.visit_rate(draws, 0, 0)
    assert shape / rate == pytest.approx(draws.mean())
    with pytest.raises(BadInput):
        learn.visit_rate(draws, -1, 3)
    with pytest.raises(BadInput):
        learn.service([0.0], MINUTES)


def test_much_evidence_outweighs_what_was_assumed() -> None:
    shape, rate = learn.visit_rate(np.linspace(0.3, 0.5, 100), 5000, 2500)
    assert shape / rate == pytest.approx(2.0, rel=0.1)
    pulls = AnchorStory("S", ((900.0, True),), ((480.0, True), (520.0, False)), 1)
    draws = np.linspace(0.2, 1.0, 400)
    near = learn.weighted_band(draws, learn.loosening(draws, [pulls] * 40, [(1000.0, 0.01)] * 40))
    assert near.median == pytest.approx(0.5, abs=0.03)
    days = tuple(float(k) for k in range(60))
    pan = Segment("T", 0, days, tuple(range(60)), tuple(10 * np.exp(-0.01 * k) for k in range(60)), 60)
    found = learn.drift([pan] * 5)
    assert found.mean.sum() == pytest.approx(-0.01, abs=2e-3), "firings and days cannot be told apart here"
    now = learn.drifted(pan, 60 * 86_400_000_000, found)
    assert now.low < 10 * np.exp(-0.6) < now.high


def test_the_next_plan_uses_what_was_learned_and_can_be_told_not_to(tmp_path: Path) -> None:
    book = tmp_path / "line.yaml"
    book.write_bytes(DEMO.read_bytes())
    with Store(tmp_path / "line.log.db") as store:
        store.append(demo_season(book))
    run = CliRunner()

    def visits(*words: str) -> str:
        done = run.invoke(app, ["set", str(book), "ridge", "--draws", "60", "--json", *words])
        assert done.exit_code == 0, done.output
        told = json.loads(done.output)
        return str(next(link["shown"] for link in told["links"] if link["link"] == "visit"))

    plain, taught = visits(), visits("--log", "beside")
    assert plain != taught
    assert visits("--log", "beside", "--no-learning") == plain


def test_every_quantity_is_shown_before_and_after(tmp_path: Path) -> None:
    book = tmp_path / "line.yaml"
    book.write_bytes(DEMO.read_bytes())
    job = read_job(book, draws=60)
    lesson = learned_job(job, tmp_path, demo_season(book), dt.datetime(2027, 1, 2, 9, 0, tzinfo=EAST))
    whats = {row.what for row in lesson.rows}
    assert {
        "visits a night",
        "a foot on the pan",
        "working-loose factor",
        "pan trips at",
        "minutes of a visit",
    } <= whats
    for row in lesson.rows:
        assert row.before[1] <= row.before[0] <= row.before[2] and row.after[1] <= row.after[0] <= row.after[2]
        assert row.rests_on
    pattern = job.stated["ridge"].trap.pattern
    known = lesson.job.contexts["ridge"].rig_records[pattern].findings
    caught = [one for one in animals(demo_season(book)) if job.traps[one.trap_id or ""].pattern == pattern]
    assert len(known) == len(caught) > 5, "every held animal reaches the welfare gates"
    assert sum(one.injuries is None for one in known) == sum(one.injuries is None for one in caught)
    ridge = lesson.job.contexts["ridge"]
    assert ridge.records["coyote_west"].nights == pytest.approx(42, abs=6)
    assert ridge.learned["cyclic"].number != 0.6 and not job.contexts["ridge"].learned
    assert lesson.job.stated["ridge"].trap.trip_force.source.text.startswith("log")
    assert job.contexts["ridge"].records == {}, "the line as the book has it is left alone"
