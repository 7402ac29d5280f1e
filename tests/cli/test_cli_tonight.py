"""Bad input of the evening through the command: every fault is named, nothing half-used is printed."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from desk.evening_forecast import NIGHT, START, grid, layer, write
from setwright.basis.tables import DATA

BOOK = DATA / "demo" / "line-book.yaml"
HEAD = "# label: creek\n# origin: own staff\n# licence: own\n# stand-in: no\n"


def refused(call, *words, said):
    found = call("tonight", BOOK, "--draws", "50", *words)
    assert found.code == 2 and found.out == "", found.err
    for part in said:
        assert part in found.err, f"{part!r} is not in {found.err!r}"
    assert found.err.count("\n") == 1 and "Traceback" not in found.err


def changed(**layers):
    return grid(**layers)


def twice():
    document = grid()
    values = document["properties"]["temperature"]["values"]
    values[3]["validTime"] = values[2]["validTime"]
    return document


def backwards():
    document = grid()
    values = document["properties"]["temperature"]["values"]
    values[3], values[4] = values[4], values[3]
    return document


def unit_midway():
    document = grid()
    document["properties"]["temperature"]["values"][5]["unitCode"] = "wmoUnit:degF"
    return document


def word():
    document = grid()
    document["properties"]["temperature"]["values"][5]["value"] = "cold"
    return document


@pytest.mark.parametrize(
    ("document", "said"),
    [
        (lambda: json.dumps(grid())[:900], ("forecast.json", "cut-off JSON")),
        (lambda: "[]", ("a JSON object is needed",)),
        (lambda: {"properties": {"updateTime": START.isoformat()}}, ("no air temperature",)),
        (twice, ("properties.temperature[3]", "this hour stands twice")),
        (backwards, ("not in order",)),
        (unit_midway, ("the unit changes midway", "degF")),
        (word, ("properties.temperature.values[5].value", "'cold'")),
        (lambda: grid([400.0, *NIGHT]), ("out of what weather can be", "400")),
        (lambda: grid(windSpeed=layer("furlong", [1.0])), ("unknown unit", "furlong")),
        (lambda: grid(NIGHT[:6]), ("does not cover the night",)),
        (lambda: grid(issued=START - timedelta(hours=15)), ("stale", "updateTime")),
    ],
)  # fmt: skip
def test_a_forecast_that_cannot_be_used_is_named(call, tmp_path, document, said):
    refused(call, "--forecast", write(tmp_path, document()), said=said)


def test_null_hours_are_gaps_that_are_said_and_a_long_gap_leaves_frost_untold(call, tmp_path):
    short = [*NIGHT[:8], None, None, *NIGHT[10:]]
    found = call("tonight", BOOK, "--draws", "50", "--forecast", write(tmp_path, grid(short)))
    assert found.code == 0 and "2 hours bridged" in found.out
    long = [*NIGHT[:8], *([None] * 6), *NIGHT[14:]]
    found = call("tonight", BOOK, "--draws", "50", "--json", "--forecast", write(tmp_path, grid(long)))
    answer = json.loads(found.out)
    assert {one["fires"] for one in answer["sets"] if one["medium"] == "land"} == {"cannot tell"}
    assert any("frost cannot be told" in remark for record in answer["records"] for remark in record["remarks"])


ROW = "time,stage_m\n2026-12-19T00:00Z,1.0\n"


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("gauge.csv", HEAD + ROW + "2026-12-19T00:00Z,1.1\n", ("line 7", "stands twice")),
        ("gauge.csv", HEAD + ROW + "2026-12-18T23:00Z,1.1\n", ("line 7", "must rise")),
        ("gauge.csv", HEAD + "time,stage_cm\n2026-12-19T00:00Z,1.0\n", ("line 5", "wrong columns")),
        ("gauge.csv", HEAD + "time,stage_m\n2026-12-19T00:00Z,wet\n", ("line 6", "a level is a number")),
        ("gauge.csv", ROW, ("a head line is missing",)),
        ("gauge.json", '{"value": {"timeSeries": [', ("cut short",)),
        ("gauge.json", '{"value": {}}', ("value.timeSeries",)),
        ("gauge.txt", "# head\nagency\n5s\n", ("rows",)),
    ],
)  # fmt: skip
def test_a_gauge_that_cannot_be_used_is_named(call, tmp_path, name, text, said):
    refused(call, "--gauge", write(tmp_path, text, name), said=said)


def test_files_and_figures_that_are_none_are_named(call, tmp_path):
    refused(call, "--forecast", tmp_path / "none.json", said=("--forecast", "no such file"))
    refused(call, "--now", "tomorrow", said=("--now", "not a moment", "clock"))
    refused(call, "--minutes", "-5", said=("--minutes", "0 to 1440"))
    refused(call, "--additive", "ethylene-glycol", said=("refused", "poisons pets"))


def hourly(zone, day, count):
    """An own hourly CSV in local clock time over a day on which the clocks change."""
    start = datetime.fromisoformat(f"{day}T12:00").replace(tzinfo=ZoneInfo(zone)) - timedelta(hours=12)
    first = start.astimezone(ZoneInfo("UTC"))
    rows = []
    for hour in range(count):
        local = (first + timedelta(hours=hour)).astimezone(ZoneInfo(zone))
        rows.append(f"{local.replace(tzinfo=None).isoformat(timespec='minutes')},{1.0 - 0.1 * hour:.1f}")
    return "# label: shed\n# origin: own\n# licence: own\n# stand-in: no\ntime,temperature_C\n" + "\n".join(rows)


@pytest.mark.parametrize(("day", "hours"), [("2026-10-31", 25), ("2026-03-07", 23)])
def test_nights_of_25_and_of_23_hours_are_counted_in_real_hours(call, tmp_path, day, hours):
    path = write(tmp_path, hourly("America/New_York", day, 80), "shed.csv")
    found = call("tonight", BOOK, "--draws", "50", "--json", "--now", f"{day}T15:30", "--forecast", path)
    assert found.code == 0, found.err
    answer = json.loads(found.out)
    ridge = next(one for one in answer["sets"] if one["site"] == "ridge")
    seen = ridge["seen"]
    wait = (datetime.fromisoformat(seen) - datetime.fromisoformat(answer["now"])).total_seconds() / 3600.0
    assert ridge["frost"]["wait"] == pytest.approx(wait, abs=0.02)
    clock = datetime.fromisoformat(seen).replace(tzinfo=None) - datetime.fromisoformat(answer["now"]).replace(
        tzinfo=None
    )
    assert wait - clock.total_seconds() / 3600.0 == pytest.approx(hours - 24)


def test_an_hour_that_does_not_exist_is_named(call, tmp_path):
    text = "# stand-in: no\ntime,temperature_C\n2026-03-08T01:00,1.0\n2026-03-08T02:00,1.0\n"
    refused(call, "--forecast", write(tmp_path, text, "shed.csv"), said=("line 4", "does not exist in this zone"))


def test_depths_below_zero_and_beds_that_climb_out_are_named(call, tmp_path):
    text = BOOK.read_text(encoding="utf-8")
    for found, put, said in (
        ("{out: 9 ft, depth: 58 in}", "{out: 9 ft, depth: -58 in}", ("soundings", "depth")),
        ("pan_depth: 2 1/2 in", "pan_depth: -2 in", ("pan_depth",)),
    ):
        path = write(tmp_path, text.replace(found, put, 1), "line-book.yaml")
        done = call("tonight", path, "--draws", "50")
        assert done.code == 2 and done.out == "" and all(part in done.err for part in said), done.err
    bar = text.replace("{out: 6 ft, depth: 40 in}", "{out: 6 ft, depth: 0 in}", 1)
    done = call("tonight", write(tmp_path, bar, "line-book.yaml"), "--draws", "50", "--json")
    dam = next(one for one in json.loads(done.out)["sets"] if one["site"] == "dam")
    assert dam["submerges"] == "does not" and "climbs out of the water" in dam["cause_under"]


def test_the_answer_on_the_terminal_and_as_json_is_the_same(call):
    words = call("tonight", BOOK, "--draws", "50")
    answer = json.loads(call("tonight", BOOK, "--draws", "50", "--json").out)
    assert words.code == 0 and answer["schema"] == "setwright/tonight/1"
    for one in answer["sets"]:
        assert one["name"] in words.out
    assert json.loads(call("schema", "tonight").out)["title"] == "setwright tonight"


def test_salt_in_a_cover_is_named_with_what_it_does_besides(call, tmp_path):
    book = tmp_path / "line-book.yaml"
    additive = "depth: 1/2 in, additive: {kind: sodium-chloride, strength: 10 %}}"
    book.write_text(BOOK.read_text().replace("kind: loam-wet, depth: 1/2 in}", f"kind: loam-wet, {additive}"))
    for name in ("stage.csv", "weather.csv"):
        (tmp_path / name).write_bytes((BOOK.parent / name).read_bytes())
    for words in (("tonight", book), ("set", book, "orchard")):
        said = " ".join(call(*words, "--draws", "50").out.split())
        assert "freezes" in said and "10 % salt" in said and "Salt in the cover. Ask the rules" in said
        assert "It rusts springs" in said
