"""A real PostgreSQL for the tests: started in a folder of its own, spoken to through a socket, gone afterwards."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

PLACES = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: int(path.parent.name), reverse=True)


def programs() -> Path | None:
    """Folder of `initdb` and `postgres`, if there is one."""
    beside = shutil.which("initdb")
    found = [*([Path(beside).parent] if beside else []), *PLACES]
    return next((path for path in found if (path / "initdb").exists() and (path / "postgres").exists()), None)


@contextmanager
def postgresql() -> Iterator[str]:
    """URL of a server that nobody else knows."""
    bin_folder = programs()
    assert bin_folder is not None
    # The server refuses to run as root.
    person = "nobody" if os.geteuid() == 0 else None
    folder = Path(tempfile.mkdtemp(prefix="pg-"))
    try:
        if person:
            entry = pwd.getpwnam(person)
            os.chown(folder, entry.pw_uid, entry.pw_gid)
        data = folder / "data"
        quiet = {"user": person, "cwd": folder, "check": True, "stdout": subprocess.DEVNULL}
        subprocess.run(
            [bin_folder / "initdb", "-D", data, "-U", "setwright", "-A", "trust", "--no-sync", "-E", "UTF8",
             "--locale=C"], **quiet,
        )  # fmt: skip
        options = f"-k {folder} -c listen_addresses= -c fsync=off"
        control = [bin_folder / "pg_ctl", "-D", data, "-w", "-l", folder / "server.log"]
        subprocess.run([*control, "-o", options, "start"], **quiet)
        try:
            yield f"postgresql://setwright@/postgres?host={folder}"
        finally:
            subprocess.run([*control, "-m", "immediate", "stop"], **quiet)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
