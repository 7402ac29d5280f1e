"""Tables of the skill records: people with their consent, skills seen, quiz scores; `skill_migrations` makes them."""

from __future__ import annotations

from sqlalchemy import Boolean, Column, ForeignKey, Integer, MetaData, String, Table

METADATA = MetaData()
# The form that this program writes: the last of `skill_migrations`.
NEWEST = "0001"

PEOPLE = Table(
    "people",
    METADATA,
    Column("id", Integer, primary_key=True),
    # Name or initials, as the person likes.
    Column("label", String(60), nullable=False, unique=True),
    Column("minor", Boolean, nullable=False),
    Column("consent_on", String(10), nullable=False),
    Column("consent_by", String(80), nullable=False),
)

SKILLS = Table(
    "skills",
    METADATA,
    Column("person", Integer, ForeignKey("people.id", ondelete="CASCADE"), primary_key=True),
    Column("item", Integer, primary_key=True),
    Column("done", Boolean, nullable=False),
    Column("seen_on", String(10), nullable=False),
)

QUIZZES = Table(
    "quizzes",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("person", Integer, ForeignKey("people.id", ondelete="CASCADE"), nullable=False, index=True),
    Column("lesson", String(60), nullable=False),
    Column("seed", Integer, nullable=False),
    Column("right", Integer, nullable=False),
    Column("asked", Integer, nullable=False),
    Column("seen_on", String(10), nullable=False),
)
