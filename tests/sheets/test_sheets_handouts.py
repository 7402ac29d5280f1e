"""Handouts on paper: one page each, nothing cut, every figure that of the desk, the same bytes twice, plain words."""

from __future__ import annotations

import hashlib
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from unittest.mock import patch

import pypdfium2
import pytest

from setwright.animal import tables as animal_tables
from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.basis.units import convert, inches
from setwright.desk import handout_document as doc
from setwright.desk.bench import bench
from setwright.desk.handouts import HANDOUTS, handouts, pot_of
from setwright.desk.plan import one_set
from setwright.desk.wording import show
from setwright.law import tables as law_tables
from setwright.sheets import handouts as paper
from setwright.sheets.handouts import Style, handout_pdf, make, sentences, write_handouts
from setwright.sheets.speech import UNREAD, languages, translator

BOOK = DATA / "demo" / "line-book.yaml"
STYLES = {
    "a5": Style(paper="a5"), "letter": Style(paper="letter"), "a4": Style(paper="a4"),
    "a4 large": Style(paper="a4", large=True), "letter large": Style(paper="letter", large=True),
}  # fmt: skip
WIDE = {"a5": 148.0, "a4": 210.0, "letter": 215.9}
HIGH = {"a5": 210.0, "a4": 297.0, "letter": 279.4}
_BLANKS = re.compile(r"_{3,}")


@cache
def made(*, filled: bool) -> doc.Handouts:
    return handouts(BOOK if filled else None)


@cache
def pdf(name: str, style: str, *, filled: bool) -> bytes:
    found = made(filled=filled)
    one = next(each for each in found.handouts if each.name == name)
    return handout_pdf(one, STYLES[style], made=found, book=BOOK if filled else None)


def plain(text: str) -> str:
    """Letters and figures alone, as hyphens and line ends differ between print and source."""
    return re.sub(r"[^a-z0-9]", "", text.lower().replace("ﬁ", "fi").replace("ﬂ", "fl"))


@cache
def printed(name: str, style: str, *, filled: bool) -> str:
    return "\n".join(pages_of(name, style, filled=filled))


def pages_of(name: str, style: str, *, filled: bool) -> list[str]:
    """Text of every page; one that goes on says which page it is."""
    document = pypdfium2.PdfDocument(pdf(name, style, filled=filled))
    found = [str(page.get_textpage().get_text_range()) for page in document]
    one = next(each for each in made(filled=filled).handouts if each.name == name)
    assert len(found) == 1 or one.long, f"{name} on {style}: one page each"
    for number, text in enumerate(found, start=1):
        assert (f"page {number} of {len(found)}" in text) == (len(found) > 1)
    return found


def texts(one: doc.Handout, *, rows: bool) -> Iterator[str]:
    """Every sentence of a handout with its figures; cells of tables too when asked for."""
    yield one.title
    yield one.say.text.format(**one.say.values)
    for block in one.blocks:
        if isinstance(block, doc.Lines):
            yield block.head
            yield from (words.text.format(**words.values) for words in block.lines)
        elif isinstance(block, doc.Blanks):
            yield block.head
            for blank in block.blanks:
                yield from (blank.label, blank.value)
        elif isinstance(block, doc.Grid):
            yield from (block.head, *block.columns, block.note)
            if rows:
                yield from (cell.text for row in block.rows for cell in row)
    for caution in one.cautions:
        yield from (caution.head, caution.text)
    yield from (one.rule, one.rule_date)


@pytest.mark.parametrize("filled", [False, True], ids=["blank", "filled"])
@pytest.mark.parametrize("style", ["a5", "letter", "a4 large"])
def test_every_sentence_is_on_its_one_page(style: str, *, filled: bool) -> None:
    for one in made(filled=filled).handouts:
        shown = plain(printed(one.name, style, filled=filled))
        for words in texts(one, rows=False):
            assert plain(words) in shown, f"{one.name} on {style}: not printed: {words}"


