"""Tables of the water room, row by row."""

from __future__ import annotations

import pytest

from setwright.basis.errors import BadInput, BadTable
from setwright.basis.tables import read_table, shipped
from setwright.water import tables

FIELDS = {
    "windows": tables.WINDOW_FIELDS,
    "reaches": tables.REACH_FIELDS,
    "ice": tables.ICE_FIELDS,
    "anchors": tables.ANCHOR_FIELDS,
}


@pytest.mark.parametrize("name", FIELDS)
def test_every_row_is_told_where_it_is_from(name: str) -> None:
    table = getattr(tables, name)()
    assert table is getattr(tables, name)()
    names = table.keys()
    for key in names:
        for quantity, found in table.record(key).items():
            assert found.source.text and found.source.confidence, f"{key} {quantity}"


@pytest.mark.parametrize("name", FIELDS)
def test_a_row_out_of_range_is_refused(name: str) -> None:
    text = shipped("water", f"{name}.csv")
    number = next(line for line in text.splitlines() if line.count(",") >= 8 and line.split(",")[2][:1].isdigit())
    cells = number.split(",")
    broken = text.replace(number, ",".join([*cells[:2], "98765", "", "", *cells[5:]]))
    with pytest.raises(BadTable):
        read_table(f"{name}.csv", broken, FIELDS[name])


def test_windows_open_upwards_and_the_chest_lies_between_fore_and_hind() -> None:
    table = tables.windows()
    names = table.keys()
    for key in names:
        assert table.number(key, "depth_low") < table.number(key, "depth_high"), key
    chest_low, chest_high = (table.number("beaver-fore", name) for name in ("chest_low", "chest_high"))
    assert table.number("beaver-fore", "depth_high") < chest_low < chest_high
    assert table.number("beaver-hind", "depth_low") < chest_high < table.number("beaver-hind", "depth_high")


def test_hind_foot_lies_farther_from_the_nose_than_fore_foot() -> None:
    table = tables.reaches()
    names = table.keys()
    assert all(found.source.confidence == "assumed" for key in names for found in table.record(key).values())
    for key in names:
        if key.endswith("-fore"):
            hind = key.replace("-fore", "-hind")
            for quantity in ("reach", "nose_height"):
                assert table.number(hind, quantity) > table.number(key, quantity), f"{key} {quantity}"
    windows = tables.windows().keys()
    for key in windows:
        assert key in table, f"{key} has a window and no reach"


def test_growth_factors_fall_from_lake_to_rapid_river() -> None:
    table = tables.ice()
    order = [
        table.number(key, "growth")
        for key in ("conduction-bound", "windy-lake", "lake-snow", "river-snow", "small-rapid-river")
    ]
    assert order == sorted(order, reverse=True)
    film = table.get("young-ice", "film")
    assert (film.low, film.number, film.high) == (10.0, 14.0, 20.0)


def test_a_use_that_is_not_there_names_the_others() -> None:
    with pytest.raises(BadInput, match="on-foot"):
        tables.ice_use("on-feet")
