"""Logging in and out, taking an invitation, and the people who may."""

from __future__ import annotations

import math
import secrets
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Form, HTTPException, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from setwright.basis.errors import BadInput
from setwright.web.gate import BEFORE, COOKIE, Gate, way_back
from setwright.web.pages import rendered
from setwright.web.people import INVITED_FOR, SHORTEST, People, people_of
from setwright.web.person import ACTS, ROLES, Asking, Person, allowed
from setwright.web.sessions import WHOLE, bound_to
from setwright.web.trust import STEPS

router = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
Word = Annotated[str, Form(max_length=400)]
WRONG = "Name and passcode do not belong together."
SPENT = "Name and code do not belong together, or the code is used up or too old. Ask for a new one."


def _gate(request: Request) -> Gate:
    found: Gate | None = request.app.state.gate
    if found is None:
        raise HTTPException(404, "nobody logs in on this machine itself")
    return found


def _people(request: Request) -> People:
    gate: Gate | None = request.app.state.gate
    return people_of(request.app.state.line.book) if gate is None else gate.people


Door = Annotated[Gate, Depends(_gate)]
Known = Annotated[People, Depends(_people)]


def _entry(request: Request, template: str, status: int = 200, **more: Any) -> Response:
    """A page before the login; its form is bound to a cookie of its own, as nobody has a session yet."""
    mark = request.cookies.get(BEFORE, "")
    fresh = not 20 <= len(mark) <= 100
    if fresh:
        mark = secrets.token_urlsafe(32)
        request.state.person = Person("", "nobody", bound_to(mark))
    answer = rendered(request, template, "", status=status, shortest=SHORTEST, **more)
    if fresh:
        answer.set_cookie(BEFORE, mark, path="/", secure=True, httponly=True, samesite="strict")
    return answer


def _slow(request: Request, gate: Gate, name: str) -> None:
    """Begin a try, or refuse it because there were too many.

    Raises
    ------
    HTTPException
        429 with the seconds to wait.
    """
    left = gate.brake.begin(name, request.client.host if request.client else "")
    if left > 0.0:
        wait = math.ceil(left)
        words = f"too many wrong tries: wait {wait} second{'' if wait == 1 else 's'}"
        raise HTTPException(429, words, headers={"Retry-After": str(wait)})


def _in(request: Request, gate: Gate, name: str, passcode: str, way: str) -> Response | None:
    """Log in; None when name and passcode do not belong together."""
    if not gate.looks.acquire(timeout=10):
        raise HTTPException(429, "too many are logging in at once", headers={"Retry-After": "5"})
    try:
        account = gate.people.check(name, passcode)
    finally:
        gate.looks.release()
    if account is None:
        return None
    gate.brake.passed(name, request.client.host if request.client else "")
    gate.sessions.end(request.cookies.get(COOKIE, ""))
    answer = RedirectResponse(way_back(way), status_code=303)
    answer.set_cookie(
        COOKIE, gate.sessions.begin(account), max_age=int(WHOLE), path="/", secure=True, httponly=True,
        samesite="strict",
    )  # fmt: skip
    answer.delete_cookie(BEFORE, path="/", secure=True, httponly=True, samesite="strict")
    return answer


@router.get("/login")
def login_page(
    request: Request, gate: Door, person: Asking, asked: Annotated[str, Query(alias="next", max_length=400)] = "/"
) -> Response:
    """Ask for name and passcode."""
    del gate
    if person.may("look"):
        return RedirectResponse(way_back(asked), status_code=303)
    return _entry(request, "access_login.html", refused="", name="", way=way_back(asked))


@router.post("/login")
def login(request: Request, gate: Door, name: Word = "", passcode: Word = "", way: Word = "/") -> Response:
    """Log in."""
    _slow(request, gate, name)
    done = _in(request, gate, name, passcode, way)
    if done is None:
        return _entry(request, "access_login.html", 403, refused=WRONG, name=name, way=way_back(way))
    return done


@router.get("/invited")
def invited_page(request: Request, gate: Door) -> Response:
    """Ask for the code of an invitation."""
    del gate
    return _entry(request, "access_invited.html", refused="", name="")


@router.post("/invited")
def invited(request: Request, gate: Door, name: Word = "", code: Word = "", passcode: Word = "") -> Response:
    """Take an invitation, set the passcode, and log in."""
    _slow(request, gate, name)
    if not gate.looks.acquire(timeout=10):
        raise HTTPException(429, "too many are logging in at once", headers={"Retry-After": "5"})
    try:
        refused = "" if gate.people.redeem(name, code, passcode) else SPENT
    except BadInput as error:
        refused = f"The code is right, but {error.message}; allowed: {error.allowed}."
    finally:
        gate.looks.release()
    done = None if refused else _in(request, gate, name, passcode, "/")
    if done is None:
        return _entry(request, "access_invited.html", 403, refused=refused or SPENT, name=name)
    return done


@router.get("/logout")
def logout_page(request: Request, gate: Door) -> Response:
    """Ask whether to log out."""
    del gate
    return rendered(request, "access_logout.html", "")


@router.post("/logout")
def logout(request: Request, gate: Door) -> Response:
    """End this session."""
    gate.sessions.end(request.cookies.get(COOKIE, ""))
    answer = RedirectResponse("/login", status_code=303)
    answer.delete_cookie(COOKIE, path="/", secure=True, httponly=True, samesite="strict")
    return answer


def _listed(request: Request, people: People, status: int = 200, **more: Any) -> Response:
    told: dict[str, Any] = {"refused": "", "named": "", "code": "", "typed": "", **more}
    return rendered(
        request, "access_people.html", "", status=status, people=people.all(), roles=ROLES, now=people.clock(),
        lasts=round(INVITED_FOR / 3600), lan=request.app.state.lan, steps=STEPS, **told,
    )  # fmt: skip


@router.get("/people", dependencies=[Depends(allowed("keep"))])
def people_page(request: Request, people: Known) -> Response:
    """Who may log in, and as what."""
    return _listed(request, people)


@router.post("/people", dependencies=[Depends(allowed("keep"))])
def people_changed(
    request: Request, people: Known, person: Asking, act: Word = "", name: Word = "", role: Word = ""
) -> Response:
    """Invite somebody, give him another role or a new code, or take him out.

    A code is shown in the answer itself: it must stand in no address and be kept nowhere.
    """
    try:
        if act in ("role", "invite", "remove") and person.name and person.name == name:
            raise BadInput("your own account is changed by somebody else, or at the machine itself", field="name")
        if act == "add":
            return _listed(request, people, named=name, code=people.add(name, role))
        if act == "invite":
            return _listed(request, people, named=name, code=people.invite(name))
        if act == "role":
            people.role(name, role)
        elif act == "remove":
            people.remove(name)
        else:
            raise BadInput("no such act", field="act", found=act, allowed="add, invite, role, remove")
    except BadInput as error:
        return _listed(request, people, 422, refused=str(error), typed=name if act == "add" else "")
    return RedirectResponse("/people", status_code=303)


assert set(ROLES) == set(ACTS)
