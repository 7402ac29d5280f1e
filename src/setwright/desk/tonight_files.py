"""What the evening is asked with: the moment, the forecast and the gauge."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.line.book import read_book
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


def fetched_files(path: Path, fresh: Fresh) -> Fresh:
    """Forecast and gauge of the evening fetched from the addresses of the book, where no file was given.

    Raises
    ------
    BadInput
        When the book names no address, or nothing comes and no copy is kept.
    """
    from setwright.desk.fetch import fetch

    book, _ = read_book(path)
    asked = book.conditions.fetch
    if asked is None or (asked.forecast is None and asked.gauge is None):
        raise BadInput(
            "the book names no address to fetch from", file=path, field="conditions.fetch",
            allowed="fetch: {forecast: https://…, gauge: https://…, contact: …}",
        )  # fmt: skip
    if fresh.forecast is None and asked.forecast is not None:
        found = fetch(asked.forecast, "forecast", contact=asked.contact)
        fresh = replace(fresh, forecast=found.path, forecast_note=found.note)
    if fresh.gauge is None and asked.gauge is not None:
        found = fetch(asked.gauge, "gauge", contact=asked.contact)
        fresh = replace(fresh, gauge=found.path, gauge_note=found.note)
    return fresh


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
