"""Set up the environment and run the demo, the checks or the measurements, or make a release.

Usage: python3 run.py demo [--no-serve] [--out DIR] [--port N] | check [--all] | bench | release

Standard library only; needs nothing but Python and its venv module. The environment is `.venv` beside
this file, made from the lock files with their hashes and left alone while those do not change.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
STAMP = VENV / "made-from.json"
NEEDED = (3, 11)
WINDOWS = os.name == "nt"
LOCKS = {"use": "requirements.lock", "work": "requirements-dev.lock", "all": "requirements-oracles.lock"}
CHROMIUM = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "msedge")
CHROMIUM_PLACES = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)


class Stop(Exception):
    """Something the reader can mend; shown as plain lines, never as a traceback."""


def say(text: str) -> None:
    """Print at once, also when the output is a file."""
    print(text, flush=True)


def environment() -> dict[str, str]:
    """Environment of everything that is started: nothing of another Python leaks in."""
    kept = {name: value for name, value in os.environ.items() if name not in ("PYTHONPATH", "PYTHONHOME")}
    kept["PYTHONUTF8"] = "1"
    kept["VIRTUAL_ENV"] = str(VENV)
    kept["PATH"] = str(tool("python").parent) + os.pathsep + kept.get("PATH", "")
    return kept


def tool(name: str) -> Path:
    """Path of a program of the environment."""
    return VENV / ("Scripts" if WINDOWS else "bin") / (name + ".exe" if WINDOWS else name)


def digest(name: str) -> str:
    """Fingerprint of a file beside this one; line ends do not count."""
    try:
        return hashlib.sha256((ROOT / name).read_bytes().replace(b"\r\n", b"\n")).hexdigest()
    except OSError:
        raise Stop(f"{name} is missing: get the whole project again") from None


def works() -> bool:
    """True when the environment's Python starts and has pip."""
    if not tool("python").exists():
        return False
    try:
        done = subprocess.run(
            [str(tool("python")), "-c", "import sys, pip; sys.exit(sys.version_info[:2] < (3, 11))"],
            env=environment(), capture_output=True, timeout=120, check=False,
        )  # fmt: skip
    except (OSError, subprocess.SubprocessError):
        return False
    return done.returncode == 0


