"""Lessons: read and looked through, easy to read, every question worked out, kit and strength, own lessons."""

from __future__ import annotations

import itertools
import re
from pathlib import Path

import pytest

from reading import grade, own_grade, syllables
from setwright.basis.errors import BadInput
from setwright.desk.bench import bench
from setwright.desk.demo import demo_book
from setwright.desk.lessons.kinds import KINDS
from setwright.desk.lessons.live import LessonDesk, answer, every, nights_told
from setwright.desk.lessons.markdown import read_body
from setwright.desk.lessons.model import Lesson
from setwright.desk.lessons.shelf import lesson_named, lessons, read_lesson, shipped_folder
from setwright.desk.lessons.skills import SKILLS
from setwright.desk.lessons.stations import practice, whole_course
from setwright.desk.lessons.strength import box
from setwright.desk.plan import one_set
from setwright.desk.set_whatif import one_set_changed
from setwright.desk.wording import show
from setwright.sheets.lesson_figures import FIGURES, draw_picture, figure_keys, known

NAMES = [path.stem for path in sorted(shipped_folder().glob("*.md"))]
OTHER = Path(__file__).resolve().parents[2] / "docs" / "examples" / "dogs-run.yaml"
LBF = 4.4482216152605


@pytest.fixture(scope="module")
def desk() -> LessonDesk:
    return LessonDesk(draws=60)


@pytest.fixture(scope="module")
def course() -> dict[str, Lesson]:
    return {one.name: one for one in lessons(known())}


def test_the_course_is_whole(course: dict[str, Lesson]) -> None:
    assert len(course) >= 10 and set(course) == set(NAMES)
    assert [one.head.order for one in course.values()] == sorted(one.head.order for one in course.values())
    taught = set(itertools.chain.from_iterable(one.head.skills for one in course.values()))
    assert taught == set(SKILLS), "every item of the skill sheet is taught somewhere"
    asked = set(itertools.chain.from_iterable(one.head.quiz for one in course.values()))
    assert asked == set(KINDS), "every kind of question is asked somewhere"
    drawn = {block.figure for one in course.values() for block in one.body}
    assert drawn >= {"coil-parts", "hand-place", "bed", "trap-strip", "section", "footing", "wait", "feet"}


@pytest.mark.parametrize("name", NAMES)
def test_a_lesson_has_all_its_parts(course: dict[str, Lesson], name: str) -> None:
    head = course[name].head
    assert head.aim and head.check and head.beliefs and head.stations and head.cautions and head.quiz
    assert len(head.live.figures) == 3 and head.live.picture
    assert any(block.kind == "figure" for block in course[name].body)
    for station in head.stations:
        live = any(kit.trap and "closed" not in kit.what for kit in station.kit)
        assert station.caution or not live, f"{station.name}: a caution beside every live spring"


def student_text(lesson: Lesson) -> str:
    """Running text and everything of the head that is read out or printed; sources are left out."""
    head = lesson.head
    found = [head.title, *head.aim, head.live.ask, head.live.learn, *(block.words for block in lesson.body)]
    for station in head.stations:
        found += [station.name, *station.steps, station.caution]
    for belief in head.beliefs:
        found += [belief.believed, belief.fact]
    for check in head.check:
        found += [check.ask, check.answer]
    found += head.cautions
    return "\n".join(part for part in found if part)


@pytest.mark.parametrize("name", NAMES)
def test_what_students_read_is_easy(course: dict[str, Lesson], name: str) -> None:
    assert grade(student_text(course[name])) <= 8.0
    # The running text alone, without its many short lines, as well.
    prose = "\n".join(block.words for block in course[name].body if block.kind == "paragraph")
    assert grade(prose) <= 8.0


