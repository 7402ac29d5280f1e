"""Steps from one form of the skill records to the next; each in one transaction."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from setwright.log.faults import StoreFault

HERE = Path(__file__).resolve().parent


def _config(connection: Connection | None = None) -> Config:
    config = Config()
    # A per cent sign in a path would be read as a reference.
    config.set_main_option("script_location", str(HERE).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config


def revisions() -> tuple[str, ...]:
    """Every form of the records, the first one first."""
    found = ScriptDirectory.from_config(_config()).walk_revisions()
    return tuple(reversed([each.revision for each in found]))


def migrate(connection: Connection) -> None:
    """Bring the records to the newest form, in the transaction of the connection.

    Raises
    ------
    StoreFault
        When they were made by a newer program.

    """
    known = revisions()
    now = MigrationContext.configure(connection).get_current_revision()
    if now is not None and now not in known:
        raise StoreFault("these records were made by a newer program: update this one first", found=now)
    command.upgrade(_config(connection), known[-1])
