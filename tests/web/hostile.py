"""Hostile words, typed into every form of the app that takes words."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from starlette.testclient import TestClient

from setwright.desk.lessons.shelf import FOLDER, shipped_folder
from setwright.desk.log_form import entry_kinds
from setwright.web.open_line import OpenLine
from web.forms_of import Form, forms_of

EVIL = '"><img src=x onerror="window.hurt=1"><svg/onload=hurt=2>\'</script><script>hurt=3</script>{{7*7}}'
# The same without what ends a script: lessons may hold no HTML at all, and say so.
RAW = ("<img src=x", "<svg/onload", "<script>hurt", "</script><script", "49</")
ESCAPED = "&lt;img src=x"
# Pages with a form, and what is typed into its free words; every other field gets the words too, and refuses them.
FREE: dict[str, dict[str, str]] = {
    "/edit/line": {
        "line.name": EVIL, "line.place": EVIL, "law.licence": EVIL, "conditions.snow": f"1 in; {EVIL}",
        "conditions.soil_temperature": f"39 degF; ± 2 degF; {EVIL}",
    },
    "/edit/site/hedge": {"name": EVIL, "note": EVIL, "cover.depth": f"1 in; {EVIL}", "rig.driven": f"24 in; {EVIL}"},
    "/edit/site": {"name": EVIL, "note": EVIL, "medium": "land", "target": "red_fox", "position": "36.104, -79.944"},
    "/edit/outfit/traps/A-01": {"tag": EVIL, "note": EVIL, "spread": f"5 in; ± 0.1 in; {EVIL}"},
    "/edit/outfit/traps": {"id": "Z-01", "pattern": "coil-1.5", "tag": EVIL, "note": EVIL, "springs": "2"},
    "/edit/outfit/chains": {"id": "z-chain", "length": f"12 in; {EVIL}", "note": EVIL},
    "/edit/outfit/anchors": {"id": "z-rod", "kind": "stake", "stock": "rod-24", "note": EVIL},
    "/edit/outfit/slides": {"id": "z-slide", "length": f"12 ft; {EVIL}", "note": EVIL},
    "/edit/covers": {},
    "/edit/animal/red_fox": {"fore_width": f"2 in; {EVIL}"},
    "/people": {},
    "/lessons/skills": {"label": EVIL[:60], "consent_by": EVIL[:80], "agreed": "yes"},
    "/settings/packs/orrin": {},
}  # fmt: skip


def typed_into(page: str) -> Form:
    """The first form of a page that a person types into."""
    return next(one for one in forms_of(page) if one.method == "post" and one.typed)


def refused_alike(answer_text: str, words: int, where: str) -> None:
    """Nothing of what was typed has become a part of the page, and it is shown again as words."""
    assert not any(raw in answer_text for raw in RAW), where
    assert answer_text.count(ESCAPED) >= words, where


def type_everywhere(client: TestClient) -> int:
    """Fill the free words of every form of the editor, and all fields at once where they are refused; how many."""
    told = 0
    for page, free in FREE.items():
        form = typed_into(client.get(page).text)
        every = client.post(form.action, data={**form.values, **dict.fromkeys(form.typed, EVIL)})
        assert every.status_code == 422, page
        # A line of one field tells its fault; a form of many shows all of them again.
        refused_alike(every.text, len(form.typed) if page.startswith("/edit") else 1, page)
        if free:
            form = typed_into(client.get(page).text)
            kept = client.post(form.action, data={**form.values, **free})
            assert kept.status_code == 303, f"{page}: {kept.text}"
        told += len(form.typed)
    return told


def type_a_pack(client: TestClient, book: Path) -> None:
    """A pack of rules of one's own with the words in every text of it."""
    form = typed_into(client.get("/settings/packs/orrin").text)
    assert client.post(form.action, data={**form.values, "new": "evil"}).status_code == 303
    text = (book.parent / "evil.yaml").read_text(encoding="utf-8")
    for name in ("jurisdiction", "authority", "title", "checked_by"):
        text = re.sub(rf"(?m)^{name}: .*$", lambda _, n=name: f"{n}: {json.dumps(EVIL)}", text)
    # A text within braces is quoted where it has a comma; one on a line of its own goes on to its end.
    text, inner = re.subn(r'citation: "[^"]*"', lambda _: f"citation: {json.dumps(EVIL)}", text)
    own_line = r"(?m)^( +(?:citation|text): )[^\"\n].*$"
    text, whole = re.subn(own_line, lambda m: m[1] + json.dumps(EVIL), text)
    assert inner > 5 and whole > 10
    for broken, status in ((f"{text}\n{EVIL}: [", 422), (text.replace("kind: law", f"kind: {json.dumps(EVIL)}"), 422),
                           (text, 303)):  # fmt: skip
        form = typed_into(client.get("/settings/packs/evil.yaml").text)
        answer = client.post(form.action, data={**form.values, "text": broken})
        assert answer.status_code == status, answer.text
        assert not any(raw in answer.text for raw in RAW)
    form = next(one for one in forms_of(client.get("/settings").text) if one.action == "/settings/packs")
    sent = {**form.values, "pack": ["evil.yaml"], "profile": "best-practice"}
    assert client.post("/settings/packs", data=sent).status_code == 303


