"""What can go wrong with a store, as errors that people can mend."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from setwright.basis.errors import SetwrightError


class StoreFault(SetwrightError):
    """The log could not be read or written; nothing was acknowledged."""


_WORDS = (
    ("readonly", "the log can be read but not written"),
    ("read-only", "the log can be read but not written"),
    ("disk is full", "the disk is full"),
    ("no space left", "the disk is full"),
    ("locked", "somebody else is writing to the log, and did not end in time"),
    ("not a database", "this file is no log"),
    ("malformed", "the file of the log is damaged: restore a backup"),
    ("unable to open", "the log cannot be opened"),
    ("could not connect", "the database does not answer"),
    ("connection failed", "the database does not answer"),
    ("append-only", "an event is never changed or taken away"),
)


@contextmanager
def told(where: str, what: str = "the log") -> Iterator[None]:
    """Turn an error of the database into one that says what to mend.

    Parameters
    ----------
    where : str
        File or address of the store, without a password.
    what : str
        What is kept there, in words.

    """
    try:
        yield
    except SQLAlchemyError as error:
        text = str(error.orig if isinstance(error, DBAPIError) else error)
        for sign, words in _WORDS:
            if sign in text.lower():
                raise StoreFault(f"{words.replace('the log', what)}; nothing of this was kept", file=where) from error
        first = text.splitlines()[0] if text else type(error).__name__
        raise StoreFault(f"{what} could not be used: {first}", file=where) from error
