"""People with their consent, skills seen, quiz scores; a person that goes takes all rows along."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision: str | None = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the three tables."""
    op.create_table(
        "people",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("label", sa.String(60), nullable=False, unique=True),
        sa.Column("minor", sa.Boolean, nullable=False),
        sa.Column("consent_on", sa.String(10), nullable=False),
        sa.Column("consent_by", sa.String(80), nullable=False),
    )
    op.create_table(
        "skills",
        sa.Column("person", sa.Integer, sa.ForeignKey("people.id", ondelete="CASCADE"), primary_key=True),
        sa.Column("item", sa.Integer, primary_key=True),
        sa.Column("done", sa.Boolean, nullable=False),
        sa.Column("seen_on", sa.String(10), nullable=False),
    )
    op.create_table(
        "quizzes",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("person", sa.Integer, sa.ForeignKey("people.id", ondelete="CASCADE"), nullable=False),
        sa.Column("lesson", sa.String(60), nullable=False),
        sa.Column("seed", sa.Integer, nullable=False),
        sa.Column("right", sa.Integer, nullable=False),
        sa.Column("asked", sa.Integer, nullable=False),
        sa.Column("seen_on", sa.String(10), nullable=False),
    )
    op.create_index("ix_quizzes_person", "quizzes", ["person"])


def downgrade() -> None:
    """Take the tables away."""
    for name in ("quizzes", "skills", "people"):
        op.drop_table(name)
