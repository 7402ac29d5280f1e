"""Editing a line book: refused edits leave it untouched, and any row of edits is undone to the same bytes."""

from __future__ import annotations

import datetime as dt
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from setwright.basis.errors import BadInput
from setwright.desk import edit, edit_fields, new_line, packs
from setwright.desk import edit_acts as acts
from setwright.desk.edit_form import filled
from setwright.desk.edit_values import position_value, quantity_value, quantity_words, text_value
from setwright.desk.line_map import line_map
from setwright.desk.places import places_of
from setwright.line.book import read_book

ROOT = Path(__file__).resolve().parents[2]
EXAMPLE = ROOT / "docs" / "examples" / "dogs-run.yaml"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return Path(shutil.copy(EXAMPLE, tmp_path / "line-book.yaml"))


ACTS: dict[str, Callable[[Path], object]] = {
    "rename": lambda p: acts.change_line(p, "", {"line.name": "Another name"}),
    "day": lambda p: acts.change_line(p, "", {"line.date": "2026-12-24"}),
    "add": lambda p: acts.add_site(p, "", {"name": "Added", "medium": "land", "target": "red_fox"}),
    "add water": lambda p: acts.add_site(p, "", {"name": "Wet: # one", "medium": "water", "target": "beaver"}),
    "cover": lambda p: acts.change_site(p, "", "hedge", {"cover.depth": "1/2 in"}),
    "no cover": lambda p: acts.change_site(p, "", "hedge", {"cover.kind": "", "cover.depth": ""}),
    "sign": lambda p: acts.change_site(p, "", "hedge", {"sign.0.animal": "mink", "sign.0.level": "old"}),
    "move": lambda p: acts.move_site(p, "", "track", "36.2, -79.9"),
    "rig": lambda p: acts.change_site(p, "", "hedge", {"rig.trap": "A-02"}),
    "clear": lambda p: acts.clear_rig(p, "", "hedge"),
    "remove": lambda p: acts.remove_site(p, "", "hedge"),
    "traps": lambda p: acts.add_entry(p, "", "traps", {"id": "Z-01", "pattern": "coil-2", "count": "9"}),
    "split": lambda p: acts.change_entry(p, "", "traps", "Z-04", {"springs": "4"}, only=True),
    "retire": lambda p: acts.retire(p, "", "traps", "Z-02"),
    "animal": lambda p: acts.change_animal(p, "", "beaver", {"mass": "45 lb; 30 lb to 60 lb; measured"}),
    "units": lambda p: acts.choose_units(p, "", "metric"),
    "refused": lambda p: acts.change_site(p, "", "hedge", {"cover.depth": "1/2"}),
    "undo": lambda p: edit.undone(p, ""),
    "redo": lambda p: edit.redone(p, ""),
}


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from(sorted(ACTS)), min_size=1, max_size=7), st.booleans())
def test_any_row_of_edits_is_undone_to_the_same_bytes(
    tmp_path_factory: pytest.TempPathFactory, names: list[str], windows: bool
) -> None:
    path = tmp_path_factory.mktemp("edits") / "line-book.yaml"
    raw = EXAMPLE.read_bytes()
    path.write_bytes(b"\xef\xbb\xbf" + raw.replace(b"\n", b"\r\n") if windows else raw)
    first = path.read_bytes()
    for name in names:
        before = path.read_bytes()
        try:
            ACTS[name](path)
        except BadInput:
            assert path.read_bytes() == before, f"{name} was refused and left something"
        read_book(path)
    while edit.state_of(path).journal.last is not None:
        edit.undone(path, "")
    assert path.read_bytes() == first
    last = edit.state_of(path)
    while last.journal.coming is not None:
        last = edit.redone(path, "")
    assert sorted(p.name for p in path.parent.iterdir() if "journal" not in p.name)[-1] == "line-book.yaml"


