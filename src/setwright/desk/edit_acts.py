"""What can be done to a line book: its line, sites, outfit, animals and packs, one act each."""

from __future__ import annotations

import copy
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from ruamel.yaml.comments import CommentedMap, CommentedSeq

from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import dump, load, plain
from setwright.desk import edit_fields as fields
from setwright.desk.edit import State, changed
from setwright.desk.edit_form import Section, apply
from setwright.desk.edit_values import position_value, text_value
from setwright.line import retouch
from setwright.line.brief import expand

NAME_AT_MOST = 24


def change_line(path: Path, seen: str, sent: Mapping[str, str]) -> State:
    """Change the line as a whole.

    Raises
    ------
    BadInput
        When it is refused; the book is as it was.
    """

    def act(book: CommentedMap) -> None:
        apply(fields.line_form(plain(book)), book, sent)

    return changed(path, seen, "changed the line", act)


def add_site(path: Path, seen: str, sent: Mapping[str, str]) -> tuple[State, str]:
    """Add a site and the set on it; the state of the book and the id of the site.

    Raises
    ------
    BadInput
        When it is refused; the book is as it was.
    """
    made: list[str] = []

    def act(book: CommentedMap) -> None:
        made.append(_new_site(book, sent))

    return changed(path, seen, f"added {sent.get('name', '').strip() or 'a site'}", act), made[0]


def add_sites(path: Path, seen: str, places: Sequence[Mapping[str, str]]) -> State:
    """Add several sites at once, such as the waypoints of a file.

    Raises
    ------
    BadInput
        When one of them is refused; the book is as it was.
    """

    def act(book: CommentedMap) -> None:
        for place in places:
            _new_site(book, place)

    return changed(path, seen, f"added {len(places)} sites from a file", act)


def change_site(path: Path, seen: str, site: str, sent: Mapping[str, str]) -> State:
    """Change a site.

    Raises
    ------
    BadInput
        When it is refused; the book is as it was.
    """

    def act(book: CommentedMap) -> None:
        apply(fields.site_form(plain(book), sent.get("medium", "")), _entry(_sites(book), site), sent)

    return changed(path, seen, f"changed {_site_name(path, site)}", act)


def move_site(path: Path, seen: str, site: str, place: str) -> State:
    """Give a site another position.

    Raises
    ------
    BadInput
        When it is refused; the book is as it was.
    """

    def act(book: CommentedMap) -> None:
        retouch.put(_entry(_sites(book), site), "position", position_value(place))

    return changed(path, seen, f"moved {_site_name(path, site)}", act)


def remove_site(path: Path, seen: str, site: str) -> State:
    """Take a site out.

    Raises
    ------
    BadInput
        When it is refused; the book is as it was.
    """

    def act(book: CommentedMap) -> None:
        sites = _sites(book)
        retouch.drop_at(sites, _place(sites, site))

    return changed(path, seen, f"took out {_site_name(path, site)}", act)


def clear_rig(path: Path, seen: str, site: str) -> State:
    """State no rig at a site any more: the plan chooses one.

    Raises
    ------
    BadInput
        When there is none to clear.
    """

    def act(book: CommentedMap) -> None:
        entry = _entry(_sites(book), site)
        if "rig" not in entry:
            raise BadInput("no rig is stated here", field="rig", found=site)
        retouch.drop(entry, "rig")

    return changed(path, seen, f"cleared the rig of {_site_name(path, site)}", act)


def change_entry(
    path: Path, seen: str, kind: str, name: str, sent: Mapping[str, str], *, only: bool = False
) -> State:
    """Change a piece of the outfit; `only` the one trap of several alike that bears this tag.

    Raises
    ------
    BadInput
        When it is refused; the book is as it was.
    """

    def act(book: CommentedMap) -> None:
        entries = _outfit(book, kind)
        at = _place(entries, name)
        if only:
            at = _split(entries, at, name)
        apply(fields.piece_form(plain(book), kind), entries[at], sent)

    return changed(path, seen, f"changed {name}", act)


