"""Pages in another language: every fixed word passes through its catalogue, and nothing else changes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import partial
from html import escape, unescape
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import polib
import pytest
from markupsafe import Markup
from starlette.testclient import TestClient

from setwright.basis.errors import BadInput
from setwright.sheets import speech
from setwright.sheets.template_words import READ_OUT, in_language
from setwright.web import pages
from setwright.web.words import app_messages

PAGES = (
    "/", "/line", "/set/track", "/bench", "/bench/A-11", "/bench/A-11/readings", "/run", "/log", "/season", "/law",
    "/lessons", "/lessons/hands", "/lessons/hands/quiz?seed=2&mark=1", "/lessons/skills", "/files", "/settings",
    "/edit", "/edit/line", "/edit/site/track", "/edit/text/book", "/edit/outfit/traps", "/people", "/nowhere",
    "/set/track?trip_force=3+lbf", "/set/track?trip_force=many", "/log/set/track", "/log/sprung/track", "/login",
    "/start", "/log/new?site=track&kind=check", "/edit/map",
)  # fmt: skip


def write(path: Path, language: str, entries: dict[tuple[str, str], str]) -> Path:
    made = polib.POFile()
    made.metadata = {"Language": language, "Content-Type": "text/plain; charset=UTF-8", "X-Reader": "somebody"}
    for (context, words), told in entries.items():
        made.append(polib.POEntry(msgid=words, msgstr=told, msgctxt=context or None))
    made.save(str(path))
    return path


def taken(path: Path) -> Iterator[str]:
    language = speech.own_catalogue(path)
    yield language
    speech._own.pop(language)
    speech.catalogue.cache_clear()


@pytest.fixture(scope="module")
def marked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A made-up language: English in brackets; what is computed stands in others."""
    entries = {(one.context, one.words): f"⟦{one.words}⟧" for one in app_messages()}
    entries |= {(one.context, one.words): f"⟦{one.words}⟧" for one in _sheet_templates()}
    for language in taken(write(tmp_path_factory.mktemp("po") / "qq.po", "qq", entries)):
        made = in_language(pages.english(), language)
        made.finalize = partial(bracketed, made.finalize)
        yield language


def bracketed(plain: Callable[[Any], Any], value: Any) -> str:
    """What is computed, in brackets; a part of a page that has its own stays."""
    told = plain(value)
    told = told if isinstance(told, str) else str(told)
    if "⟦" in told or "‹" in told:
        return told
    return Markup("‹{}›").format(told) if isinstance(told, Markup) else f"‹{told}›"


def _sheet_templates() -> Any:
    from setwright.sheets.catalogue import templates_of

    return templates_of(pages.english(), "all")


