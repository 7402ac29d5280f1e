"""A copy of the log with its digest in one file, for taking it elsewhere through a browser and back."""

from __future__ import annotations

import io
import tempfile
import zipfile
import zlib
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.desk.log_files import bring_back, save
from setwright.log.backup import SUFFIX
from setwright.log.store import Receipt

NAME = "log.db"
LARGEST = 500_000_000
ALLOWED = f"a copy that was saved here: a zip file with {NAME} and {NAME}{SUFFIX}"


def copy_of_log(book: Path) -> bytes:
    """The log beside a book as a zip file: the store and its digest.

    Raises
    ------
    BadInput, StoreFault
        When there is no log, or it cannot be read.
    """
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / NAME
        _, digest = save(book, place)
        held = io.BytesIO()
        with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as made:
            made.write(place, NAME)
            made.write(place.with_name(digest), NAME + SUFFIX)
        return held.getvalue()


def log_from_copy(book: Path, content: bytes, name: str) -> Receipt:
    """Read a copy back into the log beside a book: what is there stays, what it lacks is added.

    Raises
    ------
    BadInput, StoreFault
        When it is no such copy, is damaged, or too large.
    """
    with tempfile.TemporaryDirectory() as folder:
        try:
            with zipfile.ZipFile(io.BytesIO(content)) as held:
                for part in (NAME, NAME + SUFFIX):
                    if held.getinfo(part).file_size > LARGEST:
                        raise BadInput("the copy is too large", file=name, allowed=f"up to {LARGEST} bytes")
                    with held.open(part) as stream, (Path(folder) / part).open("wb") as out:
                        left = LARGEST
                        while piece := stream.read(min(1 << 20, left)):
                            left -= len(piece)
                            out.write(piece)
        except (zipfile.BadZipFile, KeyError, ValueError, EOFError, RuntimeError, zlib.error) as error:
            raise BadInput("this is no copy of a log", file=name, found=str(error), allowed=ALLOWED) from None
        return bring_back(book, Path(folder) / NAME)
