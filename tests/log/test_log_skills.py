"""Skill records: only with consent, no more than needed, and no trace in the file when they are deleted."""

from __future__ import annotations

import datetime as dt
import json
import sqlite3
from pathlib import Path

import pytest

from setwright.basis.errors import BadInput, SetwrightError
from setwright.desk.lessons import skills
from setwright.desk.lessons.question import LETTERS
from setwright.desk.lessons.quiz import marked, quiz_from
from setwright.log.skill_migrations import revisions
from setwright.log.skill_schema import METADATA, NEWEST
from setwright.log.skill_store import Consent, Score, SkillStore

DAY = dt.date(2026, 11, 18)
NAME = "Ursula Quillfeather"


@pytest.fixture
def store(tmp_path: Path) -> SkillStore:
    found = SkillStore(tmp_path / "line.skills.db")
    found.add(NAME, Consent(NAME, DAY))
    return found


def test_what_is_written_is_read_again(store: SkillStore) -> None:
    store.tick(NAME, 3, done=True, seen_on=DAY)
    store.tick(NAME, 4, done=False, seen_on=DAY)
    store.tick(NAME, 4, done=True, seen_on=DAY + dt.timedelta(days=1))
    store.score(NAME, Score("coils", 4, 5, 6, DAY))
    found = store.record(NAME)
    assert found.skills == {3: (True, DAY), 4: (True, DAY + dt.timedelta(days=1))}
    assert found.scores == (Score("coils", 4, 5, 6, DAY),)
    assert found.consent == Consent(NAME, DAY, False)
    assert [one.label for one in store.records()] == [NAME]


@pytest.mark.parametrize(
    ("label", "consent", "words"),
    [
        ("A. B.", Consent("", DAY), "missing or too long"),
        ("A. B.", Consent("   ", DAY), "missing or too long"),
        ("", Consent("A. B.", DAY), "missing or too long"),
        ("x" * 61, Consent("A. B.", DAY), "missing or too long"),
        ("A. B.", Consent("a. b.", DAY, minor=True), "guardian"),
        ("A. B.", Consent("A. B.", dt.date(2999, 1, 1)), "future"),
        (NAME, Consent("A. B.", DAY), "record of this name"),
    ],
)
def test_nobody_is_kept_without_consent(store: SkillStore, label: str, consent: Consent, words: str) -> None:
    with pytest.raises(BadInput, match=words):
        store.add(label, consent)
    assert [one.label for one in store.records()] == [NAME]


def test_nothing_is_kept_of_somebody_who_was_not_taken_in(store: SkillStore) -> None:
    with pytest.raises(BadInput, match="no record"):
        store.tick("C. D.", 1, done=True, seen_on=DAY)
    with pytest.raises(BadInput, match="no record"):
        store.score("C. D.", Score("coils", 1, 1, 1, DAY))
    with pytest.raises(BadInput, match="no such item"):
        store.tick(NAME, 19, done=True, seen_on=DAY)
    with pytest.raises(BadInput, match="not a score"):
        store.score(NAME, Score("coils", 1, 7, 6, DAY))


def test_no_more_is_kept_than_said() -> None:
    kept = {table.name: {column.name for column in table.columns} for table in METADATA.tables.values()}
    assert kept == {
        "people": {"id", "label", "minor", "consent_on", "consent_by"},
        "skills": {"person", "item", "done", "seen_on"},
        "quizzes": {"id", "person", "lesson", "seed", "right", "asked", "seen_on"},
    }


def test_deleting_leaves_no_byte_of_it(store: SkillStore, tmp_path: Path) -> None:
    store.add("Other One", Consent("Other One", DAY))
    for item in range(1, 19):
        store.tick(NAME, item, done=True, seen_on=DAY)
    for seed in range(40):
        store.score(NAME, Score(f"marker-lesson-{seed}", seed, 1, 6, DAY))
    before = store.engine.url.database
    assert before is not None and NAME.encode() in Path(before).read_bytes(), "it was in the file"
    assert store.delete(NAME) == 18 + 40 + 1
    store.close()
    for path in tmp_path.iterdir():
        raw = path.read_bytes()
        assert NAME.encode() not in raw and b"marker-lesson" not in raw, f"left in {path.name}"
    again = SkillStore(tmp_path / "line.skills.db")
    assert [one.label for one in again.records()] == ["Other One"], "others stay"
    with pytest.raises(BadInput, match="no record"):
        again.delete(NAME)
    raw_rows = sqlite3.connect(tmp_path / "line.skills.db").execute("SELECT count(*) FROM skills").fetchone()
    assert raw_rows == (0,)


def test_without_the_pragma_and_the_vacuum_it_would_be_found(tmp_path: Path) -> None:
    # The check above can fail: a plain database keeps what was deleted.
    link = sqlite3.connect(tmp_path / "plain.db")
    link.execute("PRAGMA secure_delete = OFF")
    link.execute("CREATE TABLE people (label TEXT)")
    link.executemany("INSERT INTO people VALUES (?)", [(f"{NAME} {row}",) for row in range(50)])
    link.commit()
    link.execute("DELETE FROM people")
    link.commit()
    link.close()
    assert NAME.encode() in (tmp_path / "plain.db").read_bytes()


def test_the_schema_is_that_of_the_migrations(store: SkillStore) -> None:
    assert revisions()[-1] == NEWEST
    with store.engine.connect() as link:
        from sqlalchemy import inspect

        looked = inspect(link)
        for table in METADATA.tables.values():
            assert {column["name"] for column in looked.get_columns(table.name)} == {
                one.name for one in table.columns
            }


def test_a_file_that_is_no_store_is_said(tmp_path: Path) -> None:
    bad = tmp_path / "bad.db"
    bad.write_bytes(b"not a database at all, only text " * 40)
    with pytest.raises(SetwrightError, match="this file is no log"):
        SkillStore(bad)
    with pytest.raises(SetwrightError, match="folder"):
        SkillStore(tmp_path / "nowhere" / "x.db")


# On the desk


def test_the_desk_keeps_gives_along_and_forgets(tmp_path: Path) -> None:
    book = tmp_path / "line-book.yaml"
    assert skills.records(book) == []
    with pytest.raises(BadInput, match="nothing is kept yet"):
        skills.tick(book, "K. L.", [1])
    skills.enrol(book, "K. L.", "M. L.", on="2026-11-18", minor=True)
    skills.tick(book, "K. L.", [1, 2], on="2026-11-18")
    with pytest.raises(BadInput, match="no such item"):
        skills.tick(book, "K. L.", [3, 40])
    assert set(skills.record(book, "K. L.").skills) == {1, 2}, "all or nothing"
    quiz = quiz_from(["crust", "deep-weight"], 3, 2, "bedding-and-frost")
    one = quiz.questions[0]
    skills.keep_score(book, "K. L.", marked(quiz, {1: LETTERS[one.right]}), on="2026-11-18")
    data = json.loads(skills.record_json(skills.record(book, "K. L.")))
    assert data["consent"] == {"by": "M. L.", "on": "2026-11-18", "minor": True}
    assert [one["item"] for one in data["skills"]] == [1, 2] and data["quizzes"][0]["right"] == 1
    assert skills.forget(book, "K. L.") == 4
    assert skills.records(book) == []
    assert b"K. L." not in skills.records_place(book).read_bytes()
