"""The skill sheet of the course, and the records of who has shown what."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping, Sequence
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.desk.lessons.model import Lesson
from setwright.desk.lessons.quiz import Marked, marked, quiz_of
from setwright.desk.wording import day_of
from setwright.log.skill_store import Consent, Score, SkillRecord, SkillStore

SUFFIX = ".skills.db"
SKILLS: Mapping[int, str] = {
    1: "Names twelve parts.",
    2: "Tells the firing order.",
    3: "Sets and unsets a coil-spring and a long-spring with no finger between the jaws.",
    4: "Frees a hand from a trap.",
    5: "Levels a pan, squares a dog, reads the trip force to half a pound.",
    6: "Finds creep and refuses that trap.",
    7: "Beds a trap and passes the four-point test.",
    8: "Covers it with sifter and pan cover.",
    9: "Chooses trap, jaws and trip force for three cases, and says why.",
    10: "Drives an anchor and pulls it as a test.",
    11: "Rigs a slide cable and says the depth sum.",
    12: "Tells a set that holds alive from a submersion set, with the check rule of each.",
    13: "Spots three risks for a dog or an otter.",
    14: "Does the release drill with a board and a stuffed dog.",
    15: "Gives the rules on firearms and on rabies.",
    16: "Fills in a log line.",
    17: "Writes a permission slip.",
    18: "Finds the local rule page and its date.",
}


def records_place(book: Path) -> Path:
    """File of the skill records of a book, beside it."""
    return book.with_name(book.stem + SUFFIX)


def today() -> dt.date:
    """The day, by the clock of the machine."""
    return dt.datetime.now().astimezone().date()


def _day(text: str | None) -> dt.date:
    return day_of(text, "--on") or today()


def enrol(book: Path, label: str, consent_by: str, *, on: str | None = None, minor: bool = False) -> None:
    """Take a student in with his consent, or that of the guardian of a minor.

    Raises
    ------
    BadInput
        When something of it is missing or the name is taken.

    """
    with SkillStore(records_place(book)) as store:
        store.add(label, Consent(consent_by, _day(on), minor))


def tick(book: Path, label: str, items: Sequence[int], *, done: bool = True, on: str | None = None) -> None:
    """Write that skills were shown, or were not yet.

    Raises
    ------
    BadInput
        For a student without a record, and an item that is not on the sheet; then nothing is written.

    """
    for item in items:
        if item not in SKILLS:
            raise BadInput("no such item on the skill sheet", field="item", found=item, allowed=f"1 to {len(SKILLS)}")
    with _opened(book) as store:
        store.record(label)
        for item in items:
            store.tick(label, item, done=done, seen_on=_day(on))


def keep_score(book: Path, label: str, found: Marked, *, on: str | None = None) -> None:
    """Write the score of a quiz down.

    Raises
    ------
    BadInput
        For a student without a record.

    """
    quiz = found.quiz
    with _opened(book) as store:
        store.score(label, Score(quiz.lesson, quiz.seed, found.right, len(quiz.questions), _day(on)))


def mark_and_keep(
    book: Path,
    label: str,
    lesson: Lesson,
    seed: int,
    number: int,
    answers: Mapping[int, str],
    *,
    on: str | None = None,
) -> Marked:
    """Mark the quiz of a student and write the score down; returns the marks."""
    with _opened(book) as store:
        store.record(label)
    found = marked(quiz_of(lesson, seed, number), answers)
    keep_score(book, label, found, on=on)
    return found


def records(book: Path) -> list[SkillRecord]:
    """All records of a book; none where there is no file."""
    if not records_place(book).exists():
        return []
    with SkillStore(records_place(book)) as store:
        return store.records()


def record(book: Path, label: str) -> SkillRecord:
    """The record of one student.

    Raises
    ------
    BadInput
        When there is none.

    """
    with _opened(book) as store:
        return store.record(label)


def forget(book: Path, label: str) -> int:
    """Delete a student with all that is kept of him; returns how many rows went.

    Raises
    ------
    BadInput
        When there is no record of that name.

    """
    with _opened(book) as store:
        return store.delete(label)


def _opened(book: Path) -> SkillStore:
    place = records_place(book)
    if not place.exists():
        raise BadInput("nothing is kept yet", file=place, allowed="take a student in first")
    return SkillStore(place)


def record_json(found: SkillRecord) -> str:
    """All that is kept of one student, as he may take it along."""
    data = {
        "schema": "setwright/skill-record/1",
        "name": found.label,
        "consent": {
            "by": found.consent.consent_by, "on": found.consent.consent_on.isoformat(), "minor": found.consent.minor
        },
        "skills": [
            {"item": item, "skill": SKILLS[item], "shown": done, "on": day.isoformat()}
            for item, (done, day) in found.skills.items()
        ],
        "quizzes": [
            {
                "lesson": one.lesson, "seed": one.seed, "right": one.right, "asked": one.asked,
                "on": one.seen_on.isoformat(),
            }
            for one in found.scores
        ],
    }  # fmt: skip
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"
