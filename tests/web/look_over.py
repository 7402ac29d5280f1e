"""What a page must be, whoever made it: readable, usable by keyboard alone, whole on paper."""

from __future__ import annotations

import pypdfium2
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

# On paper a form keeps its fields, which show what stands in them; nothing that is pressed is left.
PRESSED = "button, input[type=submit], input[type=file], nav a"
CONTROLS = "button, input:not([type=hidden]), select, textarea, nav a"


def form_faults(page: Page, status: int, wanted: int = 200) -> list[str]:
    """What is wrong with its width, head, language and what is touched."""
    told = page.evaluate(
        """() => ({
        wider: document.documentElement.scrollWidth - document.documentElement.clientWidth,
        heads: document.querySelectorAll('h1').length, lang: document.documentElement.lang,
        title: document.title.trim(),
        small: [...document.querySelectorAll('nav a, button, select, input:not([type=hidden]):not([type=checkbox])' +
            ':not([type=radio])')].filter(e => e.offsetParent && e.getBoundingClientRect().height < 47.5)
            .map(e => e.outerHTML.slice(0, 120)),
        })"""
    )
    found = [] if status == wanted else [f"answers {status}"]
    if told["wider"] > 0:
        found.append(f"{told['wider']} px wider than the screen")
    if told["heads"] != 1:
        found.append(f"{told['heads']} heads")
    if told["lang"] != "en" or not told["title"]:
        found.append("no language or no title")
    return found + [f"too small to touch: {one}" for one in told["small"]]


def axe_faults(axe: Axe, page: Page, *, whole: bool) -> list[str]:
    """What axe finds: every rule, or only those that hang on width and theme together."""
    only = {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
    both = {"type": "rule", "values": ["color-contrast", "target-size"]}
    options = {"runOnly": only if whole else both}
    found = axe.run(page, options=options).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:160]} ({len(one['nodes'])})" for one in found]


def keyboard_faults(page: Page) -> list[str]:
    """What is not reached by keyboard, or not seen when it is."""
    found = []
    page.keyboard.press("Tab")
    if page.evaluate("!document.activeElement || !document.activeElement.matches('a.skip')"):
        found.append("the first stop is no way past the navigation")
    elif page.evaluate("!document.querySelector(document.activeElement.getAttribute('href'))"):
        found.append("the way past the navigation leads nowhere")
    told = page.evaluate(
        """all => [...document.querySelectorAll(all)].filter(e =>
            e.checkVisibility() && !e.disabled).flatMap(e => {
            const name = e.outerHTML.slice(0, 100);
            if (e.tabIndex < 0) return [`not reached: ${name}`];
            e.focus({ focusVisible: true, preventScroll: true });
            if (document.activeElement !== e) return [`takes no focus: ${name}`];
            const style = getComputedStyle(e);
            const seen = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
            return seen ? [] : [`focus not seen: ${name}`];
        })""",
        f"a[href], summary, {CONTROLS}",
    )
    return found + list(told[:5])


def paper_faults(page: Page) -> list[str]:
    """What is wrong with it on paper; the page shows itself as for print already."""
    told = page.evaluate(
        """controls => ({
        controls: [...document.querySelectorAll(controls)].filter(e => e.checkVisibility()).length,
        clipped: [...document.querySelectorAll('table')].filter(e => e.checkVisibility() &&
            (e.scrollWidth > e.clientWidth + 1 || e.getBoundingClientRect().right > innerWidth + 1)).length,
        shut: [...document.querySelectorAll('details')].filter(e => e.scrollHeight > 0 &&
            !e.lastElementChild.checkVisibility()).length,
        head: (document.querySelector('h1') || document.body).innerText.trim(),
        })""",
        PRESSED,
    )
    found = [f"{told}"] if told["controls"] or told["clipped"] or told["shut"] else []
    paper = pypdfium2.PdfDocument(page.pdf(prefer_css_page_size=True))
    first = " ".join(paper[0].get_textpage().get_text_range().split())
    if "".join(told["head"].split()) not in "".join(first.split()):
        found.append(f"its head is not on the first sheet: {told['head']!r} not in {first[:80]!r}")
    return found
