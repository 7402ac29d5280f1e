"""Every reader of a file that somebody else may have made, with small whole files to begin from."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from log.makers import season
from setwright.basis.yamlfile import load, read_text, validate
from setwright.desk.bench_pick import TrapFile
from setwright.desk.places import places_of
from setwright.desk.season_accounts import read_accounts
from setwright.desk.study_file import read_study
from setwright.law.pack import Pack
from setwright.line.book import read_book
from setwright.log.exchange import from_csv, from_lines, to_csv, to_lines
from setwright.water.gauges import read_stage_json
from setwright.water.records import read_stage_csv, read_stage_rdb
from setwright.weather.forecast import read_forecast
from setwright.weather.records import read_hourly_csv

HERE = Path(__file__).resolve().parents[1]
EXAMPLES = HERE.parent / "docs" / "examples"
BOOK = """schema: setwright/line-book/1
line:
  {name: a, place: b, invented: true, timezone: America/New_York, date: 2026-12-20, set_at: "15:30", start: "06:40"}
law: {packs: [orrin], tag_name: true}
conditions:
  weather: {file: "shipped:demo/weather.csv"}
  soil_temperature: {value: 39 degF, sd: 2 degF, source: "measured"}
outfit:
  traps:
    - {id: A-01, pattern: coil-1.5, springs: 2, jaws: regular, trip_force: 2 lbf, spread: 5 1/4 in}
  chains: [{id: c, length: 12 in, parts: [machine-2, swivel], swivels: 2}]
  anchors: [{id: rod, kind: stake, stock: rod-24, count: 4}]
sites:
  - id: track
    name: Track
    position: {latitude: 36.1020, longitude: -79.9480}
    medium: land
    set_type: flat
    target: red_fox
    ground: {layers: [{soil: loam}]}
    cover: {kind: dry-dirt, depth: 3/8 in}
    sign: {red_fox: fresh}
    rig: {trap: A-01, chain: c, anchor: rod}
"""
PACK = """schema: setwright/law-pack/1
jurisdiction: XX-OR
authority: invented
title: Invented
invented: true
language: en
licence_of_file: MIT
retrieved_on: 2026-08-01
checked_by: nobody
checked_on: 2026-08-01
effective: {from: 2026-07-01, to: 2027-06-30}
topics: {check-interval: stated}
rules:
  - id: daily
    kind: require
    topic: check-interval
    applies: {submersion: false, species: [coyote]}
    check: {interval: {every: P1D}}
    text: Seen each day.
    citation: invented
    confidence: common practice