def write_lessons(book: Path) -> None:
    """Lessons of an instructor: one with the words wherever it may have words, and one that is refused."""
    folder = book.parent / FOLDER
    folder.mkdir()
    _, head, body = (shipped_folder() / "coils.md").read_text(encoding="utf-8").split("---\n", 2)
    data = YAML(typ="safe").load(head)
    for place, name in (("evil", "evil"), ("html", "html"), ("wrong", EVIL)):
        own = json.dumps({**_worded(data), "name": name}, ensure_ascii=False)
        more = f"\n{EVIL}\n" if place == "html" else ""
        (folder / f"{place}.md").write_text(f"---\n{own}\n---\n{body}{more}", encoding="utf-8")


def _worded(node: Any, name: str = "") -> Any:
    """The head of a lesson with the words in every text of it."""
    if isinstance(node, dict):
        return {key: _worded(value, key) for key, value in node.items()}
    if isinstance(node, list):
        return [_worded(one, name) for one in node]
    kept = ("schema", "tool", "trap", "change", "picture", "figures", "label", "confidence", "value", "quiz")
    return node if name in kept or not isinstance(node, str) else EVIL


def write_down_every_kind(client: TestClient) -> int:
    """Every kind of entry with the words in every field of its form; how many took them as a note."""
    kept = 0
    for kind in (kind for _, members in entry_kinds() for kind, _ in members):
        path = f"/log/new?kind={kind}&site=track"
        form = typed_into(client.get(path).text)
        every = client.post(form.action, data={**form.values, **dict.fromkeys(form.typed, EVIL)})
        assert every.status_code == 422 and not any(raw in every.text for raw in RAW), kind
        assert every.text.count(ESCAPED) >= len(form.typed), kind
        free = {name: EVIL for name in ("note", "judged_by", "weather") if name in form.typed}
        answer = client.post(form.action, data={**form.values, **free})
        assert answer.status_code in (303, 422) and not any(raw in answer.text for raw in RAW), kind
        kept += answer.status_code == 303
    return kept


# Pages on which some of it is shown, beyond one page of each kind.
SHOWN = (
    "/lessons/evil", "/lessons/html", "/lessons/evil/quiz", "/lessons/evil?projector=1",
    "/lessons/evil?projector=1&slide=5",
    "/settings/packs/evil.yaml", "/edit/outfit/traps/Z-01", "/edit/outfit/slides/z-slide", "/edit/text/book",
    "/edit/text/chains/z-chain", "/log/set/track", "/log/new?kind=sprung_empty&site=hedge", "/field#/set/hedge",
    "/field#/cards", "/field#/card/hedge", "/field#/run",
)  # fmt: skip


def made_hostile(line: OpenLine, client: TestClient) -> None:
    """Everything above, on one line."""
    write_lessons(line.book)
    assert type_everywhere(client) > 90
    type_a_pack(client, line.book)
    assert write_down_every_kind(client) > 3
