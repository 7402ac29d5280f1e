"""The field pages in a real browser: with and without a desk, killed, updated, far away, and full."""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import shutil
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page
from playwright.sync_api import Error as BrowserError

from setwright.desk.log import read, state, store_place
from setwright.desk.log_files import take_in
from setwright.log import kinds
from setwright.log.fold import Phase
from setwright.web import field
from setwright.web.open_line import OpenLine
from setwright.web.person import Person
from web.harbour import Harbour, aboard, count, rows, until, wait_count

PHONE = {"viewport": {"width": 390, "height": 844}, "timezone_id": "Europe/Lisbon"}


@pytest.fixture
def harbour(own_line: OpenLine) -> Iterator[Harbour]:
    found = Harbour(own_line)
    found.open()
    yield found
    found.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[BrowserContext]:
    found = browser.new_context(**PHONE)
    found.set_default_timeout(12000)
    yield found
    found.close()


def tap(page: Page, *marks: str) -> None:
    for one in marks:
        page.locator(one).first.click()


def test_a_check_is_three_taps_with_no_desk_and_is_sent_when_it_is_back(
    phone: BrowserContext, harbour: Harbour, own_line: OpenLine
) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    harbour.close()
    page.reload()
    page.wait_for_selector("[data-found]")
    first = page.locator("[data-set]").get_attribute("data-set")
    tap(page, "[data-found=sprung]", "[data-sign=stock]", "[data-write]")
    wait_count(page, 1)
    page.wait_for_selector(f"[data-set]:not([data-set={first}])")
    tap(page, "[data-found=armed]", "[data-write]")
    wait_count(page, 2)
    page.reload()
    page.wait_for_selector("#here h1, #here h2")
    wait_count(page, 2)
    assert all(one["state"] == "unsent" for one in rows(page))
    harbour.open()
    page.goto(f"{harbour.address}/field#/unsent")
    tap(page, "[data-send]")
    wait_count(page, 0)
    kept = read(own_line.book)
    assert sorted(one.kind for one in kept) == ["checked", "sprung_empty"]
    for one in kept:
        assert one.device.startswith("field-") and one.visit and one.written is not None
        assert one.time.utcoffset() in (dt.timedelta(hours=-5), dt.timedelta(hours=-4)), "the zone of the line"
        assert abs(one.time - dt.datetime.now(dt.UTC)) < dt.timedelta(minutes=10)
    assert next(one for one in kept if one.kind == kinds.SPRUNG).details["evidence"] == "stock"


def test_a_desk_that_was_started_anew_is_written_to_without_loading_the_page(
    phone: BrowserContext, harbour: Harbour, own_line: OpenLine
) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    harbour.close()
    tap(page, "[data-found=armed]", "[data-write]")
    wait_count(page, 1)
    harbour.open()
    tap(page, "#to-unsent", "[data-send]")
    wait_count(page, 0)
    assert len(read(own_line.book)) == 1


def test_a_browser_that_is_killed_between_taps_goes_on_where_it_was(
    browser: Browser, harbour: Harbour, tmp_path: Path
) -> None:
    profile = tmp_path / "profile"

    def begin() -> BrowserContext:
        return browser.browser_type.launch_persistent_context(
            profile, executable_path=shutil.which("chromium"), args=["--no-sandbox"], **PHONE
        )

    context = begin()
    page = context.pages[0]
    aboard(page, harbour.address)
    harbour.close()
    tap(page, "[data-found=not]", "[data-cause=frozen]", "summary")
    page.wait_for_timeout(500)
    killed(context, profile)
    context = begin()
    page = context.pages[0]
    page.goto(f"{harbour.address}/field")
    page.wait_for_selector("[data-write]")
    assert "frozen" in page.locator(".told").last.inner_text()
    tap(page, "[data-write]")
    page.wait_for_selector("[data-undo]")
    killed(context, profile)
    context = begin()
    page = context.pages[0]
    page.goto(f"{harbour.address}/field")
    page.wait_for_selector("html[data-ready]")
    wait_count(page, 1)
    (row,) = rows(page)
    assert row["record"]["kind"] == "inoperative" and row["record"]["details"]["cause"] == "frozen"
    context.close()


