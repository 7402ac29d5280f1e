"""What was acknowledged is there: on both databases, after a kill, through migrations, backups and files."""

from __future__ import annotations

import os
import random
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import sqlalchemy as sa

from log.conftest import raw
from log.makers import event, name, season
from setwright.basis.errors import BadInput, SetwrightError
from setwright.log import kinds
from setwright.log.amend import union
from setwright.log.backup import SUFFIX, backup, restore, verify, verify_backup
from setwright.log.faults import StoreFault
from setwright.log.fold import fold
from setwright.log.migrations import migrate, revision, revisions
from setwright.log.schema import NEWEST, form_of
from setwright.log.store import Store

SEASON = season(5, 600)


def test_what_goes_in_comes_out_to_the_letter(place: str) -> None:
    odd = event(90001, kinds.NOTE, 1, note="Füchse – 狐\u2028 'quoted' \"twice\", \\ and\nmore; DROP TABLE events")
    with Store(place) as store:
        receipt = store.append([*SEASON, odd])
        assert len(receipt.added) == len(SEASON) + 1
        assert store.read() == [*SEASON, odd]
    with Store(place, create=False) as store:
        assert [each.text() for each in store.read()] == [each.text() for each in (*SEASON, odd)]
        assert store.read(after=store.last() - 1) == [odd]
        assert verify(store).sound


def test_handing_in_twice_in_any_order_does_no_harm(place: str) -> None:
    dice = random.Random(2)
    with Store(place) as store:
        for _ in range(6):
            part = dice.sample(SEASON, 350)
            receipt = store.append(part + part[:40])
            assert len(receipt.added) + len(receipt.known) == 350 and not receipt.conflicts
        store.append(SEASON)
        assert store.count() == len(SEASON)
        assert union(store.read()) == union(SEASON)
        assert fold(store.read()) == fold(SEASON)


def test_other_words_under_a_known_id_are_told_and_not_kept(place: str) -> None:
    first, second = (event(1, kinds.NOTE, note=words) for words in ("rain", "snow"))
    with Store(place) as store:
        assert store.append([first, second]).conflicts == (name(1),)
        assert store.append([second]).conflicts == (name(1),)
        assert store.read() == [first]


def test_no_event_is_changed_or_taken_away(place: str) -> None:
    with Store(place) as store:
        store.append(SEASON[:5])
    engine = raw(place)
    for harm in ("UPDATE events SET kind = 'note'", "DELETE FROM events"):
        with pytest.raises(sa.exc.DBAPIError, match="append-only"), engine.begin() as link:
            link.execute(sa.text(harm))
    engine.dispose()
    with Store(place) as store:
        assert store.read() == SEASON[:5]


def test_a_batch_is_kept_whole_or_not_at_all(place: str, monkeypatch: pytest.MonkeyPatch) -> None:
    with Store(place) as store:
        store.append(SEASON[:3])
        monkeypatch.setattr("setwright.log.store._row", _spoilt)
        with pytest.raises(StoreFault):
            store.append(SEASON[3:30])
        monkeypatch.undo()
        assert store.read() == SEASON[:3]


def _spoilt(each: object) -> dict[str, object]:
    from setwright.log.event import Event

    assert isinstance(each, Event)
    return {
        "id": each.id, "device": each.device, "kind": each.kind if each != SEASON[20] else None,
        "instant": each.instant, "set_id": None, "corrects": None, "record": each.text(), "digest": each.digest(),
    }  # fmt: skip


def test_the_form_that_is_written_is_the_last_of_the_migrations(place: str) -> None:
    assert revisions()[-1] == NEWEST
    with Store(place) as store, store.engine.connect() as link:
        assert form_of(link) == revision(link) == NEWEST


