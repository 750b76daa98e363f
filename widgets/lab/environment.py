"""The Python environment of the course: made once, then left alone until its recipe changes."""

from __future__ import annotations

import hashlib
import importlib.util
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

from lab.trouble import Trouble, write_trouble

Say = Callable[[str], None]

VARIABLE = "PARKED_HVAC_ENV"
ANOTHER_PLACE = (
    f"copy the course to a folder of your own, or set {VARIABLE}=PATH to keep the environment elsewhere"
)
PIP_RETRIES = "2"
COMPILE = ("-m", "parked_hvac.diagnosis.ready")
MAKE = ("-m", "venv")
UNFINISHED = "parked-hvac.unfinished"  # marks a folder as ours from before anything else is in it
OFFLINE = re.compile(
    r"new ?connection|name ?resolution|getaddrinfo|network is unreachable|connection refused"
    r"|timed? ?out|proxyerror|connection (broken|aborted|reset)|sslerror",
    re.IGNORECASE,
)


def folder_of(repository: Path) -> Path:
    """Folder of the environment: the one that PARKED_HVAC_ENV names, or .venv in the repository."""
    named = os.environ.get(VARIABLE)
    return Path(named).expanduser().absolute() if named else repository / ".venv"


def python_in(folder: Path) -> Path:
    """The Python program of an environment."""
    return folder / "Scripts" / "python.exe" if os.name == "nt" else folder / "bin" / "python"


def prepare(repository: Path, say: Say) -> Path:
    """Make the environment ready and return its Python; does nothing where the stamp fits.

    The stamp is written last, so an installation that was cut short is taken up again. Raises
    Trouble with what to do next.
    """
    folder = folder_of(repository)
    python = python_in(folder)
    stamp = folder / "parked-hvac.stamp"
    stamped = stamp.read_text(encoding="utf-8") if stamp.is_file() else ""
    recipe = f"{_recipe(repository)}\n{folder}\n"
    if stamped == recipe and python.exists():
        return python
    try:
        stamp.unlink(missing_ok=True)
        moved = bool(stamped) and stamped.splitlines()[1:] != [str(folder)]
        if moved or not _works(python):  # the programs in a moved environment point to its old place
            _make(folder, say)
        _install(repository, folder, say)
        stamp.write_text(recipe, encoding="utf-8")
        (folder / UNFINISHED).unlink(missing_ok=True)
    except OSError as error:
        raise write_trouble("write the environment in", folder, error, ANOTHER_PLACE) from error
    say(f"The environment in {folder} is ready.")
    return python


def _recipe(repository: Path) -> str:
    """Digest of what the environment is made from; the course is installed in place, so its path counts."""
    digest = hashlib.sha256(f"{repository}\n".encode())
    for path in (repository / "requirements.txt", repository / "widgets" / "pyproject.toml"):
        if not path.is_file():
            raise Trouble(f"There is no {path}: this copy of the course is incomplete, fetch it again.")
        digest.update(path.read_bytes())
    return digest.hexdigest()


def _works(python: Path) -> bool:
    """Whether an environment is there whose Python runs and has pip; a half-made one has not.

    A half-made one may pass for the Python it was made from, pip and all: its prefix tells, and nothing
    is ever installed there.
    """
    try:
        code = "import pip, sys; print(sys.prefix if sys.prefix != sys.base_prefix else '')"
        tried = subprocess.run([python, "-c", code], capture_output=True, text=True, check=False)
        prefix = tried.stdout.strip()
        return bool(prefix) and os.path.samefile(prefix, python.parent.parent)
    except OSError:
        return False


