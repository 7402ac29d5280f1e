"""The season book from end to end, on a season that was made up from a known truth."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from log.makers import EAST, event, name
from setwright.animal.welfare_tables import injury_scale
from setwright.basis.errors import BadInput
from setwright.cli.main import app
from setwright.desk import season_document as doc
from setwright.desk.demo_season import demo_season
from setwright.desk.season import season_book, summed_up
from setwright.desk.season_accounts import read_accounts
from setwright.line.book import read_book
from setwright.log import kinds
from setwright.log.declare import Declared, follow
from setwright.log.event import Event
from setwright.log.harvest import animals
from setwright.log.proof import Word
from setwright.log.simulate import MadeUpAnimal, MadeUpSet, season
from setwright.log.store import Store
from setwright.log.waits import read
from setwright.sheets.season import animals_csv, harvest_csv, season_page, season_sheet

DEMO = Path(__file__).resolve().parents[2] / "src" / "setwright" / "data" / "demo" / "line-book.yaml"
NOW = dt.datetime(2027, 3, 1, 12, 0, tzinfo=EAST)
ACCOUNTS = """schema: setwright/accounts/1
currency: USD
commission: 0.1
prices:
  coyote_west: {low: 8, likely: 15, high: 40}
  beaver: {low: 8, likely: 14, high: 25}
costs: {travel_distance: 900, per_distance: 0.35, bait_and_lure: 60}
colonies: 4
job: {target: beaver, fewest: 3, most: 7, sets: 6, nights: 10, visit_cost: 65, gear: 40, disposal: 60}
"""


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo line with its made-up season in the log beside it."""
    folder = tmp_path_factory.mktemp("season")
    book = folder / "line.yaml"
    book.write_bytes(DEMO.read_bytes())
    (folder / "accounts.yaml").write_text(ACCOUNTS, encoding="utf-8")
    with Store(folder / "line.log.db") as store:
        store.append(demo_season(book))
    return book


@pytest.fixture(scope="module")
def found(line: Path) -> doc.SeasonBook:
    """The season book with everything in it but what is learned."""
    accounts = read_accounts(line.parent / "accounts.yaml")
    return season_book(line, accounts=accounts, learning=False, now=NOW)


def test_the_made_up_season_is_the_same_every_time_and_says_so(line: Path, found: doc.SeasonBook) -> None:
    assert demo_season(line) == demo_season(line)
    assert found.simulated and found.invented and "made up" in found.say[0]


def test_sums_agree_with_the_events(line: Path, found: doc.SeasonBook) -> None:
    events = demo_season(line)
    assert found.whole is not None and found.events == len(events)
    caught = sum(one.kind == kinds.CATCH for one in events)
    others = [one for one in events if one.kind == kinds.NONTARGET]
    assert found.whole.catch.hits == caught and found.whole.nontarget.hits == len(others)
    assert found.whole.domestic.hits == sum(bool(one.details["domestic"]) for one in others)
    assert sum(row.count for row in found.harvest) == caught + len(others)
    assert sum(week.catches for week in found.weeks) == caught
    missing = sum(one.kind in kinds.CATCHES and one.details["injuries"] is None for one in events)
    assert found.whole.injuries.missing == missing > 0
    assert sum(counts.get("missing", 0) for _, counts in found.injury_bars) == missing
    for table in found.tables:
        assert sum(row.catch.hits for row in table.rows) == caught, table.by
        assert sum(row.nights for row in table.rows) == pytest.approx(found.whole.nights)


def test_rigs_are_compared_at_sets_for_the_same_target_only(found: doc.SeasonBook) -> None:
    assert {pair.target for pair in found.pairs} == {"beaver", "red_fox"}
    for pair in found.pairs:
        assert pair.low <= pair.high and 0 <= pair.second_above <= 1 and 0 <= pair.exact <= 1
        assert pair.shown == pair.say.startswith("shown")
    assert found.trial and {rig for _, rig in found.trial} == {found.pairs[0].first, found.pairs[0].second}