def killed(context: BrowserContext, profile: Path) -> None:
    """End every process of the browser of this profile, with no chance for any of them to tidy up."""
    for place in Path("/proc").glob("[0-9]*"):
        try:
            if str(profile).encode() in (place / "cmdline").read_bytes():
                os.kill(int(place.name), signal.SIGKILL)
        except OSError:
            continue
    with contextlib.suppress(BrowserError):
        context.close()
    for left in profile.glob("Singleton*"):
        left.unlink()


def test_what_was_told_as_written_is_on_the_disk_before_it_is_told(phone: BrowserContext, harbour: Harbour) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    harbour.close()
    page.evaluate(
        """() => { window.seen = [];
            const spoken = document.getElementById("spoken");
            new MutationObserver(() => { if (spoken.textContent.startsWith("Written down")) {
                const asked = indexedDB.open("setwright-field");
                asked.onsuccess = () => {
                    const all = asked.result.transaction("events").objectStore("events").count();
                    all.onsuccess = () => window.seen.push(all.result); }; }
            }).observe(spoken, {childList: true, characterData: true, subtree: true}); }"""
    )
    tap(page, "[data-found=armed]", "[data-write]")
    until(page, "window.seen.length > 0")
    assert page.evaluate("window.seen") == [1]


def test_a_newer_form_of_the_pages_waits_until_everything_is_sent(
    phone: BrowserContext, harbour: Harbour, own_line: OpenLine, monkeypatch: pytest.MonkeyPatch
) -> None:
    def which() -> str:
        found: str = page.evaluate(
            """() => new Promise((done) => { const way = new MessageChannel();
                way.port1.onmessage = (told) => done(told.data);
                navigator.serviceWorker.controller.postMessage("which", [way.port2]); })"""
        )
        return found

    page = phone.new_page()
    aboard(page, harbour.address)
    old = field.version()
    assert which() == old
    harbour.deaf = True
    tap(page, "[data-found=armed]", "[data-write]")
    wait_count(page, 1)
    monkeypatch.setattr(field, "version", lambda: "0123456789abcdef")
    page.evaluate("navigator.serviceWorker.getRegistration('/field').then((found) => found.update())")
    until(page, "navigator.serviceWorker.getRegistration('/field').then((found) => Boolean(found.waiting))")
    tap(page, "#to-unsent")
    page.wait_for_selector("[data-newer]")
    page.wait_for_timeout(1500)
    assert which() == old and count(page) == 1, "it waits"
    harbour.close()
    page.reload()
    page.wait_for_selector("[data-send]")
    assert which() == old and count(page) == 1, "and the old form still works with no desk"
    harbour.deaf = False
    harbour.open()
    tap(page, "[data-send]")
    wait_count(page, 0)
    page.wait_for_timeout(500)
    until(
        page,
        """() => new Promise((done) => { const way = new MessageChannel();
            way.port1.onmessage = (told) => done(told.data === "0123456789abcdef");
            navigator.serviceWorker.controller.postMessage("which", [way.port2]); })""",
    )
    page.wait_for_selector("html[data-ready]")
    assert [one["state"] for one in rows(page)] == ["sent"] and len(read(own_line.book)) == 1


def test_entries_of_an_older_form_of_the_store_are_taken_over(
    phone: BrowserContext, harbour: Harbour, own_line: OpenLine
) -> None:
    page = phone.new_page()
    page.goto(f"{harbour.address}/icon.svg")
    page.evaluate(
        """() => new Promise((done, failed) => {
            const asked = indexedDB.open("setwright-field", 1);
            asked.onupgradeneeded = () => {
                const events = asked.result.createObjectStore("events", {keyPath: "id"});
                events.createIndex("state", "state");
                asked.result.createObjectStore("meta", {keyPath: "key"});
            };
            asked.onsuccess = () => {
                const id = "00000000-0000-4000-8000-000000000001";
                const record = {id, device: "field-old", kind: "note", time: "2026-01-10T07:00:00-05:00",
                    written: null, set_id: null, trap_id: null, rig_id: null, visitor: null, visit: null,
                    place: 0, corrects: null,
                    details: {note: "from before"}};
                const held = asked.result.transaction("events", "readwrite");
                held.objectStore("events").put({id, record, state: "unsent", reason: "", line: null, kept: 1});
                held.oncomplete = () => { asked.result.close(); done(); };
                held.onabort = () => failed(held.error);
            };
        })"""
    )
    aboard(page, harbour.address)
    tap(page, "#to-unsent", "[data-send]")
    wait_count(page, 0)
    assert [one.details["note"] for one in read(own_line.book)] == ["from before"]


