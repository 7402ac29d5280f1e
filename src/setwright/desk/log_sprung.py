"""A trap that lies sprung and empty, on the desk: looks in, weights and one change out, and the entry in the log."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.desk.log import Kept, add
from setwright.line.brief import named_site, read_brief
from setwright.log.sprung import Look, next_look, weights
from setwright.log.tables import sprung_tree

SHOWN = 4
# What somebody saw with his own eyes goes before what is likely.
SEEN = {
    ("jaws", "hair"): "hair", ("jaws", "toe or skin"): "toe mark", ("ground", "dug up"): "digging",
    ("ground", "hoof marks"): "stock", ("ground", "boot prints"): "thief",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Likely:
    """What fired it.

    Parameters
    ----------
    site : str
        Name of the site.
    causes : tuple of (str, float)
        Words and weight [-], the likeliest first.
    change : str
        The one change.
    evidence : str
        What the log writes.
    next : Look or None
        The look that would tell most now.

    """

    site: str
    causes: tuple[tuple[str, float], ...]
    change: str
    evidence: str
    next: Look | None


def likely(book: Path, site: str, seen: Mapping[str, str]) -> Likely:
    """Weigh the causes by what was seen.

    Parameters
    ----------
    book : Path
        Line book: whether the set lies on land or in water.
    site : str
        Id or number of the site.
    seen : mapping of str to str
        Answer by look.

    Raises
    ------
    BadInput
        When the site, a look or an answer is not known.
    """
    place = named_site(read_brief(book), site, book)
    tree = sprung_tree()
    found = weights(tree, place.medium, seen)
    order = sorted(range(len(found)), key=lambda k: -found[k])
    best = tree.causes[order[0]]
    told = next((words for part, words in SEEN.items() if seen.get(part[0]) == part[1]), best.evidence)
    return Likely(
        place.name,
        tuple((tree.causes[k].label, found[k]) for k in order[:SHOWN] if found[k] >= 0.01),
        best.change,
        told,
        next_look(tree, place.medium, seen),
    )


def read_looks(words: Sequence[str]) -> dict[str, str]:
    """Looks and answers from `look=answer`.

    Raises
    ------
    BadInput
        When a word is none.
    """
    found: dict[str, str] = {}
    for word in words:
        name, equals, answer = word.partition("=")
        if not equals:
            raise BadInput(
                "a look, an equals sign and an answer", field="LOOK", found=word, allowed="lies=in the bed"
            )
        if name in found:
            raise BadInput("this look stands twice", field="LOOK", found=word)
        found[name] = answer
    return found


def write(
    book: Path,
    site: str,
    seen: Mapping[str, str],
    *,
    store: str | None = None,
    at: str | None = None,
    visitor: str | None = None,
    now: dt.datetime | None = None,
) -> Kept:
    """Write the sprung trap into the log, with the looks, the likely causes and the change.

    Raises
    ------
    BadInput, StoreFault
        When nothing was kept.
    """
    found = likely(book, site, seen)
    words = [
        f"{site}:sprung_empty", f"evidence={found.evidence}",
        "looks=" + (",".join(f"{name}: {answer.replace(',', ' and')}" for name, answer in seen.items()) or "none"),
        "likely=" + ",".join(f"{label.replace(',', ' and')} {weight:.2f}" for label, weight in found.causes),
        f"change={found.change}",
    ]  # fmt: skip
    return add(book, words, store=store, at=at, visitor=visitor, now=now)
