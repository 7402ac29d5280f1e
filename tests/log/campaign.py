"""The campaign of faults: what must never happen to a log, tried again and again.

Usage: python tests/log/campaign.py [tries] prints the report for both databases; the tests run it with fewer tries.
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import sqlalchemy as sa

from log.databases import postgresql, programs
from log.makers import season
from setwright.basis.errors import SetwrightError
from setwright.log.amend import union
from setwright.log.backup import verify
from setwright.log.exchange import from_lines, to_lines
from setwright.log.fold import fold
from setwright.log.migrations import migrate, revision, revisions
from setwright.log.store import Store

SEASON = season(11, 5000)
KNOWN = {each.id for each in SEASON}


@dataclass(frozen=True)
class Outcome:
    """What one fault did in so many tries."""

    fault: str
    tries: int
    acknowledged: int
    lost: int
    twice: int
    whole: bool

    @property
    def good(self) -> bool:
        """True when nothing acknowledged was lost, nothing is there twice, and the state is that of the union."""
        return self.lost == 0 and self.twice == 0 and self.whole


def check(place: str, said: set[str]) -> tuple[int, int, bool]:
    """Lost, twice, and whether the store is sound and its state that of what it holds."""
    with Store(place) as store:
        kept = store.read()
        sound = verify(store).sound
    ids = [each.id for each in kept]
    by_id = {each.id: each for each in SEASON}
    same = all(by_id[each.id] == each for each in kept) and fold(kept) == fold([by_id[name] for name in set(ids)])
    return len(said - set(ids)), len(ids) - len(set(ids)), sound and same and set(ids) <= KNOWN


def _killed(words: list[str], wait: float) -> list[str]:
    """Lines that a worker said before it was killed; a line that was torn does not count."""
    process = subprocess.Popen([sys.executable, __file__, "work", *words], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    first = process.stdout.readline()
    time.sleep(wait)
    process.kill()
    rest, _ = process.communicate()
    return [line.strip() for line in (first, *rest.splitlines(keepends=True)) if line.endswith("\n")]


def killed_writes(place: str, tries: int, dice: random.Random) -> Outcome:
    """Kill −9 while events are written one by one."""
    said: set[str] = set()
    for turn in range(tries):
        begin = turn * 37 % 3000
        said |= KNOWN & set(_killed(["write", place, str(begin)], dice.uniform(0.0, 0.5)))
    return Outcome("kill −9 at random points of writes", tries, len(said), *check(place, said))


def killed_migrations(place: str, tries: int, dice: random.Random) -> Outcome:
    """Kill −9 while a filled store is taken from form to form."""
    with Store(place) as store:
        store.append(SEASON[:400])
    said = {each.id for each in SEASON[:400]}
    good = True
    for _ in range(tries):
        _killed(["migrate", place], dice.uniform(0.0, 0.3))
        engine = raw(place)
        with engine.connect() as link:
            good = good and revision(link) in revisions()
        engine.dispose()
        lost, twice, whole = check(place, said)
        good = good and whole and not lost and not twice
    lost, twice, whole = check(place, said)
    return Outcome("kill −9 at random points of migrations", tries, len(said), lost, twice, whole and good)


def torn_imports(place: str, tries: int, dice: random.Random) -> Outcome:
    """Kill −9 while a file is taken in: all of it or none."""
    said: set[str] = set()
    good = True
    with tempfile.TemporaryDirectory() as folder:
        for turn in range(tries):
            part = SEASON[turn * 300 % 4500 :][:500]
            file = Path(folder) / "events.jsonl"
            file.write_text(to_lines(part), encoding="utf-8")
            before = set()
            with Store(place) as store:
                before = {each.id for each in store.read()}
            lines = _killed(["import", place, str(file)], dice.choice((0.02, 0.1, 0.8)))
            with Store(place) as store:
                new = {each.id for each in store.read()} - before
            wanted = {each.id for each in part} - before
            good = good and new in (set(), wanted)
            if "kept" in lines:
                said |= {each.id for each in part}
    lost, twice, whole = check(place, said)
    return Outcome("torn import: all of a file or none", tries, len(said), lost, twice, whole and good)


def two_writers(place: str, tries: int, dice: random.Random) -> Outcome:
    """Two processes that write the same events and others at once."""
    del dice
    Store(place).close()
    said: set[str] = set()
    for turn in range(tries):
        begin = turn * 60
        workers = [
            subprocess.Popen(
                [sys.executable, __file__, "work", "some", place, str(begin + shift), "60"],
                stdout=subprocess.PIPE, text=True,
            )
            for shift in (0, 30)
        ]  # fmt: skip
        for worker in workers:
            told, _ = worker.communicate(timeout=120)
            said |= KNOWN & set(told.split())
    return Outcome("two writers at once, events in common", tries, len(said), *check(place, said))


def clock_set_back(place: str, tries: int, dice: random.Random) -> Outcome:
    """A device whose clock runs backwards: order of arrival is the store's own."""
    del dice
    said: set[str] = set()
    good = True
    with Store(place) as store:
        for turn in range(tries):
            # The later an event comes in, the earlier it says it was.
            part = SEASON[turn * 40 : turn * 40 + 40][::-1]
            last = store.last()
            for each in part:
                said |= set(store.append([each]).added)
            good = good and store.read(after=last) == part and store.last() > last
    lost, twice, whole = check(place, said)
    return Outcome("clock set back", tries, len(said), lost, twice, whole and good)