def test_two_devices_end_at_the_same(browser: Browser, harbour: Harbour, own_line: OpenLine) -> None:
    contexts = [browser.new_context(**PHONE) for _ in range(2)]
    one, two = (context.new_page() for context in contexts)
    aboard(one, harbour.address)
    aboard(two, harbour.address)
    harbour.close()
    first = one.locator("[data-set]").get_attribute("data-set")
    other = "hedge" if first == "track" else "track"
    tap(one, "[data-found=armed]", "[data-write]")
    wait_count(one, 1)
    two.goto(f"{harbour.address}/field#/set/{other}")
    tap(two, "[data-found=away]", ".pick", "[data-write]", "[data-sure]")
    wait_count(two, 1)
    harbour.open()
    for page in (one, two, one, two):
        tap(page, "#to-unsent", "[data-send]")
        wait_count(page, 0)
        until(page, "document.getElementById('reach').textContent.includes('desk reached')")
    for page in (one, two):
        until(page, "document.getElementById('to-run').textContent === 'Run, 0'")
        until(page, "import('/field/app.js').then(({ app }) => app.rows.size === 2)")
        assert {row["id"] for row in rows(page)} == {event.id for event in read(own_line.book)}
    assert len(read(own_line.book)) == 2
    for context in contexts:
        context.close()


def test_it_asks_once_when_the_set_may_be_the_wrong_one(phone: BrowserContext, harbour: Harbour) -> None:
    page = phone.new_page()
    phone.grant_permissions(["geolocation"], origin=harbour.address)
    phone.set_geolocation({"latitude": 36.2, "longitude": -79.9, "accuracy": 12})
    aboard(page, harbour.address)
    tap(page, "#to-unsent")
    page.locator("#guard").check()
    page.wait_for_timeout(800)
    page.goto(f"{harbour.address}/field#/next")
    tap(page, "[data-found=armed]", "[data-write]")
    asked = page.locator("[role=alert]")
    assert "yd from set" in asked.inner_text() and count(page) == 0
    page.get_by_role("button", name="Not yet").click()
    assert rows(page) == []
    place = page.evaluate(
        """() => import("/field/app.js").then(({ app, nextStop }) => {
            const set = nextStop(); return [set.latitude, set.longitude, set.id]; })"""
    )
    phone.set_geolocation({"latitude": place[0], "longitude": place[1], "accuracy": 12})
    until(
        page,
        f"import('/field/app.js').then(({{ app }}) => app.place && Math.abs(app.place.latitude - {place[0]}) < 1e-4)",
    )
    tap(page, "[data-write]")
    page.wait_for_selector("[data-undo]")
    assert len(rows(page)) == 1, "near the set nothing is asked"
    page.goto(f"{harbour.address}/field#/set/{place[2]}")
    tap(page, "[data-found=armed]", "[data-write]")
    assert "has an entry of today already" in page.locator("[role=alert]").inner_text()
    tap(page, "[data-sure]")
    page.wait_for_selector("[data-undo]")
    assert len(rows(page)) == 2


def test_a_set_out_of_the_order_of_the_run_is_asked_about(phone: BrowserContext, harbour: Harbour) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    first = page.locator("[data-set]").get_attribute("data-set")
    other = "hedge" if first == "track" else "track"
    page.goto(f"{harbour.address}/field#/set/{other}")
    tap(page, "[data-found=armed]", "[data-write]")
    assert "comes before it in the run" in page.locator("[role=alert]").inner_text()


def test_the_last_entry_is_taken_back_and_both_words_stay(
    phone: BrowserContext, harbour: Harbour, own_line: OpenLine
) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    harbour.close()
    first = page.locator("[data-set]").get_attribute("data-set")
    tap(page, "[data-found=armed]", "[data-write]")
    wait_count(page, 1)
    tap(page, "[data-undo]")
    wait_count(page, 2)
    page.wait_for_selector(f"[data-set={first}]")
    assert page.locator("[data-undo]").count() == 0
    harbour.open()
    tap(page, "#to-unsent", "[data-send]")
    wait_count(page, 0)
    assert [one.kind for one in read(own_line.book)] == ["checked", "void"]
    assert first not in state(own_line.book).sets


