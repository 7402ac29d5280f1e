"""Slow motion in a real browser: on a press, by steps, and not at all where nobody wants it."""

from __future__ import annotations

from playwright.sync_api import Browser, Page

TRAP = "/bench/A-01"
# Where the loose jaw stands on the screen, px, as the browser draws it.
JAW = """() => { const box = document.querySelector('.moving [data-part=loose]').getBoundingClientRect();
    return [box.width, box.height] }"""


def opened(browser: Browser, address: str, **options: object) -> Page:
    page = browser.new_context(viewport={"width": 390, "height": 844}, **options).new_page()
    page.goto(address)
    return page


def shown_time(page: Page) -> float:
    return float(page.locator("slow-motion .time").inner_text().removesuffix(" ms"))


def test_a_press_plays_it_slowly_and_a_press_stops_it(browser: Browser, address: str) -> None:
    page = opened(browser, address + TRAP)
    end = float(page.locator("slow-motion").get_attribute("data-end"))
    set_jaw = page.evaluate(JAW)
    begun = page.evaluate("performance.now()")
    page.get_by_role("button", name="Play").click()
    for _ in range(100):
        page.wait_for_timeout(100)
        if shown_time(page) > 1.0:
            break
    page.get_by_role("button", name="Stop").click()
    shown = shown_time(page)
    passed = page.evaluate("performance.now()") - begun
    assert 1.0 < shown <= passed / 500 + 0.1, "linear in the time of the trap, 500 times slower"
    page.wait_for_timeout(150)
    assert shown_time(page) == shown, "it stands still"
    page.locator("slow-motion input").focus()
    page.keyboard.press("End")
    assert shown_time(page) == round(end, 1)
    assert "closed at" in page.locator(".moving [data-part=said]").text_content()
    closed = page.evaluate(JAW)
    assert closed[1] > 3 * set_jaw[1] and closed[0] < set_jaw[0], "the jaw stands upright now"
    assert page.locator(".moving [data-part=trigger]").get_attribute("visibility") == "hidden"
    page.context.close()


def test_the_scrubber_steps_by_a_tenth_of_a_millisecond(browser: Browser, address: str) -> None:
    page = opened(browser, address + TRAP)
    page.locator("slow-motion input").focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    assert page.locator("slow-motion .time").inner_text() == "0.3 ms"
    assert page.locator("slow-motion input").get_attribute("aria-valuetext") == "0.3 ms"
    wanted = page.evaluate("document.querySelector('.moving').dataset.loose.split(' ')[3]")
    turned = page.locator(".moving [data-part=loose]").get_attribute("transform")
    assert float(turned.removeprefix("rotate(").removesuffix(")")) == -float(wanted)
    page.keyboard.press("Home")
    assert page.locator("slow-motion .time").inner_text() == "0.0 ms"
    assert page.locator(".moving [data-part=trigger]").get_attribute("visibility") == "inherit"
    page.context.close()


def test_who_wants_no_motion_has_the_still_pictures(browser: Browser, address: str) -> None:
    for options in ({"reduced_motion": "reduce"}, {"java_script_enabled": False}):
        page = opened(browser, address + TRAP, **options)
        assert not page.locator("slow-motion").is_visible()
        assert page.locator(".still svg:visible").count() >= 1
        page.context.close()
    page = opened(browser, address + TRAP)
    page.emulate_media(media="print")
    assert not page.locator("slow-motion").is_visible() and page.locator(".still").first.is_visible()
    page.context.close()


def test_a_changed_trap_moves_beside_it_on_one_clock(browser: Browser, address: str) -> None:
    page = opened(browser, f"{address}{TRAP}?what_if=springs%3D4")
    assert page.locator(".moving").count() == 2
    page.locator("slow-motion input").focus()
    page.keyboard.press("End")
    said = page.locator(".moving [data-part=said]").all_text_contents()
    assert len(set(said)) == 2 and all(words.startswith("closed at") for words in said)
    page.context.close()


def test_a_change_by_its_field_moves_at_once(browser: Browser, address: str) -> None:
    page = opened(browser, address + TRAP)
    page.locator("[name=springs]").select_option("4")
    page.wait_for_selector("#changed:has-text('If springs 4')")
    assert page.evaluate("performance.getEntriesByType('navigation').length") == 1 and "springs=4" in page.url
    assert page.locator(".moving").count() == 2 and page.locator("slow-motion").is_visible()
    page.locator("slow-motion input").focus()
    page.keyboard.press("End")
    said = page.locator(".moving [data-part=said]").all_text_contents()
    assert len(set(said)) == 2 and all(words.startswith("closed at") for words in said)
    page.context.close()
