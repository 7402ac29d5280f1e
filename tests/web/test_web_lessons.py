"""Pages of teaching, asked directly and in a real browser: lessons, live question, projector, quizzes."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pypdfium2
import pytest
from playwright.sync_api import Browser
from starlette.testclient import TestClient

from setwright.desk.lessons import skills
from setwright.desk.lessons.kinds import KINDS
from setwright.desk.lessons.live import LessonDesk, answer
from setwright.desk.lessons.model import Lesson
from setwright.desk.lessons.quiz import quiz_of
from setwright.desk.lessons.shelf import lessons
from setwright.desk.lessons.slides import slides_of
from setwright.sheets.lesson_figures import known
from setwright.web.app import POLICY, create_app
from setwright.web.open_line import OpenLine
from web.conftest import watched

COURSE: dict[str, Lesson] = {one.name: one for one in lessons(known())}


@pytest.mark.parametrize("name", COURSE)
def test_every_lesson_is_a_page(client: TestClient, name: str) -> None:
    page = client.get(f"/lessons/{name}")
    assert page.status_code == 200 and page.headers["content-security-policy"] == POLICY
    assert COURSE[name].head.title in html.unescape(page.text) and page.text.count("<h1") == 1
    assert "No drawing:" not in page.text and "<svg" in page.text
    for belief in COURSE[name].head.beliefs:
        assert belief.source in html.unescape(page.text), "a fact stands with its source"


def test_the_list_has_every_lesson_and_counts_the_kit(client: TestClient) -> None:
    page = client.get("/lessons?students=24")
    assert page.status_code == 200
    assert [name for name in re.findall(r'href="/lessons/([a-z-]+)"', page.text) if name in COURSE] == list(COURSE)
    assert "<b>24</b>eye cover" in page.text and "<b>12</b>working trap that the group can press" in page.text
    assert client.get("/lessons?students=0").status_code == 422
    assert client.get("/").text.count('href="/lessons"') == 1, "in the contents of every page"


def test_the_live_question_on_the_page_is_that_of_the_desk(client: TestClient, line: OpenLine) -> None:
    live = COURSE["coils"].head.live
    told = answer(LessonDesk(line.book, draws=line.draws, seed=line.seed), live, "4")
    page = client.get("/lessons/coils?change=4").text
    for number in told.numbers:
        assert f'<td class="fig r">{number.after}</td>' in page and f'<td class="r n2">{number.before}</td>' in page
    assert 'value="4" checked' in page and live.learn in page
    assert "<slow-motion" in page and page.count('class="moving"') >= 2, "both traps close beside each other"


def test_a_change_that_cannot_be_is_said(client: TestClient) -> None:
    page = client.get("/lessons/coils?change=7")
    assert page.status_code == 200 and "Not changed:" in page.text and "does not fit the family" in page.text
    assert client.get("/lessons/nothing").status_code == 404
    assert client.get("/lessons/..%2Fcoils.md").status_code == 404
    assert client.get("/lessons/coils?change=" + "x" * 100).status_code == 422


def test_no_lesson_tells_where_a_set_lies(client: TestClient, line: OpenLine) -> None:
    for site in line.now().plan.sets:
        for value in (site.site.latitude, site.site.longitude):
            for name in ("pan", "selectivity", "chain-and-anchor"):
                assert f"{value:.3f}" not in client.get(f"/lessons/{name}").text


def test_water_is_taught_with_a_book_that_has_none(client: TestClient) -> None:
    page = client.get("/lessons/submersion?change=short-12").text
    assert "your book has no site on water" in page and "27" in page


def test_strength_decides_which_traps(client: TestClient) -> None:
    page = client.get("/lessons/hands?presses=3+lbf&weighs=40+lb").text
    assert "Which traps of your outfit this student can set" in page and "not this one" in page
    assert "Not told:" in client.get("/lessons/hands?presses=many").text
    assert "Which traps of your outfit" not in client.get("/lessons/hands").text


@pytest.mark.parametrize("name", COURSE)
def test_every_slide_leads_on_and_back(client: TestClient, name: str) -> None:
    slides = slides_of(COURSE[name])
    kinds = [one.kind for one in slides]
    assert kinds[0] == "title" and kinds.count("live") == 1 and kinds.count("check") == len(COURSE[name].head.check)
    for one in slides:
        assert sum(block.kind == "figure" for block in one.blocks) <= 1, "one drawing at a time"
    shown = [block for one in slides for block in one.blocks if block.kind != "heading"]
    assert shown == [block for block in COURSE[name].body if block.kind != "heading"], "nothing is left out"
    first = client.get(f"/lessons/{name}?projector=1").text
    assert 'rel="prev"' not in first and f'href="/lessons/{name}?projector=1&amp;slide=2"' in first
    last = client.get(f"/lessons/{name}?projector=1&slide={len(slides)}").text
    assert f'href="/lessons/{name}/quiz"' in last and f"slide={len(slides) - 1}" in last
    assert client.get(f"/lessons/{name}?projector=1&slide=500").text == last


def test_a_quiz_is_marked_and_keeps_nothing(client: TestClient, book: Path) -> None:
    before = sorted(path.name for path in book.parent.iterdir())
    made = quiz_of(COURSE["submersion"], 5, 6)
    plain = client.get("/lessons/submersion/quiz?seed=5").text
    assert "Right is" not in plain and all(one.worked not in plain for one in made.questions)
    given = {
        f"a{n}": "abcdefgh"[one.right] if one.choices else repr(one.answer) for n, one in enumerate(made.questions, 1)
    }
    page = client.get("/lessons/submersion/quiz", params={"seed": 5, "mark": 1, **given}).text
    assert "6 of 6 right." in page and "Right is" not in page
    given["a1"], given["a2"] = "1", ""
    page = client.get("/lessons/submersion/quiz", params={"seed": 5, "mark": 1, **given}).text
    assert "4 of 6 right, 1 without an answer." in page and page.count("Right is") == 2
    assert client.get("/lessons/submersion/quiz?seed=-1").status_code == 422
    assert client.get("/lessons/submersion/quiz?number=99").status_code == 422
    assert sorted(path.name for path in book.parent.iterdir()) == before


@pytest.mark.parametrize("evil", ["<script>alert(1)</script>", '"><b>x</b>', "{{ 7*7 }}"])
def test_answers_and_own_lessons_stay_text(tmp_path: Path, line: OpenLine, book: Path, evil: str) -> None:
    own = tmp_path / "line-book.yaml"
    own.write_bytes(book.read_bytes())
    folder = tmp_path / "lessons"
    folder.mkdir()
    shipped = (Path(COURSE["log"].place)).read_text(encoding="utf-8")
    mine = shipped.replace("name: log\n", "name: mine\n").replace("## What goes in", f"{evil}\n\n[x](lesson:coils)\n")
    (folder / "mine.md").write_text(mine, encoding="utf-8")
    opened = OpenLine(own, draws=line.draws)
    opened._kept = (opened.stamp(), line.now())
    client = TestClient(create_app(opened), base_url="http://127.0.0.1")
    page = client.get("/lessons/mine").text
    if "<" in evil:
        assert evil not in page
    else:
        assert evil in page
    assert '<a href="/lessons/coils">x</a>' in page
    marked = client.get("/lessons/mine/quiz", params={"mark": 1, "a1": evil}).text
    assert evil not in marked or "<" not in evil
    (folder / "broken.md").write_text(
        mine.replace("name: mine", "name: other").replace("none-seen?", "non-seen?"), encoding="utf-8"
    )
    listed = client.get("/lessons")
    assert listed.status_code == 200 and "no drawing of this name" in listed.text and "broken.md, line" in listed.text
    assert "/lessons/mine" in listed.text, "the others are still there"
    assert str(tmp_path) not in listed.text, "where it lies is not told"


def test_records_are_shown_to_whoever_teaches(desk: TestClient, own_line: OpenLine) -> None:
    assert "Nothing is kept of anybody" in desk.get("/lessons/skills").text
    skills.enrol(own_line.book, "O. P.", "O. P.", on="2026-11-18")
    skills.tick(own_line.book, "O. P.", [3], on="2026-11-18")
    page = desk.get("/lessons/skills").text
    assert "O. P." in page and "shown 2026-11-18" in page
    given = desk.get("/lessons/skills/export?name=O. P.")
    assert given.json()["skills"][0]["item"] == 3 and "attachment" in given.headers["content-disposition"]
    assert desk.get("/lessons/skills/export?name=Q. R.").status_code == 404


def words_of(paper: bytes) -> str:
    """All words of a PDF, with single spaces."""
    pages = pypdfium2.PdfDocument(paper)
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in pages).split())


def test_paper_is_the_twin_of_the_page(client: TestClient) -> None:
    answered = client.get("/lessons/coils/lesson.pdf?paper=a5&students=9")
    assert answered.headers["content-type"] == "application/pdf"
    assert client.get("/lessons/coils/lesson.pdf?paper=a5&students=9").content == answered.content, "same bytes"
    text = words_of(answered.content)
    page = client.get("/lessons/coils?students=9").text
    told = re.findall(r'<td class="fig r">([^<]+)</td>', page)
    assert told and all(number.split(" (")[0] in text for number in told[:3])
    assert "Practice for 9 students" in text
    quiz = client.get("/lessons/coils/quiz.pdf?seed=3&key=1").content
    first = quiz_of(COURSE["coils"], 3, 6).questions[0]
    whole = words_of(quiz)
    assert "Key, number 3" in whole and first.key.split()[0] in whole
    plain = client.get("/lessons/coils/quiz.pdf?seed=3").content
    assert "Key, number" not in words_of(plain)
    assert client.get("/lessons/coils/lesson.pdf?paper=a0").status_code == 422


# In a real browser

PAGES = (
    "/lessons", "/lessons/coils?change=4", "/lessons/hands?presses=35+lbf&weighs=90+lb", "/lessons/pan",
    "/lessons/coils?projector=1&slide=3", "/lessons/coils?projector=1&slide=8", "/lessons/jaws/quiz?mark=1&a1=10",
    "/lessons/skills",
)  # fmt: skip


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
def test_pages_fit_and_ask_only_this_machine(browser: Browser, address: str, width: int, scheme: str) -> None:
    page, faults, asked = watched(browser, viewport={"width": width, "height": 850}, color_scheme=scheme)
    for path in PAGES:
        page.goto(address + path)
        wider = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wider <= 0, f"{path} is {wider} px wider than the screen"
        small = page.evaluate(
            "[...document.querySelectorAll('nav a, button, input:not([type=checkbox]), select, summary, label.choice,"
            " label.pick')]"
            ".filter(e => e.offsetParent && e.getBoundingClientRect().height < 47.5).map(e => e.outerHTML)"
        )
        assert small == [], f"{path}: too small to touch"
    assert [url for url in asked if not url.startswith(address)] == [] and faults == []
    page.context.close()


def test_arrow_keys_turn_the_slides(browser: Browser, address: str) -> None:
    page, faults, _ = watched(browser)
    page.goto(f"{address}/lessons/coils?projector=1")
    large = page.evaluate("parseFloat(getComputedStyle(document.querySelector('.projector li')).fontSize)")
    assert large >= 24, "read from the last row"
    page.keyboard.press("ArrowRight")
    page.wait_for_url("**slide=2")
    page.keyboard.press("ArrowLeft")
    page.wait_for_url("**slide=1")
    page.keyboard.press("PageDown")
    page.wait_for_url("**slide=2")
    page.keyboard.press("Escape")
    page.wait_for_url("**/lessons/coils")
    page.goto(f"{address}/lessons/coils?projector=1&slide=8")
    page.locator("input[type=range]").focus()
    page.keyboard.press("ArrowRight")
    assert page.url.endswith("slide=8"), "the scrubber keeps its keys"
    assert float(page.locator("input[type=range]").input_value()) > 0
    assert faults == []
    page.context.close()


def test_slow_motion_plays_on_the_slide(browser: Browser, address: str) -> None:
    page, faults, _ = watched(browser)
    page.goto(f"{address}/lessons/coils?projector=1&slide=8&change=4")
    assert page.locator("slow-motion .traps figure").count() == 2
    page.get_by_role("button", name="Play").click()
    scrubber = page.locator("input[type=range]")
    for _ in range(100):
        if float(scrubber.input_value()) > 0.2:
            break
        page.wait_for_timeout(50)
    assert float(scrubber.input_value()) > 0.2
    page.get_by_role("button", name="Stop").click()
    assert faults == []
    page.context.close()


def test_the_same_without_script(browser: Browser, address: str) -> None:
    page, faults, _ = watched(browser, java_script_enabled=False)
    page.goto(f"{address}/lessons/coils")
    page.get_by_label("four coils").check()
    page.get_by_role("button", name="Work it out").click()
    assert "65 lbf" in page.locator(".three").inner_text() or "lbf" in page.locator(".three .fig").last.inner_text()
    assert page.locator("figure.still").count() == 2, "the still pictures stand alone"
    page.goto(f"{address}/lessons/coils?projector=1")
    page.get_by_role("link", name="On", exact=True).click()
    assert page.url.endswith("slide=2")
    page.goto(f"{address}/lessons/bedding-and-frost/quiz?seed=2")
    page.locator("label.choice").first.click()
    page.get_by_role("button", name="Mark it").click()
    assert re.search(r"[01] of 6 right, 5 without an answer", page.locator(".say").inner_text())
    assert faults == []
    page.context.close()


def test_axe_finds_nothing(browser: Browser, address: str) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page, _, _ = watched(browser, viewport={"width": 1280, "height": 850}, bypass_csp=True)
    for path in PAGES:
        page.goto(address + path)
        found = Axe().run(page).response["violations"]
        assert [(one["id"], [node["html"][:120] for node in one["nodes"]]) for one in found] == [], path
    page.context.close()


def test_every_kind_of_question_can_be_asked_on_a_page() -> None:
    assert {kind for one in COURSE.values() for kind in one.head.quiz} == set(KINDS)
