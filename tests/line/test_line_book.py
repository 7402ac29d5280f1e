from __future__ import annotations

import json

import pytest

from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.basis.yamlfile import dump, load
from setwright.desk.plan import read_job
from setwright.desk.schemas import schema_of
from setwright.line.book import LineBook, expand, read_book

MINIMAL = """\
schema: setwright/line-book/1
line: {name: Least line, date: 2026-12-20}
outfit:
  traps: [{id: T-01, pattern: coil-1.5}]
sites:
  - {id: a, name: A, medium: land, target: red_fox}
"""


def write(tmp_path, text):
    path = tmp_path / "book.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_least_book_is_read(tmp_path):
    book, _ = read_book(write(tmp_path, MINIMAL))
    assert book.sites[0].rig is None and book.conditions.weather is None
    assert book.line.set_at.hour == 15


BROKEN = [
    ("trip_force: 3.5 parsecs", "parsecs", "a force such as"),
    ("trip_force: 3", "unit is missing", "a force such as"),
    ("trip_force: 5 in", "does not fit", "a force such as"),
    ("trip_force: -2 lbf", "outside what is possible", "0 to"),
    ("jaws: spiked", "this word is not known", "regular"),
    ("colour: red", "not known here", ""),
    ("springs: 3", "not known", "2"),
    ("trip_force: {value: 3 lbf, low: 4 lbf}", "not in order", ""),
    ("trip_force: {low: 4 lbf}", "needs `value`", ""),
]


@pytest.mark.parametrize(("line", "message", "allowed"), BROKEN)
def test_errors_name_file_line_field_found_and_allowed(tmp_path, line, message, allowed):
    text = MINIMAL.replace(
        "[{id: T-01, pattern: coil-1.5}]", f"\n    - id: T-01\n      pattern: coil-1.5\n      {line}"
    )
    path = write(tmp_path, text)
    with pytest.raises(BadInput) as caught:
        read_book(path)
    said = str(caught.value)
    assert str(path) in said and "line 7" in said and "outfit.traps.0" in said, said
    assert message in said and allowed in said, said


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "named fields"),
        ("schema: other/1\n", "known version"),
        ("schema: setwright/line-book/1\nline: [\n", "not readable as YAML"),
        ("schema: setwright/line-book/1\nline: {name: X, date: 2026-13-45}\n", "month must be"),
        (MINIMAL + "  - {id: a, name: B, medium: land, target: red_fox}\n", "stands twice"),
        (MINIMAL.replace("medium: land", "medium: air"), "this word is not known"),
        (MINIMAL.replace("date: 2026-12-20", "date: 2026-12-20, timezone: Mars/Olympus"), "time zone"),
        (MINIMAL.replace("name: Least line", "name: &a Least"), "anchors"),
        (MINIMAL.replace("name: Least line", "name: !!python/name:os.system x"), "tags"),
        ("a: " + "[" * 60 + "]" * 60, "too deeply"),
    ],
)
def test_broken_and_hostile_books(tmp_path, text, message):
    with pytest.raises(BadInput, match=message):
        read_book(write(tmp_path, text))


def test_wrong_bytes_and_size(tmp_path):
    path = tmp_path / "book.yaml"
    path.write_bytes(MINIMAL.encode() + b"\xff\xfe")
    with pytest.raises(BadInput, match="not UTF-8"):
        read_book(path)
    path.write_bytes(b"#" * 6_000_000)
    with pytest.raises(BadInput, match="too large"):
        read_book(path)
    with pytest.raises(BadInput, match="cannot be read"):
        read_book(tmp_path / "absent.yaml")
    with pytest.raises(BadInput):
        read_book(tmp_path)


def test_soundings_go_outwards(tmp_path):
    text = MINIMAL.replace(
        "medium: land, target: red_fox",
        "medium: water, target: beaver, water: {soundings: [{out: 3 ft, depth: 1 ft}, {out: 2 ft, depth: 2 ft}]}",
    )
    with pytest.raises(BadInput, match="outwards"):
        read_book(write(tmp_path, text))


def test_round_trip_keeps_comments_and_order():
    text = (DATA / "demo" / "line-book.yaml").read_text(encoding="utf-8")
    data = load(text, file="demo", comments=True)
    assert load(text, file="demo") == data
    back = dump(data)
    comments = [line.split("#", 1)[1].strip() for line in text.splitlines() if "#" in line]
    for comment in comments:
        assert comment in back, f"comment lost: {comment}"
    again = load(back, file="demo", comments=True)
    assert list(again) == list(data)
    assert dump(again) == back, "a second round changes nothing"