def test_no_rig_passes_with_a_missing_injury_or_too_few_animals(found: doc.SeasonBook) -> None:
    for one in found.criteria:
        if one.missing or one.good + one.bad < 20:
            assert one.word == Word.NOT_SHOWN.value, one


def test_money_colonies_and_job_carry_their_doubt(found: doc.SeasonBook) -> None:
    assert found.money is not None and found.colonies is not None and found.job is not None
    assert found.money.this[1] < found.money.this[0] < found.money.this[2]
    assert found.money.another[2] - found.money.another[1] > found.money.this[2] - found.money.this[1]
    assert (found.colonies.low, found.colonies.high) == (14.0, pytest.approx(21.2))
    assert "no number is safe" in found.colonies.say
    assert np.all(np.diff(found.job.odds_few) > 0) and np.all(np.array(found.job.odds_few) > found.job.odds_many)
    assert found.job.visits == 12


def test_the_page_needs_nothing_else_and_escapes_what_people_write(found: doc.SeasonBook) -> None:
    evil = "<script>alert(1)</script>"
    row = found.harvest[0].model_copy(update={"name": evil, "tags": [evil]})
    page = season_page(found.model_copy(update={"line": evil, "harvest": [row, *found.harvest[1:]]}))
    assert "<script" not in page and "&lt;script&gt;" in page
    assert not re.search(r"(?:src|href)=\"(?!#)", page), "no outside address"
    for note in found.notes:
        assert note.split(",")[0].split("&")[0] in page
    assert page == season_page(found.model_copy(update={"line": evil, "harvest": [row, *found.harvest[1:]]}))


def test_the_sheet_is_a_pdf_and_the_harvest_a_table(found: doc.SeasonBook) -> None:
    made = season_sheet(found)
    assert made.startswith(b"%PDF") and made == season_sheet(found)
    rows = list(csv.DictReader(io.StringIO(harvest_csv(found))))
    assert [row["species"] for row in rows] == [row.species for row in found.harvest]
    assert sum(int(row["held"]) for row in rows) == sum(row.count for row in found.harvest)
    each = list(csv.DictReader(io.StringIO(animals_csv(found))))
    assert len(each) == sum(row.count for row in found.harvest)
    assert {row["injuries"] for row in each} > {"", "none seen"}, "nothing written is not none seen"
    evil = found.animals[0].model_copy(update={"tag": "=1+1"})
    assert "'=1+1" in animals_csv(found.model_copy(update={"animals": [evil]}))


def test_the_command_writes_words_json_and_files(line: Path, tmp_path: Path) -> None:
    run = CliRunner()
    words = ["season", str(line), "--accounts", str(line.parent / "accounts.yaml"), "--no-learning"]
    done = run.invoke(app, [*words, "--out", str(tmp_path / "out")])
    assert done.exit_code == 0, done.output
    for part in ("The season", "By rig", "Held against criteria", "Two rigs compared", "Beaver colonies", "The job"):
        assert part in done.output
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "animals.csv", "harvest.csv", "season.html", "season.json", "season.pdf",
    ]  # fmt: skip
    told = json.loads(run.invoke(app, [*words, "--json"]).output)
    assert told["schema"] == "setwright/season/1" and doc.SeasonBook.model_validate(told).events > 1000


def test_an_empty_log_and_a_log_that_is_not_there_are_told(tmp_path: Path) -> None:
    book = tmp_path / "line.yaml"
    book.write_bytes(DEMO.read_bytes())
    run = CliRunner().invoke(app, ["season", str(book)])
    assert "no such log" in str(run.exception)
    whole, _ = read_book(book)
    with pytest.raises(BadInput, match="nothing is written"):
        summed_up(whole, [], now=NOW)
    only = summed_up(whole, [event(1, kinds.NOTE, note="first snow")], now=NOW)
    assert only.whole is None and season_page(only) and season_sheet(only).startswith(b"%PDF")


