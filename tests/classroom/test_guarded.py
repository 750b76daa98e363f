"""A program under guard answers, or is ended with all it started."""

from __future__ import annotations

import contextlib
import sys
from pathlib import Path

import psutil
import pytest

from parked_hvac.classroom.guarded import Overrun, run_guarded

GIGABYTE = 1_000_000_000


def python(text: str) -> list[str]:
    return [sys.executable, "-I", "-c", text]


def test_does_an_answer_come_back_byte_for_byte() -> None:
    echo = "import sys; sys.stdout.buffer.write(sys.stdin.buffer.read()[::-1])"
    assert run_guarded(python(echo), b"abc\x00\xff", 60, GIGABYTE) == b"\xff\x00cba"


def test_does_a_big_answer_not_block() -> None:
    assert len(run_guarded(python("print('x' * 3_000_000)"), b"", 60, GIGABYTE)) >= 3_000_000


def test_is_a_program_without_end_ended() -> None:
    with pytest.raises(Overrun, match="longer than 1 s"):
        run_guarded(python("import time; time.sleep(3600)"), b"", 1, GIGABYTE)


def test_is_what_a_program_started_ended_with_it(tmp_path: Path) -> None:
    # The child tells its number and waits; the parent then takes more memory than it may.
    number = tmp_path / "number"
    child = f"import os,time; open({str(number)!r}, 'w').write(str(os.getpid())); time.sleep(3600)"
    parent = f"""
import os, subprocess, sys, time
subprocess.Popen([sys.executable, '-I', '-c', {child!r}])
while not (os.path.exists({str(number)!r}) and open({str(number)!r}).read()): time.sleep(0.01)
x = bytearray(400_000_000)
time.sleep(3600)
"""
    with pytest.raises(Overrun, match="MB of memory"):
        run_guarded(python(parent), b"", 600, 300_000_000)
    with contextlib.suppress(psutil.NoSuchProcess):
        # A machine whose first process takes in no orphans keeps the dead one in its list.
        assert psutil.Process(int(number.read_text())).status() == psutil.STATUS_ZOMBIE


def test_is_a_program_that_eats_memory_ended() -> None:
    with pytest.raises(Overrun, match="MB of memory"):
        run_guarded(
            python("x = bytearray(400_000_000); input()\nimport time; time.sleep(3600)"),
            b"\n",
            60,
            200_000_000,
        )


def test_is_a_program_that_fails_told_with_its_last_words() -> None:
    with pytest.raises(Overrun, match="status 1: ZeroDivisionError"):
        run_guarded(python("1/0"), b"", 60, GIGABYTE)


def test_are_lines_heard_as_they_come_and_each_given_its_own_time() -> None:
    """Six seconds in all, with four and a half for each line: three times what a line takes."""
    heard: list[bytes] = []
    program = """
import sys, time
for number in range(4):
    time.sleep(1.5)
    print(number, flush=True)
sys.stdout.write("end without a line")
"""
    answer = run_guarded(python(program), b"", 4.5, GIGABYTE, heard=heard.append)
    assert heard == [b"0", b"1", b"2", b"3"]
    assert answer.endswith(b"3\nend without a line")
    with pytest.raises(Overrun, match="longer than 2 s"):
        run_guarded(
            python("import time; print(1, flush=True); time.sleep(3600)"), b"", 2, GIGABYTE, heard=print
        )


def test_does_what_the_listener_raises_end_the_program() -> None:
    def refuse(line: bytes) -> None:
        raise ValueError(line)

    with pytest.raises(ValueError, match="words"):
        run_guarded(
            python("import time; print('words', flush=True); time.sleep(3600)"),
            b"",
            60,
            GIGABYTE,
            heard=refuse,
        )


def test_does_a_program_get_the_variables_that_it_is_given() -> None:
    program = "import os; print(os.environ['COURSE'], 'PATH' in os.environ)"
    assert run_guarded(python(program), b"", 60, GIGABYTE, environment={"COURSE": "x"}).split() == [
        b"x",
        b"True",
    ]