@pytest.mark.parametrize("name", HANDOUTS)
def test_rows_that_are_left_out_are_counted_in_words(name: str) -> None:
    one = next(each for each in made(filled=True).handouts if each.name == name)
    for style in ("a5", "letter"):
        text = printed(name, style, filled=True)
        shown = plain(text)
        whole = [
            all(plain(cell.text) in shown for cell in row)
            for block in one.blocks if isinstance(block, doc.Grid) for row in block.rows
        ]  # fmt: skip
        told = [int(found) for found in re.findall(r"(\d+) more rows? ha(?:s|ve) no room", text)]
        assert len(whole) - sum(whole) <= sum(told), "a row is missing and nothing says so"


@pytest.mark.parametrize("style", STYLES)
def test_no_ink_leaves_the_margins_and_no_block_is_cut(style: str) -> None:
    """Rendered: a band at every edge is white, and the last line of the foot stands above the lower one."""
    kind = STYLES[style].paper
    for one in made(filled=True).handouts:
        for page in pypdfium2.PdfDocument(pdf(one.name, style, filled=True)):
            wide, high = page.get_size()
            assert wide == pytest.approx(WIDE[kind] / 25.4 * 72.0, abs=0.5)
            assert high == pytest.approx(HIGH[kind] / 25.4 * 72.0, abs=0.5)
            image = page.render(scale=1.0, grayscale=True).to_pil()
            band = int(4.0 / 25.4 * 72.0)
            across, down = image.size
            for box in (
                (0, 0, band, down), (across - band, 0, across, down), (0, 0, across, band),
                (0, down - band, across, down),
            ):  # fmt: skip
                assert image.crop(box).getextrema()[0] > 200, f"{one.name} on {style}: ink in the margin"


@pytest.mark.parametrize("style", STYLES)
def test_the_typesetter_found_room_on_every_paper(style: str) -> None:
    import typst

    for filled in (False, True):
        found = made(filled=filled)
        for one in found.handouts:
            values = paper._values(one, STYLES[style], found, BOOK if filled else None)
            compiler = typst.Compiler(
                paper._source(), font_paths=paper._fonts()[0], ignore_system_fonts=True,
                sys_inputs={"data": json.dumps(values)},
            )  # fmt: skip
            fit = json.loads(compiler.query("<fit>", field="value"))[0]
            assert not fit["over"], f"{one.name} on {style}, filled {filled}: no room"


@pytest.mark.parametrize("name", ["rules", "hand-over", "trip-force", "course", "sprung"])
def test_a_long_table_turns_the_page_rather_than_leave_out_a_row(name: str) -> None:
    one = next(each for each in made(filled=True).handouts if each.name == name)
    rows = [row for block in one.blocks if isinstance(block, doc.Grid) for row in block.rows]
    assert len(rows) > 9
    for style in ("a5", "letter"):
        found = pages_of(name, style, filled=True)
        assert len(found) == (2 if style == "a5" else 1)
        shown = plain(" ".join(found))
        assert "no room on this paper" not in shown
        for row in rows:
            assert all(plain(cell.text) in shown for cell in row), f"{name} on {style}: {row}"
        # In hand is the first page: what can hurt stands on that.
        assert all(plain(caution.text) in plain(found[0]) for caution in one.cautions)


def test_the_half_sheet_for_the_landowner_stands_twice_with_a_line_to_cut_along() -> None:
    for style, count in (("letter", 2), ("a4", 2), ("a5", 1), ("a4 large", 1)):
        (text,) = pages_of("landowner", style, filled=True)
        assert text.count("To the landowner") == count and text.count("cut here") == count - 1, style
        assert plain(text).count(plain("You can stop it at any time.")) == count
        assert plain(text).count(plain("These sheets are no law.")) == count


@pytest.mark.parametrize("style", ["a5", "letter"])
@pytest.mark.parametrize("name", ["rules", "hand-over", "landowner", "permission", "course"])
def test_no_type_is_smaller_than_nine_points_but_the_letters_of_the_foot(name: str, style: str) -> None:
    smallest = {
        round(pypdfium2.raw.FPDFText_GetFontSize(text, at), 1)
        for page in pypdfium2.PdfDocument(pdf(name, style, filled=True))
        for text in [page.get_textpage()]
        for at in range(text.count_chars())
        if chr(pypdfium2.raw.FPDFText_GetUnicode(text, at)) not in "gspma \r\n"
    }
    assert min(smallest) >= 9.0 and max(smallest) > 12.0


