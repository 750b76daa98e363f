"""Runs a program under guard: it answers in time and within its memory, or ends with all it started."""

from __future__ import annotations

import contextlib
import subprocess
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

import psutil  # type: ignore[import-untyped]

LOOK_EVERY_S = 0.2
"""A process that grows by a gigabyte a second overshoots its limit by a fifth of one."""


class Overrun(RuntimeError):
    """The program was ended, or ended without an answer; the sentence says why."""


def run_guarded(
    command: Sequence[str], request: bytes, timeout_s: float, memory_bytes: int, folder: Path | None = None
) -> bytes:
    """Standard output of a program that got ``request`` on standard input. Raises Overrun."""
    with (
        tempfile.TemporaryFile() as answer,
        tempfile.TemporaryFile() as complaint,
        tempfile.TemporaryFile() as asked,
    ):
        asked.write(request)
        asked.seek(0)
        process = subprocess.Popen(command, stdin=asked, stdout=answer, stderr=complaint, cwd=folder)
        started: set[psutil.Process] = {psutil.Process(process.pid)}
        try:
            _watch(process, started, timeout_s, memory_bytes)
        finally:
            _end(process, started)
        if process.returncode != 0:
            complaint.seek(0)
            last = complaint.read().decode("utf-8", "replace").strip().splitlines()[-1:]
            raise Overrun(f"it ended with status {process.returncode}: {''.join(last)[:300]}")
        answer.seek(0)
        return answer.read()


def _watch(
    process: subprocess.Popen[bytes], started: set[psutil.Process], timeout_s: float, memory_bytes: int
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
