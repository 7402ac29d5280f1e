"""Level records from the two public JSON forms of gauges: instantaneous values, and features of a collection."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from typing import Any

from setwright.basis.errors import BadInput
from setwright.water.readings import DATUMS, UNITS, Readings, level_of, marks_ice, moment_of, number_in, short_enough
from setwright.water.stage import Stage


def read_stage_json(
    text: str, *, file: object = None, site: str | None = None, stand_in: bool = False, series: str | None = None
) -> Stage:
    """Read the water level from public gauge JSON, of the older form (WaterML 1.1 as JSON) or the newer one.

    Parameters
    ----------
    text : str
        The whole file. One that is a feature collection goes to `read_stage_features`.
    file : object
        Name for error messages.
    site : str, optional
        Site number; needed when the file holds more than one gauge.
    stand_in : bool
        True when the gauge stands for another water.
    series : str, optional
        Number of the method in the older form, of the time series in the newer one; needed when one gauge has
        more than one sensor in the file.

    Returns
    -------
    Stage
        Levels in metres, times in UTC. Null readings, readings equal to the file's no-data value and readings
        marked as affected by ice are left out and counted; `alterations` names repeats and readings out of order.

    Raises
    ------
    BadInput
        When the file is cut short, has another form, no water level, a level in other than feet or metres, or two
        levels for one moment.

    """
    document = _document(text, file)
    if isinstance(document, dict) and document.get("type") == "FeatureCollection":
        return _features(document, file, site, stand_in, series)
    return _instantaneous(document, file, site, stand_in, series)


def read_stage_features(
    text: str, *, file: object = None, site: str | None = None, stand_in: bool = False, series: str | None = None
) -> Stage:
    """Read the water level from the newer public form: continuous values as features of a collection.

    Parameters
    ----------
    text : str
        The whole file.
    file : object
        Name for error messages.
    site : str, optional
        Number of the monitoring location, with or without its agency; needed when there is more than one.
    stand_in : bool
        True when the gauge stands for another water.
    series : str, optional
        Number of the time series; needed when one gauge has more than one.

    Returns
    -------
    Stage
        As for `read_stage_json`. Features need not stand in order; a file that is one page of several says so in
        `alterations`.

    Raises
    ------
    BadInput
        As for `read_stage_json`, and when the unit changes from one feature to the next.

    """
    document = _document(text, file)
    if not isinstance(document, dict) or document.get("type") != "FeatureCollection":
        raise BadInput("this is no feature collection", file=file, field="type", allowed="FeatureCollection")
    return _features(document, file, site, stand_in, series)


def _instantaneous(document: Any, file: object, site: str | None, stand_in: bool, series: str | None) -> Stage:
    gauged = [one for one in _list(document, "value.timeSeries", file) if _code(one, file) in DATUMS]
    # Gauge height comes first: most gauges that report a surveyed height report it as well.
    gauged.sort(key=lambda one: _code(one, file))
    sites: dict[str, Any] = {}
    for one in gauged:
        name = _site(one, file)
        if name in sites and _code(sites[name], file) == _code(one, file):
            raise BadInput("one gauge stands twice in this file", file=file, field="sourceInfo.siteCode", found=name)
        sites.setdefault(name, one)
    if not sites:
        raise BadInput(
            "no water level in this file", file=file, field="value.timeSeries",
            allowed=f"parameter {', '.join(DATUMS)}",
        )  # fmt: skip
    chosen = _choose(site, sorted(sites), "site", "gauge", file)
    one = sites[chosen]
    unit = str(_at(one, "variable.unit.unitCode", file))
    if unit not in UNITS:
        raise BadInput(
            "unit of the water level", file=file, field="variable.unit.unitCode", found=unit, allowed="ft, m"
        )
    nothing = _number(_at(one, "variable.noDataValue", file), file, "variable.noDataValue")
    blocks = list(enumerate(_list(one, "values", file)))
    filled = [(n, block) for n, block in blocks if any(True for _ in _list(block, "value", file))]
    if len(filled) > 1 or series is not None:
        names = [_method(block) or f"values[{n}]" for n, block in filled]
        wanted = _choose(series, names, "series", "sensor", file)
        filled = [both for both, name in zip(filled, names, strict=True) if name == wanted]
    found = Readings(file)
    at_block, block = filled[0] if filled else (0, {"value": []})

    def place(number: object) -> str:
        return f"values[{at_block}].value[{number}]"

    for number, reading in enumerate(_list(block, "value", file)):
        _put(found, reading, ("value", "dateTime", "qualifiers"), unit, nothing, number, place)
    code = _code(one, file)
    return found.stage(
        str(_at(one, "sourceInfo.siteName", file)), f"gauge {chosen}, level (parameter {code})", stand_in=stand_in,
        unit=unit, datum=DATUMS[code], say_place=lambda number: {"field": place(number)},
    )  # fmt: skip


def _features(document: Any, file: object, site: str | None, stand_in: bool, series: str | None) -> Stage:
    rows: dict[tuple[str, str, str], list[int]] = {}
    features = list(_list(document, "features", file))
    for number, feature in enumerate(features):
        row = feature.get("properties") if isinstance(feature, dict) else None
        if not isinstance(row, dict):
            raise BadInput("properties of a feature are missing", file=file, field=_feature_place(number))
        code = str(row.get("parameter_code"))
        if code in DATUMS:
            key = (str(row.get("monitoring_location_id")), code, str(row.get("time_series_id")))
            rows.setdefault(key, []).append(number)
    if not rows:
        raise BadInput(
            "no water level in this file", file=file, field="features", allowed=f"parameter {', '.join(DATUMS)}"
        )
    places = sorted({place for place, _, _ in rows})
    if site is not None:
        site = next((place for place in places if site in (place, place.rpartition("-")[2])), site)
    chosen = _choose(site, places, "site", "gauge", file)
    code = min(code for place, code, _ in rows if place == chosen)
    names = sorted(name for place, kind, name in rows if (place, kind) == (chosen, code))
    wanted = _choose(series, names, "series", "time series of this gauge", file)
    found = Readings(file)
    unit = ""
    for number in rows[chosen, code, wanted]:
        row = features[number]["properties"]
        here = str(row.get("unit_of_measure"))
        if here not in UNITS or (unit and here != unit):
            raise BadInput(
                "the unit changes midway" if here in UNITS else "unit of the water level", file=file,
                field=f"{_feature_place(number)}.unit_of_measure", found=here, allowed=unit or "ft, m",
            )  # fmt: skip
        unit = here
        _put(found, row, ("value", "time", "qualifier"), unit, None, number, _feature_place)
    links = document.get("links")
    more = isinstance(links, list) and any(isinstance(link, dict) and link.get("rel") == "next" for link in links)
    return found.stage(
        f"gauge {chosen}", f"gauge {chosen}, level (parameter {code})", stand_in=stand_in, unit=unit,
        datum=DATUMS[code], say_place=lambda n: {"field": f"{_feature_place(n)}.time"},
        remarks=("this file is one page of several: the rest is not in it",) if more else (),
    )  # fmt: skip


def _put(
    found: Readings, row: Any, names: tuple[str, str, str], unit: str, nothing: float | None, place: object,
    say_place: Callable[[object], str],
) -> None:  # fmt: skip
    """Put one reading in, or count why it is left out; errors name its part of the document."""
    value_name, time_name, words_name = names
    if not isinstance(row, dict) or value_name not in row or time_name not in row:
        raise BadInput(
            "a part of the document is missing", file=found.file, field=say_place(place),
            allowed=f"{value_name}, {time_name}",
        )  # fmt: skip
    words = row.get(words_name)
    if words and marks_ice(words):
        found.iced += 1
        return
    raw = row[value_name]
    if raw is None or raw == "":
        found.dropped += 1
        return
    part = value_name
    try:
        number = _number(raw, found.file)
        if number == nothing:
            found.dropped += 1
            return
        level = level_of(number, unit, found.file, None, None, raw)
        part = time_name
        text = str(row[time_name])
        # A date without hours is a daily figure, no reading of an hour.
        moment = moment_of(text if "T" in text or " " in text else f"{text} (no hours)", found.file, None, None)
    except BadInput as error:
        raise error.at(field=f"{say_place(place)}.{part}") from None
    found.add(moment, level, place)


def _document(text: str, file: object) -> Any:
    short_enough(text, file)
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as error:
        line = getattr(error, "lineno", None)
        raise BadInput(
            "this is not JSON, or it is cut short", file=file, line=line, allowed="gauge values as JSON"
        ) from error


def _choose(wanted: str | None, names: list[str], field: str, what: str, file: object) -> str:
    if wanted is None and len(names) > 1:
        raise BadInput(f"more than one {what}: say which", file=file, field=field, allowed=", ".join(names))
    chosen = names[0] if wanted is None else wanted
    if chosen not in names:
        raise BadInput(f"no such {what} in this file", file=file, field=field, found=wanted, allowed=", ".join(names))
    return chosen


def _feature_place(number: object) -> str:
    return f"features[{number}].properties"


def _number(value: object, file: object, field: str | None = None) -> float:
    number = math.nan
    if isinstance(value, str | int | float) and not isinstance(value, bool):
        number = number_in(str(value))
    if math.isnan(number):
        raise BadInput("a number is asked for", file=file, field=field, found=value)
    return number


def _at(node: Any, path: str, file: object) -> Any:
    """Value at a dotted path of a JSON document; BadInput that names the path when it is not there."""
    for name in path.split("."):
        if not isinstance(node, dict) or name not in node:
            raise BadInput("a part of the document is missing", file=file, field=path, allowed="gauge values as JSON")
        node = node[name]
    return node


def _list(node: Any, path: str, file: object) -> Iterator[Any]:
    found = _at(node, path, file)
    if not isinstance(found, list):
        raise BadInput("a list is asked for", file=file, field=path, found=type(found).__name__)
    return iter(found)


def _first(node: Any, path: str, file: object) -> str:
    for entry in _list(node, path, file):
        return str(_at(entry, "value", file))
    raise BadInput("the list is empty", file=file, field=path)


def _code(one: Any, file: object) -> str:
    return _first(one, "variable.variableCode", file)


def _site(one: Any, file: object) -> str:
    return _first(one, "sourceInfo.siteCode", file)


def _method(block: Any) -> str | None:
    methods = block.get("method") if isinstance(block, dict) else None
    first = methods[0] if isinstance(methods, list) and methods else None
    return str(first["methodID"]) if isinstance(first, dict) and "methodID" in first else None
