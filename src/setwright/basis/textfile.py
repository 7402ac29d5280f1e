"""A text file of the user put into place whole: written beside it first, then renamed over it."""

from __future__ import annotations

import hashlib
import os
import tempfile
from pathlib import Path

from setwright.basis.errors import BadInput


def digest_of(content: bytes) -> str:
    """Digest by which one state of a file is told from another."""
    return hashlib.sha256(content).hexdigest()


def put_bytes(path: Path, content: bytes) -> None:
    """Write a file so that at every moment either the old or the new content stands there whole.

    The rights of a file that was there are kept, and a link leads to the same file as before.

    Raises
    ------
    BadInput
        When the folder or the file cannot be written; what stood there is untouched.
    """
    place = path.resolve()
    partial: Path | None = None
    try:
        rights = place.stat().st_mode & 0o777 if place.exists() else 0o644
        handle, name = tempfile.mkstemp(prefix=f".{place.name}.", dir=place.parent)
        partial = Path(name)
        with os.fdopen(handle, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        partial.chmod(rights)
        partial.replace(place)
    except OSError as error:
        if partial is not None:
            partial.unlink(missing_ok=True)
        raise BadInput(
            "the file cannot be written", file=path, found=error.strerror or "error", allowed="a place that can be"
        ) from None
