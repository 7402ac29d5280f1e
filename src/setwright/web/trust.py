"""The one page that is served without https: the certificate of this machine, its fingerprint, and the steps.

It shows nothing of any line, and answers nothing else.
"""

from __future__ import annotations

import hashlib
import html
from base64 import b64encode
from collections.abc import Awaitable, Callable
from typing import Any

from setwright.web.lan import Authority

Message = dict[str, Any]
STYLE = (
    ":root{color-scheme:light dark}body{max-width:40rem;margin:0 auto;padding:1rem;background:#f3f4ea;color:#16202a;"
    "font:1.125rem/1.6 Georgia,serif}h1,h2{font-family:Arial Narrow,sans-serif}h1{border-bottom:3px solid}"
    "code{overflow-wrap:anywhere;font-size:1rem}a:focus-visible{outline:3px solid;outline-offset:2px}"
    "a{color:inherit;display:inline-block;min-height:48px;line-height:48px;font-weight:600}li{margin:.5rem 0}"
    "@media (prefers-color-scheme:dark){body{background:#10161a;color:#efe9d8}}"
)
POLICY = (
    "default-src 'none'; style-src 'sha256-" + b64encode(hashlib.sha256(STYLE.encode()).digest()).decode() + "'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
STEPS: dict[str, tuple[str, ...]] = {
    "iPhone or iPad": (
        "Open this page in Safari, tap “Get the certificate”, and allow the download.",
        "Settings, General, VPN & Device Management: tap the profile “setwright on this network” and install it.",
        "Settings, General, About, Certificate Trust Settings (at the very end): switch it on there too.",
    ),
    "Android": (
        "Tap “Get the certificate”; it is kept with the downloads.",
        "Settings, Security, More security settings, Encryption & credentials, Install a certificate, CA "
        "certificate: choose that file. Some phones name these pages otherwise: search the settings for CA.",
    ),
    "Computer": ("Save the certificate and open it: keep it as an authority that is trusted for web pages.",),
}


def page(authority: Authority, app: str) -> str:
    """The page as HTML.

    Parameters
    ----------
    authority : Authority
        Of this machine.
    app : str
        Address of the app on the network.
    """
    parts = "".join(
        f"<h2>{html.escape(kind)}</h2><ol>{''.join(f'<li>{html.escape(step)}</li>' for step in steps)}</ol>"
        for kind, steps in STEPS.items()
    )
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        "<title>Trust this machine: setwright</title>"
        f"<style>{STYLE}</style></head><body><main><h1>Trust this machine once</h1>"
        "<p>Then this phone can open the line on your own network, and nobody on it can listen or change anything. "
        "The certificate is good for private networks only, for nothing on the internet.</p>"
        "<p><b>First compare.</b> These pairs must be the same as on the screen of the machine:</p>"
        f"<p><code>{authority.fingerprint}</code></p>"
        "<p>If they are not, stop here: somebody else answers.</p>"
        f'<p><a href="/setwright.crt">Get the certificate</a></p>{parts}'
        f'<h2>Then</h2><p><a href="{html.escape(app)}">Open the line at {html.escape(app)}</a></p>'
        f"<p>The certificate ends on {authority.until:%d %b %Y}; this page gives the next one. To be rid of it, "
        "take it out in the same settings.</p></main></body></html>"
    )


def trust_app(
    authority: Authority, app: str, hosts: tuple[str, ...]
) -> Callable[[Message, Any, Callable[[Message], Awaitable[None]]], Awaitable[None]]:
    """An app of two addresses: the page, and the certificate.

    Parameters
    ----------
    authority : Authority
        Of this machine.
    app : str
        Address of the app on the network.
    hosts : tuple of str
        Names under which it answers.
    """
    answers = {
        "/": ("text/html; charset=utf-8", page(authority, app).encode()),
        "/setwright.crt": ("application/x-x509-ca-cert", authority.file()),
    }

    async def answer(scope: Message, receive: Any, send: Callable[[Message], Awaitable[None]]) -> None:
        del receive
        if scope["type"] != "http":
            return
        host = dict(scope["headers"]).get(b"host", b"").decode("latin-1").rsplit(":", 1)[0].lower()
        found = answers.get(scope["path"]) if scope["method"] in ("GET", "HEAD") and host in hosts else None
        kind, body = found or ("text/plain; charset=utf-8", b"Only the certificate of this machine is here.\n")
        headers = {
            "content-type": kind, "content-length": str(len(body)), "content-security-policy": POLICY,
            "x-content-type-options": "nosniff", "referrer-policy": "no-referrer", "cache-control": "no-store",
        }  # fmt: skip
        raw = [(name.encode(), value.encode()) for name, value in headers.items()]
        await send({"type": "http.response.start", "status": 200 if found else 404, "headers": raw})
        await send({"type": "http.response.body", "body": b"" if scope["method"] == "HEAD" else body})

    return answer
