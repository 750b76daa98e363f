"""Runs a program under guard: it answers in time and within its memory, or ends with all it started."""

from __future__ import annotations

import contextlib
import os
import subprocess
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import BinaryIO

import psutil  # type: ignore[import-untyped]

LOOK_EVERY_S = 0.2
"""A process that grows by a gigabyte a second overshoots its limit by a fifth of one."""


class Overrun(RuntimeError):
    """The program was ended, or ended without an answer; the sentence says why."""


def run_guarded(
    command: Sequence[str],
    request: bytes,
    timeout_s: float,
    memory_bytes: int,
    folder: Path | None = None,
    heard: Callable[[bytes], None] | None = None,
    environment: Mapping[str, str] | None = None,
) -> bytes:
    """Standard output of a program that got ``request`` on standard input. Raises Overrun.

    heard: told each line of the output soon after it came; the program then has ``timeout_s`` for each line, not for all.
    environment: variables that the program gets besides this one's.
    """
    with (
        tempfile.TemporaryDirectory(prefix="guarded-", ignore_cleanup_errors=True) as scratch,
        tempfile.TemporaryFile() as complaint,
        tempfile.TemporaryFile() as asked,
        open(Path(scratch) / "answer", "wb") as answer,
        # Opened once more, as one who reads where another writes must not share its place in the file.
        open(Path(scratch) / "answer", "rb") as read,
    ):
        asked.write(request)
        asked.seek(0)
        process = subprocess.Popen(
            command,
            stdin=asked,
            stdout=answer,
            stderr=complaint,
            cwd=folder,
            env={**os.environ, **(environment or {})},
        )
        started: set[psutil.Process] = {psutil.Process(process.pid)}
        lines = None if heard is None else _Lines(read, heard)
        try:
            _watch(process, started, timeout_s, memory_bytes, lines)
        finally:
            _end(process, started)
        if lines is not None:
            lines.listen()
        if process.returncode != 0:
            complaint.seek(0)
            last = complaint.read().decode("utf-8", "replace").strip().splitlines()[-1:]
            raise Overrun(f"it ended with status {process.returncode}: {''.join(last)[:300]}")
        read.seek(0)
        return read.read()


class _Lines:
    """The output of a program, line by line as it comes."""

    def __init__(self, read: BinaryIO, heard: Callable[[bytes], None]) -> None:
        self._read, self._heard, self._begun = read, heard, b""

    def listen(self) -> bool:
        """Tell what has come since; whether a line had."""
        *whole, self._begun = (self._begun + self._read.read()).split(b"\n")
        for line in whole:
            self._heard(line)
        return bool(whole)


def _watch(
    process: subprocess.Popen[bytes],
    started: set[psutil.Process],
    timeout_s: float,
    memory_bytes: int,
    lines: _Lines | None,
) -> None:
    """Wait for the end; raises Overrun when time or memory run out."""
    deadline = time.monotonic() + timeout_s
    while True:
        with contextlib.suppress(subprocess.TimeoutExpired):
            process.wait(LOOK_EVERY_S)
            return
        with contextlib.suppress(psutil.Error):
            # What it started is remembered, since a child whose parent is gone is no longer found below it.
            started.update(psutil.Process(process.pid).children(recursive=True))
        used = 0
        for each in started:
            with contextlib.suppress(psutil.Error):
                used += each.memory_info().rss
        if used > memory_bytes:
            raise Overrun(
                f"it took {used / 1e6:.0f} MB of memory, more than the {memory_bytes / 1e6:.0f} MB allowed."
            )
        if lines is not None and lines.listen():
            deadline = time.monotonic() + timeout_s
        if time.monotonic() > deadline:
            raise Overrun(f"it took longer than {timeout_s:g} s.")


def _end(process: subprocess.Popen[bytes], started: set[psutil.Process]) -> None:
    """End the program and all it was seen to start (psutil checks that a number is still the same)."""
    for each in started:
        with contextlib.suppress(psutil.Error):
            if each.is_running():
                each.kill()
    process.wait()
    psutil.wait_procs(started, timeout=10)
