"""Writes events one by one and says of each that it is kept: the test kills it at any moment."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from log.makers import season
from setwright.log.store import Store


def main(place: str, begin: int, many: int) -> None:
    events = season(11, 5000)[begin : begin + many]
    with Store(place) as store:
        for event in events:
            store.append([event])
            print(event.id, flush=True)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]))
