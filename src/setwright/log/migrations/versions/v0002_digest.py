"""A digest beside every event, so that damage is noticed."""

from __future__ import annotations

import hashlib

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision: str | None = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the column and fill it for what is there."""
    link = op.get_bind()
    op.add_column("events", sa.Column("digest", sa.String(64), nullable=False, server_default=""))
    filled = [
        {"key": key, "value": hashlib.sha256(record.encode()).hexdigest()}
        for key, record in link.execute(sa.text("SELECT received, record FROM events"))
    ]
    if filled:
        link.execute(sa.text("UPDATE events SET digest = :value WHERE received = :key"), filled)


def downgrade() -> None:
    """Drop the column."""
    op.drop_column("events", "digest")
