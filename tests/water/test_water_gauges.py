"""Readers of public gauge JSON: real samples, and readings made wrong by hand."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from setwright.basis.errors import BadInput
from setwright.water.tables import read_stage_csv, read_stage_features, read_stage_json, read_stage_rdb

FOLDER = Path(__file__).parent / "records"
FEATURES = (FOLDER / "continuous_features.json").read_text(encoding="utf-8")
OLDER = (FOLDER / "instantaneous_values.json").read_text(encoding="utf-8")
HEAD = "# label: creek\n# origin: own stake\n# licence: own\n# stand-in: no\n"
TAB = (
    "# made up\nagency_cd\tsite_no\tdatetime\ttz_cd\t7_{code}\t7_{code}_cd\n5s\t15s\t20d\t6s\t14n\t10s\n"
    "USGS\t01\t2018-11-04 01:45\tEDT\t2.00\tA\nUSGS\t01\t2018-11-04 01:00\tEST\t2.10\tA\n"
    "USGS\t01\t2018-11-04 01:15\tEST\t2.20\tA\n"
)


def made(*changes: dict[str, Any], **top: Any) -> str:
    """Feature collection made by hand: the real first feature, once for every set of changes."""
    document = json.loads(FEATURES)
    first = document["features"][0]
    document["features"] = [{**first, "properties": {**first["properties"], **change}} for change in changes]
    return json.dumps({**document, **top})


def at(minute: int, **more: Any) -> dict[str, Any]:
    return {"time": f"2025-09-22T16:{minute:02d}:00+00:00", **more}


def older(change: Callable[[Any], None]) -> str:
    """The real older form with the gauge heights of one gauge, changed by hand."""
    document = json.loads(OLDER)
    kept = [one for one in document["value"]["timeSeries"] if one["variable"]["variableCode"][0]["value"] == "00065"]
    document["value"]["timeSeries"] = kept[:1]
    change(document["value"]["timeSeries"])
    return json.dumps(document)


def test_features_are_read_by_either_reader() -> None:
    for read in (read_stage_json, read_stage_features):
        stage = read(FEATURES, file="gauge.json", site="06904500")
        assert np.allclose(stage.level, 0.39 * 0.3048)
        assert stage.times[0] == datetime.fromisoformat("2025-09-22T16:00:00+00:00").timestamp()
        assert (stage.label, stage.datum) == ("gauge USGS-06904500", "the gauge's own zero")
        assert (stage.dropped, stage.iced, stage.repeated, stage.disorder) == (0, 0, 0, 0)


def test_nulls_and_ice_are_left_out_and_counted_apart() -> None:
    text = made(
        at(0, value=None), at(15, value=""), at(30, qualifier=["ICE"]), at(45, qualifier="ESTIMATED,ICE"), at(50)
    )
    stage = read_stage_json(text)
    assert (stage.level.size, stage.dropped, stage.iced) == (1, 4, 2)
    assert "4 readings without data or affected by ice left out" in stage.alterations


def test_disorder_and_repeats_are_mended_and_named() -> None:
    stage = read_stage_json(made(at(30, value="0.5"), at(0, value="0.4"), at(15), at(15)))
    assert np.all(np.diff(stage.times) == 900.0)
    assert np.allclose(stage.level / 0.3048, [0.4, 0.39, 0.5])
    assert (stage.repeated, stage.disorder) == (1, 1)
    assert "1 repeated readings left out" in stage.alterations
    assert "1 readings stood out of order" in stage.alterations


def test_one_page_of_several_says_so() -> None:
    assert "one page of several" in read_stage_json(made(at(0), links=[{"rel": "next", "href": "x"}])).alterations
    assert "page" not in read_stage_json(made(at(0), links=[{"rel": "self", "href": "x"}])).alterations


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ([at(0), at(15, unit_of_measure="m")], "features[1].properties.unit_of_measure", "changes midway"),
        ([at(0, unit_of_measure=None)], "features[0].properties.unit_of_measure", "unit of the water level"),
        ([at(0), at(0, value="0.7")], "features[1].properties.time", "two levels"),
        ([at(0), at(15, value="deep")], "features[1].properties.value", "number"),
        ([at(0, value=True)], "features[0].properties.value", "number"),
        ([at(0, value="99999")], "features[0].properties.value", "no water level"),
        ([{"time": "2025-09-22"}], "features[0].properties.time", "hours"),
        ([at(0, parameter_code="00060")], "features", "no water level"),
        ([at(0), at(15, monitoring_location_id="USGS-1")], "site", "more than one gauge"),
        ([at(0), at(15, time_series_id="other")], "series", "more than one time series"),
        ([at(0, value=None)], None, "holds no level"),
    ],
)
def test_features_refuse_with_field(changes: list[dict[str, Any]], field: str | None, words: str) -> None:
    with pytest.raises(BadInput, match=words) as caught:
        read_stage_json(made(*changes), file="gauge.json")
    assert (caught.value.file, caught.value.field) == ("gauge.json", field)


def test_metres_and_a_surveyed_datum() -> None:
    stage = read_stage_json(made(at(0, unit_of_measure="m", parameter_code="63160", value="210.5")))
    assert stage.level[0] == 210.5
    assert stage.datum == "NAVD 1988"
    assert "feet" not in stage.alterations
    both = made(at(0), at(0, parameter_code="63160", value="690.0", time_series_id="other"))
    assert read_stage_json(both).datum == "the gauge's own zero", "gauge height comes first"


def test_a_file_cut_short_is_refused_whole() -> None:
    for cut in range(1, len(FEATURES) - 2, 97):
        with pytest.raises(BadInput, match="cut short"):
            read_stage_json(FEATURES[:cut], file="gauge.json")
    for text in ("{}", "[]", '{"type": "FeatureCollection"}', '{"type": "FeatureCollection", "features": [7]}'):
        with pytest.raises(BadInput):
            read_stage_features(text, file="gauge.json")


def test_older_form_null_repeat_and_two_sensors() -> None:
    def null(series: Any) -> None:
        values = series[0]["values"][0]["value"]
        values[0]["value"] = None
        values.append(dict(values[-1]))

    stage = read_stage_json(older(null))
    assert (stage.level.size, stage.dropped, stage.repeated) == (4, 1, 1)

    def sensors(series: Any) -> None:
        second = json.loads(json.dumps(series[0]["values"][0]))
        series[0]["values"][0]["method"] = [{"methodID": 11}]
        second["method"] = [{"methodID": 12}]
        second["value"] = [{**one, "value": "9.0"} for one in second["value"]]
        series[0]["values"].append(second)

    with pytest.raises(BadInput, match="more than one sensor") as caught:
        read_stage_json(older(sensors))
    assert caught.value.allowed == "11, 12"
    assert np.allclose(read_stage_json(older(sensors), series="12").level, 9.0 * 0.3048)
    with pytest.raises(BadInput, match="no such sensor"):
        read_stage_json(older(sensors), series="13")


def test_older_form_refuses_a_torn_moment_and_a_gauge_twice() -> None:
    def torn(series: Any) -> None:
        values = series[0]["values"][0]["value"]
        values.append({**values[1], "value": "1.0"})

    with pytest.raises(BadInput, match="two levels") as caught:
        read_stage_json(older(torn))
    assert caught.value.field == "values[0].value[5]"
    with pytest.raises(BadInput, match="stands twice"):
        read_stage_json(older(lambda series: series.append(series[0])))


def test_clock_change_in_the_tab_form_is_no_disorder() -> None:
    stage = read_stage_rdb(TAB.format(code="00065"))
    assert np.diff(stage.times).tolist() == [900.0, 900.0]
    assert (stage.repeated, stage.disorder) == (0, 0)
    assert read_stage_rdb(TAB.format(code="62615")).datum == "NAVD 1988"


def test_tab_form_names_disorder_and_refuses_a_torn_moment() -> None:
    rows = TAB.format(code="00065")
    stage = read_stage_rdb(rows + "USGS\t01\t2018-11-04 00:45\tEDT\t1.90\tA\n")
    assert stage.disorder == 1
    assert stage.level[0] == pytest.approx(1.9 * 0.3048)
    with pytest.raises(BadInput, match="two levels") as caught:
        read_stage_rdb(rows + "USGS\t01\t2018-11-04 01:15\tEST\t1.90\tA\n")
    assert caught.value.line == 7


def test_csv_in_feet_with_a_datum() -> None:
    stage = read_stage_csv(HEAD + "# datum: nail in the culvert\ntime,stage_ft\n2018-01-05T13:00Z,10\n")
    assert stage.level[0] == pytest.approx(3.048)
    assert stage.datum == "nail in the culvert"
    assert stage.alterations == "feet turned into metres"


@pytest.mark.parametrize(("moment", "words"), [("13:00Z", "stands twice"), ("12:00Z", "must rise")])
def test_csv_tells_a_repeat_from_disorder(moment: str, words: str) -> None:
    text = HEAD + f"time,stage_m\n2018-01-05T13:00Z,0.4\n2018-01-05T{moment},0.4\n"
    with pytest.raises(BadInput, match=words):
        read_stage_csv(text)


def test_a_unit_written_into_a_cell_is_refused() -> None:
    with pytest.raises(BadInput, match="number") as caught:
        read_stage_csv(HEAD + "time,stage_m\n2018-01-05T13:00Z,0.4\n2018-01-05T14:00Z,1.3 ft\n", file="a.csv")
    assert (caught.value.line, caught.value.field) == (7, "stage_m")