def test_migrations_both_ways_on_a_filled_store(place: str) -> None:
    every = revisions()
    with Store(place) as store:
        store.append(SEASON[:200])
        for form in (*reversed(every), *every, every[0], every[-1], every[1], every[-1]):
            with store.writing() as link:
                migrate(link, form)
            with store.engine.connect() as link:
                assert revision(link) == form
            assert store.read() == SEASON[:200]
        assert verify(store).sound
        with pytest.raises(StoreFault, match="throw events away"), store.writing() as link:
            migrate(link, "base")
        assert store.read() == SEASON[:200]
        assert store.append(SEASON[200:210]).added
        with pytest.raises(BadInput), store.writing() as link:
            migrate(link, "9999")


def test_an_empty_store_goes_all_the_way_back(place: str) -> None:
    with Store(place) as store:
        with store.writing() as link:
            migrate(link, "base")
        assert "events" not in sa.inspect(store.engine).get_table_names()
    with Store(place) as store:
        assert store.count() == 0


def test_a_store_of_an_older_form_is_brought_up_and_one_of_a_newer_program_is_refused(place: str) -> None:
    with Store(place) as store:
        store.append(SEASON[:50])
        with store.writing() as link:
            migrate(link, "0001")
    with pytest.raises(StoreFault, match="older form"):
        Store(place, create=False)
    with Store(place) as store:
        assert verify(store).sound and store.count() == 50
    engine = raw(place)
    with engine.begin() as link:
        link.execute(sa.text("UPDATE alembic_version SET version_num = '9999'"))
    engine.dispose()
    with pytest.raises(StoreFault, match="newer program"):
        Store(place)