def test_schema_accepts_the_demo_and_refuses_nonsense():
    import jsonschema

    from setwright.basis.yamlfile import plain

    schema = json.loads(schema_of("line-book"))
    data = plain(load((DATA / "demo" / "line-book.yaml").read_text(encoding="utf-8"), file="demo"))
    data = json.loads(json.dumps(data, default=str))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(data)
    data["sites"][0]["medium"] = "air"
    assert list(jsonschema.Draft202012Validator(schema).iter_errors(data)), "a wrong medium must not pass"


def test_alike_traps_are_numbered_on():
    assert expand("T-08", 3) == ["T-08", "T-09", "T-10"]
    assert expand("big", 2) == ["big-1", "big-2"]
    assert expand("T-08", 1) == ["T-08"]


def test_model_is_documented():
    assert LineBook.model_json_schema()["properties"].keys() >= {"line", "outfit", "sites", "law", "conditions"}


WRONG_NAMES = [
    ("  beaver: {mass", "  baever: {mass", "animals.baever", "beaver"),
    ("covers: [dry-dirt", "covers: [dry-dert", "outfit.covers.0", "dry-dirt"),
    ("cover: {kind: dry-dirt", "cover: {kind: dri-dirt", "cover.kind", "dry-dirt"),
    ("packs: [orrin]", "packs: [orrin, orrin]", "law.packs.1", "once"),
    ("red_fox: fresh", "red_fx: fresh", "sign.red_fx", "red_fox"),
    ("stock: rod-24", "stock: rod-25", "outfit.anchors rod stock", "rod-24"),
    ("parts: [machine-2,", "parts: [machin-2,", "outfit.chains", "machine-2"),
    ("cable: cable-3/32-7x7", "cable: cable-3/32-7x8", "outfit.slides", "cable-3/32-7x7"),
    ("soil: muck", "soil: mukc", "ground.layers.0.soil", "muck"),
]


@pytest.mark.parametrize(("right", "wrong", "field", "allowed"), WRONG_NAMES)
def test_a_name_that_no_table_knows_is_refused_with_its_line(tmp_path, right, wrong, field, allowed):
    text = (DATA / "demo" / "line-book.yaml").read_text(encoding="utf-8")
    assert right in text
    changed = text.replace(right, wrong, 1)
    both = zip(text.split("\n"), changed.split("\n"), strict=True)
    number = next(number for number, (old, new) in enumerate(both, start=1) if old != new)
    path = write(tmp_path, changed)
    with pytest.raises(BadInput) as caught:
        read_job(path, draws=4)
    said = caught.value
    assert said.file == str(path) and field in (said.field or "") and allowed in str(said), said
    assert said.line == number, said


STATED = [
    ("facts: {course_passed: maybe}", "true or false"),
    ("facts: {height: 1}", "unit is missing"),
    ("facts: {wings: true}", "no feature of this name"),
    ('facts: {"event:bear-notice": soon}', "not a moment"),
    ("facts: {licence_class: 3}", "a word"),
]


@pytest.mark.parametrize(("stated", "message"), STATED)
def test_facts_for_the_rules_name_the_fault(tmp_path, stated, message):
    path = write(tmp_path, MINIMAL.replace("outfit:", f"law: {{{stated}}}\noutfit:"))
    with pytest.raises(BadInput) as caught:
        read_job(path, draws=4)
    assert message in str(caught.value) and "law.facts" in str(caught.value) and caught.value.line is not None


def test_facts_for_the_rules_reach_the_sets(tmp_path):
    text = MINIMAL.replace("outfit:", 'law: {facts: {course_passed: true, "event:bear-notice": false}}\noutfit:')
    text = text.replace("target: red_fox}", "target: red_fox, facts: {height: 1 ft}}")
    job = read_job(write(tmp_path, text), draws=4)
    assert job.person.facts["course_passed"].truth is True and job.person.facts["event:bear-notice"].value is False
    assert job.sites[0].law_facts["height"].value == pytest.approx(0.3048)


def test_a_zone_that_the_map_contradicts_is_refused(tmp_path):
    text = MINIMAL.replace("outfit:", "law: {packs: [sable]}\noutfit:")
    place = "target: red_fox, position: {latitude: 40, longitude: 10}, facts: {'zone:lynx-ground': true}}"
    with pytest.raises(BadInput, match="says otherwise") as caught:
        read_job(write(tmp_path, text.replace("target: red_fox}", place)), draws=4)
    assert "zone:lynx-ground" in str(caught.value)