def test_the_link_to_a_set_wins_over_what_is_held(
    phone: BrowserContext, harbour: Harbour, own_line: OpenLine
) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    harbour.close()
    page.goto(f"{harbour.address}/field#/set/hedge")
    page.wait_for_selector("[data-set=hedge]")
    page.goto(f"{harbour.address}/field#/set/nowhere")
    page.wait_for_selector("[data-set=nowhere]")
    assert 'has no set "nowhere"' in page.locator("#here").inner_text()
    tap(page, "[data-found=armed]", "[data-write]", "[data-sure]")
    wait_count(page, 1)
    page.goto(f"{harbour.address}/field#/set/nowhere")
    assert "armed, undisturbed" in page.locator("#here").inner_text(), "what is known of it is offered"
    harbour.open()
    tap(page, "#to-unsent", "[data-send]")
    page.wait_for_selector(".refused:has-text('no such set')")
    assert count(page) == 1 and len(read(own_line.book)) == 0, "refused, with its reason, and still here"
    page.get_by_role("button", name="Put aside, keep").click()
    wait_count(page, 0)
    assert [one["state"] for one in rows(page)] == ["aside"]


def test_a_link_works_on_a_device_that_has_never_had_a_pack(phone: BrowserContext, harbour: Harbour) -> None:
    page = phone.new_page()
    page.route("**/api/**", lambda route: route.abort())
    page.goto(f"{harbour.address}/field#/set/track")
    page.wait_for_selector("[data-set=track]")
    assert "No pack is on this device yet" in page.locator("#here").inner_text()
    tap(page, "[data-found=armed]", "[data-write]", "[data-sure]")
    wait_count(page, 1)
    page.unroute("**/api/**")
    tap(page, "#to-unsent", "[data-send]")
    wait_count(page, 0)


def test_entries_of_another_line_are_not_sent_to_this_one(
    phone: BrowserContext, harbour: Harbour, own_line: OpenLine
) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    harbour.close()
    tap(page, "[data-found=armed]", "[data-write]")
    wait_count(page, 1)
    page.evaluate(
        """() => import("/field/app.js").then(
            ({ app, mark }) => mark([...app.rows.keys()].map((id) => [id, {line: "Other"}])))"""
    )
    harbour.open()
    tap(page, "#to-unsent", "[data-send]")
    page.wait_for_selector(".refused:has-text('Other')")
    assert count(page) == 1 and not Path(store_place(own_line.book)).exists()


def test_no_room_is_said_and_the_entry_comes_out_as_a_file(
    phone: BrowserContext, harbour: Harbour, own_line: OpenLine, tmp_path: Path
) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    harbour.close()
    tap(page, "[data-found=armed]")
    page.wait_for_timeout(300)
    page.evaluate(
        """() => { const put = IDBObjectStore.prototype.put;
            window.room = () => { IDBObjectStore.prototype.put = put; };
            IDBObjectStore.prototype.put = function () { throw new DOMException("full", "QuotaExceededError"); }; }"""
    )
    tap(page, "[data-write]")
    page.wait_for_selector("[role=alert]:has-text('Not written down')")
    assert "no room left" in page.locator("[role=alert]").inner_text() and count(page) == 0 and rows(page) == []
    with page.expect_download() as got:
        tap(page, "[data-save]")
    file = tmp_path / "entry.jsonl"
    got.value.save_as(file)
    assert len(take_in(own_line.book, file).receipt.added) == 1
    page.evaluate("window.room()")
    tap(page, "[data-write]")
    wait_count(page, 1)


def test_the_file_of_what_waits_is_what_the_desk_takes_in(
    phone: BrowserContext, harbour: Harbour, own_line: OpenLine, tmp_path: Path
) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    harbour.close()
    tap(page, "[data-found=held]", "[data-animal]", "[data-injury=none]", "[data-write]")
    wait_count(page, 1)
    tap(page, "#to-unsent")
    with page.expect_download() as got:
        tap(page, "[data-file]")
    file = tmp_path / got.value.suggested_filename
    got.value.save_as(file)
    assert file.suffix == ".jsonl"
    taken = take_in(own_line.book, file)
    assert len(taken.receipt.added) == 1 and taken.refused == ()
    harbour.open()
    tap(page, "[data-send]")
    wait_count(page, 0)
    (kept,) = read(own_line.book)
    assert kept.kind == kinds.CATCH and kept.details["injuries"] == [] and kept.details["looked_over"] == "whole"


