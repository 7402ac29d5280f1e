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
# A store of entries packs to a tenth; what swells more than this many times was made to fill a disk.
SWELLS, ROOM = 50, 1_000_000
# The digest with the name of its file; a list of contents of a few parts; what ends a zip file.
NOTE, LIST, END, COMMENT = 1_000, 4_000, 22, 65_535
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
        When it is no such copy, is damaged, or too large; nothing is then written.
    """
    with tempfile.TemporaryDirectory() as folder:
        try:
            _refuse_long_list(content, name)
            with zipfile.ZipFile(io.BytesIO(content)) as held:
                for part, most in ((NAME + SUFFIX, NOTE), (NAME, min(LARGEST, ROOM + SWELLS * len(content)))):
                    _unpacked(held, part, most, Path(folder) / part, name)
        except (zipfile.BadZipFile, KeyError, ValueError, EOFError, RuntimeError, zlib.error) as error:
            raise BadInput("this is no copy of a log", file=name, found=str(error), allowed=ALLOWED) from None
        return bring_back(book, Path(folder) / NAME)


def _refuse_long_list(content: bytes, name: str) -> None:
    """Refuse a list of contents that is long, before it is read: a small file may list millions of parts."""
    end = content.rfind(b"PK\x05\x06", max(0, len(content) - END - COMMENT))
    if end < 0 or len(content) - end < END:
        raise BadInput("this is no copy of a log", file=name, found="no zip file, or only the first part of one",
                       allowed=ALLOWED)  # fmt: skip
    listed = int.from_bytes(content[end + 12 : end + 16], "little")
    if listed > LIST or b"PK\x06\x07" in content[max(0, end - END) : end]:
        raise BadInput("the copy holds too many parts", file=name, found=f"a list of {listed} bytes", allowed=ALLOWED)


def _unpacked(held: zipfile.ZipFile, part: str, most: int, place: Path, name: str) -> None:
    """Write one part to its place; never more of it than is allowed, whatever the file says of its size."""
    told = held.getinfo(part)
    if told.file_size > most:
        raise _too_large(part, name, f"{told.file_size} bytes", most)
    if told.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise BadInput("the copy is packed in a way that is not used here", file=name, allowed=ALLOWED)
    left = most
    with held.open(told) as stream, place.open("wb") as out:
        while piece := stream.read(min(1 << 20, left + 1)):
            left -= len(piece)
            if left < 0:
                raise _too_large(part, name, "more than it says", most)
            out.write(piece)


def _too_large(part: str, name: str, found: str, most: int) -> BadInput:
    return BadInput(f"{part} in the copy is too large", file=name, found=found, allowed=f"up to {most} bytes")
