"""Serve a plan folder on the loopback address: a plain page, nothing else."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from setwright.basis.errors import BadInput

# A page elsewhere can point its own name at this address; only these names are this machine's.
HOSTS = ("127.0.0.1", "localhost")
NAMES = ("plan.html", "plan.json", "set-cards.pdf", "kit.csv", "run.csv", "line.geojson", "line.gpx")


class _Handler(SimpleHTTPRequestHandler):
    """Only the files of the plan; the page itself at the root."""

    def send_head(self) -> Any:
        host = self.headers.get("Host", "").rsplit(":", 1)[0].lower()
        if host not in HOSTS:
            self.send_error(403, "asked for under a name that is not this machine's")
            return None
        name = self.path.split("?", 1)[0].strip("/") or "plan.html"
        if name not in NAMES:
            self.send_error(404, "not a file of the plan")
            return None
        self.path = f"/{name}"
        return super().send_head()

    def end_headers(self) -> None:
        self.send_header(
            "Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:"
        )
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Referrer-Policy", "no-referrer")
        super().end_headers()

    def log_message(self, format: str, *args: Any) -> None:
        """Keep the terminal quiet."""


def server_for(folder: Path, port: int) -> ThreadingHTTPServer:
    """A server of the plan in `folder` on 127.0.0.1; port 0 takes a free one."""
    try:
        return ThreadingHTTPServer(("127.0.0.1", port), partial(_Handler, directory=str(folder)))
    except OSError as error:
        raise BadInput(
            "this port cannot be used", field="--port", found=port, allowed="another port, or 0"
        ) from error


def serve_folder(folder: Path, port: int, say: Callable[[str], object]) -> None:
    """Serve until stopped from the keyboard."""
    with server_for(folder, port) as server:
        say(f"The plan is at http://127.0.0.1:{server.server_address[1]}/ (Ctrl-C stops).")
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            say("Stopped.")
