"""Does `test` run every check, tell the outcome of each and end with the right status?"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from lab import checks
from lab.trouble import Trouble

GOOD = ("-c", "print('fine')")
BAD = ("-c", "raise SystemExit(3)")


@pytest.fixture
def told() -> list[str]:
    return []


def test_one_failing_check_fails_the_whole_and_the_others_still_run(
    tmp_path: Path, told: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(checks, "CHECKS", {"first": (BAD, "."), "second": (GOOD, ".")})
    monkeypatch.setattr(checks, "NAMES", ("first", "second"))
    assert checks.run(tmp_path, Path(sys.executable), [], told.append) == 1
    outcome = [line.split()[:2] for line in told if line.startswith(("first", "second"))]
    assert outcome == [["first", "FAILED"], ["second", "passed"]]
    assert told[-1] == "checks: 1 passed, 1 failed"

    assert checks.run(tmp_path, Path(sys.executable), ["second"], told.append) == 0
    assert told[-1] == "checks: 1 passed, 0 failed"


def test_a_check_that_does_not_exist_is_told(tmp_path: Path, told: list[str]) -> None:
    with pytest.raises(Trouble, match="There is no check 'brwser': name one or more of lint, format"):
        checks.run(tmp_path, Path(sys.executable), ["brwser"], told.append)


def test_every_folder_of_tests_is_in_some_check() -> None:
    words = [word for arguments, _ in checks.CHECKS.values() for word in arguments]
    ignored = {word.partition("=")[2] for word in words if word.startswith("--ignore=")}
    assert "tests" in words
    assert ignored <= set(words)


def test_without_npm_the_reason_is_noted(
    tmp_path: Path, told: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "tests" / "browser"
    folder.mkdir(parents=True)
    (folder / "package-lock.json").write_text("{}")
    monkeypatch.setattr(checks.shutil, "which", lambda name: None)
    monkeypatch.setattr(checks, "CHECKS", {"browser": (GOOD, ".")})
    monkeypatch.setattr(checks, "NAMES", ("browser",))
    assert checks.run(tmp_path, Path(sys.executable), [], told.append) == 0
    assert any("apt-get install nodejs npm" in line for line in told)
