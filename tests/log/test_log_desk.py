"""The log on the desk and on the command line: fast entries, corrections, what is due, files in and out."""

from __future__ import annotations

import datetime as dt
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from setwright.basis.errors import BadInput, SetwrightError
from setwright.cli.main import app
from setwright.desk import log
from setwright.desk.log_due import due
from setwright.desk.log_files import give_out, take_in
from setwright.desk.log_show import states, story
from setwright.desk.log_words import moment_of, read_words
from setwright.line.book import read_book
from setwright.line.brief import read_brief
from setwright.log import kinds
from setwright.log.amend import union
from setwright.log.fold import Phase

DEMO = Path(__file__).resolve().parents[2] / "src" / "setwright" / "data" / "demo" / "line-book.yaml"
RUN = CliRunner()


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """The demo line, its first three sets made on 22 December."""
    path = tmp_path / "line.yaml"
    path.write_bytes(DEMO.read_bytes())
    log.add(
        path, ["1s", "trip_force=3.5 lbf", "tag_present=yes", "2s", "3s"], at="2026-12-22 15:00", now=at("22 20:00")
    )
    return path


def at(text: str) -> dt.datetime:
    """A moment of December in the zone of the line."""
    day, clock = text.split()
    hour, minute = clock.split(":")
    return dt.datetime(2026, 12, int(day), int(hour), int(minute), tzinfo=read_brief(DEMO).zone)


def test_the_hurried_reading_of_a_book_agrees_with_the_careful_one() -> None:
    brief, (whole, _) = read_brief(DEMO), read_book(DEMO)
    assert brief.zone == whole.line.zone and brief.name == whole.line.name
    assert [(one.key, one.name, one.target, one.medium) for one in brief.sites] == [
        (one.id, one.name, one.target, one.medium) for one in whole.sites
    ]
    assert brief.rigs["T-12"] == "bench-175, offset, 4 springs"


def test_a_broken_book_is_told_as_ever(tmp_path: Path) -> None:
    path = tmp_path / "line.yaml"
    path.write_text(DEMO.read_text(encoding="utf-8").replace("medium: land", "medium: air", 1), encoding="utf-8")
    assert read_brief(path).sites[0].medium == "air", "the hurried reading takes names as they are"
    path.write_text("schema: setwright/line-book/1\nline: {name: x}\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        log.add(path, ["1a"])
    assert caught.value.file == str(path)


def test_number_and_key_are_enough(book: Path) -> None:
    kept = log.add(book, ["1a"], now=at("23 08:00"))
    (event,) = kept.events
    assert (event.kind, event.set_id, event.details) == (kinds.CHECKED, "ridge", {"method": "in person"})
    assert event.time.utcoffset() == dt.timedelta(hours=-5)
    assert log.read(book) == [*log.read(book)[:3], event]


def test_a_catch_is_filled_from_book_and_log(book: Path) -> None:
    kept = log.add(book, ["2t", "injuries=none", "alive=yes", "2d", "method=firearm", "2r"], now=at("23 08:00"))
    catch, _, reset = kept.events
    assert catch.details["species"] == "red_fox" and catch.details["injuries"] == [] and catch.details["sex"] is None
    assert (catch.trap_id, catch.rig_id) == ("T-01", "coil-1.5, regular, 2 springs")
    assert len({event.visit for event in kept.events}) == 1 and [event.place for event in kept.events] == [0, 1, 2]
    assert reset.trap_id == "T-01" and states(book).sets["gate"].phase is Phase.ARMED


def test_all_others_are_those_that_lie_out_and_are_not_named(book: Path) -> None:
    log.add(book, ["3p", "reason=moved"], now=at("23 07:00"))
    kept = log.add(book, ["2e", "evidence=hair", "*a"], now=at("23 08:00"))
    assert [(event.set_id, event.kind) for event in kept.events] == [("gate", kinds.SPRUNG), ("ridge", kinds.CHECKED)]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["1zz"], "no such entry"),
        (["1a", "2y"], "no such entry"),
        (["99a"], "no such site"),
        (["gatte:a"], "no such site"),
        (["1a", "method=in person", "method=remote alarm"], "twice"),
        (["1a", "colour=red"], "no such detail"),
        (["1a", "method=flying"], "cannot be used"),
        (["1t", "species=coyotte_west"], "coyote_west"),
        (["1t", "injuries=broken"], "scale of injuries"),
        (["1t", "alive=maybe"], "yes or no"),
        (["1r", "trip_force=9"], "unit"),
        (["1r", "trip_force=9 in"], "."),
        (["1r", "springs=two"], "number"),
        (["4a"], "no making"),
        ([], "nothing to write"),
    ],
)
def test_what_is_wrong_is_told_and_nothing_of_the_call_is_kept(book: Path, words: list[str], says: str) -> None:
    before = log.read(book)
    with pytest.raises(BadInput, match=says):
        log.add(book, [*(["2a"] if words else []), *words], now=at("23 08:00"))
    assert log.read(book) == before


