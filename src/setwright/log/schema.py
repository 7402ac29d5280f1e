"""Tables of the store as the program uses them; `migrations` makes them."""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Column,
    Connection,
    ForeignKey,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    inspect,
    text,
)

METADATA = MetaData()
# The form that this program writes: the last of `migrations`, which is loaded only when a store has another one.
NEWEST = "0003"

DEVICES = Table("devices", METADATA, Column("name", String(80), primary_key=True))

EVENTS = Table(
    "events",
    METADATA,
    # The order in which this store took them in; a device asks for what came after the last that it has.
    Column("received", BigInteger().with_variant(Integer, "sqlite"), primary_key=True, autoincrement=True),
    Column("id", String(36), nullable=False, unique=True),
    Column("device", String(80), ForeignKey("devices.name"), nullable=False),
    Column("kind", String(20), nullable=False),
    Column("instant", BigInteger, nullable=False, index=True),
    Column("set_id", String(80), index=True),
    Column("corrects", String(36), index=True),
    # The whole event as one line: what was written is kept to the letter.
    Column("record", Text, nullable=False),
    Column("digest", String(64), nullable=False),
    sqlite_autoincrement=True,
)


def form_of(connection: Connection) -> str | None:
    """Form of a store; None when it is empty.

    Parameters
    ----------
    connection : Connection
        Of the store.

    """
    if not inspect(connection).has_table("alembic_version"):
        return None
    found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)
