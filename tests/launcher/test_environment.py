"""Is the environment made when it must be, left alone otherwise, and does each failure say what to do?"""

from __future__ import annotations

import errno
import importlib.util
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from lab import environment
from lab.trouble import Trouble


@pytest.fixture
def clone(tmp_path: Path, repository: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository with nothing to install but its own two recipes."""
    monkeypatch.delenv(environment.VARIABLE, raising=False)
    copy = tmp_path / "clone"
    (copy / "widgets").mkdir(parents=True)
    (copy / "requirements.txt").write_text("alpha==1.0\nbeta==2.0\n")
    (copy / "widgets" / "pyproject.toml").write_bytes(
        (repository / "widgets" / "pyproject.toml").read_bytes()
    )
    return copy


@pytest.fixture
def pips(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """Arguments of every pip call, which does nothing here."""
    calls: list[list[str]] = []

    def pip(folder: Path, log: Path, arguments: list[str]) -> Any:
        calls.append(arguments)
        packages = next(folder.glob("[Ll]ib/**/site-packages"))
        (packages / "pip.py").touch()
        yield "Collecting alpha"

    monkeypatch.setattr(environment, "_pip", pip)
    # Without pip an environment is made in a fraction of a second instead of many.
    monkeypatch.setattr(environment, "MAKE", (*environment.MAKE, "--without-pip"))
    return calls


def hush(sentence: str) -> None:
    pass


def test_it_is_made_once_and_again_only_when_its_recipe_changes(clone: Path, pips: list[list[str]]) -> None:
    told: list[str] = []
    python = environment.prepare(clone, told.append)
    assert python.is_file()
    assert len(pips) == 2
    assert [sentence.split()[0] for sentence in told] == [
        "Making",
        "Installing",
        "Installing",
        "Compiling",
        "The",
    ]

    told.clear()
    assert environment.prepare(clone, told.append) == python
    assert (len(pips), told) == (2, [])  # no pip call: it works without a network from here on

    (clone / "requirements.txt").write_text("alpha==1.1\n")
    environment.prepare(clone, hush)
    assert len(pips) == 4


def test_an_installation_cut_short_is_taken_up_again(
    clone: Path, pips: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    calls = environment._pip

    def cut_short(folder: Path, log: Path, arguments: list[str]) -> Any:
        raise KeyboardInterrupt
        yield

    monkeypatch.setattr(environment, "_pip", cut_short)
    with pytest.raises(KeyboardInterrupt):
        environment.prepare(clone, hush)
    monkeypatch.setattr(environment, "_pip", calls)
    environment.prepare(clone, hush)
    assert len(pips) == 2


def test_a_half_made_or_moved_environment_is_made_anew(clone: Path, pips: list[list[str]]) -> None:
    python = environment.prepare(clone, hush)
    moved = clone.rename(clone.with_name("moved"))
    told: list[str] = []
    environment.prepare(moved, told.append)
    assert told[0].startswith("Making a Python environment")
    assert not python.exists()

    environment.python_in(moved / ".venv").unlink()
    told.clear()
    environment.prepare(moved, told.append)
    assert told[0].startswith("Making a Python environment")


def test_what_passes_for_an_environment_but_is_the_python_it_was_made_from_gets_no_package(
    clone: Path, pips: list[list[str]]
) -> None:
    python = environment.prepare(clone, hush)
    (clone / ".venv" / "parked-hvac.stamp").unlink()
    assert environment._works(python)
    (clone / ".venv" / "pyvenv.cfg").unlink()  # as when making it was cut short
    outside = subprocess.run([python, "-c", "import sys; print(sys.prefix)"], capture_output=True, text=True)
    assert Path(outside.stdout.strip()) != clone / ".venv"
    assert not environment._works(python)


def test_making_that_was_cut_short_is_begun_anew(
    clone: Path, pips: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    def cut_short(command: list[str], **ignored: object) -> None:
        (clone / ".venv" / "bin").mkdir()
        (clone / ".venv" / "bin" / "python").symlink_to(sys.executable)
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(environment.subprocess, "run", cut_short)
        patched.setattr(environment, "_works", lambda python: False)
        with pytest.raises(KeyboardInterrupt):
            environment.prepare(clone, hush)
    python = environment.prepare(clone, hush)
    assert environment._works(python)
    assert not (clone / ".venv" / environment.UNFINISHED).exists()


def test_the_environment_may_lie_elsewhere_but_not_on_top_of_other_files(
    clone: Path, pips: list[list[str]], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    elsewhere = tmp_path / "elsewhere"
    monkeypatch.setenv(environment.VARIABLE, str(elsewhere))
    assert environment.prepare(clone, hush) == environment.python_in(elsewhere)
    assert not (clone / ".venv").exists()

    photos = tmp_path / "photos"
    photos.mkdir()
    (photos / "dog.jpg").write_text("dog")
    monkeypatch.setenv(environment.VARIABLE, str(photos))
    with pytest.raises(Trouble, match=r"photos holds files that are not a Python environment: name an empty"):
        environment.prepare(clone, hush)
    assert (photos / "dog.jpg").read_text() == "dog"


def test_a_missing_venv_module_names_the_package(clone: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = importlib.util.find_spec
    monkeypatch.setattr(
        importlib.util, "find_spec", lambda name, *rest: None if name == "ensurepip" else real(name, *rest)
    )
    with pytest.raises(Trouble, match="apt-get install python3-venv"):
        environment.prepare(clone, hush)


def test_an_incomplete_copy_of_the_course_is_named(clone: Path) -> None:
    (clone / "requirements.txt").unlink()
    with pytest.raises(
        Trouble, match=r"There is no .*requirements.txt: this copy of the course is incomplete"
    ):
        environment.prepare(clone, hush)


OFFLINE = """WARNING: Retrying (Retry(total=0)) after connection broken by 'NewConnectionError(
'<HTTPSConnection object>: Failed to establish a new connection: [Errno -3] Temporary failure in name
resolution')'
ERROR: Could not find a version that satisfies the requirement alpha==1.0 (from versions: none)"""
# What pip 23.2 printed with the network gone, on a full disk and in a read-only folder (shortened).
OS_ERROR = "ERROR: Could not install packages due to an OSError: "
PIP_REPORTS = [
    (OFFLINE, "the package registry does not answer: connect to the network"),
    (OS_ERROR + "[Errno 28] No space left on device", "The disk is full"),
    (OS_ERROR + "[Errno 13] Permission denied: '/x'", "may not write"),
    ("ERROR: No matching distribution found for alpha==1.0", "distribution found for alpha==1.0'"),
]


@pytest.mark.parametrize(("report", "sentence"), PIP_REPORTS)
def test_a_failure_of_pip_is_told_in_one_sentence(tmp_path: Path, report: str, sentence: str) -> None:
    told = environment._explain(report, tmp_path / "install.log")
    assert sentence in told
    assert "\n" not in told
    assert told.endswith(".")


@pytest.mark.slow
def test_pip_itself_failing_ends_in_trouble_with_its_report_kept(
    clone: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    # A registry that is not there, by pip's own setting: the closed port answers at once.
    for name in [name for name in os.environ if name.startswith("PIP_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("PIP_CONFIG_FILE", os.devnull)
    monkeypatch.setenv("PIP_INDEX_URL", "http://127.0.0.1:9/simple")
    monkeypatch.setattr(environment, "PIP_RETRIES", "1")
    with pytest.raises(Trouble, match="the package registry does not answer"):
        environment.prepare(clone, hush)
    assert "alpha==1.0" in (clone / ".venv" / "install.log").read_text()
    assert not (clone / ".venv" / "parked-hvac.stamp").exists()


def test_a_folder_that_may_not_be_written_is_told_with_a_way_out(
    clone: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(path: Path, *ignored: object, **too: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))

    monkeypatch.setattr(Path, "mkdir", refuse)  # root may write everywhere, so the refusal is played
    with pytest.raises(Trouble) as told:
        environment.prepare(clone, hush)
    assert str(told.value) == (
        f"Cannot write the environment in {clone / '.venv'} (permission denied): copy the course to a folder "
        "of your own, or set PARKED_HVAC_ENV=PATH to keep the environment elsewhere."
    )


def test_a_place_that_cannot_be_a_folder_is_told_too(clone: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(environment.VARIABLE, str(clone / "requirements.txt" / "env"))
    with pytest.raises(Trouble, match=r"requirements.txt/env \(not a directory\): copy the course"):
        environment.prepare(clone, hush)