def test_a_detail_without_an_entry_is_told() -> None:
    with pytest.raises(BadInput, match="an entry comes first"):
        read_words(["note=rain"])


def test_times_to_come_wrong_zones_and_pulled_sets_are_refused(book: Path) -> None:
    for when, says in (("2026-12-24 08:00", "to come"), ("2026-12-23T07:00:00-06:00", "offset")):
        with pytest.raises(BadInput, match=says):
            log.add(book, ["1a"], at=when, now=at("23 12:00"))
    log.add(book, ["1p"], now=at("23 08:00"))
    with pytest.raises(BadInput, match="pulled"):
        log.add(book, ["1t"], now=at("24 08:00"))
    with pytest.raises(BadInput, match="clocks"):
        moment_of("2026-03-08 02:30", at("23 08:00"))


def test_keys_cover_every_kind_of_a_set_that_is_no_amendment() -> None:
    for kind in kinds.OF_A_SET:
        assert read_words([f"1:{kind}"])[0].kind == kind
    assert [one.site for one in read_words(["12a", "*a", "far-3b:t"])] == ["12", "*", "far-3b"]


def test_a_correction_keeps_the_first_words_in_the_history(book: Path) -> None:
    (catch,) = log.add(book, ["2t", "alive=yes"], now=at("23 08:00")).events
    assert any(one.what.startswith("write down") for one in due(book, now=at("23 09:00"))[0] if one.about == "gate")
    log.correct(book, catch.id[:8], ["injuries=none", "time=2026-12-23 07:30"], now=at("23 09:00"))
    assert not [one for one in due(book, now=at("23 09:00"))[0] if one.what.startswith("write down")]
    lines = story(book, event=catch.id[:8])
    assert [line.standing for line in lines] == ["corrected", f"amends {catch.id[:8]}"]
    assert "injuries" not in lines[0].said and "injuries = []" in lines[1].said
    log.correct(book, catch.id, [], void=True, reason="other set", now=at("23 10:00"))
    assert story(book, site="gate")[1].standing == "voided"
    for wrong in (["species=coyotte"], ["colour=red"], ["kind=cought"], []):
        with pytest.raises(SetwrightError):
            log.correct(book, catch.id, wrong)
    with pytest.raises(BadInput, match="no such entry"):
        log.correct(book, "zz", ["alive=no"])


def test_what_is_due_comes_from_law_log_and_practice(book: Path) -> None:
    log.add(book, ["3n", "species=river_otter", "injuries=none"], now=at("23 08:00"))
    log.add(book, ["duty", "act=call the neighbour", "due=2026-12-23 18:00"], now=at("23 08:05"))
    rows, untold = due(book, now=at("24 09:00"))
    otter = next(one for one in rows if "otter" in one.what)
    assert otter.by == at("24 08:00") and otter.late and "s. 11" in otter.why
    ridge = next(one for one in rows if one.about == "ridge" and one.what == "look at the set")
    assert ridge.by == at("24 00:00") and ridge.late
    assert any(one.about == "T-11" and one.by == at("22 15:00") + dt.timedelta(days=21) for one in rows)
    assert any(one.about == "T-12" and one.what == "read the pan" for one in rows)
    assert {one.about for one in rows if one.what == "see to the tag"} == {"gate", "trail"}
    call = next(one for one in rows if one.what.startswith("call"))
    log.add(book, ["done", f"duty={call.name}", "done", f"duty={otter.name}", "1a"], now=at("24 09:10"))
    later = due(book, now=at("24 09:20"))[0]
    assert not [one for one in later if one.name in (call.name, otter.name) and one.name]
    assert next(one for one in later if one.about == "ridge" and "look" in one.what).by == at("26 00:00")
    assert all(isinstance(words, str) for words in untold)


PACK = """schema: setwright/law-pack/1
kind: law
jurisdiction: Nowhere (invented)
authority: nobody (invented)
title: Rules of nowhere
invented: true
effective: {from: 2026-07-01, to: 2027-06-30}
licence_of_file: MIT
topics: {seasons: stated, reports: stated}
seasons:
  - {species: red_fox, open: 2026-10-25, close: 2027-01-31, citation: table 1}
rules:
  - id: register
    kind: duty
    topic: reports
    check:
      deadline: {event: season-closed, within: P30D, act: register the pelts}
    text: Pelts are registered within 30 days after the close.
    citation: s. 4
    confidence: assumed
"""