def test_a_page_that_is_too_full_says_so() -> None:
    """The check above can fail: a page with far too many sentences is told apart."""
    found = made(filled=False)
    one = found.handouts[0]
    full = one.model_copy(update={"blocks": [doc.Lines(lines=[doc.Words(text="Far too many words. " * 40)] * 40)]})
    with pytest.raises(BadInput) as told:
        handout_pdf(full, STYLES["a5"], made=found)
    assert "none may be cut" in str(told.value)


def test_the_depth_sum_is_that_of_the_set() -> None:
    for site, spare_word in (("dam", "leaves"), ("point", "short")):
        total = one_set(BOOK, site, draws=100).figure.sum
        found = handouts(BOOK, only=["slide-sum"], site=site)
        pages = list(make(found, STYLES["letter"], book=BOOK))
        text = pypdfium2.PdfDocument(pages[0][1])[0].get_textpage().get_text_range()
        for line in total:
            assert inches(abs(line.value), 2) in text, f"{site}: {line.label}"
        assert spare_word in text
        assert inches(abs(total[-1].value), 2) in text.split("\n")[1] + text.split("\n")[2], "the answer comes first"


def test_the_forces_to_set_are_those_of_the_bench() -> None:
    text = plain(printed("setting-coil", "letter", filled=True) + printed("setting-long", "letter", filled=True))
    for tag in ("T-01", "T-11", "T-21", "T-31", "T-51"):
        part = next(one for one in bench(tag, book=BOOK).parts if one.head == "Force to set it")
        for row in part.rows[:2]:
            assert plain(row.shown) in text, f"{tag}: {row.what}"


def test_closing_time_is_that_of_the_bench() -> None:
    found = bench("T-01", book=BOOK).figures["closing_time_ms"].median
    assert found is not None
    assert f"takes about {found:.0f} thousandths" in " ".join(printed("firing", "letter", filled=True).split())


def test_trip_forces_are_those_of_the_table_of_animals() -> None:
    text = printed("trip-force", "letter", filled=False)
    table = animal_tables.species()
    for key in ("coyote_west", "red_fox", "beaver", "muskrat"):
        row = next(line for line in text.splitlines() if line.startswith(table.text(key, "name")))
        numbers = [float(part) for part in re.findall(r"[\d.]+", row)]
        for name in ("pan_low", "pan_high"):
            pounds = convert(table.number(key, name), "N", "lbf")
            assert any(abs(number - pounds) < 0.06 for number in numbers), f"{key} {name}"


def test_local_rules_are_those_of_the_pack_with_their_date() -> None:
    pack = law_tables.shipped_pack("orrin")
    text = plain(printed("rules", "letter", filled=True))
    for rule in pack.rules:
        assert plain(rule.text) in text and plain(rule.citation) in text, rule.id
    assert plain("15 Aug 2026") in text and "invented" in text
    assert len(pack.rules) > 10


def test_the_treatment_is_worked_out_from_pot_and_traps() -> None:
    small = handouts(BOOK, only=["treatment"], pot=pot_of("5 gal")).handouts[0].say.values
    large = handouts(BOOK, only=["treatment"], pot=pot_of("50 gal")).handouts[0].say.values
    assert int(small["loads"]) > int(large["loads"]) >= 1
    assert int(small["loads"]) * int(small["each"]) >= int(small["traps"]) == 33
    words = next(each for each in handouts(only=["treatment"]).handouts).cautions
    assert any("body-gripping" in each.text for each in words) and any("fire" in each.text for each in words)


def test_the_course_grows_with_its_students() -> None:
    few, many = (handouts(only=["course"], students=n).handouts[0] for n in (4, 24))
    assert few.say.values["helpers"] == "1" and many.say.values["helpers"] == "6"
    assert "24" in [
        cell.text for block in many.blocks if isinstance(block, doc.Grid) for r in block.rows for cell in r
    ]


def test_chains_are_told_by_the_guides_lengths() -> None:
    grid = next(
        block for block in handouts(BOOK, only=["tackle"]).handouts[0].blocks if isinstance(block, doc.Grid)
    )  # fmt: skip
    suits = {row[0].text: row[3].text for row in grid.rows}
    assert suits["short-12"] == "cable earth anchor", "under 18 in"
    assert suits["five-foot"] == "rod, drag", "over 30 in"
    assert suits["old-18"] == "neither, by the guides", "18 in is not under 18 in"