def test_a_pet_opens_its_release_and_the_report_clock(
    phone: BrowserContext, harbour: Harbour, own_line: OpenLine
) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    page.locator("[data-found=held]").click()
    pet = page.locator("[data-animal=dog_medium]")
    pet.click()
    tap(page, "[data-write]")
    page.wait_for_selector(".dog")
    text = page.locator("#here").inner_text()
    assert "Leash" in text and "Report clock" in text and "vet" in text and "by the end of the next day" in text
    tap(page, "[data-end=release]", "[data-injury=none]", "[data-write]")
    page.wait_for_selector("[data-undo]")
    tap(page, "#to-unsent", "[data-send]")
    wait_count(page, 0)
    caught, gone = read(own_line.book)
    assert caught.kind == kinds.NONTARGET and caught.details["domestic"] is True
    assert caught.details["injuries"] is None and caught.details["looked_over"] == "not", "never blank"
    assert gone.kind == kinds.RELEASE and gone.details["injuries"] == [] and gone.visit == caught.visit
    assert not state(own_line.book).open_duties


def test_injuries_seen_are_named_by_the_scale(phone: BrowserContext, harbour: Harbour, own_line: OpenLine) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    tap(page, "[data-found=held]", "[data-animal]", "[data-injury=seen]", "[data-scale=I03]", "[data-write]")
    page.wait_for_selector("[data-end=dispatch]")
    tap(page, "[data-end=dispatch]", "[data-write]")
    page.wait_for_selector("[data-undo]")
    tap(page, "#to-unsent", "[data-send]")
    wait_count(page, 0)
    first = read(own_line.book)[0]
    assert first.details["injuries"] == ["I03"]


def test_remade_and_armed_goes_with_the_entry(phone: BrowserContext, harbour: Harbour, own_line: OpenLine) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    first = page.locator("[data-set]").get_attribute("data-set")
    tap(page, "[data-found=sprung]", "[data-sign=hair]")
    page.get_by_role("button", name="Made again, armed").click()
    page.locator("[data-force]").fill("many")
    tap(page, "[data-write]")
    assert "a number of pounds" in page.locator("[role=alert]").inner_text()
    page.locator("[data-force]").fill("3.5")
    tap(page, "[data-write]")
    page.wait_for_selector("[data-undo]")
    tap(page, "#to-unsent", "[data-send]")
    wait_count(page, 0)
    found = state(own_line.book)
    assert found.sets[first or ""].phase is Phase.ARMED
    assert read(own_line.book)[1].details["trip_force"] == pytest.approx(3.5 * 4.4482216, rel=1e-6)


def test_a_sprung_trap_is_asked_for_its_cause(phone: BrowserContext, harbour: Harbour, own_line: OpenLine) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    tap(page, "[data-found=sprung]", "[data-ask]")
    page.wait_for_selector("[data-look]")
    for _ in range(5):
        if page.locator("[data-look]").count() == 0:
            break
        page.locator("[data-look]").first.click()
        page.wait_for_timeout(150)
    assert "Change one thing" in page.locator("#here").inner_text()
    tap(page, "[data-write]")
    page.wait_for_selector("[data-undo]")
    tap(page, "#to-unsent", "[data-send]")
    wait_count(page, 0)
    (kept,) = read(own_line.book)
    assert kept.details["looks"] and kept.details["likely"] and kept.details["change"]


def test_every_kind_of_entry_can_be_reached(phone: BrowserContext, harbour: Harbour, own_line: OpenLine) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)
    page.goto(f"{harbour.address}/field#/set/track/other")
    page.wait_for_selector("[data-kind]")
    offered = set(page.eval_on_selector_all("[data-kind]", "all => all.map((one) => one.dataset.kind)"))
    assert offered == set(kinds.KINDS) - kinds.AMENDMENTS
    given: dict[str, dict[str, str]] = {
        "proof_pull": {"force": "350", "held": "yes"}, "level_at_mark": {"over_pan": "2.5"}, "note": {"note": "wind"},
        "set": {"trip_force": "3", "tag_present": "yes"}, "duty": {"act": "call", "due": "2026-01-10T08:00"},
    }  # fmt: skip
    for kind, fields in given.items():
        page.goto(f"{harbour.address}/field#/set/track/other/{kind}")
        for name, value in fields.items():
            slot = page.locator(f"[name={name}]")
            slot.select_option(value) if slot.evaluate("one => one.tagName") == "SELECT" else slot.fill(value)
        tap(page, "[data-write]")
        page.wait_for_selector("[data-undo]")
    tap(page, "#to-unsent", "[data-send]")
    wait_count(page, 0)
    kept = {one.kind: one for one in read(own_line.book)}
    assert set(kept) == set(given)
    assert kept["proof_pull"].details["force"] == pytest.approx(350 * 4.4482216, rel=1e-6)
    assert kept["level_at_mark"].details["over_pan"] == pytest.approx(0.0635)
    assert kept["duty"].details["due"] == "2026-01-10T08:00:00-05:00"
    assert kept["set"].details["target"] == "red_fox" and kept["set"].details["site"] == "track"


