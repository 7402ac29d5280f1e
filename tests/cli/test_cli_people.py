"""People from the command line: no passcode on it, none printed."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest
from typer.testing import CliRunner

from setwright.basis.errors import BadInput
from setwright.cli.main import app
from setwright.web.people import people_of


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SETWRIGHT_DATA", str(tmp_path / "own"))
    found = tmp_path / "line-book.yaml"
    found.write_text("schema: setwright/line-book/1\n", encoding="utf-8")
    return found


def said(*words: object, typed: str = "") -> str:
    done = CliRunner().invoke(app, ["people", *map(str, words)], input=typed)
    if done.exception is not None:
        raise done.exception
    return done.output


def test_a_person_from_invitation_to_removal(book: Path) -> None:
    assert "Nobody can log in yet" in said("list", book)
    code = said("add", book, "Wren", "--role", "helper").split("Code for Wren: ")[1].split()[0]
    assert said("list", book) == "Wren: helper, code is out\n"
    assert people_of(book).redeem("Wren", code, "heron kettle oblong")
    assert said("list", book) == "Wren: helper, passcode set\n"
    assert said("passcode", book, "Wren", typed="another kettle fence\n") == "Wren has a new passcode.\n"
    assert people_of(book).check("Wren", "another kettle fence") is not None
    assert people_of(book).check("Wren", "heron kettle oblong") is None
    said("role", book, "Wren", "viewer")
    assert people_of(book).find("Wren").role == "viewer"
    assert "Code for Wren" in said("invite", book, "Wren")
    assert people_of(book).check("Wren", "another kettle fence") is None
    said("remove", book, "wren")
    assert people_of(book).all() == []


def test_what_cannot_be_is_said(book: Path) -> None:
    said("add", book, "Wren")
    for words in (("add", book, "Wren"), ("add", book, "Lark", "--role", "king"), ("role", book, "Lark", "viewer"),
                  ("remove", book, "Lark"), ("add", book.with_name("none.yaml"), "Lark")):  # fmt: skip
        with pytest.raises(BadInput):
            said(*words)
    with pytest.raises(BadInput, match="passcode") as told:
        said("passcode", book, "Wren", typed="tiny\n")
    assert "tiny" not in str(told.value)


def test_accounts_lie_apart_by_book_and_for_the_owner_alone(book: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.yaml"
    other.write_bytes(book.read_bytes())
    said("add", book, "Wren")
    assert "Nobody" in said("list", other)
    assert {path.name for path in tmp_path.iterdir()} == {"own", "line-book.yaml", "other.yaml"}
    for path in (tmp_path / "own").rglob("*"):
        assert stat.S_IMODE(path.stat().st_mode) == (0o700 if path.is_dir() else 0o600), path