def test_a_deadline_after_the_close_of_a_season(book: Path) -> None:
    (book.parent / "nowhere.yaml").write_text(PACK, encoding="utf-8")
    text = book.read_text(encoding="utf-8").replace("packs: [orrin]", "packs: [nowhere.yaml]")
    book.write_text(text, encoding="utf-8")
    log.add(book, ["2t", "injuries=none"], now=at("23 08:00"))
    row = next(one for one in due(book, now=at("24 09:00"))[0] if one.what == "register the pelts")
    assert row.about == "red fox" and row.by is not None and row.by.date() == dt.date(2027, 3, 3) and not row.late
    log.add(book, ["done", f"duty={row.name}"], now=at("24 09:10"))
    assert not [one for one in due(book, now=at("24 09:20"))[0] if one.what == "register the pelts"]


def test_files_out_and_in_and_half_a_file(book: Path, tmp_path: Path) -> None:
    log.add(book, ["2t", "1a", "3a"], now=at("23 08:00"))
    for form in (".csv", ".jsonl"):
        file = tmp_path / f"out{form}"
        count, _ = give_out(book, file)
        assert count == 6
        other = tmp_path / f"other{form}.db"
        taken = take_in(book, file, store=str(other), now=at("24 08:00"))
        assert len(taken.receipt.added) == 6 and not taken.refused
        assert union(log.read(book, str(other))) == union(log.read(book))
    text = (tmp_path / "out.csv").read_bytes().decode().replace("red_fox", "red_foxx", 1)
    (tmp_path / "half.csv").write_bytes(text[: int(len(text) * 0.97)].encode())
    third = str(tmp_path / "third.db")
    with pytest.raises(SetwrightError):
        take_in(book, tmp_path / "half.csv", all_or_nothing=True, store=third, now=at("24 08:00"))
    assert not log.read(book, third), "nothing of it"
    taken = take_in(book, tmp_path / "half.csv", store=third, now=at("24 08:00"))
    assert len(taken.receipt.added) + len(taken.refused) == 6 and len(taken.refused) >= 1
    assert all(row.line > 1 and str(row.error) for row in taken.refused)


def run(*words: str, **more: str) -> str:
    done = RUN.invoke(app, ["log", *words], **more)
    assert done.exception is None or isinstance(done.exception, SystemExit), done.output + repr(done.exception)
    return done.output


def test_the_command_line_from_end_to_end(tmp_path: Path) -> None:
    book = tmp_path / "line.yaml"
    book.write_bytes(DEMO.read_bytes())
    name, before = str(book), dt.datetime.now(read_brief(book).zone) - dt.timedelta(hours=30)
    assert "Saved: 3 entries" in run("add", name, "1s", "2s", "3s", "--at", before.isoformat())
    asked = run("add", name, input="1f species_guess=coyote_west\n3m\nzz\n\n")
    assert asked.count("Saved: 1 entry") == 2 and "track on the pan, not fired" in asked and "not kept" in asked
    assert "ridge" in run("show", name) and json.loads(run("show", name, "--json"))["sets"][1]["set_id"] == "ridge"
    ids = re.findall(r"^([0-9a-f]{8})", run("show", name, "1"), re.MULTILINE)
    assert "Saved" in run("correct", name, ids[1], "species_guess=red_fox", "--reason", "looked again")
    assert "look at the set" in run("due", name) and json.loads(run("due", name, "--json"))["due"]
    saved = str(tmp_path / "saved.db")
    assert "found whole" in run("backup", name, saved)
    assert "all whole" in run("verify", name) and "all whole" in run("verify", name, saved)
    assert "6 events brought back" in run("restore", name, saved, "--store", str(tmp_path / "new.db"))
    with Path(saved).open("r+b") as handle:
        handle.seek(5000)
        handle.write(b"harm")
    assert "digest differs" in run("verify", name, saved)
    assert len(run("export", name, "-").splitlines()) == 6


def test_a_hurried_entry_loads_neither_the_migrations_nor_the_arrays() -> None:
    program = (
        "import sys, setwright.cli.main, setwright.desk.log, setwright.cli.show_log\n"
        "heavy = ('alembic', 'numpy', 'scipy', 'pint', 'setwright.line.book')\n"
        "print([name for name in heavy if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