def test_the_grade_tells_easy_from_hard() -> None:
    counts = {
        "trap": 1,
        "level": 2,
        "animal": 3,
        "coyote": 3,
        "closes": 2,
        "pressed": 1,
        "submersion": 3,
        "covered": 2,
    }
    assert {word: syllables(word) for word in counts} == counts
    # One sentence of 10 words and 12 syllables.
    assert own_grade("The animal steps on the pan and the jaws close.") == pytest.approx(
        0.39 * 10 + 11.8 * 1.2 - 15.59
    )
    hard = (
        "Notwithstanding considerable heterogeneity among individual anthropometric characteristics, practitioners "
        "systematically overestimate the selectivity attributable to elevated trigger resistance."
    )
    assert grade(hard) > 15.0


@pytest.mark.parametrize("name", NAMES)
def test_every_choice_of_every_question_is_worked_out_and_drawn(
    course: dict[str, Lesson], desk: LessonDesk, name: str
) -> None:
    live = course[name].head.live
    found = every(desk, live)
    rows = [tuple(number.after for number in one.numbers) for one in found]
    assert len(set(rows)) > 1, "a change changes something"
    for one in found:
        assert len(one.numbers) == 3 and all(number.after and number.after != "cannot tell" for number in one.numbers)
        assert one.picture is not None and draw_picture(desk, one.picture, 600.0).startswith("<svg")
    for block in course[name].body:
        if block.kind == "figure":
            assert draw_picture(desk, block, 600.0).startswith("<svg")


def test_numbers_of_a_trap_are_those_of_the_bench(course: dict[str, Lesson], desk: LessonDesk) -> None:
    live = course["coils"].head.live
    four = answer(desk, live, "4")
    sheet = bench("coil-1.5", what_if=["springs=4"], draws=desk.draws, seed=desk.seed)
    told = {row.key: row for row in sheet.what_if[0].differences}
    assert [number.after for number in four.numbers] == [told[key].after for key in live.figures]
    assert [number.before for number in four.numbers] == [told[key].before for key in live.figures]


def test_numbers_of_a_set_are_those_of_the_plan(course: dict[str, Lesson], desk: LessonDesk) -> None:
    live = course["submersion"].head.live
    changed = one_set_changed(demo_book(), "point", "chain=short-12", draws=desk.draws, seed=desk.seed)
    lines = {line.label: line.value for line in changed.after.figure.sum}
    depth, spare = lines["depth at the stop when set"], lines["to spare"]
    told = [number.after for number in answer(desk, live, "short-12").numbers]
    assert told == [show(depth, "length"), show(depth - spare, "length"), show(spare, "length")]
    plain = one_set(demo_book(), "point", draws=desk.draws, seed=desk.seed)
    before = answer(desk, live).numbers[2].before
    assert before == show(next(line.value for line in plain.figure.sum if line.label == "to spare"), "length")


def test_a_value_that_is_not_offered_may_be_asked_too(course: dict[str, Lesson], desk: LessonDesk) -> None:
    assert answer(desk, course["parts-and-firing"].head.live, "0.75 in").numbers[0].after
    for name, value in (("coils", "7"), ("pan", "3"), ("check-clock", "25:00"), ("log", "many"), ("jaws", "gold")):
        with pytest.raises(BadInput):
            answer(desk, course[name].head.live, value)


def test_another_book_answers_with_its_own_site(course: dict[str, Lesson]) -> None:
    own = LessonDesk(OTHER, draws=50)
    told = answer(own, course["selectivity"].head.live, "2 lbf")
    assert "an invented line" in told.note and "Pasture gate" not in told.about
    # A book without water is helped out by the demo line, and that is said.
    water = answer(own, course["submersion"].head.live, "short-12")
    assert "invented line: your book has no site on water" in water.note
    assert water.numbers == answer(LessonDesk(draws=50), course["submersion"].head.live, "short-12").numbers
    with pytest.raises(BadInput, match="no such site"):
        own.at("nowhere", "")


def test_nights_without_a_dog() -> None:
    # 1 - 0.05^(1/20) and ln 0.05 / ln 0.99.
    assert nights_told("20") == {"upper": "up to 14", "thirds": "15", "wanted": "299"}


# Practice


