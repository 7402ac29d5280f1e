"""The two typefaces for sheets: subsets for the page, weights for the paper; kept in memory only.

Both are under the SIL Open Font License 1.1; its notice goes with every page that carries them.
"""

from __future__ import annotations

import base64
import io
import logging
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

FACES = {
    "Archivo Narrow": ("fontpkg_archivo_narrow", "ArchivoNarrow[wght].ttf"),
    "Andada Pro": ("fontpkg_andada_pro", "AndadaPro[wght].ttf"),
}
NOTICE = (
    "The embedded typefaces Archivo Narrow and Andada Pro are subsets under the SIL Open Font License, "
    "Version 1.1, https://openfontlicense.org"
)
# Latin with its accents, dashes, quotes, fractions, minus, arrows and thin spaces: what a line book may hold.
_RANGES = (
    (0x20, 0x7E),
    (0xA0, 0x17F),
    (0x2002, 0x200A),
    (0x2010, 0x2026),
    (0x2032, 0x2033),
    (0x2044, 0x2044),
    (0x20AC, 0x20AC),
    (0x2150, 0x215E),
    (0x2190, 0x2193),
    (0x2212, 0x2212),
    (0x2248, 0x2265),
)


def _source(family: str) -> bytes:
    package, name = FACES[family]
    return (files(package) / "files" / name).read_bytes()


def _subset(family: str) -> TTFont:
    """The family as a variable font with only the letters that a sheet may hold."""
    from fontTools import subset
    from fontTools.ttLib import TTFont

    logging.getLogger("fontTools").setLevel(logging.ERROR)
    # Without this a font carries the moment of its making, and no sheet is the same twice.
    font = TTFont(io.BytesIO(_source(family)), recalcTimestamp=False)
    options = subset.Options()
    options.layout_features = ["kern", "liga", "lnum", "tnum", "frac", "mark", "ccmp", "locl"]
    options.notdef_outline = True
    worker = subset.Subsetter(options)
    worker.populate(unicodes=[code for first, last in _RANGES for code in range(first, last + 1)])
    worker.subset(font)
    return font


@cache
def page_face(family: str) -> str:
    """The family as a variable woff2 subset in base64."""
    font = _subset(family)
    font.flavor = "woff2"
    held = io.BytesIO()
    font.save(held)
    return base64.b64encode(held.getvalue()).decode("ascii")


@cache
def paper_face(family: str, weight: int) -> bytes:
    """One fixed weight of the family, for the sheet on paper."""
    from fontTools.varLib import instancer

    fixed = instancer.instantiateVariableFont(_subset(family), {"wght": weight}, updateFontNames=False)
    style = "Bold" if weight >= 600 else "Regular"
    names = fixed["name"]
    for name_id, words in (
        (1, family),
        (2, style),
        (4, f"{family} {style}"),
        (6, f"{family}-{style}".replace(" ", "")),
    ):
        names.setName(words, name_id, 3, 1, 0x409)
    for name_id in (16, 17, 25):
        names.removeNames(nameID=name_id)
    fixed["OS/2"].usWeightClass = 700 if weight >= 600 else 400
    fixed["OS/2"].fsSelection = (fixed["OS/2"].fsSelection & ~0x61) | (0x20 if weight >= 600 else 0x40)
    fixed["head"].macStyle = 1 if weight >= 600 else 0
    held = io.BytesIO()
    fixed.save(held)
    return held.getvalue()