def add_entry(path: Path, seen: str, kind: str, sent: Mapping[str, str]) -> State:
    """Add a piece to the outfit, or several alike.

    Raises
    ------
    BadInput
        When it is refused; the book is as it was.
    """
    name = sent.get("id", "").strip()

    def act(book: CommentedMap) -> None:
        if not name:
            raise BadInput("a name is needed, such as T-01", field="id")
        entry = retouch.flow({"id": text_value(name)})
        apply(fields.piece_form(plain(book), kind), entry, sent)
        append_entry(book, ("outfit", kind), entry)

    return changed(path, seen, f"added {name}", act)


def retire(path: Path, seen: str, kind: str, name: str) -> State:
    """Take one piece out of the outfit: of several traps alike only the one with this tag.

    Raises
    ------
    BadInput
        When it stands at a site.
    """

    def act(book: CommentedMap) -> None:
        entries = _outfit(book, kind)
        at = _place(entries, name)
        for site in _sites(book):
            rig = site.get("rig") or {}
            if kind == "traps" and name in (rig.get("trap"), *(rig.get("gang") or ())):
                raise BadInput("it stands at a site; take it from there first", field=name, found=str(site["name"]))
        if kind == "traps":
            at = _split(entries, at, name)
        retouch.drop_at(entries, at)
        if not entries:
            retouch.drop(book["outfit"], kind)

    return changed(path, seen, f"retired {name}", act)


def change_outfit(path: Path, seen: str, sent: Mapping[str, str]) -> State:
    """Change covers, boards and what is held back.

    Raises
    ------
    BadInput
        When it is refused; the book is as it was.
    """

    def act(book: CommentedMap) -> None:
        apply(fields.outfit_form(), book, sent)

    return changed(path, seen, "changed covers and boards", act)


def change_animal(path: Path, seen: str, animal: str, sent: Mapping[str, str]) -> State:
    """State figures of an animal; without any left the table's are used again.

    Raises
    ------
    BadInput
        When it is refused; the book is as it was.
    """

    def act(book: CommentedMap) -> None:
        if not isinstance(book.get("animals"), CommentedMap):
            retouch.put(book, "animals", {})
            book["animals"].fa.set_block_style()
        entry = book["animals"].get(animal)
        if not isinstance(entry, CommentedMap):
            retouch.put(book["animals"], animal, {})
            entry = book["animals"][animal]
        apply(fields.animal_form(), entry, sent)
        if not entry:
            retouch.drop(book["animals"], animal)
        if not book["animals"]:
            retouch.drop(book, "animals")

    return changed(path, seen, f"changed the {animal.replace('_', ' ')}", act)


def choose_packs(path: Path, seen: str, packs: Sequence[str], profile: str) -> State:
    """Choose the packs of rules that bind, and the profile of good practice.

    Raises
    ------
    BadInput
        When one of them cannot be read.
    """

    def act(book: CommentedMap) -> None:
        if not isinstance(book.get("law"), CommentedMap):
            retouch.put(book, "law", {})
        law = book["law"]
        if list(law.get("packs") or ()) != list(packs):
            retouch.put(law, "packs", [text_value(name) for name in packs])
        if (law.get("profile", "best-practice") or "") != profile:
            retouch.put(law, "profile", text_value(profile) if profile else None)

    return changed(path, seen, "chose packs of rules", act)


def choose_units(path: Path, seen: str, units: str, position_form: str = "") -> State:
    """Choose the units in which figures are shown, and the form of positions.

    Raises
    ------
    BadInput
        For units or a form that are not known.
    """

    def act(book: CommentedMap) -> None:
        for name, wanted, usual in (("units", units, "us"), ("position_form", position_form, "degrees")):
            if wanted and str(book["line"].get(name, usual)) != wanted:
                retouch.put(book["line"], name, wanted)

    words = f"shows figures in {'metric' if units == 'metric' else 'US'} units"
    return changed(path, seen, words + (", positions on the UTM grid" if position_form == "utm" else ""), act)


def part_text(state: State, where: str, name: str) -> str:
    """A site or a piece of the outfit as text: everything that stands of it in the book."""
    entry = _entry(_list_at(load(state.text, file=state.path, comments=True), where), name)
    return dump(entry).rstrip() + "\n"


