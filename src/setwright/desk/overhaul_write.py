"""Writing down how a trap was found when it came in."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any, get_args

from pydantic import ValidationError
from ruamel.yaml.comments import CommentedMap

from setwright.basis.errors import BadInput
from setwright.desk.edit import State, changed
from setwright.desk.edit_acts import trap_entry
from setwright.desk.overhaul import LOOKS
from setwright.line import retouch
from setwright.line.brief import expand
from setwright.line.looked import LookedEntry


def words_for(name: str) -> tuple[str, ...]:
    """Words that may stand for how a part was found."""
    choices = get_args(LookedEntry.model_fields[name].annotation)[0]
    return tuple(str(word) for word in get_args(choices))


def questions() -> list[tuple[str, str, tuple[str, ...]]]:
    """What is asked of a trap: field, question, words that may answer it."""
    return [(name, asked, words_for(name)) for name, asked in LOOKS.items()]


def found_before(data: Mapping[str, Any], tag: str) -> dict[str, str]:
    """How a trap was found last, in the words of the book; nothing where nobody looked."""
    for entry in (data.get("outfit") or {}).get("traps") or []:
        count = entry.get("count", 1)
        if tag in expand(str(entry.get("id")), count if isinstance(count, int) else 1):
            return {name: str(word) for name, word in (entry.get("looked") or {}).items() if name != "date"}
    return {}


def looked_of(words: Mapping[str, str], today: dt.date) -> dict[str, Any]:
    """How a trap was found, as it stands in a line book; what was left open is left out.

    `rest: sound` stands for the first word of every part that no other word was given for.

    Raises
    ------
    BadInput
        For a word that is none of those allowed, or a play that is no length.
    """
    sound = words.get("rest") == "sound"
    made: dict[str, Any] = {name: words.get(name, "").strip()[:40] for name in (*LOOKS, "play")}
    if sound:
        made |= {name: words_for(name)[0] for name in LOOKS if not made[name]}
    made = {name: text for name, text in made.items() if text}
    if not made:
        raise BadInput("nothing was written", field="looked", allowed="how at least one part was found")
    try:
        LookedEntry.model_validate(made)
    except ValidationError as error:
        first = error.errors()[0]
        name = str(first["loc"][0]) if first["loc"] else "looked"
        allowed = ", ".join(words_for(name)) if name in LOOKS else "a length such as 1 mm or 1/32 in"
        raise BadInput("not understood", field=f"looked.{name}", found=made.get(name), allowed=allowed) from None
    return {"date": today.isoformat(), **made}


def keep_looked(path: Path, seen: str, tag: str, words: Mapping[str, str], today: dt.date) -> State:
    """Write how a trap was found into the line book.

    Parameters
    ----------
    path : Path
        Line book.
    seen : str
        Digest of the state that the user saw.
    tag : str
        Tag of the trap; one of several alike gets an entry of its own.
    words : mapping of str to str
        What was found, by field.
    today : date
        Day on which it was looked at.

    Raises
    ------
    BadInput
        When it is refused; the book is as it was.
    """
    made = looked_of(words, today)

    def act(book: CommentedMap) -> None:
        retouch.put(trap_entry(book, tag), "looked", made)

    return changed(path, seen, f"looked over {tag}", act)
