"""Writes every sentence of the handouts as a gettext template, for whoever puts them into another language."""

from __future__ import annotations

import importlib
import sys
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

import setwright
from setwright.desk.handouts import handouts
from setwright.sheets.handouts import sentences
from setwright.sheets.write import write_files


def template() -> bytes:
    """All sentences, once each, of blank handouts and of those filled from the example line."""
    polib: Any = importlib.import_module("polib")
    made = polib.POFile(wrapwidth=110)
    made.metadata = {
        "Project-Id-Version": f"setwright {setwright.__version__}", "MIME-Version": "1.0",
        "Content-Type": "text/plain; charset=UTF-8", "Content-Transfer-Encoding": "8bit", "X-Reader": "wanted",
    }  # fmt: skip
    with as_file(files("setwright") / "data" / "demo" / "line-book.yaml") as example:
        found = dict.fromkeys(words for book in (None, example) for words in sentences(handouts(book), book))
    for words in found:
        if any(letter.isalpha() for letter in words):
            made.append(polib.POEntry(msgid=words))
    return str(made).encode("utf-8")


if __name__ == "__main__":
    where = Path(sys.argv[1] if len(sys.argv) > 1 else "sheets.pot")
    print(*write_files({where.name: template()}, where.parent))
