"""Every check of the course, one after the other, with one closing summary."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from lab.trouble import Trouble

Say = Callable[[str], None]

LINT_IMPORTS = "from importlinter.cli import lint_imports_command as run; run()"
# What runs after `python`, and the folder it runs in.
CHECKS: dict[str, tuple[tuple[str, ...], str]] = {
    "lint": (("-m", "ruff", "check", "."), "."),
    "format": (("-m", "ruff", "format", "--check", "."), "."),
    "types": (("-m", "mypy"), "widgets"),
    "floors": (("-c", LINT_IMPORTS, "widgets/pyproject.toml"), "."),
    "tests": (("-m", "pytest", "tests", "--ignore=tests/notebooks", "--ignore=tests/browser"), "."),
    "notebooks": (("-m", "pytest", "tests/notebooks"), "."),
    "browser": (("-m", "pytest", "tests/browser"), "."),
}
NAMES = tuple(CHECKS)


@dataclass(frozen=True)
class Result:
    """How one check ended; ``note`` says why where it was left out."""

    name: str
    passed: bool
    seconds: float
    note: str = ""


def run(repository: Path, python: Path, wanted: list[str], say: Say) -> int:
    """Run the checks wanted (all where none is named); returns 0 where all passed, else 1.

    Raises Trouble for a name that is no check.
    """
    for name in wanted:
        if name not in CHECKS:
            raise Trouble(f"There is no check '{name}': name one or more of {', '.join(NAMES)}.")
    results = []
    for name in NAMES:
        if not wanted or name in wanted:
            results.append(_run(name, repository, python, say))
    return _close(results, say)


def _run(name: str, repository: Path, python: Path, say: Say) -> Result:
    arguments, folder = CHECKS[name]
    say(f"\n== {name}: {' '.join(_short(arguments))}")
    begun = time.monotonic()
    note = _fetch_browser_tools(repository, say) if name == "browser" else ""
    status = subprocess.run([python, *arguments], cwd=repository / folder, check=False).returncode
    return Result(name, status == 0, time.monotonic() - begun, note)


def _short(arguments: tuple[str, ...]) -> tuple[str, ...]:
    return ("lint-imports", *arguments[2:]) if arguments[0] == "-c" else arguments[1:]


def _fetch_browser_tools(repository: Path, say: Say) -> str:
    """Fetch the accessibility checker once; returns why not, and the tests then skip, or fail under CI."""
    folder = repository / "tests" / "browser"
    lock = folder / "package-lock.json"
    stamp = folder / "node_modules" / "parked-hvac.stamp"
    recipe = hashlib.sha256(lock.read_bytes()).hexdigest()
    if stamp.is_file() and stamp.read_text(encoding="utf-8") == recipe:
        return ""
    npm = shutil.which("npm")
    if npm is None:
        return "no npm, so the accessibility checker is missing: apt-get install nodejs npm"
    say("Fetching the accessibility checker with npm ...")
    fetched = subprocess.run([npm, "ci", "--ignore-scripts"], cwd=folder, check=False)
    if fetched.returncode != 0:
        return "npm could not fetch the accessibility checker: connect to the network and start again"
    stamp.write_text(recipe, encoding="utf-8")
    return ""


def _close(results: list[Result], say: Say) -> int:
    say("\n== summary")
    for result in results:
        outcome = "passed" if result.passed else "FAILED"
        say(f"{result.name:10} {outcome} {result.seconds:7.1f} s  {result.note}".rstrip())
    failed = sum(not result.passed for result in results)
    if not os.environ.get("CI"):
        say("A test whose outside program is missing is skipped; the lines above say what to install.")
    say(f"checks: {len(results) - failed} passed, {failed} failed")
    return 1 if failed else 0
