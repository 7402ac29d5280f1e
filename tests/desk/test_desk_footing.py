"""The worked line of the ground page: its table is made anew, and page, terminal and files show the same."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from setwright.cli.main import main
from setwright.desk.footing import footing_of
from setwright.desk.plan import plan, read_job
from setwright.desk.wording import share, show
from setwright.line.assemble import plan_site
from setwright.sheets.page import plan_page

ROOT = Path(__file__).resolve().parents[2]
BOOK = ROOT / "docs" / "examples" / "ground-line.yaml"
PAGE = ROOT / "docs" / "learn" / "ground.md"


@pytest.fixture(scope="module")
def found():
    job = read_job(BOOK, draws=200)
    made = {}
    for site in job.sites:
        planned = plan_site(job, site, job.stated[site.key], deep=False)
        made[site.name] = footing_of(planned.context, planned.result)
    return made


def table(found) -> list[str]:
    lines = []
    for name, part in found.items():
        facts = dict(part.facts)
        lost = (
            "cannot tell"
            if part.loss[0] is None
            else f"{share(part.loss[0])} ({share(part.loss[1])} to {share(part.loss[2])})"
        )
        mends = "; ".join(
            f"{one.words[0].lower()}{one.words[1:]} {share(one.loss)}, {one.minutes:.0f} min"
            for one in part.mends[:2]
        )
        cells = [name, facts.get("anchor holds", "–"), facts["typical lunge"], lost, mends or "–"]
        lines.append(f"| {' | '.join(cells)} |")
    return lines


def test_the_page_shows_what_the_program_says(found):
    text = PAGE.read_text(encoding="utf-8").split("## The line, set by set")[1].split("\n## ")[0]
    shown = [line for line in text.splitlines() if line.startswith("| ")][1:]
    assert shown == table(found), "make the table of docs/learn/ground.md anew"


def test_what_the_page_says_of_it(found):
    assert 0.5 < found["Loam"].loss[0] < 0.8 < found["Loam on five feet"].loss[0]
    assert found["Loam and proved"].loss[0] < 0.6 * found["Loam"].loss[0]
    assert found["Firm sand"].loss[0] > 0.99 and found["Muck"].loss[0] > 0.95
    assert found["Plate driven through"].loss[0] < 0.4 < 0.95 < found["Plate left in the muck"].loss[0]
    assert found["Nobody felt it"].loss[0] is None and "nobody could name" in found["Nobody felt it"].say
    assert "half of the animals go less than" in found["A drag in brush"].say
    assert found["Coil in soft muck"].figure.sunk > 0.025 > found["Long-spring in soft muck"].figure.sunk
    frozen = found["Soaked and frozen"]
    assert frozen.least and frozen.frozen is not None
    assert not any(one.offered for one in frozen.frozen.cures if "coils" in one.name or "springs" in one.name)
    assert any(one.offered for one in frozen.frozen.cures)
    assert any(part.reading for part in frozen.parts), "an unrated swivel has its reading to take"


def test_minutes_of_frozen_ground_are_those_of_a_pick(found):
    assert found["Soaked and frozen"].minutes[0] > 4.0 * found["Loam"].minutes[0]
    assert show(60.0 * found["Loam"].minutes[0], "time") in dict(found["Loam"].facts)["digging"]


def test_terminal_page_and_files_show_the_part(tmp_path, capsys, monkeypatch):
    def run(*words):
        monkeypatch.setattr("sys.argv", ["setwright", *words])
        with pytest.raises(SystemExit) as ended:
            main()
        assert not ended.value.code
        return capsys.readouterr().out

    out = run("set", str(BOOK), "frozen", "--draws", "100", "--drawings", str(tmp_path / "drawn"))
    assert "Anchor and bed" in out and "What would keep it on the anchor" in out
    assert "not offered: Four coils in place of two" in out and "not rated" in out
    drawn = ET.parse(tmp_path / "drawn" / "anchor-and-bed.svg").getroot()
    assert "one scale" in drawn.attrib["aria-label"]
    told = json.loads(run("set", str(BOOK), "frozen", "--json", "--draws", "100"))
    assert told["footing"]["figure"]["kind"] == "stake" and told["footing"]["frozen"]["cures"]
    html = plan_page(plan(BOOK, draws=60))
    assert html.count("What would keep it on the anchor") == 12
