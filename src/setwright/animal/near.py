"""Did you mean ...: names near to one that is not known."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from types import MappingProxyType

# Short and old names of the trade; each points at words that stand in the table.
TRADE_NAMES: Mapping[str, str] = MappingProxyType(
    {
        "coon": "raccoon",
        "possum": "opossum",
        "yote": "coyote",
        "rat": "muskrat",
        "coypu": "nutria",
        "mountain lion": "cougar",
        "puma": "cougar",
        "hog": "feral hog",
        "pig": "feral hog",
        "rabbit": "cottontail",
        "cat": "bobcat",
        "dog": "domestic dog",
        "cow": "livestock calf",
        "polecat": "striped skunk",
    }
)
_CUTOFF = 0.7


def near_names(wanted: str, known: Mapping[str, str], count: int = 4) -> tuple[str, ...]:
    """Keys whose key or name is near to a wanted one, nearest first.

    Parameters
    ----------
    wanted : str
        What was written.
    known : mapping of str to str
        Name for people by key.
    count : int
        How many at most.

    Returns
    -------
    tuple of str
        Keys; those that hold every wanted word first, then those spelt alike; empty when nothing is near.

    Notes
    -----
    A suggestion only: nothing is ever taken in place of what was written.

    """
    plain = _plain(wanted)
    if not plain:
        return ()
    spoken = _plain(TRADE_NAMES.get(plain, plain))
    texts = {key: (_plain(key), _plain(name)) for key, name in known.items()}
    words = set(spoken.split())
    found = [key for key, both in texts.items() if words <= set(" ".join(both).split())]

    def likeness(key: str) -> float:
        parts = [part for text in texts[key] for part in (text, *text.split())]
        return max(difflib.SequenceMatcher(None, spoken, part).ratio() for part in parts)

    alike = sorted(((likeness(key), key) for key in texts if key not in found), key=lambda pair: (-pair[0], pair[1]))
    return tuple([*found, *(key for score, key in alike if score >= _CUTOFF)][:count])


def _plain(text: str) -> str:
    return " ".join("".join(letter if letter.isalnum() else " " for letter in text.lower()).split())