def test_by_keyboard_alone(phone: BrowserContext, harbour: Harbour) -> None:
    page = phone.new_page()
    aboard(page, harbour.address)

    def to(mark: str) -> None:
        for _ in range(60):
            if page.evaluate(f"document.activeElement.matches('{mark}')"):
                return
            page.keyboard.press("Tab")
        raise AssertionError(f"{mark} is not reached")

    for mark in ("[data-found=not]", "[data-cause=flooded]", "[data-write]"):
        to(mark)
        page.keyboard.press("Enter")
        page.wait_for_timeout(300)
    page.wait_for_selector("[data-undo]")
    assert rows(page)[0]["record"]["details"]["cause"] == "flooded"


def test_whoever_may_only_look_is_not_asked(browser: Browser, own_line: OpenLine) -> None:
    harbour = Harbour(own_line)
    harbour.open(Person("Vera", "viewer"))
    context = browser.new_context(**PHONE)
    page = context.new_page()
    page.goto(f"{harbour.address}/field#/set/track")
    page.wait_for_selector("#here:has-text('you may look here, not write')")
    assert page.locator("[data-found]").count() == 0
    context.close()
    harbour.close()


def test_the_shell_is_small_and_holds_nothing_of_the_line(harbour: Harbour, own_line: OpenLine) -> None:
    import httpx

    total = 0
    for path in (*field.shell(), field.WORKER):
        with httpx.stream("GET", harbour.address + path, headers={"Accept-Encoding": "gzip"}) as answer:
            assert answer.status_code == 200
            raw = b"".join(answer.iter_raw())
        total += len(raw) + sum(len(k) + len(v) + 4 for k, v in answer.headers.raw)
        if path != field.WORKER:
            assert answer.headers["permissions-policy"].startswith("geolocation=(self)")
    assert total <= 150_000
    plan = own_line.now().plan
    texts = [body.decode("utf-8", "ignore") for _, body in field.shell().values()]
    for word in (plan.line.name, plan.line.place, *(part.site.name for part in plan.sets)):
        assert not any(word in text for text in texts)
    assert httpx.get(harbour.address + "/").headers["permissions-policy"].startswith("geolocation=()")
    assert httpx.get(harbour.address + "/field/app.py").status_code == 404


def test_no_fault_is_told_by_the_browser(phone: BrowserContext, harbour: Harbour) -> None:
    page = phone.new_page()
    faults: list[str] = []
    elsewhere: list[str] = []
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("request", lambda sent: elsewhere.append(sent.url) if not sent.url.startswith(harbour.address) else None)
    aboard(page, harbour.address)
    places = ("next", "run", "cards", "unsent", "card/track", "set/hedge", "set/hedge/other", "set/hedge/other/set",
              "set/hedge/held/x", "card/nowhere", "set/%E0%A4%A", "x/y/z")  # fmt: skip
    for place in places:
        page.goto(f"{harbour.address}/field#/{place}")
        page.wait_for_timeout(150)
        wider = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wider <= 0, place
        assert "cannot be drawn" not in page.locator("#here").inner_text(), place
        small: list[Any] = page.evaluate(
            "[...document.querySelectorAll('.pick, button, .foot4 a, input:not([type=checkbox]), select')]"
            ".filter(e => e.offsetParent && e.getBoundingClientRect().height < (e.matches('.pick') ? 83.5 : 47.5))"
            ".map(e => e.outerHTML.slice(0, 90))"
        )
        assert small == [], place
    assert faults == [] and elsewhere == []
