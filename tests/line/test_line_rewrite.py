"""A book changed as data keeps what nobody changed, and every edit can be taken back to the letter."""

from __future__ import annotations

import difflib
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml.comments import CommentedMap

from setwright.basis.errors import BadInput
from setwright.basis.textfile import digest_of, put_bytes
from setwright.basis.yamlfile import dump, load, plain
from setwright.line import retouch
from setwright.line.journal import Journal, edit_between, journal_place, read_journal, write_journal
from setwright.line.rewrite import rewritten

ROOT = Path(__file__).resolve().parents[2]
BOOKS = [
    ROOT / "src/setwright/data/demo/line-book.yaml",
    *sorted((ROOT / "docs/examples").glob("*.yaml")),
    *sorted((ROOT / "src/setwright/data/law").glob("*.yaml")),
]
ODD = """\
# head
line:
    name:   "A b"     # odd
    date: 2026-11-20

sites:
  - id: a
    name:    Foo      # first
  # about b
  - id:   b
    near: [1,2,   3]

  # about c
  - id: c
    name: C
# end
"""


def lines_changed(before: str, after: str) -> list[str]:
    """Lines taken out and put in, each with its sign."""
    found = difflib.ndiff(before.splitlines(), after.splitlines())
    return [line for line in found if line[0] in "+-"]


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: path.name)
def test_a_book_written_back_is_the_same_to_the_letter(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert dump(load(text, file=path, comments=True)) == text


def _name(book: CommentedMap) -> None:
    retouch.put(book["sites"][0], "name", "Bar: #1")


def _more(book: CommentedMap) -> None:
    retouch.append(book["sites"], CommentedMap({"id": "d"}))


def _less(book: CommentedMap) -> None:
    retouch.drop_at(book["sites"], 1)


def _last(book: CommentedMap) -> None:
    retouch.drop_at(book["sites"], 2)


def _first(book: CommentedMap) -> None:
    retouch.drop_at(book["sites"], 0)


def _field(book: CommentedMap) -> None:
    retouch.drop(book["sites"][0], "name")


def _two(book: CommentedMap) -> None:
    retouch.replace_at(book["sites"], 2, [CommentedMap({"id": "c"}), CommentedMap({"id": "e"})])


@pytest.mark.parametrize(
    ("act", "expected"),
    [
        (_name, ["-     name:    Foo      # first", "+     name: 'Bar: #1'   # first"]),
        (_more, ["+ ", "+   - id: d"]),
        (_less, ["-   # about b", "-   - id:   b", "-     near: [1,2,   3]", "- "]),
        (_last, ["-   # about c", "-   - id: c", "-     name: C", "- "]),
        (_first, ["-   - id: a", "-     name:    Foo      # first"]),
        (_field, ["-     name:    Foo      # first"]),
        (_two, ["-     name: C", "+   - id: e"]),
    ],
)
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_only_what_was_changed_differs(act: Callable[[CommentedMap], None], expected: list[str], ending: str) -> None:
    text = ODD.replace("\n", ending)
    made = rewritten(text, act, file="book")
    # A blank line may move past the comment that it stands by; nothing else may.
    assert sorted(line for line in lines_changed(text, made) if line.strip() not in "+-") == sorted(
        line for line in expected if line.strip() not in "+-"
    )
    assert made.count(ending) == made.count("\n")
    wanted = load(ODD, file="book", comments=True)
    act(wanted)
    assert plain(load(made, file="book")) == plain(wanted)


def test_no_change_leaves_every_letter() -> None:
    assert rewritten(ODD, lambda book: retouch.put(book["line"], "name", "A b"), file="book") == ODD


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60), st.sampled_from(["name", "place"]))
def test_any_text_comes_back_as_it_was_put_or_is_refused(words: str, field: str) -> None:
    def act(book: CommentedMap) -> None:
        retouch.put(book["line"], field, words)

    try:
        made = rewritten(ODD, act, file="book")
    except BadInput:
        return
    assert load(made, file="book")["line"][field] == words


def test_a_file_is_put_whole_with_its_rights_and_through_a_link(tmp_path: Path) -> None:
    place = tmp_path / "book"
    place.write_bytes(b"old")
    place.chmod(0o640)
    link = tmp_path / "link"
    link.symlink_to(place)
    put_bytes(link, b"new")
    assert link.is_symlink() and place.read_bytes() == b"new" and place.stat().st_mode & 0o777 == 0o640
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book", "link"]
    with pytest.raises(BadInput, match="cannot be written"):
        put_bytes(tmp_path / "nowhere" / "book", b"x")


texts = st.text(alphabet="ab\né🦫", max_size=30)


@settings(max_examples=80, deadline=None)
@given(st.lists(texts, min_size=2, max_size=12))
def test_a_journal_leads_from_any_state_to_any_other(
    tmp_path_factory: pytest.TempPathFactory, states: list[str]
) -> None:
    path = tmp_path_factory.mktemp("journal") / "book.yaml"
    journal = Journal()
    for before, after in pairwise(states):
        journal = journal.with_edit(edit_between("step", before, after))
    write_journal(path, journal)
    read = read_journal(path, states[-1])
    assert read == journal
    for state in states:
        assert read.text_at(digest_of(state.encode()), states[-1]) == state
    text = states[-1]
    while (edit := read.last) is not None:
        text = edit.back(text)
        read = Journal(read.edits, read.place - 1)
    assert text == states[0]


def test_a_stop_between_journal_and_file_leaves_nothing_wrong(tmp_path: Path) -> None:
    path = tmp_path / "book.yaml"
    first = Journal().with_edit(edit_between("one", "a", "ab"))
    write_journal(path, first.with_edit(edit_between("two", "ab", "abc")))
    found = read_journal(path, "ab")  # the file was not reached
    assert found.known and found.last is not None and found.last.words == "one"
    assert found.coming is not None and found.coming.words == "two"


@pytest.mark.parametrize("damage", ["", "[]", "{", '{"schema": "x"}', '{"schema": "setwright/edits/1", "edits": 5}'])
def test_a_damaged_journal_is_an_empty_one(tmp_path: Path, damage: str) -> None:
    path = tmp_path / "book.yaml"
    journal_place(path).write_text(damage, encoding="utf-8")
    assert read_journal(path, "a") == Journal()


def test_a_journal_stays_small() -> None:
    journal = Journal()
    for number in range(250):
        journal = journal.with_edit(edit_between(str(number), "x" * 20_000, f"{number:03d}" * 7_000))
    assert sum(len(edit.before) + len(edit.after) for edit in journal.edits) <= 2_000_000
    assert journal.last is not None and journal.last.words == "249"
