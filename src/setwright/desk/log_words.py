"""From a few keys to events of the log: `3t species=red_fox injuries=none` becomes a catch at site 3."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any
from zoneinfo import ZoneInfo

from setwright.basis.errors import BadInput
from setwright.line.brief import Brief
from setwright.log import kinds
from setwright.log.details import near

# One key each, for thumbs in gloves; the whole word of the kind does as well.
KEYS: Mapping[str, str] = MappingProxyType(
    {
        "a": kinds.CHECKED, "t": kinds.CATCH, "n": kinds.NONTARGET, "e": kinds.SPRUNG, "x": kinds.ESCAPE,
        "o": kinds.INOPERATIVE, "r": kinds.RESET, "p": kinds.PULLED, "s": kinds.SET, "f": kinds.TRACK,
        "v": kinds.REFUSED, "m": kinds.ANCHOR_MOVED, "q": kinds.PROOF_PULL, "l": kinds.LEVEL, "d": kinds.DISPATCH,
        "w": kinds.RELEASE, "u": kinds.SUBMERGED,
    }
)  # fmt: skip
MEANING: Mapping[str, str] = MappingProxyType(
    {
        kinds.CHECKED: "armed, undisturbed", kinds.CATCH: "target held", kinds.NONTARGET: "another animal held",
        kinds.SPRUNG: "sprung and empty", kinds.ESCAPE: "was held and got away", kinds.INOPERATIVE: "out of order",
        kinds.RESET: "made again", kinds.PULLED: "pulled", kinds.SET: "set made",
        kinds.TRACK: "track on the pan, not fired", kinds.REFUSED: "tracks at the set, none on the pan",
        kinds.ANCHOR_MOVED: "anchor moved", kinds.PROOF_PULL: "proof pull", kinds.LEVEL: "level at the mark",
        kinds.DISPATCH: "dispatched", kinds.RELEASE: "let go", kinds.SUBMERGED: "dead under water",
    }
)  # fmt: skip
ALL = "*"
OPEN = "open"
# SI unit in which a detail is kept; a number that is not here is a plain one.
UNITS: Mapping[str, str] = MappingProxyType(
    {
        "trip_force": "N", "force": "N", "jaw_spread": "m", "jaw_gap": "m", "depth": "m", "distance": "m",
        "over_pan": "m",
    }
)  # fmt: skip
FIELDS = MappingProxyType({"trap": "trap_id", "rig": "rig_id", "by": "visitor", "set": "set_id"})
_SHORT = re.compile(r"(\*|.*?\d|[^:=]*?)(?::([a-z_]+)|([a-z]))")


@dataclass(slots=True)
class Wanted:
    """One entry as it was typed.

    Parameters
    ----------
    kind : str
        Kind of event.
    site : str or None
        Id or number of the site, `*` for every other set that lies out, None for an entry without one.
    given : dict of str to str
        Words before and after the equals sign.

    """

    kind: str
    site: str | None = None
    given: dict[str, str] = field(default_factory=dict)


def read_words(words: Sequence[str]) -> list[Wanted]:
    """Split words of the command line into entries: a word without an equals sign begins one.

    Raises
    ------
    BadInput
        When a word is no entry, or a detail stands before the first.
    """
    found: list[Wanted] = []
    for word in words:
        name, equals, value = word.partition("=")
        if not equals:
            found.append(_entry(word))
        elif not found:
            raise BadInput(
                "an entry comes first, then its details", field="ENTRY", found=word, allowed="such as 3t or note"
            )
        elif name in found[-1].given:
            raise BadInput("this detail stands twice in one entry", field=name, found=word)
        else:
            found[-1].given[name] = value
    return found


def _entry(word: str) -> Wanted:
    if word in kinds.KINDS and word not in kinds.OF_A_SET and word not in kinds.AMENDMENTS:
        return Wanted(word)
    match = _SHORT.fullmatch(word)
    if match is not None and match[1]:
        kind = match[2] or match[3]
        kind = KEYS.get(kind, kind)
        if kind in kinds.OF_A_SET:
            return Wanted(kind, match[1])
    keys = ", ".join(f"{key} {MEANING[kind]}" for key, kind in KEYS.items())
    raise BadInput(
        "no such entry", field="ENTRY", found=word,
        allowed=f"a site and a key, such as 3a, barn:t or *a; keys: {keys}; without a site: "
        + ", ".join(sorted(set(kinds.KINDS) - kinds.OF_A_SET - kinds.AMENDMENTS)),
    )  # fmt: skip


def detail_value(kind: str, name: str, text: str, now: dt.datetime) -> Any:
    """Read one detail as its kind wants it, with units turned into SI; a question mark is *unknown*.

    Raises
    ------
    BadInput
        With the detail, what was found and what is allowed.
    """
    slots = kinds.SLOTS[kind]
    slot = slots.get(name)
    if slot is None:
        raise BadInput(f"no such detail of {kind}", field=name, found=text, allowed=near(name, slots))
    if text in ("", "?", "unknown"):
        return None
    if slot.form == "number" and name in UNITS:
        from setwright.basis.units import parse

        try:
            return parse(text, UNITS[name])
        except BadInput as error:
            raise error.at(field=name) from None
    if slot.form in ("number", "whole"):
        try:
            return int(text) if slot.form == "whole" else float(text)
        except ValueError:
            raise BadInput("a number is needed", field=name, found=text, allowed="such as 12") from None
    if slot.form == "yes_no":
        if text.lower() not in ("yes", "no", "true", "false"):
            raise BadInput("yes or no is needed", field=name, found=text, allowed="yes, no, ?")
        return text.lower() in ("yes", "true")
    if slot.form == "words":
        return [] if text == "none" else [part.strip() for part in text.split(",") if part.strip()]
    if slot.form == "photos":
        return [{"file": part.strip()} for part in text.split(",")]
    return moment_of(text, now, name).isoformat() if slot.form == "moment" else text


def moment_of(text: str, now: dt.datetime, field: str = "--at") -> dt.datetime:
    """Read a moment: `07:10` today, `2026-11-25 07:10` in the zone of `now`, or ISO 8601 with its offset.

    Raises
    ------
    BadInput
        When it is none, or a clock time that the change of clocks leaves out.
    """
    zone = now.tzinfo
    try:
        if re.fullmatch(r"\d{1,2}:\d{2}", text):
            hour, minute = (int(part) for part in text.split(":"))
            found = now.replace(hour=hour, minute=minute, second=0, microsecond=0)
        else:
            found = dt.datetime.fromisoformat(text)
    except ValueError:
        raise BadInput(
            "a time is needed", field=field, found=text, allowed='"07:10", "2026-11-25 07:10", or with its offset'
        ) from None
    if found.tzinfo is not None and found.tzinfo is not zone:
        return found
    found = found.replace(tzinfo=zone)
    if found.astimezone(dt.UTC).astimezone(zone).replace(tzinfo=None) != found.replace(tzinfo=None):
        raise BadInput("the change of clocks leaves this time out", field=field, found=text, allowed="another time")
    return found.replace(tzinfo=dt.timezone(found.utcoffset() or dt.timedelta()))


def now_in(zone: ZoneInfo) -> dt.datetime:
    """Present time in a zone, to the second."""
    return dt.datetime.now(zone).replace(microsecond=0)


def check_animals(brief: Brief, book: Path, details: Mapping[str, Any]) -> None:
    """Hold names of animals and injuries against what the program and the book know.

    Raises
    ------
    BadInput
        With the nearest names.
    """
    named = [details[name] for name in ("species", "species_guess", "target") if details.get(name)]
    if named:
        from setwright.animal.tables import species

        known = {*species(), *brief.animals}
        for name in named:
            if name not in known:
                raise BadInput("no such animal", file=book, found=name, allowed=near_few(name, known))
    injuries = details.get("injuries")
    if injuries:
        from setwright.animal.welfare_tables import injury_scale

        scale = injury_scale()
        for key in injuries:
            if key not in scale:
                words = "; ".join(f"{one.key} {one.words}" for one in scale.values())
                raise BadInput("no such entry on the scale of injuries", field="injuries", found=key, allowed=words)


def near_few(found: str, known: set[str]) -> str:
    """The nearest three names, or how many there are."""
    from difflib import get_close_matches

    close = get_close_matches(found, sorted(known), n=3, cutoff=0.5)
    return ", ".join(close) if close else f"one of {len(known)} names of the table of animals"
