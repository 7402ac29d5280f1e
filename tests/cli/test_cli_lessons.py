"""The commands of teaching, from the first list to the deleted record."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from cli.conftest import Call
from setwright.desk.demo import demo_book

EXAMPLE = Path(__file__).resolve().parents[2] / "docs" / "how" / "lessons.md"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return Path(shutil.copy(demo_book(), tmp_path / "line-book.yaml"))


def test_lessons_are_listed_and_shown(call: Call) -> None:
    listed = call("lesson", "list")
    assert listed.code == 0 and len(listed.out.splitlines()) == 12 and listed.out.startswith("parts-and-firing")
    shown = call("lesson", "show", "coils", "--students", "9")
    assert shown.code == 0
    for words in ("four coils", "force on one lever", "2 × Guess", "9 eye cover", "“Four coils beat frost.”"):
        assert words in shown.out, words
    one = call("lesson", "show", "coils", "--change", "4")
    assert (
        "as it stands" in one.out
        and "two coils" not in one.out.split("What do two more coils bring")[1].split("Practice")[0]
    )
    course = call("lesson", "course", "--students", "24")
    assert "12 lessons" in course.out and re.search(r"24\s+eye cover", course.out)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("lesson", "show", "nothing"), "no such lesson; found 'nothing'; allowed: parts-and-firing"),
        (("lesson", "show", "coils", "--change", "7"), "does not fit the family"),
        (("lesson", "show", "hands", "--presses", "many"), "--presses"),
        (("lesson", "print", "coils", "--out", "x.pdf", "--paper", "a0"), "no such paper"),
        (("lesson", "show", "missing.md"), "cannot be read"),
    ],
)
def test_what_is_wrong_is_one_line(call: Call, words: tuple[str, ...], told: str) -> None:
    answered = call(*words)
    assert answered.code == 2 and told in answered.err and len(answered.err.strip().splitlines()) == 1
    assert "Traceback" not in answered.err


def test_the_box_advises_nobody_beyond_his_strength(call: Call) -> None:
    plain = call("lesson", "box")
    assert plain.code == 0 and "this student" not in plain.out and "--presses" in plain.out
    weak = call("lesson", "box", "--presses", "3 lbf", "--weighs", "40 lb")
    assert "not this one" in weak.out and "by hand" not in weak.out.replace("spring, by hand", "")


def test_a_quiz_is_made_printed_and_marked(call: Call, tmp_path: Path) -> None:
    made = call("lesson", "quiz", "submersion", "--seed", "3", "--json", "--key")
    data = json.loads(made.out)
    assert len(data["questions"]) == 6 and data["seed"] == 3
    hidden = json.loads(call("lesson", "quiz", "submersion", "--seed", "3", "--json").out)
    assert all(not {"answer", "right", "worked", "given"} & set(one) for one in hidden["questions"])
    answers = tmp_path / "answers.yaml"
    lines = []
    for one in data["questions"]:
        lines.append(f"{one['number']}: {'abcdefgh'[one['right']] if one['choices'] else one['answer']}")
    answers.write_text("\n".join(lines), encoding="utf-8")
    marked = call("lesson", "quiz", "submersion", "--seed", "3", "--answers", answers)
    assert marked.out.strip().endswith("6 of 6 right.")
    answers.write_text("1: 0 in\n", encoding="utf-8")
    assert (
        "0 of 6 right, 5 without an answer."
        in call("lesson", "quiz", "submersion", "--seed", "3", "--answers", answers).out
    )
    answers.write_text("7: x\n", encoding="utf-8")
    assert "no such question" in call("lesson", "quiz", "submersion", "--answers", answers).err
    paper = tmp_path / "quiz.pdf"
    printed = call("lesson", "quiz", "submersion", "--seed", "3", "--print", paper, "--key", "--paper", "a5")
    assert printed.code == 0 and paper.read_bytes().startswith(b"%PDF")


def test_records_from_consent_to_deletion(call: Call, book: Path, tmp_path: Path) -> None:
    assert "Nothing is kept" in call("lesson", "skills", "show", book).out
    refused = call("lesson", "skills", "tick", book, "J. D.", "3")
    assert refused.code == 2 and "nothing is kept yet" in refused.err
    assert call("lesson", "skills", "add", book, "J. D.").code == 2, "no consent, no record"
    assert call("lesson", "skills", "add", book, "J. D.", "--consent-by", "J. D.", "--minor").code == 2
    assert (
        call("lesson", "skills", "add", book, "J. D.", "--consent-by", "R. D.", "--minor", "--on", "2026-11-18").code
        == 0
    )
    assert "shown" in call("lesson", "skills", "tick", book, "J. D.", "3", "4").out
    answers = tmp_path / "a.yaml"
    answers.write_text("1: b\n", encoding="utf-8")
    assert "of 6 right" in call("lesson", "skills", "quiz", book, "J. D.", "jaws", "--answers", answers).out
    assert "2 of 18 skills shown; last quiz jaws" in call("lesson", "skills", "show", book).out
    one = call("lesson", "skills", "show", book, "J. D.").out
    assert "guardian R. D." in one and "open" in one
    out = tmp_path / "jd.json"
    assert call("lesson", "skills", "export", book, "J. D.", out).code == 0
    data = json.loads(out.read_text(encoding="utf-8"))
    assert [one["item"] for one in data["skills"]] == [3, 4] and data["consent"]["minor"] is True
    gone = call("lesson", "skills", "delete", book, "J. D.", "--yes")
    assert gone.code == 0 and "4 rows" in gone.out
    assert b"J. D." not in (tmp_path / "line-book.skills.db").read_bytes()
    assert call("lesson", "skills", "delete", book, "J. D.", "--yes").code == 2


def test_the_lesson_of_the_page_on_lessons_works(call: Call, book: Path) -> None:
    text = EXAMPLE.read_text(encoding="utf-8").split("```yaml\n")[1].split("```")[0]
    text = text.replace("site: creek", "site: muck").replace("site=creek", "site=muck")
    text = text.replace("value: T-01", "value: T-16").replace("value: T-02", "value: T-51")
    folder = book.parent / "lessons"
    folder.mkdir()
    (folder / "my-lesson.md").write_text(text, encoding="utf-8")
    assert "my-lesson" in call("lesson", "list", "--book", book).out.splitlines()[-1]
    shown = call("lesson", "show", "my-lesson", "--book", book)
    assert shown.code == 0 and "the coil-spring" in shown.out and "sinks" in shown.out
    (folder / "my-lesson.md").write_text(text.replace("figure:footing", "figure:foting"), encoding="utf-8")
    broken = call("lesson", "list", "--book", book)
    assert broken.code == 2 and re.search(
        r"my-lesson\.md, line \d+: no drawing of this name; found 'foting'", broken.err
    )


def test_figures_come_in_the_units_of_the_book(call: Call, book: Path) -> None:
    assert "27¼ in" in call("lesson", "show", "submersion", "--book", book).out
    text = book.read_text(encoding="utf-8").replace(
        "  place: Orrin County\n", "  place: Orrin County\n  units: metric\n", 1
    )
    book.write_text(text, encoding="utf-8")
    metric = call("lesson", "show", "submersion", "--book", book)
    assert metric.code == 0 and re.search(r"\d (?:cm|mm)\b", metric.out) and "27¼ in" not in metric.out
    force = call("lesson", "box", "--book", book)
    assert re.search(r"\d N\b", force.out) and "lbf" not in force.out