def stamp() -> dict[str, str]:
    """What the environment was made from; empty when it was left half made."""
    try:
        found = json.loads(STAMP.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def make_venv() -> None:
    """Make the environment anew."""
    say("Making the environment in .venv")
    if VENV.exists():
        shutil.rmtree(VENV, ignore_errors=True)
    done = subprocess.run(
        [sys.executable, "-m", "venv", "--clear", str(VENV)], capture_output=True, text=True, check=False
    )
    if done.returncode or not works():
        shutil.rmtree(VENV, ignore_errors=True)
        last = (done.stdout + done.stderr).strip().splitlines()[-3:]
        raise Stop(
            "\n".join(
                [
                    "The environment could not be made: Python's venv module does not work here.",
                    "On Debian and Ubuntu: apt-get install python3-venv. Elsewhere install Python from its own site.",
                    *last,
                ]
            )
        )


def pip(*words: str) -> None:
    """Run pip in the environment; a failure ends with its last lines and the likely remedy."""
    command = [str(tool("python")), "-m", "pip", "--disable-pip-version-check", "--no-input", *words]
    done = subprocess.run(
        command, cwd=ROOT, env=environment(), capture_output=True, text=True, errors="replace", check=False
    )
    if done.returncode == 0:
        return
    output = done.stdout + done.stderr
    signs = (
        "NewConnectionError",
        "ConnectTimeout",
        "Temporary failure in name resolution",
        "No matching distribution",
    )
    lines = [line for line in output.strip().splitlines() if line.strip()][-12:]
    if any(sign in output for sign in signs):
        lines.append("No package source answered. Connect to the network once; later runs need none.")
    elif "DO NOT MATCH THE HASHES" in output:
        lines.append(
            "A package differs from the one that the lock names. Do not go on; try again from another network."
        )
    elif "No space left" in output:
        lines.append("The disk is full: the environment needs about 1 GB.")
    raise Stop("Installing failed:\n" + "\n".join(lines))


def prepare(kind: str) -> None:
    """Bring the environment up to what the lock says; quick when nothing changed."""
    known = list(LOCKS.values())[: list(LOCKS).index(kind) + 1]
    wanted = {"root": str(ROOT), **{name: digest(name) for name in ("pyproject.toml", *known)}}
    have = stamp()
    if all(have.get(name) == value for name, value in wanted.items()) and works():
        return
    if not works():
        make_venv()
    STAMP.unlink(missing_ok=True)
    # The lock for work holds the one for use; the oracles stand apart.
    locks = known if kind == "use" else known[1:]
    say(f"Installing {' and '.join(locks)} (some minutes the first time)")
    begun = time.monotonic()
    for lock in locks:
        pip("install", "--quiet", "--require-hashes", "-r", lock)
    pip("install", "--quiet", "--no-deps", "--no-build-isolation", "--editable", ".")
    STAMP.write_text(json.dumps(wanted, indent=1) + "\n", encoding="utf-8")
    say(f"Environment ready in {time.monotonic() - begun:.0f} s")


def find_chromium() -> str | None:
    """Path of a Chromium, or None."""
    for name in CHROMIUM:
        found = shutil.which(name)
        if found:
            return found
    return next((place for place in CHROMIUM_PLACES if Path(place).exists()), None)


def need_chromium() -> str:
    """Path of a Chromium, installed when that is allowed here."""
    found = find_chromium()
    if found:
        return found
    apt = shutil.which("apt-get")
    if apt and not WINDOWS and os.geteuid() == 0:
        say("Installing chromium for the page checks")
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        log = ""
        for words in (["update", "-qq"], ["install", "-y", "-qq", "--no-install-recommends", "chromium"]):
            done = subprocess.run([apt, *words], env=quiet, capture_output=True, text=True, check=False)
            log += done.stdout + done.stderr
        found = find_chromium()
        if found:
            return found
        raise Stop("chromium could not be installed:\n" + "\n".join(log.strip().splitlines()[-6:]))
    remedy = "sudo apt-get install chromium" if apt else "install Chromium with your system's own installer"
    raise Stop(f"The page checks need a Chromium browser, and none was found. Remedy: {remedy}, then run this again.")


def steps(everything: bool) -> list[tuple[str, list[str]]]:
    """Name and command of every check, in order."""
    python = str(tool("python"))
    sphinx = [python, "-m", "sphinx", "-W", "--keep-going", "-q", "-b", "html", "docs", "docs/_build/html"]
    found = [
        ("lint", [python, "-m", "ruff", "check", "."]),
        ("format", [python, "-m", "ruff", "format", "--check", "."]),
        ("types", [python, "-m", "mypy", "--strict"]),
        ("layers", [str(tool("lint-imports")), "--no-logo"]),
        ("docs", sphinx),
        ("tests", [python, "-m", "pytest", "-n", "2", "--dist", "worksteal", "-m", "not slow"]),
    ]
    if everything:
        found.append(("slow tests", [python, "-m", "pytest", "-n", "2", "--dist", "worksteal", "-m", "slow"]))
    return found


def check(everything: bool) -> int:
    """Run every check, one line each; the output of one that fails is shown whole."""
    prepare("all" if everything else "work")
    surroundings = {**environment(), "SETWRIGHT_CHROMIUM": need_chromium()}
    failed: list[str] = []
    begun = time.monotonic()
    for name, command in steps(everything):
        say(f"{name} ...")
        start = time.monotonic()
        done = subprocess.run(
            command, cwd=ROOT, env=surroundings, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT, text=True, encoding="utf-8", errors="replace", check=False,
        )  # fmt: skip
        # pytest answers 5 when no test carries the mark: with --all that is no failure of the slow step.
        good = done.returncode == 0 or (name == "slow tests" and done.returncode == 5)
        lines = done.stdout.strip().splitlines()
        if not good:
            failed.append(name)
            say("\n".join(lines[-400:]))
        elif "tests" in name and lines:
            say(lines[-1])
        say(f"{name}: {'ok' if good else 'FAILED'} ({time.monotonic() - start:.1f} s)")
    took = f"{time.monotonic() - begun:.0f} s"
    say(f"Failed: {', '.join(failed)} ({took})" if failed else f"All checks passed ({took})")
    return 1 if failed else 0


def demo(out: str, serve: bool, port: int | None) -> int:
    """Plan the invented demo line and show it."""
    prepare("use")
    words = [str(tool("setwright")), "demo", "--out", out]
    if not serve:
        words.append("--no-serve")
    if port is not None:
        words += ["--port", str(port)]
    # Relative folders are meant from where the reader stands.
    return subprocess.run(words, env=environment(), check=False).returncode


def bench(words: list[str], compare: list[str] | None) -> int:
    """Measure and print the figures, or put two kept runs beside each other."""
    prepare("work")
    script = "compare.py" if compare else "figures.py"
    command = [str(tool("python")), str(ROOT / "bench" / script), *(compare or words)]
    return subprocess.run(command, env=environment(), check=False).returncode


def arguments(words: list[str]) -> argparse.Namespace:
    """Parse the command line."""
    parser = argparse.ArgumentParser(
        prog="run.py", description="Set up the environment and run the demo, the checks or the measurements."
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="demo | check | bench | release")
    one = commands.add_parser("demo", help="plan an invented line and show it on this machine")
    one.add_argument("--no-serve", action="store_true", help="write the files and stop")
    one.add_argument("--out", default="demo-plan", metavar="DIR", help="folder for the plan (demo-plan)")
    one.add_argument("--port", type=int, metavar="N", help="port on 127.0.0.1")
    two = commands.add_parser("check", help="run every check of the project")
    two.add_argument("--all", action="store_true", help="the long campaigns too, with independent programs")
    four = commands.add_parser("release", help="make wheel, source archive, bill of materials, licences and digests")
    four.add_argument("--out", default="dist", metavar="DIR", help="folder (dist)")
    three = commands.add_parser("bench", help="measure speed and print the figures")
    three.add_argument("--keep", metavar="FILE", help="keep the figures as JSON")
    three.add_argument("--growth", action="store_true", help="how time grows with size too (some minutes)")
    three.add_argument("--compare", nargs=2, metavar=("BEFORE", "AFTER"), help="two kept runs, no measuring")
    return parser.parse_args(words)


def main(words: list[str]) -> int:
    """Run one command; 2 when something has to be mended first."""
    asked = arguments(words)
    try:
        if sys.version_info[:2] < NEEDED:
            raise Stop(
                f"Python {NEEDED[0]}.{NEEDED[1]} or newer is needed; this is {sys.version.split()[0]}. "
                "Start run.py with a newer one, such as: python3.11 run.py demo"
            )
        if asked.command == "demo":
            return demo(asked.out, not asked.no_serve, asked.port)
        if asked.command == "check":
            return check(asked.all)
        if asked.command == "release":
            prepare("work")
            words = [str(tool("python")), str(ROOT / "release" / "release.py"), "--out", asked.out]
            return subprocess.run(words, env=environment(), check=False).returncode
        words = [*(("--keep", asked.keep) if asked.keep else ()), *(("--growth",) if asked.growth else ())]
        return bench(words, asked.compare)
    except Stop as stop:
        print(f"run.py: {stop}", file=sys.stderr)
        return 2
    except OSError as error:
        print(f"run.py: {error.strerror or error}: {error.filename or ''}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("run.py: stopped", file=sys.stderr)
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