@pytest.mark.parametrize("students", [1, 5, 8, 24])
def test_kit_scales_with_the_class(course: dict[str, Lesson], students: int) -> None:
    plan = practice(course["hands"], students)
    by_name = {one.station.name: one for one in plan.stations}
    number = by_name["Set and unset"].number
    assert number == -(-students // 4) and plan.helpers == -(-students // 4)
    bring = {what: count for count, what in by_name["Set and unset"].kit}
    assert bring["working trap that the group can press"] == -(-students // 2), "one working trap for two"
    assert bring["first aid kit"] == 1 and bring["eye cover"] == students
    whole = {what: count for count, what in whole_course(list(course.values()), students)}
    assert whole["eye cover"] == students, "lessons come one after the other"


def test_a_class_of_none_is_refused(course: dict[str, Lesson]) -> None:
    with pytest.raises(BadInput, match="class"):
        practice(course["hands"], 0)


def test_a_student_is_never_advised_beyond_his_strength() -> None:
    weak, strong = (box((force * LBF, mass * 0.45359237), draws=120) for force, mass in ((22.0, 60.0), (90.0, 200.0)))
    table = {one.tag: one for one in weak}
    assert [one.tag for one in weak] == [one.tag for one in strong], "lightest first"
    assert table["coil-3"].answers[0] == "cannot" and "by hand" not in table["coil-3"].ways
    for one, able in zip(weak, strong, strict=True):
        # By hand means that even the upper end of the band is within reach.
        high = float(one.hand.split(" to ")[1].rstrip(")"))
        assert ("by hand" in one.ways) <= (high <= 22.0 * 1.1)
        assert set(one.ways) <= set(able.ways)
    nobody = box(None, draws=50)
    assert not any(one.ways for one in nobody) and {answer for one in nobody for answer in one.answers} == {
        "cannot tell"
    }
    unsaid = box((float("nan"), 30.0), draws=50)
    assert all("by hand" not in one.ways and "with setters" not in one.ways for one in unsaid)


def test_the_box_of_a_book_is_its_outfit() -> None:
    found = box(None, book=demo_book(), draws=50)
    assert {one.tag for one in found} >= {"T-01", "T-51"} and all("T-" in one.title for one in found)


# Own lessons

HEAD = """---
schema: setwright/lesson/1
name: mine
title: Mine
minutes: 10
aim: [Say one thing.]
live:
  ask: What?
  tool: nights
  change: nights
  choices: [{value: "20"}, {value: "60"}]
  figures: [upper, thirds, wanted]
  picture: none-seen
  learn: Something.
stations: [{name: One, minutes: 5, steps: [Do it.], kit: [{what: pencil, one_for: 1}]}]
check: [{ask: What?, answer: That.}]
cautions: [Mind your hands.]
---
"""


def written(tmp_path: Path, body: str, head: str = HEAD) -> Path:
    path = tmp_path / "mine.md"
    path.write_text(head + body, encoding="utf-8")
    return path


def test_an_own_lesson_is_read_and_stands_behind_the_shipped_ones(tmp_path: Path) -> None:
    path = written(
        tmp_path, "\nText with **bold** and a [link](lesson:coils).\n\n![It](figure:none-seen?nights=50)\n"
    )
    found = read_lesson(path, known(), own=True)
    assert [block.kind for block in found.body] == ["paragraph", "figure"]
    assert [(span.text, span.strong, span.link) for span in found.body[0].spans][1] == ("bold", True, "")
    every_one = lessons(known(), tmp_path)
    assert every_one[-1].name == "mine" and every_one[-1].own
    assert lesson_named("mine", known(), tmp_path).head.title == "Mine"
    assert lesson_named(str(path), known()).own


@pytest.mark.parametrize(
    ("body", "line", "words"),
    [
        ("\n![x](figure:trap-pln)\n", 20, "no drawing of this name"),
        ("\n\n\n![x](figure:trap-plan?color=red)\n", 22, "can be said of this drawing"),
        ("\n![x](figure:trap-plan?trap=)\n", 20, "with nothing"),
        ("\n![x](https://elsewhere.example/x.png)\n", 20, "called by name"),
        ("\nHere ![x](figure:trap-plan) in the text.\n", 20, "paragraph of its own"),
        ("\n[x](javascript:alert)\n\nNot a link: [y](ftp://z)\n", 22, "not used in a lesson"),
        ("\n    code\n", 20, "not used in a lesson"),
        ("\n- a\n  - b\n", 20, "list within a list"),
        ("\n***\n", 20, "not used in a lesson"),
    ],
)
def test_what_is_wrong_in_the_text_is_named_with_its_line(tmp_path: Path, body: str, line: int, words: str) -> None:
    path = written(tmp_path, body)
    with pytest.raises(BadInput, match=words) as told:
        read_lesson(path, known(), own=True)
    assert told.value.line == line and told.value.file == str(path) and "mine.md, line" in str(told.value)


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("minutes: 10", "minutes: soon", 5, "integer"),
        ("minutes: 10", "minutes: 10\ncolour: red", 6, "not known here"),
        ("tool: nights", "tool: magic", 9, "not known here"),
        ("[upper, thirds, wanted]", "[upper, thirds, held]", 12, "no such number"),
        ("picture: none-seen", "picture: mountain", 13, "no drawing"),
        ("one_for: 1", "one_for: 1, in_all: 2", 15, "say one of"),
        ("cautions: [Mind your hands.]", "cautions: []", 17, "at least 1"),
        ("cautions: [Mind", "quiz: [riddle]\ncautions: [Mind", 17, "no such kind of question"),
        ("tool: nights", "tool: set", 7, "names its site"),
    ],
)
def test_what_is_wrong_in_the_head_is_named_with_its_line(
    tmp_path: Path, old: str, new: str, line: int, words: str
) -> None:
    assert old in HEAD
    path = written(tmp_path, "\nText.\n", HEAD.replace(old, new))
    with pytest.raises(BadInput, match=words) as told:
        read_lesson(path, known(), own=True)
    assert told.value.line == line, str(told.value)


