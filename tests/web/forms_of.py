"""The forms of a page: where each is sent to, and what stands in its fields."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

TYPED = ("", "text", "search", "number")


@dataclass
class Form:
    """One form: method and action, what would be sent as it stands, and the fields that a person types into."""

    method: str
    action: str
    values: dict[str, str] = field(default_factory=dict)
    typed: list[str] = field(default_factory=list)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self._open = False
        self._area = self._chosen = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        name, kind = given.get("name", ""), given.get("type", "")
        if tag == "form":
            self.forms.append(Form(given.get("method", "get").lower(), given.get("action", "")))
            self._open = True
        elif not self._open:
            return
        elif tag == "textarea":
            self._area = name
            self.forms[-1].values[name] = ""
            self.forms[-1].typed.append(name)
        elif tag == "select":
            self._chosen = name
            self.forms[-1].values[name] = ""
        elif tag == "option" and self._chosen and "selected" in given:
            self.forms[-1].values[self._chosen] = given.get("value", "")
        elif tag == "input" and name and kind != "file" and (kind not in ("radio", "checkbox") or "checked" in given):
            self.forms[-1].values[name] = given.get("value", "")
            if kind in TYPED or kind == "password":
                self.forms[-1].typed.append(name)

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._open = False
        elif tag == "textarea":
            self._area = ""
        elif tag == "select":
            self._chosen = ""

    def handle_data(self, data: str) -> None:
        if self._open and self._area:
            self.forms[-1].values[self._area] += data


def forms_of(page: str) -> list[Form]:
    """Every form of a page."""
    reader = _Reader()
    reader.feed(page)
    for form in reader.forms:
        for name in form.typed:
            # A browser leaves the first new line of a field of many lines out.
            form.values[name] = form.values[name].removeprefix("\n")
    return reader.forms