@pytest.mark.parametrize(
    ("broken", "says"),
    [
        ("schema: setwright/accounts/1\nprices: {beaver: {low: 9, likely: 5, high: 12}}\n", "rise"),
        ("schema: setwright/accounts/9\n", "version"),
        ("schema: setwright/accounts/1\ncommission: 1.5\n", "commission"),
        ("schema: setwright/accounts/1\nwages: 3\n", "wages"),
        (ACCOUNTS.replace("fewest: 3", "fewest: 9"), "fewest"),
    ],
)  # fmt: skip
def test_broken_accounts_name_their_field(tmp_path: Path, broken: str, says: str) -> None:
    path = tmp_path / "accounts.yaml"
    path.write_text(broken, encoding="utf-8")
    with pytest.raises(BadInput, match=says) as caught:
        read_accounts(path)
    assert caught.value.file == str(path)


def rigs(hold: float, injury: tuple[float, ...], seed: int) -> list[Event]:
    """A season of one rig that catches much."""
    made = [
        MadeUpSet(
            f"S{k}", f"P{k}", "flat", "land", "red_fox", f"T{k}", "A",
            {"red_fox": MadeUpAnimal(0.3, 0.9, hold=hold, injury=injury)},
        )
        for k in range(6)
    ]  # fmt: skip
    return season(made, dt.datetime(2026, 11, 1, 8, 0, tzinfo=EAST), 30, seed, ["I01", "I20"])


RULE = Declared("id", "A", 0, "light_injury", 0.7, "proof")


def test_a_declared_rule_counts_only_what_came_after_it() -> None:
    events = rigs(0.95, (0.1, 0.0), 4)
    _, seen = read(events)
    scale = injury_scale()
    whole = follow(RULE, seen, scale)
    middle = int(np.median(seen.instant))
    later = follow(replace(RULE, instant=middle), seen, scale)
    assert later.good + later.bad + later.missing < whole.good + whole.bad + whole.missing
    assert whole.word is Word.BETTER and whole.ended
    assert follow(replace(RULE, rig_id="B"), seen, scale).good == 0


def test_each_rule_finds_a_bad_rig_out_and_harm_needs_no_proof() -> None:
    _, bad = read(rigs(0.95, (0.1, 0.7), 5))
    scale = injury_scale()
    assert scale["I20"].trauma != "mild"
    for rule in ("fixed", "lines", "proof"):
        answer = follow(replace(RULE, rule=rule, animals=25, bad_share=0.6), bad, scale)
        assert answer.word is Word.NOT_SHOWN, rule
    severe = next(key for key, one in scale.items() if one.trauma == "severe")
    one = event(1, kinds.SET, 0, rig_id="A")
    caught = event(2, kinds.CATCH, 1, rig_id="A", injuries=[severe])
    halted = follow(replace(RULE, severe_stop=1), read([one, caught])[1], scale)
    assert halted.halt and halted.ended and "taken off" in halted.reason


def test_a_fixed_rule_is_not_looked_at_before_its_number_is_there() -> None:
    _, seen = read(rigs(0.95, (0.0, 0.0), 6))
    early = follow(replace(RULE, rule="fixed", animals=5000), seen, injury_scale())
    assert not early.ended and early.word is Word.NOT_SHOWN
    efficiency = follow(replace(RULE, measure="efficiency", line=0.6, rule="fixed", animals=20), seen, injury_scale())
    assert efficiency.ended and efficiency.word in (Word.BETTER, Word.PASSES)


def test_what_became_of_an_animal_is_its_own() -> None:
    events = [
        event(1, kinds.SET, 0, site="P", medium="land"),
        event(2, kinds.CATCH, 1, species="fox"),
        event(3, kinds.DISPATCH, 1, place=1),
        event(4, kinds.RESET, 1, place=2),
        event(5, kinds.NONTARGET, 2, species="dog", domestic=True),
        event(6, kinds.RESET, 2, place=1),
        event(7, kinds.RELEASE, 3),
    ]
    assert [(one.species, one.fate) for one in animals(events)] == [("fox", "dispatched"), ("dog", "not written")]
    assert [one.id for one in animals(events[::-1])] == [name(2), name(5)]