def test_dispatch_spares_the_head_of_a_skunk() -> None:
    for one in (made(filled=True), made(filled=False)):
        card = next(each for each in one.handouts if each.name == "dispatch")
        grid = next(block for block in card.blocks if isinstance(block, doc.Grid))
        shots = {row[0].text: row[1].text for row in grid.rows}
        assert "chest" in shots["Striped skunk"] and "between" not in shots["Striped skunk"]
        assert {caution.head for caution in card.cautions} >= {"Firearms", "Disease", "Bites"}


def test_first_sets_use_only_what_is_owned_and_no_trap_twice() -> None:
    one = handouts(BOOK, only=["first-five"]).handouts[0]
    grid = next(block for block in one.blocks if isinstance(block, doc.Grid))
    tags = [row[3].text.split(",")[0] for row in grid.rows if row[3].text != "none that fits"]
    assert len(tags) == len(set(tags))
    assert all(re.fullmatch(r"T-\d\d", tag) for tag in tags) and tags


def test_blank_sheets_have_blanks_and_nothing_made_up() -> None:
    for one in made(filled=False).handouts:
        text = printed(one.name, "letter", filled=False)
        assert not re.search(r"\b(?:None|nan|inf|null)\b", text), one.name
        assert "Orrin" not in text and "Tamarack" not in text and "T-01" not in text, "no line was given"
    slips = next(one for one in made(filled=False).handouts if one.name == "permission")
    assert all(not blank.value for block in slips.blocks if isinstance(block, doc.Blanks) for blank in block.blanks)


def test_every_sheet_has_cautions_the_law_and_its_marks_explained() -> None:
    for one in made(filled=True).handouts:
        assert one.cautions and one.cautions[-1].head == "The law"
        text = " ".join(printed(one.name, "letter", filled=True).split())
        for mark in paper._marks_of(one):
            assert plain(f"{mark}: {doc.MARKS[mark]}") in plain(text), f"{one.name}: {mark}"
        assert "invented" in text, "an invented line says so"


def test_students_sheets_read_at_grade_eight_or_less() -> None:
    import textstat

    with patch("textstat.backend.counts._count_syllables.get_cmudict", lambda _: None):
        for one in made(filled=True).handouts:
            if not one.student:
                continue
            told = [one.say.text.format(**one.say.values)]
            told += [w.text for block in one.blocks if isinstance(block, doc.Lines) for w in block.lines]
            told += [caution.text for caution in one.cautions]
            text = "\n".join(words if words[-1] in ".?!" else f"{words}." for words in told)
            assert textstat.flesch_kincaid_grade(text) <= 8.0, one.name
            # Vowel groups count silent ends too, so that this grade is rather too high.
            words = re.findall(r"[A-Za-z]+", text)
            heard = sum(max(len(re.findall(r"[aeiouy]+", word.lower())), 1) for word in words)
            stops = len(re.findall(r"[.?!](?:\s|$)", text))
            assert 0.39 * len(words) / stops + 11.8 * heard / len(words) - 15.59 <= 8.0, one.name
        hard = "Notwithstanding jurisdictional considerations, practitioners institutionalize documentation."
        assert textstat.flesch_kincaid_grade(hard) > 8.0, "the measure tells hard words"


