"""Run by the migrations: they use the connection and the transaction that the records hand over."""

from __future__ import annotations

from alembic import context

context.configure(connection=context.config.attributes["connection"], transactional_ddl=False)
context.run_migrations()
