"""Readers of level records: real lines, and what they refuse."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import BadInput
from setwright.basis.tables import shipped
from setwright.water import readings
from setwright.water.tables import read_stage_csv, read_stage_json, read_stage_rdb

REAL = (Path(__file__).parent / "records" / "instantaneous_values.json").read_text(encoding="utf-8")

HEAD = "# label: creek\n# origin: own stake\n# licence: own\n# stand-in: no\n# alterations: none\n"
CSV = HEAD + "time,stage_m\n2018-01-05T13:00Z,0.41\n2018-01-05T09:00-05:00,0.44\n2018-01-05T15:00Z,\n"

# Made up in the public form; the readings are those of the real JSON.
RDB = (
    "# a made-up head line\n"
    "agency_cd\tsite_no\tdatetime\ttz_cd\t69513_00065\t69513_00065_cd\n"
    "5s\t15s\t20d\t6s\t14n\t10s\n"
    "USGS\t01491000\t2019-02-14 00:00\tEST\t6.48\tA\n"
    "USGS\t01491000\t2019-02-14 00:15\tEST\t6.48\tA\n"
    "USGS\t01491000\t2019-02-14 01:30\tEDT\t6.46\tP\n"
    "USGS\t01491000\t2019-02-14 00:45\tEST\tIce\tP\n"
    "USGS\t01491000\t2019-02-14 01:00\tEST\t6.43\tP:Ice\n"
)


def epoch(text: str) -> float:
    return datetime.fromisoformat(text).astimezone(UTC).timestamp()


def changed(change: Any) -> str:
    document = json.loads(REAL)
    one = next(s for s in document["value"]["timeSeries"] if s["variable"]["variableCode"][0]["value"] == "00065")
    change(one)
    document["value"]["timeSeries"] = [one]
    return json.dumps(document)


def test_csv_reads_offsets_and_counts_the_empty_row() -> None:
    stage = read_stage_csv(CSV, file="creek.csv")
    assert stage.times.tolist() == [epoch("2018-01-05T13:00+00:00"), epoch("2018-01-05T14:00+00:00")]
    assert stage.level.tolist() == [0.41, 0.44]
    assert (stage.label, stage.origin, stage.licence, stage.stand_in) == ("creek", "own stake", "own", False)
    assert stage.dropped == 1


def test_shipped_record_says_that_it_stands_in() -> None:
    stage = read_stage_csv(shipped("demo", "stage.csv"), file="stage.csv")
    assert stage.stand_in
    assert "stand-in record" in stage.label
    assert stage.times.size == 3590
    assert 0.25 < stage.level.min() < stage.level.max() < 1.0


@pytest.mark.parametrize(
    ("text", "line", "field"),
    [
        (CSV.replace("time,stage_m", "time,level"), 6, None),
        (CSV.replace("# licence: own\n", ""), 1, "licence"),
        (CSV.replace("# stand-in: no", "# stand-in: perhaps"), None, "stand-in"),
        (CSV.replace("13:00Z", "13:00"), 7, "time"),
        (CSV.replace("2018-01-05T13:00Z", "yesterday"), 7, "time"),
        (CSV.replace("0.41", "deep"), 7, "stage_m"),
        (CSV.replace("0.41", "nan"), 7, "stage_m"),
        (CSV.replace("0.41", "99999"), 7, "stage_m"),
        (CSV.replace("0.41", "0.41,0.5"), 7, None),
        (CSV.replace("09:00-05:00", "08:00-05:00"), 8, "time"),
        (HEAD + "time,stage_m\n", None, None),
    ],
)
def test_csv_refuses_with_place(text: str, line: int | None, field: str | None) -> None:
    with pytest.raises(BadInput) as caught:
        read_stage_csv(text, file="creek.csv")
    assert (caught.value.file, caught.value.line, caught.value.field) == ("creek.csv", line, field)


def test_long_text_is_refused_unread(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(readings, "LONGEST_TEXT", 100)
    for read in (read_stage_csv, read_stage_json, read_stage_rdb):
        with pytest.raises(BadInput, match="too large"):
            read("x" * 101, file="big")


@pytest.mark.parametrize(("read", "text"), [(read_stage_csv, CSV), (read_stage_rdb, RDB)])
def test_too_many_rows_are_refused(read: Any, text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(readings, "MOST_ROWS", 1)
    with pytest.raises(BadInput, match="too long"):
        read(text, file="big")


def test_json_reads_feet_and_offsets() -> None:
    stage = read_stage_json(REAL, file="iv.json", site="01491000")
    assert np.allclose(stage.level, np.array([6.48, 6.48, 6.46, 6.45, 6.43]) * 0.3048)
    assert stage.times[0] == epoch("2019-02-14T00:00:00-05:00")
    assert np.diff(stage.times).tolist() == [900.0] * 4
    assert stage.dropped == 0


def test_json_of_two_gauges_asks_which() -> None:
    with pytest.raises(BadInput) as caught:
        read_stage_json(REAL, file="iv.json")
    assert "01645000" in str(caught.value.allowed)
    assert read_stage_json(REAL, site="01645000").level.size == 5


def test_json_drops_ice_and_no_data() -> None:
    def ice(one: Any) -> None:
        values = one["values"][0]["value"]
        values[1]["qualifiers"] = ["P", "Ice"]
        values[2]["value"] = "-999999"

    stage = read_stage_json(changed(ice))
    assert stage.level.size == 3
    assert stage.dropped == 2
    assert stage.level.min() > 0


@pytest.mark.parametrize(
    ("change", "field"),
    [
        (lambda one: one["variable"]["unit"].update(unitCode="furlong"), "variable.unit.unitCode"),
        (lambda one: one["variable"].pop("unit"), "variable.unit.unitCode"),
        (lambda one: one["values"][0].update(value="none"), "value"),
        (lambda one: one["values"][0]["value"][0].update(value="deep"), "values[0].value[0].value"),
        (lambda one: one["values"][0]["value"][0].update(value=True), "values[0].value[0].value"),
        (lambda one: one["values"][0]["value"][0].update(dateTime="noon"), "values[0].value[0].dateTime"),
        (lambda one: one["variable"]["variableCode"][0].update(value="00060"), "value.timeSeries"),
        (lambda one: one["sourceInfo"].update(siteCode=[]), "sourceInfo.siteCode"),
    ],
)
def test_json_refuses_with_field(change: Any, field: str) -> None:
    with pytest.raises(BadInput) as caught:
        read_stage_json(changed(change), file="iv.json")
    assert caught.value.field == field


@pytest.mark.parametrize("text", ["", "{", "[]", "7", "null", '{"value": {}}', "[" * 100_000])
def test_json_of_another_form_is_refused(text: str) -> None:
    with pytest.raises(BadInput):
        read_stage_json(text, file="iv.json")


def test_tab_form_reads_zones_and_drops_ice() -> None:
    stage = read_stage_rdb(RDB, file="gauge.rdb")
    from_json = read_stage_json(REAL, site="01491000")
    assert np.allclose(stage.level, from_json.level[:3])
    assert np.array_equal(stage.times, from_json.times[:3])
    assert stage.dropped == 2


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (RDB.replace("\tEDT\t", "\tXYZ\t"), 6),
        (RDB.replace("00:15", "25:15"), 5),
        (RDB.replace("69513_00065", "69513_00060"), 2),
        (RDB.replace("01491000\t2019-02-14 00:15", "01491001\t2019-02-14 00:15"), 5),
        (RDB.replace("\t6.48\tA\n", "\t9e9\tA\n", 1), 4),
        ("# nothing\n", None),
    ],
)
def test_tab_form_refuses_with_line(text: str, line: int | None) -> None:
    with pytest.raises(BadInput) as caught:
        read_stage_rdb(text, file="gauge.rdb")
    assert caught.value.line == line


@given(st.text(max_size=300))
def test_any_text_is_read_or_refused(text: str) -> None:
    for read in (read_stage_csv, read_stage_json, read_stage_rdb):
        with pytest.raises(BadInput):
            read(text, file="odd")