def test_the_same_sheet_has_the_same_bytes_in_another_process() -> None:
    code = (
        "import hashlib, sys; from pathlib import Path\n"
        "from setwright.desk.handouts import handouts\n"
        "from setwright.sheets.handouts import Style, make\n"
        "found = handouts(only=['release', 'jaws'])\n"
        "print(*[hashlib.sha256(data).hexdigest() for _, data in make(found, Style(paper='a5'))])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    here = [hashlib.sha256(pdf(name, "a5", filled=False)).hexdigest() for name in ("release", "jaws")]
    assert done.stdout.split() == here


def test_sheets_are_tagged_for_reading_aloud() -> None:
    data = pdf("jaws", "letter", filled=False)
    assert b"pdfuaid:part" in data and b"/StructTreeRoot" in data and b"/Lang" in data


def test_words_of_a_user_are_never_commands() -> None:
    hostile = '#import "@preview/x:1.0.0": * $x$ `raw` // no ] } #panic("no") <label> @ref'
    found = made(filled=False)
    one = found.handouts[0].model_copy(
        update={
            "title": hostile,
            "blocks": [doc.Blanks(blanks=[doc.Blank(label=hostile, value=hostile)])],
            "about": "",
        }
    )
    page = pypdfium2.PdfDocument(handout_pdf(one, STYLES["letter"], made=found))[0]
    assert plain('panic("no") <label> @ref') in plain(page.get_textpage().get_text_range())


def test_letters_that_no_typeface_has_do_not_stop_the_press() -> None:
    found = made(filled=False)
    one = found.handouts[0].model_copy(
        update={
            "about": "Łódź \u0416\u6c34 \U0001f98a x\u0323",
            "blocks": [doc.Blanks(blanks=[doc.Blank(label="\u2603")])],
        }
    )
    text = pypdfium2.PdfDocument(handout_pdf(one, STYLES["letter"], made=found))[0].get_textpage().get_text_range()
    assert "Łódź ?? ?" in text


def test_another_language_is_printed_and_said_to_be_unread() -> None:
    found = handouts(only=["release"])
    say = translator("es")
    _, data = next(make(found, Style(paper="letter", language="es")))
    text = plain(pypdfium2.PdfDocument(data)[0].get_textpage().get_text_range())
    for caution in found.handouts[0].cautions:
        assert plain(say(caution.text)) in text and plain(caution.text) not in text
    assert plain(say(UNREAD)) in text


@pytest.mark.parametrize("language", [name for name in languages() if name != "en"])
def test_longer_words_of_another_language_find_room(language: str) -> None:
    """Cautions that run longer than in English: every sheet still holds them whole, on the smallest paper too."""
    found = made(filled=True)
    for style in (Style(paper="a5", language=language), Style(paper="letter", large=True, language=language)):
        for one in found.handouts:
            assert handout_pdf(one, style, made=found, book=BOOK).startswith(b"%PDF")


def test_sentences_for_a_catalogue_are_all_that_is_printed() -> None:
    found = made(filled=False)
    heard = set(sentences(found))
    for one in found.handouts:
        assert one.title in heard and one.say.text in heard
        assert {caution.text for caution in one.cautions} <= heard
    assert "Only here: from outside and below, under the loose jaw" in heard, "words on drawings too"


def test_what_cannot_be_used_is_refused_with_what_is_allowed(tmp_path: Path) -> None:
    for wrong in (
        lambda: handouts(only=["nothing"]), lambda: handouts(students=0), lambda: handouts(pot=9.0),
        lambda: handouts(site="3"), lambda: handouts(BOOK, site="nowhere"), lambda: pot_of("3 ft"),
        lambda: Style(paper="b5"), lambda: Style(paper="a5", large=True), lambda: Style(language="xx"),
    ):  # fmt: skip
        with pytest.raises(BadInput) as told:
            wrong()
        assert told.value.allowed
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(BadInput):
        write_handouts(handouts(only=["release"]), tmp_path / "file")


def test_all_files_or_none(tmp_path: Path) -> None:
    files = write_handouts(handouts(only=["release", "skills"]), tmp_path / "out", Style(paper="a5"))
    assert [path.name for path in files] == ["release.pdf", "skills.pdf"]
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["release.pdf", "skills.pdf"]


def test_frost_card_counts_what_to_lay_in() -> None:
    blanks = {
        blank.label: blank.value
        for block in handouts(BOOK, only=["frost"]).handouts[0].blocks if isinstance(block, doc.Blanks)
        for blank in block.blanks
    }  # fmt: skip
    land = sum("medium: land" in line for line in BOOK.read_text(encoding="utf-8").splitlines())
    assert blanks["Sets on land"] == str(land)
    assert blanks["Dry dirt, once"] == f"{land / 3:.1f} to {land / 2:.1f} gallons", "a gallon makes 2 to 3 sets"
    assert show(1200.0, "time") in printed("treatment", "letter", filled=True)