def synced(place: str, tries: int, dice: random.Random) -> Outcome:
    """Five devices send 5,000 events in any order, half of them twice."""
    said: set[str] = set()
    good = True
    for _ in range(tries):
        batches = []
        for device in range(5):
            own = SEASON[device::5]
            cuts = sorted(dice.sample(range(1, len(own)), 12))
            batches += [own[a:b] for a, b in zip([0, *cuts], [*cuts, len(own)], strict=True)]
        sent = batches + dice.sample(batches, len(batches) // 2)
        dice.shuffle(sent)
        with Store(place) as store:
            for batch in sent:
                shuffled = batch[:]
                dice.shuffle(shuffled)
                receipt = store.append(shuffled)
                said |= {*receipt.added, *receipt.known}
        with Store(place) as store:
            kept = store.read()
        good = good and union(kept) == union(SEASON) and fold(kept) == fold(SEASON)
    lost, twice, whole = check(place, said)
    return Outcome(
        "sync of 5,000 events of 5 devices, repeated, out of order", tries, len(said), lost, twice, whole and good
    )


def full_disk(place: str, tries: int, dice: random.Random) -> Outcome:
    """A disk with no room left for the file to grow; SQLite only, a database keeps its files elsewhere."""
    said: set[str] = set()
    good = True
    for turn in range(tries):
        limit = dice.randrange(60_000, 400_000)
        worker = subprocess.run(
            [sys.executable, __file__, "work", "tight", place, str(turn * 90), str(limit)],
            stdout=subprocess.PIPE, text=True, check=False,
        )  # fmt: skip
        told = worker.stdout.split("\n")
        said |= {line for line in told if line in KNOWN}
        good = good and worker.returncode == 0 and any(line in ("full", "room") for line in told)
    lost, twice, whole = check(place, said)
    return Outcome("full disk", tries, len(said), lost, twice, whole and good)


FAULTS: dict[str, Callable[[str, int, random.Random], Outcome]] = {
    "killed_writes": killed_writes, "killed_migrations": killed_migrations, "torn_imports": torn_imports,
    "two_writers": two_writers, "clock_set_back": clock_set_back, "synced": synced, "full_disk": full_disk,
}  # fmt: skip


def raw(place: str) -> sa.Engine:
    """A way in past the store."""
    if place.startswith("postgresql:"):
        return sa.create_engine(place.replace("postgresql:", "postgresql+psycopg:"))
    return sa.create_engine(f"sqlite:///{place}")


def work(mode: str, place: str, *more: str) -> None:
    """What the workers do until they are killed."""
    if mode == "migrate":
        print("begun", flush=True)
        while True:
            for form in (*revisions(), *reversed(revisions())):
                with Store(place) as store, store.writing() as link:
                    migrate(link, form)
    if mode == "tight":
        import resource
        import signal

        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (int(more[1]), resource.RLIM_INFINITY))
    with Store(place) as store:
        print("begun", flush=True)
        if mode == "import":
            rows = from_lines(Path(more[0]).read_text(encoding="utf-8"))
            store.append(rows.all_or_nothing())
            print("kept", flush=True)
            return
        begin = int(more[0])
        many = int(more[1]) if mode == "some" else 400
        try:
            for each in SEASON[begin : begin + many]:
                store.append([each])
                print(each.id, flush=True)
        except SetwrightError:
            if mode != "tight":
                raise
            print("full", flush=True)
            return
        print("room", flush=True)


@contextmanager
def databases() -> Iterator[list[tuple[str, Callable[[], str]]]]:
    """Names of the databases that are here, with a maker of empty places."""
    with tempfile.TemporaryDirectory() as folder:
        made = iter(range(1000))
        found: list[tuple[str, Callable[[], str]]] = [("SQLite", lambda: f"{folder}/log-{next(made)}.db")]
        if not programs():
            yield found
            return
        with postgresql() as url:

            def empty() -> str:
                engine = raw(url)
                with engine.begin() as link:
                    link.execute(sa.text("DROP SCHEMA public CASCADE"))
                    link.execute(sa.text("CREATE SCHEMA public"))
                engine.dispose()
                return url

            yield [*found, ("PostgreSQL", empty)]


def main(tries: int) -> int:
    """Print the report; 1 when a fault did harm."""
    print("| fault | database | tries | acknowledged | lost | twice | state |")
    print("|---|---|---|---|---|---|---|")
    bad = 0
    with databases() as every:
        for name, act in FAULTS.items():
            for database, empty in every:
                if name == "full_disk" and database != "SQLite":
                    continue
                number = max(1, tries // 50) if name == "synced" else tries
                one = act(empty(), number, random.Random(f"{name} {database}"))
                bad += not one.good
                state = "that of the union" if one.whole else "WRONG"
                row = (one.fault, database, one.tries, one.acknowledged, one.lost, one.twice, state)
                print(f"| {' | '.join(str(part) for part in row)} |", flush=True)
    return min(bad, 1)


if __name__ == "__main__":
    if sys.argv[1:2] == ["work"]:
        work(*sys.argv[2:])
    else:
        raise SystemExit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 50))
