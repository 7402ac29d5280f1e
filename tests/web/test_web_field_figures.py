"""What the field pages work out on the device, held against the same at the desk."""

from __future__ import annotations

import datetime as dt
import random
from collections.abc import Iterator
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Page

from setwright.desk.field import tree
from setwright.law.clock import next_limit
from setwright.log.amend import standing
from setwright.log.event import from_record
from setwright.log.sprung import next_look, weights
from setwright.log.tables import sprung_tree
from web.field_events import entry

ZONES = ("America/New_York", "America/St_Johns", "Europe/Lisbon", "Asia/Kathmandu", "UTC")


@pytest.fixture(scope="module")
def device(browser: Browser, address: str) -> Iterator[Page]:
    context = browser.new_context(timezone_id="Pacific/Auckland")
    page = context.new_page()
    page.goto(f"{address}/field#/run")
    page.wait_for_selector("html[data-ready]")
    yield page
    context.close()


def asked(device: Page, module: str, call: str, given: Any) -> Any:
    return device.evaluate(f"(given) => import('/field/{module}.js').then((it) => {call})", given)


def test_weights_and_the_next_look_are_those_of_the_desk(device: Page) -> None:
    found, sent = sprung_tree(), tree().model_dump()
    dice = random.Random(7)
    for medium in ("land", "water"):
        for _ in range(25):
            looks = dice.sample(found.looks, dice.randint(0, 3))
            seen = {one.key: dice.choice(list(one.answers)) for one in looks}
            given = {"tree": sent, "medium": medium, "seen": seen}
            theirs = asked(device, "sprung", "[it.weights(given.tree, given.medium, given.seen), "
                           "it.nextLook(given.tree, given.medium, given.seen)?.key ?? null]", given)  # fmt: skip
            assert theirs[0] == pytest.approx(weights(found, medium, seen), abs=1e-12)
            here = next_look(found, medium, seen)
            assert theirs[1] == (None if here is None else here.key)


def test_limits_over_changes_of_the_clock_are_those_of_the_law(device: Page) -> None:
    dice = random.Random(11)
    for zone in ZONES:
        place = ZoneInfo(zone)
        for day in (dt.datetime(2026, 10, 31, 12), dt.datetime(2026, 3, 7, 12), dt.datetime(2026, 7, 1)):
            for within in ("PT24H", "PT36H", "P1D", "P3D"):
                moment = (day + dt.timedelta(minutes=dice.randint(0, 2000))).replace(tzinfo=place)
                moment = moment.astimezone(dt.UTC).astimezone(place)
                given = {"at": moment.timestamp() * 1000, "within": within, "zone": zone}
                theirs = asked(
                    device, "clock", "it.limitOf(new Date(given.at), given.within, given.zone).getTime()", given
                )
                assert theirs / 1000 == next_limit(moment, moment, within).timestamp(), (zone, moment, within)


def test_times_carry_the_offset_of_the_line_whatever_the_device_is_set_to(device: Page) -> None:
    dice = random.Random(3)
    for zone in ZONES:
        for _ in range(30):
            moment = dt.datetime.fromtimestamp(dice.randint(1_700_000_000, 1_900_000_000), ZoneInfo(zone))
            given = {"at": moment.timestamp() * 1000, "zone": zone}
            assert asked(device, "clock", "it.iso(new Date(given.at), given.zone)", given) == moment.isoformat()


def test_voids_and_corrections_stand_as_at_the_desk(device: Page) -> None:
    records = [entry(k, set_id=("track", "hedge")[k % 2]) for k in range(6)]
    records += [
        entry(20, "void", corrects=records[1]["id"], reason="wrong"),
        entry(21, "correction", corrects=records[2]["id"], changes={"set_id": "hedge", "details": {"note": "moved"}}),
        entry(22, "correction", corrects=records[3]["id"], changes={"details": {"note": "not so"}}),
    ]
    records.append(entry(23, "void", corrects=records[-1]["id"], reason="it was right"))
    here = standing([from_record(one) for one in records]).events
    random.Random(5).shuffle(records)
    theirs = asked(device, "events", "it.standing(given)", records)
    shown = [(one["id"], one["set_id"], one["details"].get("note")) for one in theirs]
    assert shown == [(one.id, one.set_id, one.details.get("note")) for one in here]


def test_distances_are_those_of_a_sphere(device: Page) -> None:
    given = [{"latitude": 36.0, "longitude": -79.0}, {"latitude": 36.01, "longitude": -79.0}]
    # One hundredth of a degree of a meridian of the mean sphere (radius 6,371.0088 km, IUGG).
    assert asked(device, "guard", "it.metres(given[0], given[1])", given) == pytest.approx(1111.95, abs=0.05)