def test_two_writers_at_once(place: str) -> None:
    Store(place).close()
    faults: list[BaseException] = []

    def write(part: int) -> None:
        try:
            with Store(place) as store:
                for begin in range(part, 300, 4):
                    store.append(SEASON[begin : begin + 2])
        except BaseException as error:
            faults.append(error)

    threads = [threading.Thread(target=write, args=(part,)) for part in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not faults
    with Store(place) as store:
        assert union(store.read()) == union(SEASON[:301])
        assert store.count() == 301


def test_a_backup_taken_while_others_write_is_whole(place: str, tmp_path: Path) -> None:
    target = tmp_path / "backup.db"
    with Store(place) as store:
        store.append(SEASON[:300])
        stop = threading.Event()

        def write() -> None:
            with Store(place) as other:
                for each in SEASON[300:]:
                    other.append([each])
                    if stop.is_set():
                        return

        thread = threading.Thread(target=write)
        thread.start()
        found = backup(store, target)
        stop.set()
        thread.join()
        assert found.sound and 300 <= found.events <= len(SEASON)
        with pytest.raises(BadInput, match="never overwrites"):
            backup(store, target)
    assert verify_backup(target) == found
    assert sorted(path.name for path in tmp_path.iterdir() if path.name.startswith("backup")) == [
        "backup.db", "backup.db" + SUFFIX,
    ]  # fmt: skip


def test_restored_is_what_was_and_takes_nothing_away(place: str, tmp_path: Path) -> None:
    target = tmp_path / "backup.db"
    with Store(place) as store:
        store.append(SEASON[:300])
        backup(store, target)
    with Store(tmp_path / "new.db") as fresh:
        assert len(restore(target, fresh).added) == 300
        assert fresh.read() == SEASON[:300]
    with Store(place) as store:
        store.append(SEASON[300:310])
        assert len(restore(target, store).known) == 300
        assert store.read() == SEASON[:310]


def test_a_damaged_backup_is_noticed_and_not_read_in(tmp_path: Path) -> None:
    target = tmp_path / "backup.db"
    with Store(tmp_path / "log.db") as store:
        store.append(SEASON[:100])
        backup(store, target)
    whole = target.read_bytes()
    for spot in range(500, len(whole), len(whole) // 7):
        target.write_bytes(whole[:spot] + bytes([whole[spot] ^ 1]) + whole[spot + 1 :])
        assert not verify_backup(target).sound
    target.write_bytes(whole[: len(whole) // 2])
    with Store(tmp_path / "new.db") as fresh:
        with pytest.raises(StoreFault, match="damaged"):
            restore(target, fresh)
        assert fresh.count() == 0
    target.write_bytes(whole)
    assert verify_backup(target).sound


def test_a_changed_word_in_the_store_is_noticed(place: str) -> None:
    with Store(place) as store:
        store.append(SEASON[:20])
        with store.writing() as link:
            migrate(link, "0002")
        with store.writing() as link:
            link.execute(
                sa.text("UPDATE events SET record = replace(record, 'S3', 'S4') WHERE id = :id"), {"id": SEASON[3].id}
            )
        with store.writing() as link:
            migrate(link)
        assert verify(store).damaged == (SEASON[3].id,)


def test_a_file_that_cannot_be_written_says_so(tmp_path: Path) -> None:
    path = tmp_path / "log.db"
    with Store(path) as store:
        store.append(SEASON[:10])
        with store.engine.connect() as link:
            link.exec_driver_sql("PRAGMA query_only = ON")
            with pytest.raises(StoreFault, match="not written"):
                _through(store, link)
            link.exec_driver_sql("PRAGMA query_only = OFF")
        assert store.count() == 10
    (tmp_path / "text.db").write_text("no log " * 200)
    with pytest.raises(StoreFault, match="no log"):
        Store(tmp_path / "text.db")
    with pytest.raises(StoreFault, match="no such log"):
        Store(tmp_path / "none.db", create=False)
    with pytest.raises(StoreFault, match="folder"):
        Store(tmp_path / "none" / "log.db")
    for wrong in ("mysql://x/y", "postgresql+nothing://x", "sqlite://", "://"):
        with pytest.raises(SetwrightError):
            Store(wrong)


def _through(store: Store, link: sa.Connection) -> None:
    from setwright.log.faults import told

    with told(store.where):
        link.exec_driver_sql("INSERT INTO devices VALUES ('x')")


def test_a_full_disk_keeps_what_was_kept(tmp_path: Path) -> None:
    with Store(tmp_path / "log.db") as store:
        store.append(SEASON[:50])
        with store.engine.connect() as link:
            pages = link.exec_driver_sql("PRAGMA page_count").scalar_one()

        def tight(raw_link: object, _: object) -> None:
            raw_link.execute(f"PRAGMA max_page_count = {pages}")  # a disk without another page

        sa.event.listen(store.engine, "connect", tight)
        store.engine.dispose()
        with pytest.raises(StoreFault, match="full"):
            store.append(SEASON[50:])
        sa.event.remove(store.engine, "connect", tight)
        store.engine.dispose()
        assert store.read() == SEASON[:50]
        assert len(store.append(SEASON).added) == len(SEASON) - 50


def test_the_file_is_kept_safe_by_its_settings(tmp_path: Path) -> None:
    with Store(tmp_path / "log.db") as store, store.engine.connect() as link:
        asked = {name: link.exec_driver_sql(f"PRAGMA {name}").scalar()
                 for name in ("journal_mode", "foreign_keys", "synchronous")}  # fmt: skip
        assert asked == {"journal_mode": "wal", "foreign_keys": 1, "synchronous": 2}
        with pytest.raises(sa.exc.IntegrityError):
            link.exec_driver_sql(
                "INSERT INTO events (id, device, kind, instant, record, digest) VALUES ('a', 'no', 'n', 1, '', '')"
            )


def test_the_address_is_shown_without_its_password() -> None:
    with pytest.raises(StoreFault) as caught:
        Store(f"postgresql://trapper:secret@/none?host={os.sep}nowhere")
    assert "secret" not in str(caught.value)


def test_a_reader_waits_for_a_log_that_is_just_being_made(tmp_path: Path) -> None:
    place = tmp_path / "new.db"
    place.touch()
    with ThreadPoolExecutor(1) as one:

        def made() -> None:
            time.sleep(0.3)
            Store(place).close()

        making = one.submit(made)
        with Store(place, create=False) as store:
            assert store.count() == 0
        making.result()


def test_a_file_that_stays_empty_is_no_log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("setwright.log.store.BEGINNING_SECONDS", 0.2)
    place = tmp_path / "empty.db"
    place.touch()
    with pytest.raises(StoreFault, match="older form"):
        Store(place, create=False)