def test_a_lesson_without_head_and_two_of_one_name_are_refused(tmp_path: Path) -> None:
    bare = tmp_path / "bare.md"
    bare.write_text("# Text only\n", encoding="utf-8")
    with pytest.raises(BadInput, match="begins with a head"):
        read_lesson(bare, known())
    bare.unlink()
    written(tmp_path, "\nText.\n", HEAD.replace("name: mine", "name: coils"))
    with pytest.raises(BadInput, match="another lesson has this name"):
        lessons(known(), tmp_path)


def test_markup_of_the_writer_stays_text() -> None:
    found = read_body("<script>alert(1)</script>\n\nA <b>word</b> & more.", file="x")
    assert found[0].words == "<script>alert(1)</script>" and found[1].words == "A <b>word</b> & more."


@pytest.mark.parametrize("name", FIGURES)
def test_every_drawing_can_be_made_without_a_word_said_of_it(desk: LessonDesk, name: str) -> None:
    site = {"wait": "orchard", "feet": "orchard", "hundred-nights": "orchard"}.get(name)
    said = f"?site={site}" if site else ""
    (block,) = read_body(f"![x](figure:{name}{said})", file="x")
    assert draw_picture(desk, block, 500.0).startswith("<svg")


def letters_on(drawing: str) -> set[str]:
    """Single capitals that stand on a drawing by themselves."""
    return set(re.findall(r">([A-Z])</text>", drawing))


@pytest.mark.parametrize("name", NAMES)
def test_every_letter_on_a_narrow_drawing_has_its_words(
    course: dict[str, Lesson], desk: LessonDesk, name: str
) -> None:
    live = course[name].head.live
    pictures = [block for block in course[name].body if block.kind == "figure"]
    for one in [*pictures, *(told.picture for told in every(desk, live) if told.picture is not None)]:
        keys, narrow = dict(figure_keys(desk, one)), draw_picture(desk, one, 350.0)
        # Curves of a trap have the list of their letters within the drawing: each letter stands there twice.
        listed = {letter for letter in letters_on(narrow) if narrow.count(f">{letter}</text>") > 1}
        assert letters_on(narrow) <= set(keys) | listed, one
        assert all(keys.values())
        assert not letters_on(draw_picture(desk, one, 490.0)), "a wide one has names"
