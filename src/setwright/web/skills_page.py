"""Skill records of students in the app: taken in with consent, ticked, given along, deleted for good."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, HTTPException, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from setwright.basis.errors import BadInput
from setwright.desk.lessons.skills import SKILLS, enrol, forget, record, record_json, records, tick
from setwright.web.api import Line
from setwright.web.forms import Form, Sent, tried
from setwright.web.pages import rendered
from setwright.web.person import allowed

router = APIRouter(
    prefix="/lessons/skills", include_in_schema=False, default_response_class=HTMLResponse,
    dependencies=[Depends(allowed("teach"))],
)  # fmt: skip
HERE = "/lessons/skills"
Name = Annotated[str, Query(max_length=60)]
TOLD = {"in": "Taken in.", "ticked": "Written down.", "gone": "Deleted, and overwritten in the file."}
# What may be chosen for a skill, and whether it was shown.
CHOICES = {"shown": True, "not yet": False}


def _page(
    request: Request, line: Line, *, error: BadInput | None = None, sent: Sent | None = None, done: str = ""
) -> HTMLResponse:
    refused = ""
    if error is not None:
        refused = error.message + (f"; found {error.found}" if error.found is not None else "")
        refused += f"; allowed: {error.allowed}" if error.allowed else ""
    return rendered(
        request, "lesson_skills.html", "/lessons", status=200 if error is None else 422, records=records(line.book),
        skills=SKILLS, refused=refused, done=TOLD.get(done, ""), sent={} if sent is None else sent.words,
        field="" if error is None else error.field or "",
    )  # fmt: skip


@router.get("")
def skill_records(request: Request, line: Line, done: Annotated[str, Query(max_length=20)] = "") -> HTMLResponse:
    """Who has shown what, of those who agreed."""
    return _page(request, line, done=done)


@router.get("/export")
def skill_export(line: Line, name: Name) -> Response:
    """All that is kept of one student, for him to take along."""
    try:
        text = record_json(record(line.book, name))
    except BadInput:
        raise HTTPException(404, "nothing is kept of this name") from None
    headers = {"Content-Disposition": 'attachment; filename="skill-record.json"'}
    return Response(text, media_type="application/json", headers=headers)


@router.post("/add")
def student_in(request: Request, line: Line, form: Form) -> Response:
    """Take a student in with his consent, or that of a guardian."""

    def act() -> Response:
        if form.get("agreed") != "yes":
            raise BadInput("nothing is kept of anybody who did not agree", field="agreed", allowed="the mark set")
        minor = form.get("minor") == "yes"
        enrol(line.book, form.get("label"), form.get("consent_by"), on=form.get("on") or None, minor=minor)
        return _on("in")

    return tried(act, lambda error: _page(request, line, error=error, sent=form))


@router.post("/tick")
def ticked(request: Request, line: Line, form: Form) -> Response:
    """Write down which skills were shown, and which were not yet; what is not chosen anew stays as it is."""

    def act() -> Response:
        label, day = form.get("label"), form.get("on") or None
        kept = record(line.book, label).skills
        chosen: dict[bool, list[int]] = {True: [], False: []}
        for item in SKILLS:
            word = form.get(f"item.{item}")
            if word and word not in CHOICES:
                raise BadInput("no such answer", field=f"item.{item}", found=word, allowed=", ".join(CHOICES))
            if word and (item not in kept or kept[item][0] is not CHOICES[word]):
                chosen[CHOICES[word]].append(item)
        if not any(chosen.values()):
            raise BadInput("nothing was chosen anew", field="item", allowed="shown or not yet, for a skill")
        for done, items in chosen.items():
            if items:
                tick(line.book, label, items, done=done, on=day)
        return _on("ticked")

    return tried(act, lambda error: _page(request, line, error=error, sent=form))


@router.post("/delete")
def forgotten(request: Request, line: Line, form: Form) -> Response:
    """Delete a student with all that is kept of him; the mark beside the button must be set."""

    def act() -> Response:
        if form.get("sure") != "yes":
            raise BadInput("set the mark beside the button: it cannot be brought back", field="sure")
        forget(line.book, form.get("label"))
        return _on("gone")

    return tried(act, lambda error: _page(request, line, error=error, sent=form))


def _on(done: str) -> Response:
    return RedirectResponse(f"{HERE}?done={done}", status_code=303)
