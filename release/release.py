"""Make what a release consists of: wheel, source archive, bill of materials, licences, digests; twice the same bytes.

Run through `python3 run.py release`; nothing is sent anywhere.
"""

from __future__ import annotations

import argparse
import csv
import gzip
import hashlib
import io
import json
import os
import re
import subprocess
import sys
import tarfile
import tempfile
from importlib import metadata
from pathlib import Path

from packaging.requirements import Requirement

import setwright

ROOT = Path(__file__).resolve().parents[1]
LOCK = ROOT / "requirements.lock"
# Time of everything in an archive where no commit tells one: the first day that a zip file can name.
EARLIEST = 315_532_800


def moment() -> int:
    """Seconds since 1970 of the last commit, so that the same source gives the same bytes."""
    given = os.environ.get("SOURCE_DATE_EPOCH")
    if given:
        return int(given)
    done = subprocess.run(["git", "log", "-1", "--format=%ct"], cwd=ROOT, capture_output=True, text=True, check=False)
    return int(done.stdout) if done.returncode == 0 and done.stdout.strip() else EARLIEST


def built(folder: Path, when: int) -> list[Path]:
    """Wheel and source archive in a folder."""
    done = subprocess.run(
        [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(folder), str(ROOT)],
        env={**os.environ, "SOURCE_DATE_EPOCH": str(when)}, capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        raise SystemExit(f"the build failed:\n{done.stdout[-2000:]}{done.stderr[-2000:]}")
    wheel, source = next(folder.glob("*.whl")), next(folder.glob("*.tar.gz"))
    source.write_bytes(plain_archive(source.read_bytes(), when))
    return [wheel, source]


def plain_archive(content: bytes, when: int) -> bytes:
    """The same archive without what differs from one machine to the next: order, owners, times."""
    out = io.BytesIO()
    with (
        tarfile.open(fileobj=io.BytesIO(content), mode="r:gz") as before,
        gzip.GzipFile(fileobj=out, mode="wb", mtime=when, filename="") as packed,
        tarfile.open(fileobj=packed, mode="w", format=tarfile.PAX_FORMAT) as after,
    ):
        for one in sorted(before.getmembers(), key=lambda member: member.name):
            one.uid = one.gid = 0
            one.uname = one.gname = ""
            one.mtime = when
            one.mode = 0o755 if one.isdir() or one.mode & 0o100 else 0o644
            one.pax_headers = {}
            after.addfile(one, before.extractfile(one) if one.isfile() else None)
    return out.getvalue()


def locked() -> list[tuple[str, str]]:
    """Name and version of every requirement of the lock that this system installs."""
    found = []
    for line in re.sub(r"\\\n", " ", LOCK.read_text(encoding="utf-8")).splitlines():
        text = line.split("--hash")[0].strip()
        if text and not text.startswith("#"):
            one = Requirement(text)
            if one.marker is None or one.marker.evaluate():
                found.append((one.name, str(one.specifier).removeprefix("==")))
    return found


def licence_of(name: str) -> str:
    """Licence of an installed package as it states it; empty when it states none."""
    told = metadata.metadata(name)
    for field in ("License-Expression", "License"):
        text = str((told.get_all(field) or [""])[0]).strip()
        if text and len(text.splitlines()) == 1:
            return text
    classes = [line.rsplit("::", 1)[1].strip() for line in told.get_all("Classifier") or () if "License ::" in line]
    return "; ".join(one for one in classes if one != "OSI Approved")


def licences() -> str:
    """Table of requirements with version and licence."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["package", "version", "licence"])
    for name, version in locked():
        writer.writerow([name, version, licence_of(name)])
    return out.getvalue()


def bill() -> str:
    """Bill of materials in CycloneDX JSON from the lock, with the digests that it pins."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "bill.json"
        done = subprocess.run(
            [
                sys.executable, "-m", "cyclonedx_py", "requirements", str(LOCK), "--pyproject",
                str(ROOT / "pyproject.toml"), "--output-reproducible", "--output-format", "JSON", "--output-file",
                str(place),
            ],
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        if done.returncode:
            raise SystemExit(f"the bill of materials failed:\n{done.stderr[-2000:]}")
        found = json.loads(place.read_text(encoding="utf-8"))
    for part in found.get("components", ()):
        # The line of the lock, which the digests fill.
        part.pop("description", None)
    return json.dumps(found, indent=1, sort_keys=True, ensure_ascii=False) + "\n"


def main() -> None:
    """Make the release in a folder."""
    parser = argparse.ArgumentParser(
        description="Make wheel, source archive, bill of materials, licences and digests."
    )
    parser.add_argument("--out", type=Path, default=ROOT / "dist", metavar="DIR", help="folder, dist unless given")
    out: Path = parser.parse_args().out
    out.mkdir(parents=True, exist_ok=True)
    old = [path for path in out.iterdir() if path.is_file()]
    with tempfile.TemporaryDirectory() as folder:
        made = {path.name: path.read_bytes() for path in built(Path(folder), moment())}
    made[f"setwright-{setwright.__version__}.cdx.json"] = bill().encode()
    made["licences.csv"] = licences().encode()
    sums = "".join(f"{hashlib.sha256(made[name]).hexdigest()}  {name}\n" for name in sorted(made))
    made["SHA256SUMS"] = sums.encode()
    for path in old:
        if path.name in made or path.suffix in (".whl", ".gz") or path.name.endswith(".cdx.json"):
            path.unlink()
    for name, content in made.items():
        (out / name).write_bytes(content)
        print(out / name)


if __name__ == "__main__":
    main()
