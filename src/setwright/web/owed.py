"""What is due by law and log, where a log lies beside the book."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from setwright.web.open_line import OpenLine

if TYPE_CHECKING:
    from setwright.desk.log_due import Due


def has_log(line: OpenLine) -> bool:
    """Whether a log lies beside the book."""
    from setwright.desk.log import store_place

    return Path(store_place(line.book)).exists()


def due_of(line: OpenLine, now: datetime | None = None) -> tuple[list[Due], list[str]] | None:
    """What is due by law and log; None without a log."""
    from setwright.desk.log_due import due

    return due(line.book, now=now) if has_log(line) else None
