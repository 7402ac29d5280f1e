"""What the evening is asked with: the moment, the forecast and the gauge."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.line.records import Fresh


def moment_of(text: str | None) -> datetime | None:
    """A moment as the user writes it: ISO 8601, in the line's own zone without an offset; `clock` is this machine's.

    Raises
    ------
    BadInput
        When it is none.
    """
    if text is None:
        return None
    if text == "clock":
        return datetime.now().astimezone()
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        raise BadInput(
            "not a moment", field="--now", found=text, allowed="such as 2026-12-20T15:30, or clock"
        ) from None


def evening_files(forecast: Path | None, gauge: Path | None, gauge_site: str | None, stale: bool) -> Fresh:
    """Files of the evening.

    Raises
    ------
    BadInput
        When a file is not there.
    """
    for option, path in (("--forecast", forecast), ("--gauge", gauge)):
        if path is not None and not path.is_file():
            raise BadInput("no such file", field=option, found=path)
    return Fresh(forecast, gauge, gauge_site, stale)
