"""Words of templates and lessons as messages: what is one sentence stays one, and markup finds its place again."""

from __future__ import annotations

import re
from pathlib import Path

import jinja2
import polib
import pytest

from setwright.desk.lessons.live import LessonDesk
from setwright.desk.lessons.markdown import Block, Span
from setwright.desk.lessons.shelf import lesson_named
from setwright.sheets import catalogue, speech, typeset
from setwright.sheets import lesson as lesson_sheet
from setwright.sheets.lesson_figures import known
from setwright.sheets.lesson_words import lesson_messages, spoken_lesson
from setwright.sheets.template_words import SpeakingLoader, has_words, messages
from setwright.sheets.typeset import words_of
from setwright.web.words import app_messages


def env(text: str) -> tuple[jinja2.Environment, list[str]]:
    """The template in another language, and the messages that it has."""
    loader = jinja2.DictLoader({"a.html": text})
    english = jinja2.Environment(loader=loader, autoescape=True)
    heard = [words for words, _ in messages(english, ["a.html"])]
    spoken = SpeakingLoader(loader, lambda words: words if words == "x" else f"[{words}]", "de")
    return jinja2.Environment(loader=spoken, autoescape=True), heard


CASES = [
    ("<p>Today &amp; tonight</p>", ["Today & tonight"], "<p>[Today &amp; tonight]</p>"),
    ("<p>See <b>{{ n }}</b> sets.</p>", ["See <1>{n}</1> sets."], "<p>[See <b>5</b> sets.]</p>"),
    ("<p><b>All of it</b></p>", ["All of it"], "<p><b>[All of it]</b></p>"),
    ("<p>{{ n }} {{ n }}: m</p>", ["{n} {n_2}: m"], "<p>[5 5: m]</p>"),
    ("<p title='Facts of {{ n }}'>{{ n }}</p>", ["Facts of {n}"], "<p title='[Facts of 5]'>5</p>"),
    ("<p class='no' data-l='stop'>1</p>", ["stop"], "<p class='no' data-l='[stop]'>1</p>"),
    ("<p>One{% if n %}, and two{% endif %}</p>", ["One", ", and two"], "<p>[One][, and two]</p>"),
    ("<a href='{{ n }}'{% if n %} x='y'{% endif %}>Go <i>on</i></a>", ["Go <1>on</1>"],
     "<a href='5' x='y'>[Go <i>on</i>]</a>"),
    ("<p>{{ m or 'not read' }}, {{ 'late' if n else 'soon' }}</p>", ["not read", "late", "soon"],
     "<p>[not read], [late]</p>"),
    ("{% if n == 'metric' %}x{% endif %}<i>{{ n|string|upper }}</i>", [], "<i>5</i>"),
    ("<script>var words = 'Not these';</script><p>These</p>", ["These"],
     "<script>var words = 'Not these';</script><p>[These]</p>"),
    ("<html lang='en'><title>A</title></html>", ["A"], "<html lang='de'><title>[A]</title></html>"),
    ("<p>a <b>open {% if n %}x{% endif %}</b> z</p>", ["a", "open", "z"], "<p>[a] <b>[open] x</b> [z]</p>"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "heard", "shown"), CASES)
def test_words_are_found_and_put_back(text: str, heard: list[str], shown: str) -> None:
    made, found = env(text)
    assert [one for one in found if one != "x"] == heard
    assert made.get_template("a.html").render(n=5, m="") == shown


def test_words_may_change_places_and_lose_nothing() -> None:
    made, found = env("<p>See <b>{{ n }}</b> of <i>{{ m }}</i>, please</p>")
    english = made.loader
    assert isinstance(english, SpeakingLoader) and found == ["See <1>{n}</1> of <2>{m}</2>, please"]
    english.put = lambda _: "Bitte von <2>{m}</2> < die <1>{n}</1> ansehen"
    assert made.get_template("a.html").render(n=1, m="<x>") == (
        "<p>Bitte von <i>&lt;x&gt;</i> &lt; die <b>1</b> ansehen</p>"
    )


def test_a_translation_that_lost_a_figure_is_not_used() -> None:
    made, _ = env("<p>See {{ n }} sets</p>")
    assert isinstance(made.loader, SpeakingLoader)
    made.loader.put = lambda _: "Siehe"
    assert made.get_template("a.html").render(n=4) == "<p>See 4 sets</p>"


def test_markup_of_a_translation_is_text() -> None:
    made, _ = env("<p title='Here'>Now</p>")
    assert isinstance(made.loader, SpeakingLoader)
    made.loader.put = lambda words: f"<script>'{words}\""
    assert made.get_template("a.html").render() == (
        "<p title='&lt;script&gt;&#x27;Here&quot;'>&lt;script&gt;'Now\"</p>"
    )