class Words(HTMLParser):
    """Text of a page in its order, and what stands in attributes that are read out; drawings left out."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.text, self.read, self.within = "", [], 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.within += tag in ("svg", "style", "script")
        self.read += [value for name, value in attrs if name in READ_OUT and value and not self.within]

    def handle_endtag(self, tag: str) -> None:
        self.within -= tag in ("svg", "style", "script")

    def handle_data(self, data: str) -> None:
        if not self.within:
            self.text += data


def words_of(page: str) -> Words:
    found = Words()
    found.feed(page)
    return found


def bare(text: str) -> str:
    """What stands in no brackets and has letters."""
    while (less := re.sub(r"⟦[^⟦⟧‹›]*⟧|‹[^⟦⟧‹›]*›", "", text)) != text:
        text = less
    return " / ".join(part.strip() for part in re.split(r"[\n⟦⟧‹›]+", text) if re.search(r"[^\W\d_]", part))


@pytest.mark.parametrize("address", PAGES)
def test_no_fixed_word_of_a_page_is_left_in_english(client: TestClient, marked: str, address: str) -> None:
    joint = "&" if "?" in address else "?"
    answer = client.get(f"{address}{joint}lang={marked}")
    assert answer.text.count("⟦") > 10, (answer.status_code, answer.text[:300])
    found = words_of(answer.text)
    assert bare(found.text) == ""
    assert [bare(words) for words in found.read if bare(words)] == []


def test_a_word_that_went_past_the_catalogue_would_be_seen() -> None:
    assert bare("⟦Today⟧ ‹a ⟦b⟧› 12 –") == ""
    assert bare("⟦Today⟧ and ‹Ridge›") == "and"
    assert words_of('<p title="x">a<svg><text>b</text></svg>c</p>').text == "ac"


@pytest.mark.parametrize("address", PAGES[:12])
def test_a_catalogue_of_nothing_changes_nothing(client: TestClient, tmp_path: Path, address: str) -> None:
    for language in taken(write(tmp_path / "zz.po", "zz", {("", "no such message"): "none"})):
        other = client.get(address, headers={"cookie": f"language={language}"}).text
    plain = client.get(address, headers={"cookie": "language=en"}).text
    assert '<html lang="zz">' in other and '<html lang="en">' in plain
    assert level(other.replace('lang="zz"', 'lang="en"')) == level(plain)


def level(page: str) -> str:
    """A page with its entities read and its space made even; numbers of one rendering left out."""
    return re.sub(r"\s+", " ", unescape(unescape(page)))


def test_the_choice_is_kept_by_the_browser_and_by_nothing_else(client: TestClient) -> None:
    answer = client.get("/?lang=es")
    assert "Precauciones" in answer.text and '<html lang="es">' in answer.text
    assert ">Hoy<" in answer.text and ">Línea<" in answer.text
    assert escape(speech.catalogue("es").put(speech.UNREAD)) in answer.text
    kept = answer.headers["set-cookie"].lower()
    assert "language=es" in kept and "samesite=strict" in kept and "httponly" in kept
    back = client.get("/?lang=en")
    assert ">Today<" in back.text and "Precauciones" not in back.text
    client.cookies.clear()


def test_standing_words_cautions_and_lessons_are_in_the_language(client: TestClient) -> None:
    page = client.get("/set/track?lang=es").text
    client.cookies.clear()
    assert re.search(r"ley: (no se sabe|cumple|infringe)", page)
    assert "Arme por fuera y por debajo de la quijada suelta" in page
    lesson = client.get("/lessons/hands?lang=es").text
    client.cookies.clear()
    assert "Los dedos nunca van entre las quijadas" in lesson and "Fingers never go" not in lesson


def test_a_language_without_a_catalogue_is_refused_with_those_that_there_are(client: TestClient) -> None:
    answer = client.get("/?lang=xx")
    assert answer.status_code == 422 and "allowed: en, es" in answer.text
    assert answer.headers["content-security-policy"] and "set-cookie" not in answer.headers
    assert client.get("/", headers={"cookie": "language=../../x"}).status_code == 200


def test_what_a_page_makes_of_its_address_never_sees_the_language(client: TestClient) -> None:
    assert client.get("/set/track?lang=es&trip_force=3+lbf").status_code == 200
    client.cookies.clear()
    assert client.get("/api/sets/track/what-if?lang=es").status_code == 422, "the interface is in English"


def test_a_page_kept_with_its_plan_is_kept_for_its_language(client: TestClient) -> None:
    first, second, third = (client.get(f"/set/track?lang={one}").text for one in ("en", "es", "en"))
    client.cookies.clear()
    assert first == third != second
    cards = [client.get(f"/files/plan.html?lang={one}").text for one in ("es", "en")]
    client.cookies.clear()
    assert '<html lang="es">' in cards[0] and '<html lang="en">' in cards[1]


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ("{name}: heute", "{place}: today"),
        ("<1>Acht: {warning}", "<1>Mind:</1> {warning}"),
    ],
)
def test_a_catalogue_that_lost_a_figure_is_refused(tmp_path: Path, told: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        speech.read_catalogue(write(tmp_path / "de.po", "de", {("", words): told}))
    assert "de.po" in str(refused.value) and words[:20] in str(refused.value)


@pytest.mark.parametrize("text", ["", "hello", '\nmsgid "a\nmsgstr "b"\n', 'msgid "a"\nmsgstr "b"\n', "\x00\x01"])
def test_what_is_no_catalogue_is_told_without_a_traceback(tmp_path: Path, text: str) -> None:
    path = tmp_path / "bad.po"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as refused:
        speech.read_catalogue(path)
    assert "bad.po" in str(refused.value)
    with pytest.raises(BadInput):
        speech.read_catalogue(tmp_path / "none.po")


def test_the_own_words_of_a_trapper_are_not_translated() -> None:
    known = speech.catalogue("es")
    assert known.put_computed("Ice") == "Hielo" and known.put_computed("Bench") == "Banco"
    assert known.put_computed("Units") == "Units", "a fixed word of a page may be the name of a place"
    assert known.put_computed("law: meets") == "ley: cumple"
    assert known.put_computed("law: Muddy Bench") == "ley: Muddy Bench"
