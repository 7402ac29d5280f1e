"""Steps from one form of the store to the next, both ways; each in one transaction."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from setwright.basis.errors import BadInput
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
    """Every form of the store, the first one first."""
    found = ScriptDirectory.from_config(_config()).walk_revisions()
    return tuple(reversed([each.revision for each in found]))


def revision(connection: Connection) -> str | None:
    """Form of this store; None when it is empty.

    Parameters
    ----------
    connection : Connection
        Of the store.

    """
    return MigrationContext.configure(connection).get_current_revision()


def migrate(connection: Connection, to: str = "head") -> None:
    """Bring the store to a form, in the transaction of the connection: all or nothing.

    Parameters
    ----------
    connection : Connection
        Within a transaction.
    to : str
        A revision, `head`, or `base`.

    Raises
    ------
    BadInput
        When there is no such form.
    StoreFault
        When the store was made by a newer program.

    """
    known = revisions()
    if to not in (*known, "head", "base"):
        raise BadInput("no such form of the store", field="to", found=to, allowed=", ".join((*known, "head", "base")))
    now = revision(connection)
    if now is not None and now not in known:
        raise StoreFault("this log was made by a newer program: update this one first", found=now)
    wanted = known[-1] if to == "head" else to
    place = {name: number for number, name in enumerate(known)}
    if place.get(wanted, -1) >= place.get(now or "", -1):
        command.upgrade(_config(connection), wanted)
    else:
        command.downgrade(_config(connection), wanted)
