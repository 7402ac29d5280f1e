"""Events, each kept to the letter, and the devices that wrote them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from setwright.log.faults import StoreFault

revision = "0001"
down_revision: str | None = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make both tables."""
    op.create_table("devices", sa.Column("name", sa.String(80), primary_key=True))
    op.create_table(
        "events",
        sa.Column(
            "received", sa.BigInteger().with_variant(sa.Integer, "sqlite"), primary_key=True, autoincrement=True
        ),
        sa.Column("id", sa.String(36), nullable=False, unique=True),
        sa.Column("device", sa.String(80), sa.ForeignKey("devices.name"), nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("instant", sa.BigInteger, nullable=False),
        sa.Column("set_id", sa.String(80)),
        sa.Column("corrects", sa.String(36)),
        sa.Column("record", sa.Text, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_events_instant", "events", ["instant"])
    op.create_index("ix_events_set_id", "events", ["set_id"])
    op.create_index("ix_events_corrects", "events", ["corrects"])


def downgrade() -> None:
    """Take both tables away, unless something is in them."""
    count = op.get_bind().execute(sa.text("SELECT count(*) FROM events")).scalar()
    if count:
        raise StoreFault("this would throw events away: export them, and start a new log", found=count)
    op.drop_table("events")
    op.drop_table("devices")
