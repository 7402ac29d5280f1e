"""The check run of a line as a document: the demo line for two weeks, a line too long, the long night, bad days."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.desk.run import run
from setwright.desk.run_document import RunDocument
from setwright.desk.schemas import schema_of
from setwright.line.checker import check_plan

BOOK = DATA / "demo" / "line-book.yaml"
EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"


@pytest.fixture(scope="module")
def fortnight():
    return run(BOOK, "1", days=14, iterations=200)


def test_the_demo_line_for_fourteen_days(fortnight):
    assert len(fortnight.days) == 14 and not any(day.missed for day in fortnight.days)
    assert fortnight.checked is not None and not fortnight.checked.faults
    assert fortnight.checked.visits == sum(len(day.stops) for day in fortnight.days)
    assert "every one is kept" in fortnight.say
    assert "together" not in fortnight.say, "too many sets for that"
    assert any("assumed" in warning for warning in fortnight.warnings)
    Draft202012Validator(json.loads(schema_of("run"))).validate(json.loads(fortnight.model_dump_json(by_alias=True)))
    assert RunDocument.model_validate_json(fortnight.model_dump_json(by_alias=True)) == fortnight


def test_the_checker_reads_the_document_itself(fortnight):
    text = json.loads(fortnight.model_dump_json(by_alias=True))
    assert not check_plan(text).faults
    stop = text["days"][3]["stops"][5]
    text["days"][3]["stops"] = [one for one in text["days"][3]["stops"] if one["site"] != stop["site"]]
    assert {fault.site for fault in check_plan(text).faults} >= {stop["site"]}


def test_each_stop_says_its_limit_its_hours_left_and_its_latest_start(fortnight):
    for stop in fortnight.days[0].stops:
        begin, limit = (datetime.fromisoformat(text) for text in (stop.begin, stop.limit))
        assert stop.left == pytest.approx((limit - begin).total_seconds(), abs=2)
        assert datetime.fromisoformat(stop.latest_start) >= datetime.fromisoformat(fortnight.days[0].start)
        assert stop.why and stop.way
    assert datetime.fromisoformat(fortnight.days[0].latest_start) == min(
        datetime.fromisoformat(stop.latest_start) for stop in fortnight.days[0].stops
    )


def test_a_day_by_its_date_and_by_its_number_and_a_speed_that_nobody_stated(tmp_path):
    own = tmp_path / "line-book.yaml"
    own.write_text(BOOK.read_text(encoding="utf-8").replace("truck: 25 mph, ", ""), encoding="utf-8")
    stated, guessed = run(BOOK, "3", iterations=60), run(own, "2026-12-23", iterations=60)
    assert stated.days[0].date == guessed.days[0].date
    words = "The speed by truck is not in the book: a usual one is assumed."
    assert words in guessed.warnings and words not in stated.warnings


def test_a_line_that_is_too_long_says_how_many_sets_to_pull():
    found = run(EXAMPLES / "run-too-long.yaml", "1", iterations=200)
    assert found.bears.pull and found.bears.most + len(found.bears.pull) == found.bears.sets
    assert f"Pull {len(found.bears.pull)}:" in found.say
    assert found.days[0].missed and found.checked.faults, "and the checker says so too"


def test_the_example_with_ways_over_the_night_of_25_hours():
    found = run(EXAMPLES / "run-creek.yaml", "1", days=4, iterations=200)
    assert not any(day.missed for day in found.days) and not found.checked.faults
    clocks = [datetime.fromisoformat(day.start).strftime("%H:%M") for day in found.days]
    assert clocks[0] == clocks[1] and clocks[2] == clocks[3]
    assert datetime.strptime(clocks[1], "%H:%M") - datetime.strptime(clocks[2], "%H:%M") == (
        datetime(2026, 1, 1, 1) - datetime(2026, 1, 1)
    ), "an hour sooner by the clock after the night of 25 hours"
    assert found.assumed_ways == 0
    assert {step.mode for day in found.days for stop in day.stops for step in stop.way} == {"truck", "boat", "foot"}
    assert found.turned and "Do not turn the order round" in found.turned_say
    assert {shape.kind for shape in found.ground} == {"water", "track"}
    assert "All days planned together, exactly" in found.say, "six sets are few enough"


@pytest.mark.parametrize(
    ("day", "words"), [("2026-12-20", "outside"), ("2028-01-01", "outside"), ("soon", "not a day"), ("0", "outside")]
)
def test_days_that_cannot_be_planned(day, words):
    with pytest.raises(BadInput, match=words) as caught:
        run(BOOK, day)
    assert caught.value.field == "--day" and caught.value.allowed


def test_agents_are_held_to_the_rules(tmp_path):
    text = (EXAMPLES / "run-creek.yaml").read_text(encoding="utf-8")
    text = text.replace("  water: creek-water.geojson\n  tracks: creek-tracks.geojson\n", "")
    for days, written, words in (
        ("[2026-10-31]", "false", "written permission"), ("[2026-10-31, 2026-11-01]", "true", "days in a row"),
    ):  # fmt: skip
        (tmp_path / "creek-pack.yaml").write_bytes((EXAMPLES / "creek-pack.yaml").read_bytes())
        book = tmp_path / "book.yaml"
        agent = f"ways:\n  agents: [{{name: Kit, days: {days}, written: {written}}}]\n"
        book.write_text(text.replace("ways:\n", agent, 1), encoding="utf-8")
        with pytest.raises(BadInput, match=words):
            run(book, "1", days=2, iterations=60)