@pytest.mark.parametrize("text", ["{a} – {b}", "<1>{a}</1>", "12 %", ' aria-invalid="true"'])
def test_figures_and_markup_alone_are_no_words(text: str) -> None:
    assert not has_words(text)


def test_a_lesson_is_put_paragraph_by_paragraph_and_keeps_its_voices() -> None:
    lesson = lesson_named("hands", known())
    told = spoken_lesson(lesson, lambda words: f"[{words}]")
    assert told.head.title == "[Hands first]" and told.head.name == "hands"
    assert told.head.live.trap == lesson.head.live.trap and told.head.live.figures == lesson.head.live.figures
    assert all(one.startswith("[") for one in told.head.cautions)
    assert [one.source for one in told.head.beliefs] == [one.source for one in lesson.head.beliefs]
    for mine, theirs in zip(told.body, lesson.body, strict=True):
        assert mine.words.replace("[", "").replace("]", "") == theirs.words
        assert [span for span in mine.spans if span.strong] == [span for span in theirs.spans if span.strong]
    asked = lesson_messages([lesson])
    assert lesson.head.title in asked and any("<1>" in one for one in asked)


def test_bold_words_of_a_lesson_may_stand_elsewhere() -> None:
    lesson = lesson_named("hands", known())
    spans = (Span("Press "), Span("both", strong=True), Span(" levers."))
    one = lesson.__class__(lesson.head, (Block("paragraph", 1, spans),), lesson.place)
    body = spoken_lesson(one, _german).body
    assert body[0].spans == (Span("Beide", strong=True), Span(" drücken."))


def _german(words: str) -> str:
    return {"Press <1>both</1> levers.": "<1>Beide</1> drücken."}.get(words, words)


@pytest.fixture(scope="module")
def every() -> list[catalogue.Message]:
    return catalogue.sheet_messages()


def test_the_template_has_every_message_once_and_reads_back(every: list[catalogue.Message]) -> None:
    found = every
    made = polib.pofile(catalogue.template(found).decode("utf-8"))
    keys = [(one.msgctxt or "", one.msgid) for one in made]
    assert len(keys) == len(set(keys)) and len(keys) > 1000
    assert {("", "Cautions"), ("said", "sound"), ("", "Hands first"), ("", "Before you leave")} <= set(keys)
    assert all(one.occurrences for one in made)
    done = catalogue.how_far(found, speech.catalogue("es"))
    assert 30 < done["cautions"][0] <= done["cautions"][1] and done["lessons"][0] < done["lessons"][1]
    of_all = catalogue.how_far(found, speech.Catalogue("xx", "xx", True, {one.words: "." for one in found}))
    assert of_all["handouts"][0] == of_all["handouts"][1] and of_all["cautions"][0] == 0


@pytest.mark.parametrize("language", [name for name in speech.languages() if name != "en"])
def test_a_catalogue_that_comes_along_is_of_messages_that_there_are(
    language: str, every: list[catalogue.Message]
) -> None:
    asked = {(one.context, one.words) for one in (*every, *app_messages())}
    folder = Path(speech.__file__).parents[1] / "data" / "languages"
    said = [(one.msgctxt or "", one.msgid) for one in polib.pofile(str(folder / f"{language}.po"))]
    assert [one for one in said if one not in asked] == []


@pytest.mark.parametrize("template", ["lesson.typ", "quiz.typ"])
def test_fixed_words_of_a_lesson_on_paper_pass_through_the_catalogue(template: str) -> None:
    text = (Path(typeset.__file__).parent / "templates" / template).read_text(encoding="utf-8")
    found = words_of(template)
    assert len(found) > 5 and all(f'say("{words}"' in text for words in found)
    # Words set straight into the page, in brackets or quotes, would stay English.
    body = re.sub(r"//[^\n]*", "", text.split("#let hair" if "#let hair" in text else "#title(")[1])
    bare = re.findall(r"\[([A-Z][a-z]+ [^\]#]*)\]", body) + re.findall(r"head\[", body)
    assert bare == []


def test_a_lesson_is_printed_in_another_language(monkeypatch: pytest.MonkeyPatch) -> None:
    lesson, given = lesson_named("hands", known()), {}
    monkeypatch.setattr("setwright.sheets.lesson.typeset", lambda name, data: given.update(data) or name.encode())
    lesson_sheet.lesson_pdf(lesson, LessonDesk(draws=20), language="es")
    assert given["lang"] == "es" and given["words"]["Cautions"] == "Precauciones"
    assert given["unread"] == speech.catalogue("es").put(speech.UNREAD)
    assert set(given["words"]) == set(words_of("lesson.typ"))
