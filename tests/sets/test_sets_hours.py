"""The outcome by the hour in the chain: grid, parts of the day, order by hour, hours held."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.tables import DATA
from setwright.desk.plan import read_job
from setwright.sets import hours as hours_module
from setwright.sets import level
from setwright.sets.check import check_link
from setwright.sets.context import Kept
from setwright.sets.evaluate import evaluate
from setwright.sets.hours import (
    even_shares,
    held_for,
    hourly_shares,
    misfire_shares,
    over_wait,
    parts_of_day,
    wait_of,
)
from setwright.sets.level import level_order, level_share
from setwright.sets.order import frost_order, frost_share
from setwright.sets.outcome import outcome

READ = Source(Kind.MEASURED, "test")
PROPERTY = settings(max_examples=20, deadline=None)


@pytest.fixture(scope="module")
def job():
    return read_job(DATA / "demo" / "line-book.yaml", draws=200)


def at(job, key):
    return job.contexts[key], job.stated[key]


def fresh(context, **changes):
    return replace(context, kept=Kept(), line_kept=Kept(), **changes)


def sunless(context):
    return fresh(context, conditions=replace(context.conditions, night=None, sunrise=None, sunset=None))


@PROPERTY
@given(late=st.integers(0, 59), minutes=st.integers(1, 80 * 60))
def test_the_grid_covers_the_wait_and_is_cut_at_full_hours(job, late, minutes):
    context, _ = at(job, "ridge")
    made = context.check.made + timedelta(minutes=late)
    check = replace(context.check, made=made, visit=made + timedelta(minutes=minutes))
    wait = wait_of(fresh(context, check=check))
    assert wait.edges[0] == 0.0 and wait.edges[-1] == pytest.approx(minutes / 60.0)
    assert (wait.widths > 0).all() and (wait.widths <= 1.0 + 1e-12).all()
    assert all(start.minute == 0 for start in wait.starts[1:]) and wait.starts[0] == made
    assert wait.middles.size == wait.widths.size and (np.diff(wait.middles) > 0).all()


def test_constant_rates_in_a_trap_in_order_are_the_outcome_of_whole_nights(job):
    context, rig = at(job, "ridge")
    still = sunless(context)
    found = evaluate(still, rig, job.person)
    whole = outcome(
        found.timing.firing, found.timing.close, found.timing.hold, found.timing.misfire,
        np.full(context.n, context.check.nights),
    )  # fmt: skip
    for key, row in whole.items():
        for name in ("first", "held", "lost"):
            assert np.allclose(getattr(found.outcome[key], name), getattr(row, name), rtol=1e-9, atol=1e-15), key


def test_even_hours_make_all_of_a_nights_visits_and_misfires(job):
    context, _ = at(job, "ridge")
    for place in (context, sunless(context)):
        widths = wait_of(place).widths
        assert float(even_shares(place) @ widths) == pytest.approx(place.check.nights)
        assert float(misfire_shares(place) @ widths) == pytest.approx(place.check.nights)


def test_a_whole_day_has_all_of_an_animals_visits_however_the_sun_stands(job):
    context, _ = at(job, "ridge")
    day = replace(context.check, visit=context.check.made + timedelta(hours=24))
    for shift in (-3, 0, 3):
        sky = replace(context.conditions, sunset=context.conditions.sunset + timedelta(hours=shift))
        place = fresh(context, check=day, conditions=sky)
        for species in context.species.values():
            total = float(hourly_shares(place, species) @ wait_of(place).widths)
            assert total == pytest.approx(1.0, rel=0.08), (species.key, shift)


def test_a_night_animal_comes_in_the_dark_and_a_day_animal_by_day(job):
    context, _ = at(job, "ridge")
    parts = parts_of_day(context)
    assert {int(part) for part in parts} == {0, 1, 2}

    def shares(night, twilight, day):
        figures = {
            name: Quantity(value, "one", READ)
            for name, value in (("night", night), ("twilight", twilight), ("day", day))
        }
        return hourly_shares(context, replace(context.target, **figures))

    by_night, by_day = shares(1.0, 0.0, 0.0), shares(0.0, 0.0, 1.0)
    assert (by_night[parts == 0] > 0).all() and (by_night[parts != 0] == 0).all()
    assert (by_day[parts == 2] > 0).all() and (by_day[parts != 2] == 0).all()
    assert float(by_day @ wait_of(context).widths) < float(by_night @ wait_of(context).widths)


def test_the_sun_parts_the_wait_where_it_stands(job):
    context, _ = at(job, "ridge")
    parts, starts = parts_of_day(context), wait_of(context).starts
    for part, start in zip(parts, starts, strict=True):
        middle = start + timedelta(minutes=30)
        near = min(abs(middle - context.conditions.sunset), abs(middle - context.conditions.sunrise))
        if near <= timedelta(minutes=30):
            assert part == hours_module.DUSK
        elif (
            context.conditions.sunset + timedelta(hours=2) < middle < context.conditions.sunrise - timedelta(hours=2)
        ):
            assert part == hours_module.DARK


def test_an_animal_without_known_hours_comes_evenly_in_the_dark(job):
    context, _ = at(job, "ridge")
    unknown = replace(context.target, night=Quantity(None, "one", READ))
    assert np.array_equal(hourly_shares(context, unknown), even_shares(context))
    dark = context.conditions.night.dark[: wait_of(context).widths.size]
    assert (even_shares(context)[~dark] == 0).all() and (even_shares(context)[dark] > 0).all()


def test_a_wait_longer_than_its_record_takes_the_same_clock_hours_again():
    record = np.arange(30.0)[None, :]
    found = over_wait(record, 50)[0]
    assert np.array_equal(found[:30], record[0]) and np.array_equal(found[30:], np.r_[6.0:30.0][:20])
    assert np.array_equal(over_wait(record, 10)[0], record[0, :10])


def test_frost_that_comes_late_takes_less_than_its_share_of_the_night(job):
    context, rig = at(job, "orchard")
    order = frost_order(context, rig)
    assert order.free.shape == order.crust.shape and order.free.shape[0] == context.n
    crust = np.median(order.crust, axis=0)
    assert crust[0] == 0.0 and crust.max() > 50.0, "the crust grows in the night"
    share = frost_share(context, rig)[0]
    found = evaluate(context, rig, job.person)
    target = found.by_hour[found.target]
    assert target[:3].sum() > target[-8:].sum(), "who comes early meets a trap that is still free"
    assert 0.0 < float(np.mean(share)) < 1.0


def test_a_crust_keeps_light_feet_off_before_heavy_ones(job):
    context, rig = at(job, "orchard")
    order = evaluate(context, rig, job.person).timing.in_order
    weights = {key: species.mass.number for key, species in context.species.items()}
    light, heavy = min(weights, key=weights.get), max(weights, key=weights.get)
    assert (order[light] <= order["misfire"] + 1e-12).all()
    assert float(order[light].mean()) < float(order[heavy].mean())


def test_level_by_the_hour_has_the_mean_of_the_check(job):
    for key in ("dam", "muck", "cattail"):
        context, _ = at(job, key)
        even = level_order(context, np.linspace(0.0, 1.0, level.EVEN))
        assert np.array_equal(even.mean(axis=1), level_share(context)[0]), key
        fine = level_order(context, (np.arange(400) + 0.5) / 400)
        assert float(np.abs(fine.mean(axis=1) - even.mean(axis=1)).mean()) < 0.03
    assert level_order(at(job, "ridge")[0], np.array([0.5])) is None


def test_a_level_that_stays_leaves_each_draw_in_or_out_for_the_whole_wait(job):
    context, _ = at(job, "dam")
    still = level_order(fresh(context, conditions=replace(context.conditions, level=None)), np.linspace(0.0, 1.0, 7))
    assert set(np.unique(still)) <= {0.0, 1.0} and (still == still[:, :1]).all() and still.max() == 1.0


def test_hours_frozen_down_are_off_the_clock_for_all(job):
    context, rig = at(job, "orchard")
    night = context.conditions.night
    cold = replace(night, equivalent=night.equivalent - 8.0, before=night.before - 8.0)
    place = fresh(context, conditions=replace(context.conditions, night=cold))
    free = frost_order(place, rig).free
    order = evaluate(place, rig, job.person).timing.in_order
    assert np.array_equal(order["misfire"], over_wait(free, order["misfire"].shape[1]))
    assert free[:, -6:].mean() < 0.7 < free[:, 0].mean(), "a wet cover holds the jaws down by morning"
    assert all((part <= order["misfire"] + 1e-12).all() for part in order.values())


def test_hours_held_stand_with_the_result_and_on_the_check(job):
    context, rig = at(job, "ridge")
    found = evaluate(context, rig, job.person)
    half, long = found.hours_held(found.target), found.hours_held(found.target, 0.95)
    assert 0.0 < half < long <= context.check.hours + 1e-9
    timed = found.timed
    row = timed.causes.index(found.target)
    longer = timed.risk.first[row].mean(axis=0)
    assert np.allclose(longer, found.by_hour[found.target])
    assert "is held" in found.links[5].checks[0].why.template
    assert "is held" not in check_link(context).checks[0].why.template
    assert sum(found.by_hour[key].sum() for key in found.by_hour) == pytest.approx(
        1.0 - float(np.mean(found.outcome["nothing"].first))
    )


def test_time_held_of_even_firing_is_the_rest_of_the_wait(job):
    wait = wait_of(at(job, "ridge")[0])
    even = wait.widths / wait.edges[-1]
    for share in (0.05, 0.5, 0.95):
        assert held_for(even, wait, share) == pytest.approx(share * wait.edges[-1])
    assert np.isnan(held_for(np.zeros_like(even), wait, 0.5))
    last = np.zeros_like(even)
    last[-1] = 0.2
    assert held_for(last, wait, 0.95) <= wait.widths[-1]


def test_facts_of_a_held_animal_stand_with_the_result(job):
    context, rig = at(job, "ridge")
    assert {fact.key for fact in evaluate(context, rig, job.person).facts} & {"early_check", "day_check"}
