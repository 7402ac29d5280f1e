from __future__ import annotations

import json
import math

import jsonschema
import pytest

from setwright.basis.errors import BadInput
from setwright.basis.say import Say
from setwright.desk.demo import write_demo
from setwright.desk.plan import LINE_HEADS, plan
from setwright.desk.schemas import schema_of
from setwright.desk.wording import render, show
from setwright.sheets.tables import line_geojson, line_gpx
from setwright.sheets.write import NAMES, write_plan

LEAST = """\
schema: setwright/line-book/1
line: {name: First line, date: 2026-12-20}
outfit:
  traps: [{id: T-01, pattern: coil-1.5, count: 4}]
sites:
  - {id: ridge, name: Ridge, medium: land, target: red_fox}
  - {id: pond, name: Pond, medium: water, target: beaver}
"""


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo")
    return plan(write_demo(folder), draws=120), folder


def numbers(node):
    if isinstance(node, dict):
        for value in node.values():
            yield from numbers(value)
    elif isinstance(node, list):
        for value in node:
            yield from numbers(value)
    elif isinstance(node, float):
        yield node


def test_plan_fits_its_schema_and_holds_no_broken_number(demo):
    found = json.loads(demo[0].model_dump_json(by_alias=True))
    jsonschema.Draft202012Validator(json.loads(schema_of("plan"))).validate(found)
    assert all(math.isfinite(value) for value in numbers(found))
    assert found["schema"] == "setwright/plan/1"


def test_every_set_is_explained_in_full(demo):
    found = demo[0]
    assert 14 <= len(found.sets) + found.counts["empty"] <= 20
    for part in found.sets:
        assert [link.link for link in part.links] == ["visit", "step", "fire", "close", "hold", "check"]
        assert any(check.provenance for link in part.links for check in link.checks)
        assert part.law and part.welfare and part.cautions and part.rigs
        assert any("loose jaw" in caution.text for caution in part.cautions), "the hand belongs under the loose jaw"


def test_cautions_of_the_line_hold_those_of_its_sets_once(demo):
    found = demo[0]
    heads = [caution.head for caution in found.cautions]
    wanted = {caution.head for part in found.sets for caution in part.cautions if caution.head in LINE_HEADS}
    assert set(heads) == wanted, "no head of a set is lost on the line"
    assert {"Your hands", "If a dog is held", "Dispatch", "Cold water", "Mange", "People"} <= set(heads)
    assert [LINE_HEADS.index(head) for head in heads] == sorted(LINE_HEADS.index(head) for head in heads)
    texts = [caution.text for caution in found.cautions]
    assert len(texts) == len(set(texts))
    assert {"Students", "Test firing"} <= {caution.head for caution in found.lesson}, "for whoever teaches"


def test_depth_sums_add_up(demo):
    sums = [part.figure.sum for part in demo[0].sets if part.figure.sum]
    assert sums, "the demo has slide sets"
    for lines in sums:
        assert sum(line.value for line in lines[:-1]) == pytest.approx(lines[-1].value, abs=1e-3)


def test_stand_in_records_are_named(demo):
    assert {record.what for record in demo[0].line.records} == {"weather", "water level"}
    assert all("stand-in record" in record.say for record in demo[0].line.records)


def test_typical_failures_show(demo):
    by_id = {part.site.id: part for part in demo[0].sets}
    assert by_id["orchard"].standing == by_id["sand"].standing == by_id["muck"].standing == "fails"
    assert by_id["gate"].law_answer == by_id["trail"].law_answer == "breaks"
    assert by_id["point"].welfare_answer == "breaks"
    assert by_id["ridge"].standing in ("sound", "thin") and by_id["ridge"].law_answer == "meets"


def test_files_are_written_whole_and_twice_the_same_names(demo):
    found, folder = demo
    files = write_plan(found, folder / "out")
    assert sorted(path.name for path in files) == sorted(NAMES)
    assert sorted(path.name for path in (folder / "out").iterdir()) == sorted(NAMES), "no file left beside"
    assert (folder / "out" / "set-cards.pdf").read_bytes().startswith(b"%PDF")


def test_a_book_with_every_optional_field_missing(tmp_path):
    path = tmp_path / "least.yaml"
    path.write_text(LEAST, encoding="utf-8")
    found = plan(path, draws=60)
    assert len(found.sets) == 2
    assert all(part.law_answer == "cannot tell" for part in found.sets)
    assert len(found.questions) >= 6
    assert any("trip force" in question.text for question in found.questions)
    # Nobody told a position: none is told, in no file.
    assert found.line.base is None
    assert json.loads(line_geojson(found))["features"] == []
    assert "<wpt" not in line_gpx(found) and "<rtept" not in line_gpx(found)


def test_demo_never_writes_over_another_book(tmp_path):
    (tmp_path / "line-book.yaml").write_text("mine", encoding="utf-8")
    with pytest.raises(BadInput, match="not written over"):
        write_demo(tmp_path)
    assert (tmp_path / "line-book.yaml").read_text(encoding="utf-8") == "mine"


def test_sentences_are_put_into_field_units():
    say = Say("a {a:word} at {d:length} under {f:force}", a="otter", d=0.1365, f=15.57)
    assert render(say) == "an otter at 5¼ in under 3.5 lbf"
    assert show(float("nan"), "length") == "–"
    assert show(0.004, "share") == "<0.01" and show(0.997, "share") == ">0.99"
    assert show(40, "distance") == "131 ft" and show(3000, "distance") == "1.9 mi"
