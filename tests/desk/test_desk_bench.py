"""The bench sheet: what is told with and without readings, what-ifs, refusals, drawings and card."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from jsonschema import Draft202012Validator

from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.desk.bench import all_patterns, bench, on_bench, student_of
from setwright.desk.bench_document import BenchSheet
from setwright.desk.bench_figures import KEYS, load_of
from setwright.desk.bench_pick import pattern
from setwright.desk.bench_pictures import _point, slow_motion
from setwright.desk.schemas import schema_of
from setwright.sheets.bench import drawings_of, write_card, write_drawings
from setwright.trap.frames import frames

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "docs" / "examples").glob("bench-*.yaml"))
BOOK = DATA / "demo" / "line-book.yaml"
HEAD = "schema: setwright/trap/1\nid: T-07\npattern: coil-1.75\n"


@pytest.fixture
def trap(tmp_path):
    def write(text: str) -> str:
        path = tmp_path / "trap.yaml"
        path.write_text(HEAD + text, encoding="utf-8")
        return str(path)

    return write


def _difference(sheet: BenchSheet, key: str, variant: int = 0):
    return next(row for row in sheet.what_if[variant].differences if row.key == key)


def test_a_pattern_by_its_name_has_every_figure_with_a_band_and_is_comparative():
    found = bench("coil-1.5", draws=80)
    assert set(found.figures) == {key for key, *_ in KEYS}
    for key, figure in found.figures.items():
        if key == "pan_trip_force_N":
            assert figure.standing == "cannot tell" and figure.median is None
        elif key != "locked" and figure.note != "no limit: locked":
            assert figure.low < figure.median < figure.high, key
            assert figure.standing == "comparative", key
    assert any("Pull the pan" in text for text in found.remarks), "an unread pan is asked for"
    assert found.calibration.readings == 0 and found.calibration.next, "says what to read first"
    assert "comparing" in found.say
    Draft202012Validator(json.loads(schema_of("bench"))).validate(json.loads(found.model_dump_json(by_alias=True)))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_readings_narrow_what_is_told(path):
    text = path.read_text(encoding="utf-8")
    assert "Invented example" in text
    found = bench(str(path), draws=120)
    plain = bench(next(line.split(": ")[1] for line in text.splitlines() if line.startswith("pattern")), draws=120)

    def width(sheet, key):
        figure = sheet.figures[key]
        return math.log(figure.high / figure.low)

    assert width(found, "dog_force_N") < 0.6 * width(plain, "dog_force_N")
    assert not found.calibration.disagree, "the readings of the example go together"
    if "closing_time" in text:
        assert found.figures["closing_time_ms"].standing == "absolute"
        assert width(found, "closing_time_ms") < 0.4 * width(plain, "closing_time_ms")
        assert "by your readings" in found.say
    else:
        assert found.figures["closing_time_ms"].standing == "comparative"


def test_a_reading_that_cannot_be_right_is_named(trap):
    text = "readings:\n  - {read: lever_force, value: 60 lbf, lever_angle: 20 deg}\n"
    text += "  - {read: lever_force, value: 10 lbf, lever_angle: 25 deg}\n"
    found = bench(trap(text), draws=60)
    assert any("lever force" in line for line in found.calibration.disagree)


def test_what_if_is_paired_and_follows_the_mechanics():
    found = bench(
        "coil-1.5", what_if=["springs=4", "jaws=laminated", "offset=6mm", "cover=25 mm", "water=yes"], draws=100
    )
    ratio = found.what_if[0].figures["closing_time_ms"].median / found.figures["closing_time_ms"].median
    assert ratio == pytest.approx(1 / math.sqrt(2), abs=0.01), "twice the springs, time over root two"
    clamp = found.what_if[0].figures["clamp_closing_N"].median / found.figures["clamp_closing_N"].median
    assert clamp == pytest.approx(2.0, rel=1e-9)
    time = [_difference(found, "closing_time_ms", index) for index in range(5)]
    assert time[0].high < 0 < time[1].low, "every draw says the same: paired"
    assert _difference(found, "face_pressure_kPa", 1).high < 0, "a wider face presses less"
    assert time[3].low > 0 and time[4].low > 0, "cover and water slow every draw"
    assert time[2].median == pytest.approx(0.0, abs=0.2), "a gap hardly moves the time"


def test_what_if_on_a_trap_that_was_read_keeps_its_readings():
    path = str(next(path for path in EXAMPLES if "coil-four" in path.stem))
    found = bench(path, what_if=["springs=2"], draws=100)
    ratio = found.what_if[0].figures["closing_time_ms"].median / found.figures["closing_time_ms"].median
    assert ratio == pytest.approx(math.sqrt(2), abs=0.02)
    again = bench(path, what_if=["spread=5 9/16 in"], draws=100)
    assert _difference(again, "closing_time_ms").median == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("springs=3", "does not fit the family"),
        ("jaws=toothed", "no such entry"),
        ("springs", "name=value"),
        ("springs=4,springs=2", "changed twice"),
        ("leaf_width=20 mm", "nothing of this name"),
        ("wire_diameter=3.8", "unit"),
        ("spread=4.9 m", "outside the range"),
        ("friction=2", "outside the range"),
        ("eye_half_opening=4 mm", "cannot be"),
        ("water=maybe", "yes or no"),
    ],
)
def test_a_change_that_cannot_be_made_is_refused(text, says):
    with pytest.raises(BadInput, match=says):
        bench("coil-1.5", what_if=[text], draws=50)


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("spread: 4.9 m\n", 4, "inches|in taken|m for|mm"),
        ("spread: 4.9\n", 4, "unit"),
        ("spread: 0 mm\n", 4, "outside"),
        ("spread: -5 in\n", 4, "outside"),
        ("wire_diameter: 3.8 in\n", 4, "in"),
        ("eye_half_opening: 4 mm\n", 4, "cannot both be true"),
        ("readings:\n  - {read: lever_strength, value: 3 lbf}\n", 5, "no such reading"),
        ("readings:\n  - {read: lever_force, value: 3 lbf}\n", 5, "height it was held at"),
        ("readings:\n  - {read: empty_eye_height, value: 80 mm, base_height: 10 mm}\n", None, "not read on a coil"),
        ("readings:\n  - {read: eye_opening, value: 27 lbf}\n", 5, "unit"),
        ("readings:\n  - {read: opening_force, value: -3 lbf, dowel: 20 mm}\n", 5, "not a reading|outside"),
        ("pattern_of: x\n", 4, "not known|Extra|unknown"),
    ],
)
def test_bad_trap_files_name_line_and_cause(trap, text, line, says):
    path = trap(text)
    with pytest.raises(BadInput, match=says) as caught:
        bench(path, draws=50)
    assert caught.value.file == path
    if line is not None:
        assert caught.value.line == line, str(caught.value)


def test_a_tag_of_the_outfit():
    found = bench("T-11", book=BOOK, draws=60)
    assert found.trap == "T-11"
    with pytest.raises(BadInput, match="no such trap in the outfit") as caught:
        bench("T-999", book=BOOK)
    assert "T-01" in str(caught.value)
    with pytest.raises(BadInput, match="no such trap"):
        bench("nothing")


def test_what_a_student_can_set():
    strong, weak = (bench("long-3", student=student_of(f"{force} lbf", f"{mass} lb"), draws=60) for force, mass in
                    ((250, 250), (8, 60)))  # fmt: skip
    for sheet, answer in ((strong, "can"), (weak, "cannot")):
        part = next(part for part in sheet.parts if part.head == "Force to set it")
        assert {row.what: row.shown for row in part.rows}["this student by hand"] == answer
    unknown = bench("long-3", student=student_of("80 lbf", None), draws=60)
    part = next(part for part in unknown.parts if part.head == "Force to set it")
    assert {row.what: row.shown for row in part.rows}["this student by foot"] == "cannot tell"
    with pytest.raises(BadInput, match="no person"):
        student_of("80 N", "2 lb")


def test_slow_motion_is_one_motion():
    found = bench("coil-1.75", frame_step=0.001, draws=60)
    motion = found.frames
    assert motion is not None
    assert np.all(np.diff(motion.times) > 0)
    assert np.all(np.diff(motion.dogged_jaw) >= 0)
    assert motion.dogged_jaw == pytest.approx(motion.loose_jaw)
    assert motion.apart == sorted(motion.apart), "once apart, apart to the end"
    assert all(force == 0 for force, apart in zip(motion.force_dogged, motion.apart, strict=True) if apart)
    held = bench("coil-1.75", what_if=["dog_delay=1 ms"], draws=60)
    assert 0 < _difference(held, "closing_time_ms").median < 1.0


def test_all_patterns_stand_in_one_table():
    sheets = all_patterns(draws=50)
    titles = [sheet.title for sheet in sheets]
    assert len(titles) == len(set(titles)) == 23
    assert sum("4 coils" in title for title in titles) == 8
    for sheet in sheets:
        time = sheet.figures["closing_time_ms"]
        assert time.low < time.median < time.high, sheet.title


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_card_and_drawings(path, tmp_path):
    found = bench(str(path), drawn_too=True, draws=60)
    files = write_drawings(found, tmp_path / "drawn")
    assert {file.name for file in files} == {
        "trap-plan.svg", "trap-end.svg", "trap-strip.svg", "trap-push.svg", "trap-time.svg", "trap-grip.svg",
    }  # fmt: skip
    for text in drawings_of(found).values():
        root = ElementTree.fromstring(text)
        assert {"title", "desc"} <= {child.tag.split("}")[1] for child in root}
    first = write_card(found, tmp_path / "one.pdf", "a5").read_bytes()
    assert first == write_card(found, tmp_path / "two.pdf", "a5").read_bytes(), "the same card twice"
    assert first.startswith(b"%PDF")
    with pytest.raises(BadInput, match="no such paper"):
        write_card(found, tmp_path / "three.pdf", "a3")
    assert not (tmp_path / "three.pdf").exists()


def test_the_sheet_is_json_and_back():
    found = bench("long-2", frame_step=0.002, drawn_too=True, what_if=["springs=1"], draws=50)
    text = found.model_dump_json(by_alias=True)
    assert json.loads(text)["schema"] == "setwright/bench/1"
    assert BenchSheet.model_validate_json(text) == found
    assert "NaN" not in text and "Infinity" not in text


def test_dated_rates_tell_of_weakening_and_only_the_last_is_of_today(trap):
    first = "readings:\n  - {read: spring_rate, value: 20 lbf/in, date: 2024-09-01}\n"
    both = first + "  - {read: spring_rate, value: 17 lbf/in, date: 2026-09-01}\n"
    last = "readings:\n  - {read: spring_rate, value: 17 lbf/in, date: 2026-09-01}\n"
    found, now = bench(trap(both), draws=60), bench(trap(last), draws=60)
    rows = {row.what: row.shown for part in found.parts if part.head == "Springs" for row in part.rows}
    assert rows["rate lost from season to season"].startswith("8 %"), "1 - (17/20)^(1/2)"
    assert found.figures == now.figures, "what was read two years ago says nothing of today"
    assert "rate lost from season to season" not in {
        row.what for part in now.parts if part.head == "Springs" for row in part.rows
    }


@pytest.mark.parametrize("key", ["coil-1.75", "long-4"])
@pytest.mark.parametrize("delay", [0.0, 0.001])
def test_the_fewer_steps_of_a_slow_motion_are_not_seen(key, delay):
    on = on_bench(pattern(key), draws=40)
    bed = replace(on.bed, delay=delay)
    told = slow_motion(on.middle, bed, 1e-4)
    trap, friction = _point(on.middle)
    load = {name: float(np.ravel(value)[0]) for name, value in load_of(on.middle, bed).items()}
    whole = frames(trap, friction=friction, step=1e-4, delay=delay, **load)
    factor = float(on.middle.time_factor[0])
    assert told.times[-1] == pytest.approx(factor * whole.times[-1], rel=5e-4)
    most = min(len(told.times), whole.times.size) - 2
    for one, jaw in zip((told.dogged_jaw, told.loose_jaw), whole.angles, strict=True):
        assert np.degrees(np.abs(np.array(one[:most]) - jaw[:most])).max() < 0.06
