"""Entries written on a form at the desk: what it asks for each kind, and what it makes of the answers."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from setwright.animal.tables import species
from setwright.animal.welfare_tables import injury_scale
from setwright.basis.errors import BadInput
from setwright.basis.units import metric
from setwright.desk.field_words import GROUPS, WRITTEN, label, said
from setwright.desk.log import Kept, add
from setwright.desk.log_words import UNITS
from setwright.line.brief import Brief, named_site, read_brief
from setwright.log import kinds

ANIMALS = ("species", "species_guess", "target")
# Asked last, of every kind.
BESIDES = ("note", "weather", "minutes")
LEFT_OUT = ("photos", "changes", "site", "medium")
UNKNOWN = "?"


@dataclass(frozen=True, slots=True)
class Ask:
    """One line of a form: its name, what it is called, what may be chosen, and what stands there already."""

    name: str
    label: str
    hint: str
    choices: tuple[tuple[str, str], ...]
    value: str
    many: bool = False


def entry_kinds() -> list[tuple[str, list[tuple[str, str]]]]:
    """Kinds that may be written, by group, with their words."""
    return [(head, [(kind, said(kind)) for kind in members]) for head, members in GROUPS.items()]


def form(book: Path, kind: str, site: str | None, given: Mapping[str, str] | None = None) -> list[Ask]:
    """What is asked for an entry.

    Parameters
    ----------
    book : Path
        Line book.
    kind : str
        Kind of the entry.
    site : str or None
        Id or number of the site.
    given : mapping of str to str, optional
        What was typed before.

    Raises
    ------
    BadInput
        When there is no such kind or site.
    """
    if kind not in {name for members in GROUPS.values() for name in members}:
        raise BadInput("no such kind of entry", field="kind", found=kind, allowed="one of the list")
    brief = read_brief(book)
    known = _known(brief, book, kind, site)
    slots = [(name, slot) for name, slot in kinds.SLOTS[kind].items() if name not in LEFT_OUT]
    slots.sort(key=lambda pair: pair[0] in BESIDES)
    return [_ask(brief, name, slot, (given or {}).get(name, known.get(name, ""))) for name, slot in slots]


def _known(brief: Brief, book: Path, kind: str, site: str | None) -> dict[str, str]:
    if site is None:
        if kind in kinds.OF_A_SET:
            raise BadInput(
                "this kind of entry speaks of a set", field="site", found="none", allowed="one of the sites"
            )
        return {}
    here = named_site(brief, site, book)
    if kind == kinds.CATCH:
        return {"species": here.target}
    if kind == kinds.CHECKED:
        return {"method": "in person"}
    if kind != kinds.SET:
        return {}
    stated = {
        "target": here.target, "set_type": here.set_type, "anchor": here.anchor, "chain": here.chain,
        "cover": here.cover,
    }  # fmt: skip
    return {name: value for name, value in stated.items() if value is not None}


def _ask(brief: Brief, name: str, slot: kinds.Slot, value: str) -> Ask:
    choices: tuple[tuple[str, str], ...] = ()
    hint = ""
    if name in ANIMALS:
        table = species()
        named = [(key, table.text(key, "name")) for key in table]
        named += [(key, key.replace("_", " ")) for key in brief.animals]
        choices = tuple(sorted(named, key=lambda pair: pair[1]))
    elif slot.choices:
        choices = tuple((word, word) for word in slot.choices)
    elif slot.form == "yes_no":
        choices = (("yes", "yes"), ("no", "no"))
    elif name == "injuries":
        scale = [(one.key, f"{one.words} ({one.trauma.replace('_', ' ')})") for one in injury_scale().values()]
        return Ask(name, label(name), "", (("none", "looked, none seen"), *scale), value, many=True)
    elif slot.form in ("number", "whole"):
        hint = WRITTEN["metric" if metric() else "us"][UNITS[name]] if name in UNITS else ""
    elif slot.form == "moment":
        hint = "such as 07:10, or 2026-11-25 07:10"
    elif slot.form == "words":
        hint = "commas between"
    return Ask(name, label(name), hint, choices, value)


def write_form(
    book: Path,
    kind: str,
    site: str | None,
    given: Mapping[str, str],
    *,
    at: str = "",
    visitor: str | None = None,
    store: str | None = None,
    now: dt.datetime | None = None,
) -> Kept:
    """Write an entry from a form into the log; what is left empty is not known.

    Parameters
    ----------
    book, kind, site : Path, str, str or None
        As for `form`.
    given : mapping of str to str
        Answers by name.
    at : str
        When it was seen; now when empty.
    visitor, store, now : optional
        As for `log.add`.

    Raises
    ------
    BadInput, StoreFault
        When nothing was kept; `field` names the line of the form.
    """
    asked = {one.name: one for one in form(book, kind, site)}
    words = [kind if site is None else f"{named_site(read_brief(book), site, book).number}:{kind}"]
    for name, text in given.items():
        if name not in asked:
            raise BadInput("no such line on this form", field=name, found=name)
        value = " ".join(text.split())
        if value:
            words.append(f"{name}={_with_unit(asked[name], value)}")
    try:
        return add(book, words, store=store, at=at.strip() or None, visitor=visitor, now=now)
    except BadInput as error:
        raise BadInput(
            error.message, field=_line_of(error.field or ""), found=error.found, allowed=error.allowed
        ) from error


def _with_unit(ask: Ask, value: str) -> str:
    """A bare number takes the unit that stands beside the line."""
    bare = ask.name in UNITS and re.fullmatch(r"[-+]?[\d.,/ ]+", value) is not None
    return f"{value} {ask.hint}" if bare else value


def _line_of(field: str) -> str:
    return {"--at": "at", "time": "at", "ENTRY": "kind"}.get(field, field.removeprefix("details."))