def test_a_refused_edit_names_its_field_and_leaves_the_book(book: Path) -> None:
    before = book.read_bytes()
    for sent, field in (
        ({"cover.depth": "half"}, "sites.1.cover.depth"),
        ({"target": "unicorn"}, "target"),
        ({"rig.trap": "T-99"}, "rig"),
        ({"position": "here"}, "position"),
        ({"note": "a\x00b"}, "note"),
        ({"note": "x" * 5000}, "note"),
    ):
        with pytest.raises(BadInput) as told:
            acts.change_site(book, "", "hedge", sent)
        assert field in str(told.value.field), str(told.value)
        assert book.read_bytes() == before
    acts.change_site(book, "", "hedge", {"rig.trap": "A-03"})
    with pytest.raises(BadInput, match="it stands at a site"):
        acts.retire(book, "", "traps", "A-03")


def test_what_the_form_shows_and_is_sent_back_changes_nothing(book: Path) -> None:
    before = book.read_bytes()
    data = edit.state_of(book).data
    for site in data["sites"]:
        acts.change_site(book, "", site["id"], filled(edit_fields.site_form(data, site["medium"]), site))
    acts.change_line(book, "", filled(edit_fields.line_form(data), data))
    for kind in edit_fields.KINDS:
        for entry in data["outfit"].get(kind) or []:
            acts.change_entry(book, "", kind, entry["id"], filled(edit_fields.piece_form(data, kind), entry))
    assert book.read_bytes() == before


def test_an_edit_against_an_older_state_is_refused_with_what_changed(book: Path) -> None:
    seen = edit.state_of(book).digest
    acts.change_site(book, seen, "hedge", {"cover.depth": "1/2 in"})
    with pytest.raises(edit.OldState) as told:
        acts.change_site(book, seen, "hedge", {"cover.depth": "3/4 in"})
    assert "sites hedge cover depth" in str(told.value.found) and "1/2 in" in str(told.value.found)


def test_an_edit_made_outside_of_the_app_cannot_be_undone_here(book: Path) -> None:
    acts.choose_units(book, "", "metric")
    book.write_text(book.read_text(encoding="utf-8") + "# by hand\n", encoding="utf-8")
    before = book.read_bytes()
    with pytest.raises(BadInput, match="outside of the app"):
        edit.undone(book, "")
    assert book.read_bytes() == before
    acts.choose_units(book, "", "us")
    edit.undone(book, "")
    assert book.read_bytes() == before, "edits made after it are undone as ever"


def test_one_of_several_alike_gets_an_entry_of_its_own(book: Path) -> None:
    acts.add_entry(
        book, "", "traps", {"id": "Z-01", "pattern": "coil-2", "count": "5", "trip_force": "3 lbf; ± 0.2 lbf"}
    )
    acts.change_entry(book, "", "traps", "Z-03", {"springs": "4", "note": "stronger"}, only=True)
    acts.retire(book, "", "traps", "Z-05")
    entries = {e.id: e for e in read_book(book)[0].outfit.traps if e.id.startswith("Z")}
    assert {key: (e.count, e.springs) for key, e in entries.items()} == {
        "Z-01": (2, None), "Z-03": (1, 4), "Z-04": (1, None)
    }  # fmt: skip
    assert all(e.trip_force is not None and e.trip_force.low is not None for e in entries.values())


def test_a_new_line_grows_from_nothing(tmp_path: Path) -> None:
    path = tmp_path / "line-book.yaml"
    new_line.begin(path, {"line.name": "yes", "line.timezone": "America/Chicago"})
    new_line.add_pieces(
        path, "", ("traps",),
        {"traps.0.pattern": "coil-2", "traps.0.count": "3", "traps.1.pattern": "long-2",
         "traps.1.trip_force": "2 lbf"},
    )  # fmt: skip
    new_line.add_pieces(path, "", ("chains", "anchors"), {"chains.0.length": "12 in", "anchors.0.kind": "tree"})
    acts.add_site(path, "", {"name": "First", "medium": "land", "target": "red_fox", "position": "36.1, -79.9"})
    found, _ = read_book(path)
    assert found.line.name == "yes" and found.line.date == dt.date.today()
    assert [(t.id, t.count) for t in found.outfit.traps] == [("T-01", 3), ("T-04", 1)]
    assert found.outfit.chains[0].id == "chain-1" and found.sites[0].id == "first"
    with pytest.raises(BadInput, match="already"):
        new_line.begin(path, {"line.name": "again"})