def _make(folder: Path, say: Say) -> None:
    ours = any((folder / name).is_file() for name in ("pyvenv.cfg", UNFINISHED))
    if folder.is_dir() and any(folder.iterdir()) and not ours:
        raise Trouble(
            f"{folder} holds files that are not a Python environment: name an empty folder in {VARIABLE}, "
            "or move them away."
        )
    if any(importlib.util.find_spec(module) is None for module in ("venv", "ensurepip")):
        raise Trouble(_no_venv())
    say(f"Making a Python environment in {folder} ...")
    folder.mkdir(parents=True, exist_ok=True)
    (folder / UNFINISHED).touch()
    for left in folder.iterdir():
        if left.is_dir() and not left.is_symlink():
            shutil.rmtree(left)
        elif left.name != UNFINISHED:
            left.unlink()
    made = subprocess.run([sys.executable, *MAKE, folder], capture_output=True, text=True, check=False)
    if made.returncode != 0:
        report = made.stdout + made.stderr
        if "ensurepip" in report:
            raise Trouble(_no_venv())
        raise Trouble(f"Python could not make an environment in {folder}: {_last_line(report)}.")


def _no_venv() -> str:
    return (
        f"{sys.executable} comes without its venv module: install it (on Debian and Ubuntu "
        "'apt-get install python3-venv') and start again."
    )


def _install(repository: Path, folder: Path, say: Say) -> None:
    requirements = repository / "requirements.txt"
    pinned = sum("==" in line for line in requirements.read_text(encoding="utf-8").splitlines())
    say(
        f"Installing up to {pinned} pinned packages; the first time this takes some minutes and a network ..."
    )
    log = folder / "install.log"
    log.write_text("", encoding="utf-8")
    collected = 0
    for line in _pip(folder, log, ["--retries", PIP_RETRIES, "--requirement", str(requirements)]):
        if line.startswith(("Collecting ", "Processing ", "Requirement already satisfied: ")):
            collected += 1
            if collected % 20 == 0:
                say(f"  {collected} packages fetched")
        elif line.startswith("Installing collected packages"):
            say("  unpacking them ...")
    say("Installing the course itself ...")
    # No build isolation: the builder is among the pinned packages, so nothing else is fetched.
    for _ in _pip(
        folder, log, ["--no-deps", "--no-build-isolation", "--editable", str(repository / "widgets")]
    ):
        pass
    say("Compiling the truck's equations, once; a minute or two ...")
    # What fails here is done at the first large job instead, so it is no reason to stop.
    subprocess.run([python_in(folder), *COMPILE], capture_output=True, check=False)


def _pip(folder: Path, log: Path, arguments: list[str]) -> Iterator[str]:
    """Lines of one ``pip install`` as they come, kept in a log too; raises Trouble where it fails."""
    command = [str(python_in(folder)), "-m", "pip", "install", "--no-input", "--disable-pip-version-check"]
    lines: list[str] = []
    with (
        log.open("a", encoding="utf-8") as kept,
        subprocess.Popen(
            [*command, *arguments],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            errors="replace",
        ) as pip,
    ):
        for line in pip.stdout or ():
            kept.write(line)
            lines.append(line.rstrip())
            yield lines[-1]
    if pip.returncode != 0:
        raise Trouble(_explain("\n".join(lines), log))


def _explain(report: str, log: Path) -> str:
    """Why pip failed and what to do, in one sentence."""
    if OFFLINE.search(report):
        return (
            "The packages could not be fetched because the package registry does not answer: connect to the "
            f"network and start again; what is fetched already is kept (pip's report: {log})."
        )
    if "No space left on device" in report:
        return f"The disk is full: free about 1 GB where {log.parent} lies, or {ANOTHER_PLACE}."
    if re.search(r"Permission denied|Read-only file system|Errno 13|Errno 30", report):
        return f"pip may not write where it must (its report: {log}): {ANOTHER_PLACE}."
    return f"pip stopped with '{_last_line(report)}': read its report in {log} and start again."


def _last_line(report: str) -> str:
    lines = [line.strip() for line in report.splitlines() if line.strip()]
    return lines[-1].rstrip(".") if lines else "no word"
