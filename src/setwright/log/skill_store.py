"""Skill records of students: kept with consent, in a file of their own, and truly gone when they are deleted."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from sqlalchemy import URL, Connection, Engine, create_engine, delete, event, insert, inspect, select, text, update

from setwright.basis.errors import BadInput
from setwright.log.faults import StoreFault, told
from setwright.log.skill_schema import NEWEST, PEOPLE, QUIZZES, SKILLS

BUSY_SECONDS = 30.0
ITEMS = 18
LONGEST = {"label": 60, "consent_by": 80, "lesson": 60}


@dataclass(frozen=True, slots=True)
class Consent:
    """Who agreed that records are kept, and when.

    Parameters
    ----------
    consent_by : str
        The person, or the guardian of a minor.
    consent_on : date
        Day on which it was given.
    minor : bool
        Whether the person is under age.

    """

    consent_by: str
    consent_on: dt.date
    minor: bool = False


@dataclass(frozen=True, slots=True)
class Score:
    """One quiz that was marked.

    Parameters
    ----------
    lesson, seed : str, int
        Which quiz.
    right, asked : int
        Right answers, and questions.
    seen_on : date
        Day.

    """

    lesson: str
    seed: int
    right: int
    asked: int
    seen_on: dt.date


@dataclass(frozen=True, slots=True)
class SkillRecord:
    """All that is kept of one person.

    Parameters
    ----------
    label : str
        Name or initials.
    consent : Consent
        Who agreed, and when.
    skills : mapping
        Item of the skill sheet to whether it was shown, and the day.
    scores : tuple of Score
        In order of the days.

    """

    label: str
    consent: Consent
    skills: dict[int, tuple[bool, dt.date]]
    scores: tuple[Score, ...]


class SkillStore:
    """Skill records, open for reading and writing.

    Parameters
    ----------
    place : Path
        File; made when absent.

    Raises
    ------
    StoreFault
        When it cannot be opened.

    """

    def __init__(self, place: Path) -> None:
        if not place.parent.is_dir():
            raise StoreFault("the folder of the skill records is missing", file=place)
        self.where = str(place)
        self.engine = _engine(place)
        try:
            self._ready()
        except BaseException:
            self.engine.dispose()
            raise

    def _ready(self) -> None:
        with told(self.where, "the skill records"):
            with self.engine.connect() as link:
                form = None
                if inspect(link).has_table("alembic_version"):
                    form = link.execute(text("SELECT version_num FROM alembic_version")).scalar()
                link.rollback()
            if form != NEWEST:
                from setwright.log.skill_migrations import migrate

                with self._writing() as link:
                    migrate(link)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        with told(self.where, "the skill records"), self.engine.begin() as link:
            yield link

    def add(self, label: str, consent: Consent) -> None:
        """Take a person in, with the consent that makes it lawful.

        Raises
        ------
        BadInput
            Without consent, for a minor who agreed for himself, and for a label that is there already.

        """
        plain, given = _text(label, "label"), _text(consent.consent_by, "consent_by")
        if consent.consent_on > dt.datetime.now(dt.UTC).date() + dt.timedelta(days=1):
            raise BadInput("consent cannot lie in the future", field="consent_on", found=consent.consent_on)
        if consent.minor and given.casefold() == plain.casefold():
            raise BadInput(
                "for a minor a guardian agrees", field="consent_by", found=given, allowed="the name of the guardian"
            )
        row = {
            "label": plain, "minor": consent.minor, "consent_on": consent.consent_on.isoformat(),
            "consent_by": given,
        }  # fmt: skip
        with self._writing() as link:
            if link.execute(select(PEOPLE.c.id).where(PEOPLE.c.label == plain)).first() is not None:
                raise BadInput("there is a record of this name", field="label", found=plain, allowed="another one")
            link.execute(insert(PEOPLE).values(row))

    def tick(self, label: str, item: int, *, done: bool, seen_on: dt.date) -> None:
        """Write that a skill was shown, or was not yet.

        Raises
        ------
        BadInput
            For a person without a record, and an item that is not on the sheet.

        """
        if not 1 <= item <= ITEMS:
            raise BadInput("no such item on the skill sheet", field="item", found=item, allowed=f"1 to {ITEMS}")
        with self._writing() as link:
            person = self._person(link, label)
            row = {"done": done, "seen_on": seen_on.isoformat()}
            changed = link.execute(update(SKILLS).where(SKILLS.c.person == person, SKILLS.c.item == item).values(row))
            if changed.rowcount == 0:
                link.execute(insert(SKILLS).values({"person": person, "item": item, **row}))

    def score(self, label: str, found: Score) -> None:
        """Write the score of a quiz down.

        Raises
        ------
        BadInput
            For a person without a record, and for more right answers than questions.

        """
        if not 0 <= found.right <= found.asked:
            raise BadInput("not a score", field="right", found=found.right, allowed=f"0 to {found.asked}")
        row = {
            "lesson": _text(found.lesson, "lesson"), "seed": found.seed, "right": found.right, "asked": found.asked,
            "seen_on": found.seen_on.isoformat(),
        }  # fmt: skip
        with self._writing() as link:
            link.execute(insert(QUIZZES).values({"person": self._person(link, label), **row}))

    def record(self, label: str) -> SkillRecord:
        """All that is kept of one person.

        Raises
        ------
        BadInput
            When nothing is.

        """
        with self._writing() as link:
            return self._record(link, self._person(link, label))

    def records(self) -> list[SkillRecord]:
        """All that is kept, by name."""
        with self._writing() as link:
            people = link.execute(select(PEOPLE.c.id).order_by(PEOPLE.c.label)).scalars().all()
            return [self._record(link, person) for person in people]

    def delete(self, label: str) -> int:
        """Delete a person with all rows, overwrite what stood there, and close the gap in the file.

        Returns
        -------
        int
            How many rows went.

        Raises
        ------
        BadInput
            For a person without a record.

        """
        with self._writing() as link:
            person = self._person(link, label)
            gone = sum(
                link.execute(delete(table).where(table.c.person == person)).rowcount for table in (SKILLS, QUIZZES)
            )
            gone += link.execute(delete(PEOPLE).where(PEOPLE.c.id == person)).rowcount
        with told(self.where, "the skill records"):
            raw = self.engine.raw_connection()
            try:
                raw.cursor().execute("VACUUM")
            finally:
                raw.close()
        return int(gone)

    def _person(self, link: Connection, label: str) -> int:
        plain = _text(label, "label")
        found = link.execute(select(PEOPLE.c.id).where(PEOPLE.c.label == plain)).scalar()
        if found is None:
            known = link.execute(select(PEOPLE.c.label).order_by(PEOPLE.c.label)).scalars().all()
            raise BadInput(
                "no record of this name", field="label", found=plain, allowed=", ".join(known) or "none yet"
            )
        return int(found)

    def _record(self, link: Connection, person: int) -> SkillRecord:
        row = link.execute(select(PEOPLE).where(PEOPLE.c.id == person)).one()
        skills = link.execute(select(SKILLS).where(SKILLS.c.person == person).order_by(SKILLS.c.item))
        scores = link.execute(select(QUIZZES).where(QUIZZES.c.person == person).order_by(QUIZZES.c.id))
        return SkillRecord(
            row.label,
            Consent(row.consent_by, dt.date.fromisoformat(row.consent_on), bool(row.minor)),
            {each.item: (bool(each.done), dt.date.fromisoformat(each.seen_on)) for each in skills},
            tuple(
                Score(each.lesson, each.seed, each.right, each.asked, dt.date.fromisoformat(each.seen_on))
                for each in scores
            ),
        )


def _text(found: str, field: str) -> str:
    plain = " ".join(found.split())
    if not plain or len(plain) > LONGEST[field] or not plain.isprintable():
        raise BadInput(
            "this is missing or too long", field=field, found=plain, allowed=f"1 to {LONGEST[field]} letters"
        )
    return plain


def _engine(place: Path) -> Engine:
    engine = create_engine(
        URL.create("sqlite", database=str(place)), connect_args={"timeout": BUSY_SECONDS, "check_same_thread": False}
    )

    def opened(raw: Any, _: Any) -> None:
        # Transactions are begun below: left to itself the driver would not cover the making of tables.
        raw.isolation_level = None
        cursor = raw.cursor()
        for words in ("foreign_keys = ON", "secure_delete = ON", "journal_mode = TRUNCATE", "synchronous = FULL"):
            cursor.execute(f"PRAGMA {words}")
        cursor.close()

    def begun(link: Connection) -> None:
        link.exec_driver_sql("BEGIN IMMEDIATE")

    event.listen(engine, "connect", opened)
    event.listen(engine, "begin", begun)
    return engine