@pytest.mark.parametrize(
    ("text", "latitude", "longitude"),
    [
        ("36.1062, -79.9421", 36.1062, -79.9421),
        ("36.1062 −79.9421", 36.1062, -79.9421),
        ("36° 6.372' N 79° 56.526' W", 36.1062, -79.9421),
        ("N36 6.372 W79 56.526", 36.1062, -79.9421),
        ("36°06'22.32\"N, 79°56'31.56\"W", 36.1062, -79.9421),
        ("79.9421 W, 36.1062 N", 36.1062, -79.9421),
        ("33.5 S, 151 E", -33.5, 151.0),
        ("18 north 583959.3723 4507350.9982", 40.7128, -74.006),
        ("UTM zone 18T 583959.3723 mE, 4507350.9982 mN", 40.7128, -74.006),
        ("56 south 334368.6336 6250948.3454", -33.8688, 151.2093),
        ("18N 583959.3723E 4507350.9982N", 40.7128, -74.006),
    ],
)
def test_positions_as_they_are_written(text: str, latitude: float, longitude: float) -> None:
    assert position_value(text) == pytest.approx({"latitude": latitude, "longitude": longitude}, abs=1e-7)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("17 S 595190 3996260", "write which"),
        ("17T 595190 3996260", "lie in band S"),
        ("17O 595190 3996260", "no such band"),
        ("61 north 595190 3996260", "zone is out of its range; found '61'; allowed: 1 to 60"),
        ("0 north 595190 3996260", "zone is out"),
        ("17 north 59519 3996260", "easting is out of its range"),
        ("17 north 595220 39962460", "northing is out of its range"),
        ("18 north 500000 9900000", "ends at"),
        ("UTM 17 north", "no position on the UTM grid"),
        ("17 north 595190", "no position on the UTM grid"),
    ],
)
def test_what_is_no_position_on_the_grid_is_refused_in_its_words(text: str, words: str) -> None:
    with pytest.raises(BadInput) as told:
        position_value(text)
    assert words in str(told.value) and told.value.field == "position"


@pytest.mark.parametrize("text", ["", "36", "91, 0", "0, 181", "a, b", "36 61.0 N, 79 0 W", "-36 N, 79 W", "1, 2, 3"])
def test_what_is_no_position_is_refused(text: str) -> None:
    with pytest.raises(BadInput):
        position_value(text)


@pytest.mark.parametrize(
    "found",
    [
        "3.5 lbf",
        {"value": "3.5 lbf", "low": "3.0 lbf", "high": "4.0 lbf", "source": "three pulls; with a scale"},
        {"value": "5 1/4 in", "sd": "1/32 in", "source": "measured"},
        {"value": "5 1/4 in", "sd": "1/32 in"},
        {"value": "42 lb", "source": "table of ours"},
    ],
)
def test_a_quantity_goes_through_its_line_and_back(found: object) -> None:
    assert quantity_value(quantity_words(found)) == found


@pytest.mark.parametrize("word", ["yes", "No", "1:30", "12", "1e3", "null", "~", "true", "a\nb"])
def test_words_that_would_be_read_as_something_else_are_quoted(word: str) -> None:
    assert type(text_value(word)).__name__ == "DoubleQuotedScalarString"


GPX = """<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">
<wpt lat="36.1" lon="-79.9"><name>Bend &lt;script&gt;</name><desc>otter sign</desc></wpt>
<wpt lat="36.2" lon="-79.8"/></gpx>"""
BOMB = '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;">]><gpx><wpt>&b;</wpt></gpx>'