def change_part_text(path: Path, seen: str, where: str, name: str, text: str) -> State:
    """Put a site or a piece of the outfit as text into the place of what stands there.

    Raises
    ------
    BadInput
        With the line within the text, when it is refused; the book is as it was.
    """
    made = load(text.replace("\r\n", "\n"), file="the text", comments=True)

    def act(book: CommentedMap) -> None:
        entries = _list_at(book, where)
        at = _place(entries, name)
        if plain(entries[at]) != plain(made):
            retouch.replace_at(entries, at, [made])

    return changed(path, seen, f"changed {name} as text", act)


def _new_site(book: CommentedMap, sent: Mapping[str, str]) -> str:
    name = sent.get("name", "").strip()
    sites = _sites(book)
    taken = {str(one.get("id")) for one in sites}
    key = sent.get("id", "").strip() or fresh_id(name, taken)
    entry = CommentedMap({"id": text_value(key)})
    form: tuple[Section, ...] = fields.site_form(plain(book), sent.get("medium", ""))
    apply(form, entry, sent)
    if not len(sites) and "sites" in book:
        retouch.put(book, "sites", CommentedSeq([entry]))
    else:
        append_entry(book, ("sites",), entry)
    return key


def fresh_id(name: str, taken: set[str]) -> str:
    """A short id from a name that no other site has."""
    words = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:NAME_AT_MOST].strip("-") or "site"
    return next(key for n in range(1, 10_000) if (key := words if n == 1 else f"{words}-{n}") not in taken)


def append_entry(book: CommentedMap, path: tuple[str, ...], entry: CommentedMap) -> None:
    """Add an entry to a list of the book, which is made when it is not there."""
    parent: Any = book
    for step in path[:-1]:
        if not isinstance(parent.get(step), CommentedMap):
            retouch.put(parent, step, {})
        parent = parent[step]
    found = parent.get(path[-1])
    if isinstance(found, CommentedSeq) and len(found):
        retouch.append(found, entry)
    else:
        retouch.put(parent, path[-1], CommentedSeq([entry]))


def trap_entry(book: CommentedMap, tag: str) -> CommentedMap:
    """The entry of one trap alone; where several are alike it is parted from the others.

    Raises
    ------
    BadInput
        When the book has no such trap.
    """
    entries = _outfit(book, "traps")
    found: CommentedMap = entries[_split(entries, _place(entries, tag), tag)]
    return found


def _split(entries: CommentedSeq, at: int, tag: str) -> int:
    """Part several alike traps so that one tag has an entry of its own; where that entry stands."""
    entry = entries[at]
    tags = expand(str(entry["id"]), int(entry.get("count", 1)))
    if len(tags) == 1:
        return at
    place = tags.index(tag)
    parts = []
    for begin, end in ((0, place), (place, place + 1), (place + 1, len(tags))):
        if begin < end:
            part = copy.deepcopy(entry)
            retouch.put(part, "id", text_value(tags[begin]))
            if end - begin > 1:
                retouch.put(part, "count", end - begin)
            else:
                retouch.drop(part, "count")
            parts.append(part)
    retouch.replace_at(entries, at, parts)
    return at + (1 if place else 0)


def _sites(book: Mapping[str, Any]) -> CommentedSeq:
    found = book.get("sites")
    return found if isinstance(found, CommentedSeq) else CommentedSeq()


def _outfit(book: CommentedMap, kind: str) -> CommentedSeq:
    found = (book.get("outfit") or {}).get(kind)
    return found if isinstance(found, CommentedSeq) else CommentedSeq()


def _list_at(book: CommentedMap, where: str) -> CommentedSeq:
    return _sites(book) if where == "sites" else _outfit(book, where)


def _place(entries: Sequence[Any], name: str) -> int:
    """Where an entry stands, by its id or by a tag among several alike."""
    for at, entry in enumerate(entries):
        count = entry.get("count", 1) if "pattern" in entry else 1
        if name in (str(entry.get("id")), *expand(str(entry.get("id")), count if isinstance(count, int) else 1)):
            return at
    raise BadInput("this is not in the book any more", found=name)


def _entry(entries: Sequence[Any], name: str) -> CommentedMap:
    found: CommentedMap = entries[_place(entries, name)]
    return found


def _site_name(path: Path, site: str) -> str:
    from setwright.desk.edit import state_of

    names = {str(one.get("id")): str(one.get("name", site)) for one in state_of(path).data.get("sites") or []}
    return names.get(site, site)
