"""Tonight: the three answers of every set, hours, work before dark, cover and additive, ages of the records."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest

from desk.evening_forecast import NIGHT, START, grid, write
from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.desk.tonight import read_evening, tonight
from setwright.desk.tonight_document import Tonight
from setwright.desk.tonight_words import trapper_of
from setwright.line.records import Fresh
from setwright.sets.evaluate import evaluate
from setwright.sheets.evening import write_evening_drawings

BOOK = DATA / "demo" / "line-book.yaml"
WARM = [6.0] * 30


@pytest.fixture(scope="module")
def demo():
    return tonight(BOOK, draws=150)


def by_site(found):
    return {one.site: one for one in found.sets}


def test_every_set_that_stands_has_its_answers(demo):
    sets = by_site(demo)
    assert (
        len(sets) == 14
        and sum(demo.counts[word] for word in ("fires", "doubtful", "will not fire", "cannot tell")) == 14
    )
    assert sets["orchard"].fires == "will not fire" and sets["ridge"].fires == "fires"
    for one in demo.sets:
        assert (one.works is None) == (one.medium == "land") == (one.level is None)
        assert one.submerges is None or one.holds_alive == (one.submerges != "submerges")
        assert one.say and (one.cause or one.fires == "fires")
    assert Tonight.model_validate_json(demo.model_dump_json(by_alias=True)) == demo


def test_it_says_of_frost_what_the_chain_says(demo):
    job = read_evening(BOOK, Fresh(), draws=150)
    words = {"sound": "fires", "thin": "doubtful", "fails": "will not fire", "cannot tell": "cannot tell"}
    for key in ("orchard", "ridge", "bench"):
        result = evaluate(job.contexts[key], job.stated[key], job.person)
        fire = next(link for link in result.links if link.link == "fire")
        frost = next(check for check in fire.checks if check.name == "frost")
        assert by_site(demo)[key].fires == words[frost.standing.value], key


def test_heat_is_told_to_the_trapper_on_a_warm_damp_day_and_on_no_other(demo):
    assert demo.trapper.heat is None and "feels like" not in demo.trapper.say
    night = read_evening(BOOK, Fresh(), draws=50).day.conditions.night
    # Rothfusz 1990, coefficients as printed: 90 °F at 50 % feels like 94.6 °F; the chart begins at 80 °F.
    warm, mild = (np.full(night.air.shape, (at - 32.0) / 1.8) for at in (90.0, 74.0))
    told = trapper_of(replace(night, air=warm, humidity=np.full(warm.shape, 0.5)), None)
    assert told.heat == pytest.approx((94.6 - 32.0) / 1.8, abs=0.05)
    assert "feels like 95 °F to a person" in told.say
    for quiet in (replace(night, air=mild, humidity=np.full(mild.shape, 0.5)),
                  replace(night, air=warm, humidity=np.full(warm.shape, np.nan))):  # fmt: skip
        assert trapper_of(quiet, None).heat is None


def test_hours_lost_lie_between_the_mild_and_the_hard_forecast(demo):
    frost = by_site(demo)["orchard"].frost
    assert frost.mild <= frost.told <= frost.hard <= frost.wait
    middle, low, high = frost.lost
    assert low <= middle <= high <= frost.wait and 0.0 < frost.visits_lost[0] <= 1.0
    assert datetime.fromisoformat(frost.first_hard) <= datetime.fromisoformat(frost.first)
    assert all(a <= b + 1e-9 for a, b in zip(frost.crust_mild, frost.crust_hard, strict=True))


def test_a_warm_night_loses_nothing_and_a_cold_one_more(tmp_path):
    warm = tonight(BOOK, fresh=Fresh(forecast=write(tmp_path, grid(WARM))), draws=100)
    assert {one.fires for one in warm.sets} == {"fires"}
    assert all(one.ice is None for one in warm.sets) and not any(caution.head == "Ice" for caution in warm.cautions)
    mild = tonight(BOOK, fresh=Fresh(forecast=write(tmp_path, grid())), draws=100)
    hard = tonight(BOOK, fresh=Fresh(forecast=write(tmp_path, grid([value - 6.0 for value in NIGHT]))), draws=100)
    lost = [by_site(found)["orchard"].frost.lost[0] for found in (warm, mild, hard)]
    assert lost[0] == 0.0 < lost[1] <= lost[2]


def test_rain_before_the_frost_takes_dry_dirt_and_not_waxed(tmp_path):
    rain = [0.0] * 30
    rain[1] = 6.0
    wet = grid(
        quantitativePrecipitation={"uom": "wmoUnit:mm", "values": grid()["properties"]["temperature"]["values"]}
    )
    for entry, value in zip(wet["properties"]["quantitativePrecipitation"]["values"], rain, strict=True):
        entry["value"] = value
    sets = by_site(tonight(BOOK, fresh=Fresh(forecast=write(tmp_path, wet)), draws=100))
    dry = by_site(tonight(BOOK, fresh=Fresh(forecast=write(tmp_path, grid())), draws=100))
    assert sets["ridge"].fires == "will not fire" and dry["ridge"].fires == "fires"
    assert sets["post"].frost.lost[0] < sets["ridge"].frost.lost[0], "waxed dirt sheds the rain"


def test_the_age_of_a_forecast_stands_with_it_and_a_stale_one_says_so(tmp_path):
    path = write(tmp_path, grid(issued=START - timedelta(hours=3)))
    record = tonight(BOOK, fresh=Fresh(forecast=path), draws=60).records[0]
    assert record.what == "forecast" and record.age_hours == pytest.approx(3.5) and not record.stale
    old = write(tmp_path, grid(issued=START - timedelta(hours=30)))
    with pytest.raises(BadInput, match="stale"):
        tonight(BOOK, fresh=Fresh(forecast=old), draws=60)
    said = tonight(BOOK, fresh=Fresh(forecast=old, stale=True), draws=60).records[0]
    assert said.stale and "stale" in said.remarks[0].lower()


def test_the_work_fits_before_dark_and_what_must_not_stand_comes_first(demo):
    work = demo.work
    sets = {one.number: one for one in demo.sets}
    assert work.minutes <= work.minutes_left and work.musts == sum(stop.must for stop in work.stops)
    assert all(datetime.fromisoformat(stop.done) <= datetime.fromisoformat(work.until) for stop in work.stops)
    for stop in work.stops:
        one = sets[stop.number]
        assert stop.must == (one.law == "breaks" or one.submerges == "does not")
    none = tonight(BOOK, minutes=0.0, draws=60).work
    assert none.stops == [] and len(none.left_out) >= 5
    long = tonight(BOOK, minutes=600.0, draws=60).work
    assert long.left_out == [] and long.saved >= work.saved


def test_a_cover_is_advised_only_when_the_chain_finds_it_sound(demo):
    orchard = by_site(demo)["orchard"]
    assert [way.saves for way in orchard.work] == [True] and "dry dirt" in orchard.work[0].what
    assert orchard.needs.kind == "dry-dirt"
    total = {cover.kind: cover for cover in demo.covers}
    parts = [one.needs for one in demo.sets if one.needs is not None and one.needs.kind == "dry-dirt"]
    assert total["dry-dirt"].volume == pytest.approx(sum(part.volume for part in parts))
    assert total["dry-dirt"].gallons == pytest.approx(total["dry-dirt"].litres / 3.785411784, rel=0.01)
    for part in parts:
        assert 1.4 <= 0.003785411784 / part.volume <= 4.0, (
            "trappers reckon two or three sets a gallon (common practice)"
        )


def test_ethylene_glycol_is_refused_with_the_reason_and_salt_comes_with_its_harm():
    with pytest.raises(BadInput, match="poisons pets"):
        tonight(BOOK, additive="ethylene-glycol", draws=60)
    with pytest.raises(BadInput, match="no such additive"):
        tonight(BOOK, additive="sugar", draws=60)
    salt = tonight(BOOK, additive="sodium-chloride", draws=60).additive
    assert "rusts" in salt.harm and "refuse" in salt.harm and [one.number for one in salt.sets] == [6]
    assert 0.02 < salt.sets[0].mass < 0.6


@pytest.mark.parametrize(
    ("pan", "fall_per_day", "answer"),
    [(0.05, 0.0, "works"), (0.004, 0.0, "too shallow"), (0.3, 0.0, "too deep"), (0.05, 3.0, "dry")],
)
def test_the_state_is_that_of_the_water_over_the_pan(tmp_path, pan, fall_per_day, answer):
    book = BOOK.read_text(encoding="utf-8").replace("pan_depth: 2 1/2 in", f"pan_depth: {pan} m")
    (tmp_path / "line-book.yaml").write_text(book, encoding="utf-8")
    hours = 24 * 7 * 8
    rows = [
        f"{(START - timedelta(hours=hours - hour)).isoformat()},{100.0 - fall_per_day * hour / 24.0}"
        for hour in range(hours)
    ]
    head = "# label: pond\n# origin: own staff\n# licence: own\n# stand-in: no\ntime,stage_m\n"
    (tmp_path / "gauge.csv").write_text(head + "\n".join(rows), encoding="utf-8")
    found = tonight(tmp_path / "line-book.yaml", fresh=Fresh(gauge=tmp_path / "gauge.csv"), draws=60)
    one = by_site(found)["crossover"]
    assert one.works == answer
    shares = [one.level.works_share[0], one.level.too_deep, one.level.too_shallow, one.level.dry]
    assert sum(shares) == pytest.approx(1.0, abs=0.05)
    if fall_per_day:
        assert one.submerges == "does not" and one.holds_alive, "a pond that runs out takes nothing under"


def test_light_is_rounded_inward_and_without_a_place_nothing_is_told(demo):
    sunset = datetime.fromisoformat(demo.light.sunset)
    assert (sunset.hour, sunset.minute) == (17, 6) and demo.work.until == demo.light.sunset


def test_no_word_of_it_calls_ice_safe_or_claims_painlessness(demo):
    text = demo.model_dump_json()
    assert "is safe" not in text and "safe ice" not in text.lower()
    assert "Computed, not measured" in text and "No claim is made that it is painless" in text


def test_a_book_in_which_nothing_stands_is_named(tmp_path):
    text = BOOK.read_text(encoding="utf-8")
    bare = "\n".join(line for line in text.splitlines() if not line.startswith("    rig:"))
    path = tmp_path / "line-book.yaml"
    path.write_text(bare, encoding="utf-8")
    with pytest.raises(BadInput, match="no set stands"):
        tonight(path, draws=60)


def test_the_coming_nights_are_told_by_cover_and_night():
    found = tonight(BOOK, nights=3, draws=60).coming
    rows = {cover.kind: cover for cover in found.covers}
    assert {"dry-dirt", "peat-dry", "waxed-dirt", "loam-wet"} <= set(rows)
    assert [len(row.nights) for row in found.covers] == [3] * len(found.covers)
    for night in rows["loam-wet"].nights:
        assert night.mild <= night.told <= night.hard <= night.hours
    assert sum(night.told for night in rows["loam-wet"].nights) > 10 > sum(n.told for n in rows["dry-dirt"].nights)
    assert len(found.times) == len(found.dark) == len(rows["dry-dirt"].crust)
    with pytest.raises(BadInput, match="coming nights"):
        tonight(BOOK, nights=9, draws=60)


def test_drawings_of_the_evening_are_written_as_files(tmp_path):
    found = tonight(BOOK, nights=1, draws=60)
    files = {path.name for path in write_evening_drawings(found, tmp_path / "drawn")}
    assert {"coming-nights.svg", "06-orchard-frost.svg", "10-dam-level.svg", "10-dam-section.svg"} <= files
    for name in files:
        ET.fromstring((tmp_path / "drawn" / name).read_text(encoding="utf-8"))


def test_ground_that_nobody_read_is_followed_through_the_record_and_said(tmp_path):
    lines = BOOK.read_text(encoding="utf-8").splitlines()
    book = tmp_path / "line-book.yaml"
    book.write_text("\n".join(line for line in lines if "soil_temperature" not in line), encoding="utf-8")
    found = tonight(book, draws=60)
    assert any("Nobody read the ground" in note for note in found.notes)
    sets = by_site(found)
    warmth = next(entry for entry in sets["ridge"].provenance if entry.what == "warmth of the ground")
    assert warmth.kind == "assumed" and "hours of the record" in warmth.source
    assert sets["ridge"].fires == "fires", "rain of weeks ago lies in no cover"
    assert sets["orchard"].fires == "will not fire"
    read = by_site(tonight(BOOK, draws=60))["orchard"].frost.lost[0]
    assert abs(sets["orchard"].frost.lost[0] - read) < 3.0
