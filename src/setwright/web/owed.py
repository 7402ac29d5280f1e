"""What is due by law and log, where a log lies beside the book."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from setwright.web.open_line import OpenLine

if TYPE_CHECKING:
    from setwright.desk.log_due import Due


def has_log(line: OpenLine) -> bool:
    """Whether a log lies beside the book."""
    from setwright.desk.log import store_place

    return Path(store_place(line.book)).exists()


def due_of(line: OpenLine) -> tuple[list[Due], list[str]] | None:
    """What is due by law and log, and what cannot be told; None without a log."""
    return due_and_key(line)[1]


def due_and_key(line: OpenLine) -> tuple[object, tuple[list[Due], list[str]] | None]:
    """The same behind a key that stays as it is as long as what is due does."""
    return line.ledger.owed(line.stamp()) if has_log(line) else (None, None)
