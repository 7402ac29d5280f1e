"""Faults do no harm, and any sequence of acts leaves the store as a plain mapping in memory would be."""

from __future__ import annotations

import random
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, initialize, invariant, rule

from log.campaign import FAULTS
from log.makers import event, name
from setwright.basis.errors import BadInput
from setwright.log import kinds
from setwright.log.amend import union
from setwright.log.backup import backup, restore, verify
from setwright.log.event import Event
from setwright.log.exchange import from_csv, from_lines, to_csv, to_lines
from setwright.log.fold import fold
from setwright.log.store import Store

SHORT = {
    "killed_writes": 1, "killed_migrations": 1, "torn_imports": 2, "two_writers": 1, "clock_set_back": 2, "synced": 1,
}  # fmt: skip


@pytest.mark.parametrize("fault", SHORT)
def test_a_fault_does_no_harm(place: str, fault: str) -> None:
    found = FAULTS[fault](place, SHORT[fault], random.Random(fault))
    assert found.good, found


def test_a_full_disk_does_no_harm(tmp_path: Path) -> None:
    found = FAULTS["full_disk"](str(tmp_path / "log.db"), 1, random.Random(1))
    assert found.good, found


@pytest.mark.slow
@pytest.mark.parametrize("fault", sorted(set(FAULTS) - {"full_disk"}))
def test_the_long_campaign(place: str, fault: str) -> None:
    tries = {"synced": 5, "killed_migrations": 60, "clock_set_back": 100, "killed_writes": 160}.get(fault, 80)
    found = FAULTS[fault](place, tries, random.Random(f"long {fault}"))
    assert found.good, found
    if fault == "killed_writes":
        assert found.acknowledged >= 1000


NUMBERS = st.integers(1, 60)
KINDS = st.sampled_from(sorted(kinds.KINDS))


class LogMachine(RuleBasedStateMachine):
    """A store beside a plain mapping in memory: whatever is done to both, they agree."""

    events = Bundle("events")

    @initialize()
    def begin(self) -> None:
        """An empty store and an empty mapping."""
        self.folder = tempfile.TemporaryDirectory()
        self.place = Path(self.folder.name) / "log.db"
        self.plain: dict[str, Event] = {}
        self.saved = 0
        Store(self.place).close()

    def teardown(self) -> None:
        """Leave nothing behind."""
        if hasattr(self, "folder"):
            self.folder.cleanup()

    @rule(
        target=events,
        number=NUMBERS,
        kind=st.sampled_from(sorted(kinds.KINDS)),
        day=st.integers(0, 30),
        twin=st.booleans(),
    )
    def make(self, number: int, kind: str, day: int, twin: bool) -> Event:
        """An event of any kind; now and then another one under the same name."""
        more: dict[str, object] = {"note": "other words"} if twin and kind == kinds.NOTE else {}
        if kind in kinds.AMENDMENTS:
            more |= {"corrects": name(number % 20 + 1)}
            if kind == kinds.CORRECTION:
                more |= {"changes": {"set_id": "S2"}}
            return event(number + 100, kind, day, **more)
        return event(number, kind, day, **more)

    @rule(batch=st.lists(events, max_size=6))
    def append(self, batch: list[Event]) -> None:
        """Hand a batch in."""
        with Store(self.place) as store:
            receipt = store.append(batch)
        new: dict[str, Event] = {}
        for each in batch:
            if each.id not in self.plain:
                new.setdefault(each.id, each)
        assert set(receipt.added) == set(new)
        assert set(receipt.conflicts) == {
            each.id for each in batch if each != self.plain.get(each.id, new.get(each.id, each))
        }
        self.plain |= new

    @rule()
    def save_and_bring_back(self) -> None:
        """A backup read into a new store holds the same."""
        self.saved += 1
        target = self.place.with_name(f"saved-{self.saved}.db")
        with Store(self.place) as store, Store(self.place.with_name(f"new-{self.saved}.db")) as fresh:
            backup(store, target)
            restore(target, fresh)
            assert fresh.read() == store.read()
            with pytest.raises(BadInput):
                backup(store, target)

    @rule(form=st.sampled_from(((to_lines, from_lines), (to_csv, from_csv))))
    def through_a_file(self, form: object) -> None:
        """Out into a file and back."""
        out, back = form  # a pair of functions
        assert back(out(self.plain.values())).events == tuple(self.plain.values())

    @invariant()
    def agree(self) -> None:
        """The same events, and the same state of everything."""
        if not hasattr(self, "place"):
            return
        with Store(self.place) as store:
            kept = store.read()
            assert verify(store).sound
        assert union(kept) == union(self.plain.values())
        assert fold(kept) == fold(self.plain.values())


LogMachine.TestCase.settings = settings(
    max_examples=5, stateful_step_count=8, deadline=None, suppress_health_check=list(HealthCheck)
)
TestAnySequenceOfActs = LogMachine.TestCase