"""
TRAP = "schema: setwright/trap/1\nid: T\npattern: coil-1.5\nsprings: 2\njaws: regular\n"
ACCOUNTS = """schema: setwright/accounts/1
currency: USD
commission: 0.1
prices: {beaver: {low: 8, likely: 14, high: 25}}
costs: {travel_distance: 900, per_distance: 0.35, hours: 0}
"""
STUDY = """schema: setwright/study/1
name: x
book: book.yaml
site: track
vary: {soil: {field: sites.track.ground.layers.0.soil, values: [loam, gravel]}}
change: {jaws: [regular, offset]}
"""
HOURLY = """# label: made up
# origin: nobody
# licence: none
# stand-in: yes
# hours: 3
time,temperature_C,dew_point_C,wind_m_s,cloud_share,radiation_W_m2,rain_mm
2017-01-01T00:00-07:00,-8.6,-10.8,0.4,0.00,0,0
2017-01-01T01:00-07:00,-9.2,-10.7,1.0,0.00,0,0.5
2017-01-01T02:00-07:00,-9.8,,1.4,0.50,0,
"""
STAGE = """# label: made-up creek
# origin: nobody
# licence: none
# stand-in: yes
time,stage_m
2020-01-01T00:00Z,1.0
2020-01-01T01:00Z,1.02
2020-01-01T02:00Z,1.01
"""
RDB = """# made up
agency_cd\tsite_no\tdatetime\ttz_cd\t1_00065\t1_00065_cd
5s\t15s\t20d\t6s\t14n\t10s
XX\t00000001\t2020-01-01 00:00\tEST\t3.10\tA
XX\t00000001\t2020-01-01 00:15\tEST\t3.12\tA
"""
GPX = """<?xml version="1.0"?>
<gpx version="1.1" creator="nobody" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="36.102" lon="-79.948"><ele>200</ele><name>One</name><desc>by the brook</desc></wpt>
<wpt lat="36.108" lon="-79.942"><name>Two</name></wpt>
</gpx>
"""
POINT = {"type": "Point", "coordinates": [-79.9, 36.1]}
PLACES = json.dumps(
    {"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {"name": "x"}, "geometry": POINT}]}
)
GEOJSON = json.dumps(
    {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature", "properties": {"name": "x"},
                "geometry": {"type": "Polygon", "coordinates": [[[0, 0], [1, 0], [1, 1], [0, 0]]]},
            }
        ],
    }
)  # fmt: skip


@dataclass(frozen=True)
class Kind:
    """A kind of file: its name for the reader, whole files, who reads a path, how many damaged ones are tried."""

    suffix: str
    whole: tuple[str, ...]
    read: Callable[[Path], Any]
    tries: int
    structured: bool = False


def _text(read: Callable[..., Any], **more: Any) -> Callable[[Path], Any]:
    return lambda path: read(read_text(path, limit=20_000_000), **more)


def _model(model: Any, path: Path) -> Any:
    return validate(model, load(read_text(path), file=path), file=path)


def _gauge(path: Path) -> Any:
    """A gauge record; the file of the older form holds two gauges."""
    text = read_text(path)
    return read_stage_json(text, file=path, site=None if '"FeatureCollection"' in text else "01491000")


def _zone(path: Path) -> Any:
    """An area as a pack names it in a file."""
    data = load(read_text(path), file=path)
    pack = load(PACK, file=path)
    pack["zones"] = {"z": {"geometry": data, "text": "x", "citation": "invented"}}
    found = validate(Pack, pack, file=path)
    return found.zones["z"].shape


def _short(path: Path, keep: int) -> str:
    """A forecast or gauge file with all its lists cut to a few entries."""

    def cut(node: Any) -> Any:
        if isinstance(node, dict):
            return {name: cut(value) for name, value in node.items()}
        return [cut(value) for value in node[:keep]] if isinstance(node, list) else node

    return json.dumps(cut(json.loads(path.read_text(encoding="utf-8"))))


EVENTS = season(2, 12)
WEATHER, WATER = HERE / "weather" / "records", HERE / "water" / "records"
KINDS = {
    "line book": Kind(".yaml", (BOOK,), read_book, 6_000),
    "law pack": Kind(".yaml", (PACK,), partial(_model, Pack), 8_000),
    "trap": Kind(".yaml", (TRAP,), partial(_model, TrapFile), 8_000),
    "accounts": Kind(".yaml", (ACCOUNTS,), read_accounts, 8_000),
    "study": Kind(".yaml", (STUDY,), read_study, 4_000),
    "weather": Kind(".csv", (HOURLY,), _text(read_hourly_csv, file="x", timezone="America/New_York"), 24_000),
    "level": Kind(".csv", (STAGE,), _text(read_stage_csv, file="x"), 24_000),
    "level in columns": Kind(".txt", (RDB,), _text(read_stage_rdb, file="x"), 16_000),
    "gauge": Kind(
        ".json", tuple(_short(WATER / name, 3) for name in ("instantaneous_values.json", "continuous_features.json")),
        _gauge, 28_000, structured=True,
    ),
    "forecast": Kind(
        ".json", tuple(_short(WEATHER / name, 2) for name in ("gridpoint.json", "hours_us.json", "hours_si.json")),
        _text(read_forecast, file="x"), 28_000, structured=True,
    ),
    "zones": Kind(".geojson", (GEOJSON,), _zone, 16_000, structured=True),
    "places": Kind(".gpx", (GPX, PLACES), lambda path: places_of(path.read_bytes(), path.name), 16_000),
    "events in lines": Kind(".jsonl", (to_lines(EVENTS),), _text(from_lines), 24_000),
    "events in columns": Kind(".csv", (to_csv(EVENTS),), _text(from_csv), 16_000),
}  # fmt: skip
