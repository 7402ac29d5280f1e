"""The database itself refuses to change an event or to take one away."""

from __future__ import annotations

from alembic import op

revision = "0003"
down_revision: str | None = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Put the guards up."""
    if op.get_bind().dialect.name == "sqlite":
        for act in ("update", "delete"):
            op.execute(
                f"CREATE TRIGGER events_no_{act} BEFORE {act.upper()} ON events "
                "BEGIN SELECT RAISE(ABORT, 'events are append-only'); END"
            )
        return
    op.execute(
        "CREATE FUNCTION events_append_only() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION 'events are append-only'; END $$"
    )
    op.execute(
        "CREATE TRIGGER events_no_change BEFORE UPDATE OR DELETE OR TRUNCATE ON events "
        "FOR EACH STATEMENT EXECUTE FUNCTION events_append_only()"
    )


def downgrade() -> None:
    """Take the guards down."""
    if op.get_bind().dialect.name == "sqlite":
        for act in ("update", "delete"):
            op.execute(f"DROP TRIGGER events_no_{act}")
        return
    op.execute("DROP TRIGGER events_no_change ON events")
    op.execute("DROP FUNCTION events_append_only()")
