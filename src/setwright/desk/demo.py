"""The invented demo line: its book, with the records that stand in for weather and level."""

from __future__ import annotations

import shutil
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA

BOOK = "line-book.yaml"


def demo_book() -> Path:
    """The demo line book where it is shipped; it is read there, never written."""
    return DATA / "demo" / BOOK


def write_demo(folder: Path) -> Path:
    """Write the demo line book into `folder`; an own book of that name there is never written over.

    Raises
    ------
    BadInput
        When the folder cannot be written, or another book stands in the place.
    """
    source = demo_book()
    place = folder / BOOK
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if place.exists() and place.read_bytes() != source.read_bytes():
            raise BadInput(
                "another line book stands here; it is not written over",
                file=place,
                allowed="another folder, or move it",
            )
        shutil.copyfile(source, place)
    except OSError as error:
        raise BadInput("the demo line cannot be written here", file=folder, found=error.strerror or "error") from None
    return place
