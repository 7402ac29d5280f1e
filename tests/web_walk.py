"""Every route of the app with something in its place holders, so that what is added later is walked too."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import fastapi.routing
from fastapi import FastAPI

from setwright.sheets.write import NAMES
from setwright.web.assets import FONTS, SCRIPTS

# What stands for the place holders of a path; by path first, then by name.
OF_PATH: dict[str, tuple[str, ...]] = {
    "/files/{name}": NAMES,
    "/fonts/{name}.woff2": tuple(FONTS),
    "/scripts/{name}": SCRIPTS,
    "/field/{name}": ("main.js", "field.css"),
    "/leaflet/{name}": ("leaflet.js",),
    "/edit/text/{where}": ("line", "conditions"),
    "/edit/text/{where}/{name}": ("outfit", "traps"),
    "/edit/outfit/{kind}": ("traps", "chains"),
    "/edit/outfit/{kind}/{name}": ("traps", "A-01"),
    "/settings/packs/{name}": ("orrin", "best-practice"),
    "/start/{step}": ("1", "2"),
    "/lessons/{name}": ("jaws",),
    "/lessons/{name}/quiz": ("jaws",),
    "/lessons/{name}/quiz.pdf": ("jaws",),
    "/lessons/{name}/lesson.pdf": ("jaws",),
}
OF_NAME = {
    "site": ("hedge", "track"), "key": ("hedge",), "tag": ("A-01",), "trap": ("A-01",), "kind": ("traps",),
    "animal": ("red_fox",),
}  # fmt: skip


def routes(app: FastAPI) -> Iterator[tuple[str, set[str]]]:
    """Path and methods of every route, those of included routers too."""
    listed: Any = getattr(fastapi.routing, "iter_route_contexts", iter)(app.routes)
    for route in listed:
        path, methods = getattr(route, "path", None), getattr(route, "methods", None)
        if path and methods:
            yield path, set(methods)


def filled(path: str) -> list[str]:
    """A path with something in its place holders."""
    found = [path]
    for holder in re.findall(r"{[^}]*}", path):
        name = holder.strip("{}").split(":")[0]
        values = OF_PATH.get(path) or OF_NAME.get(name) or ("1",)
        found = [one.replace(holder, value, 1) for one in found for value in values]
    return found


def asked(app: FastAPI, method: str = "GET") -> list[str]:
    """Every path that answers a method."""
    found = sorted({one for path, methods in routes(app) if method in methods for one in filled(path)})
    assert method != "GET" or len(found) > 20, "the walk found the routes"
    return found


def changing(app: FastAPI) -> list[tuple[str, str]]:
    """Every method and path that may change something."""
    safe = {"GET", "HEAD", "OPTIONS"}
    found = {(method, one) for path, methods in routes(app) for method in methods - safe for one in filled(path)}
    assert found, "the walk found the routes"
    return sorted(found)