def test_places_of_files() -> None:
    found = places_of(GPX.encode(), "x.gpx")
    assert found[0] == {"name": "Bend <script>", "position": "36.1000000, -79.9000000", "note": "otter sign"}
    assert found[1]["name"] == "Place 2"
    point = {"type": "Point", "coordinates": [-79.9, 36.1, 5]}
    one = {"type": "Feature", "geometry": point, "properties": {"name": "P"}}
    geo = json.dumps({"type": "FeatureCollection", "features": [one]})
    assert places_of(geo.encode(), "x.geojson") == [{"name": "P", "position": "36.1000000, -79.9000000"}]


@pytest.mark.parametrize(
    "content",
    [
        b"", b"<gpx", BOMB.encode(), BOMB.encode("utf-16"), b"\x00", b"{}", b"[1]", b"\xff\xfe", b"x" * 2_000_001,
        b'<gpx><wpt lat="x" lon="1"/></gpx>', b'<gpx><wpt lat="99" lon="1"/></gpx>',
        b'<gpx><wpt lat="nan" lon="1"/></gpx>',
        b'{"type":"FeatureCollection","features":[{"geometry":{"type":"Point","coordinates":["a",1]}}]}',
        b"<gpx>" + b'<wpt lat="1" lon="1"/>' * 501 + b"</gpx>", b"[" * 100_000,
    ],
)  # fmt: skip
def test_files_that_are_no_places_or_would_do_harm_are_refused(content: bytes) -> None:
    with pytest.raises(BadInput):
        places_of(content, "x")


def test_the_map_has_every_site_and_numbers_as_the_book(book: Path) -> None:
    acts.add_site(book, "", {"name": "Nowhere", "medium": "land", "target": "red_fox"})
    sites = [f for f in line_map(book, {"hedge": "thin"})["features"] if f["properties"]["kind"] == "site"]
    assert [f["properties"]["number"] for f in sites] == list(range(1, len(sites) + 1))
    assert sites[-1]["geometry"] is None
    assert next(f for f in sites if f["id"] == "hedge")["properties"]["standing"] == "thin"


def test_shipped_packs_stay_and_a_copy_can_be_written(book: Path) -> None:
    with pytest.raises(BadInput, match="stays as it is"):
        packs.keep_pack(book, "orrin", "", "x")
    name = packs.copy_pack(book, "orrin", "my-county")
    found = packs.pack_text(book, name)
    assert name == "my-county.yaml" and "nobody, never" in found.entry.checked
    assert any(r.place == "checked_on" for r in found.remarks), "a copy was checked by nobody"
    broken = found.text.replace("kind: law", "kind: lore", 1)
    remarks = packs.pack_text(book, name, broken).remarks
    line = next(n for n, text in enumerate(broken.splitlines(), start=1) if text == "kind: lore")
    assert [(r.line, r.level) for r in remarks if r.place == "kind"] == [(line, "fault")]
    before = (book.parent / name).read_bytes()
    with pytest.raises(BadInput):
        packs.keep_pack(book, name, found.digest, broken)
    assert (book.parent / name).read_bytes() == before
    packs.keep_pack(book, name, found.digest, found.text.replace("checked", "checked", 1) + "# read\n")
    with pytest.raises(edit.OldState):
        packs.keep_pack(book, name, found.digest, found.text)
    acts.choose_packs(book, "", [name], "")
    assert read_book(book)[0].law.packs == [name] and read_book(book)[0].law.profile is None


@pytest.mark.parametrize("name", ["../x", "a/b", ".hidden", "X y", "", "line-book.yaml", "x" * 60])
def test_names_of_packs_that_lead_elsewhere_are_refused(book: Path, name: str) -> None:
    with pytest.raises(BadInput):
        packs.copy_pack(book, "orrin", name)
    with pytest.raises(BadInput):
        packs.pack_text(book, name or "none")
