"""The attempt file: read it strictly, append to it so that nothing is ever lost."""

from __future__ import annotations

import hashlib
import os
import stat
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from filelock import FileLock, Timeout

from parked_hvac.job.errors import AttemptError
from parked_hvac.job.lines import (
    LONGEST_FILE_BYTES,
    LONGEST_LINE_BYTES,
    MOST_LINES,
    Header,
    Line,
    encoded,
    hashed_header,
    hashed_line,
    parse_header,
    parse_line,
)

_LOCK_S = 5.0


@dataclass(frozen=True)
class Log:
    """What an attempt file says; ``torn`` are the bytes of a last line that was cut off in mid-write."""

    path: Path
    header: Header
    lines: tuple[Line, ...]
    size: int
    """Bytes up to the end of the last whole line."""
    torn: bytes = b""
    unfinished: bool = False
    """Whether the last line is whole but lacks its newline."""

    @property
    def last_hash(self) -> str:
        """Hash that the next line follows."""
        return self.lines[-1].hash if self.lines else self.header.hash


def read_log(path: Path | str) -> Log:
    """Read an attempt file without touching it; AttemptError names file, line and remedy.

    A torn last line, as a power cut leaves it, is reported in ``torn``; any other damage is an error.
    """
    path = Path(path)
    data = _bytes_of(path)
    if not data:
        raise AttemptError(f"{path} is empty: delete it and start the attempt again.")
    pieces = data.split(b"\n")
    if len(pieces) > MOST_LINES + 1:
        raise AttemptError(
            f"{path} has {len(pieces) - 1} lines, more than {MOST_LINES}: start a new attempt."
        )
    whole, tail = pieces[:-1], pieces[-1]
    for number, piece in enumerate(pieces, 1):
        if len(piece) > LONGEST_LINE_BYTES:
            raise AttemptError(
                f"{path}, line {number} has {len(piece)} bytes, more than {LONGEST_LINE_BYTES}: "
                "restore the file from your own copy, or start a new attempt."
            )
    # A transfer between systems may have turned line ends into CR LF; that changes no line.
    rows = [piece.removesuffix(b"\r") for piece in whole]
    if not rows:
        raise AttemptError(f"{path} has no whole first line: delete it and start the attempt again.")
    header = parse_header(rows[0], str(path))
    lines: list[Line] = []
    previous = header.hash
    for number, row in enumerate(rows[1:], 2):
        lines.append(parse_line(row, str(path), number, number - 1, previous))
        previous = lines[-1].hash
    size = len(data) - len(tail)
    if tail:
        try:
            lines.append(parse_line(tail, str(path), len(rows) + 1, len(rows), previous))
        except AttemptError:
            return Log(path, header, tuple(lines), size, torn=tail)
        return Log(path, header, tuple(lines), len(data), unfinished=True)
    return Log(path, header, tuple(lines), size)


def create_log(path: Path, header: Header) -> Log:
    """Make a new attempt file; AttemptError if there is one already, or if the place cannot be written."""
    header = hashed_header(header)
    row = encoded(header) + b"\n"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as file:
            file.write(row)
            file.flush()
            os.fsync(file.fileno())
    except FileExistsError:
        raise AttemptError(
            f"{path} is there already and is never overwritten: go on with resume({str(path)!r}), "
            "or give another path for a new attempt."
        ) from None
    except OSError as error:
        raise AttemptError(
            f"{path} cannot be written ({error.strerror}): choose a folder you can write to."
        ) from None
    _sync_folder(path.parent)
    return Log(path, header, (), len(row))


class LogWriter:
    """Appends lines to one attempt file, each on the disk before ``append`` returns."""

    def __init__(self, log: Log) -> None:
        self.path = log.path
        self.last_hash = log.last_hash
        self.n = len(log.lines)
        self._size = log.size
        self._last_row = encoded(log.lines[-1] if log.lines else log.header)

    def append(self, line: Line) -> Line:
        """Write the next line (its number, previous hash and hash are filled in); returns it as written.

        AttemptError if another window went on with the file, or if it cannot be written; nothing is lost
        then.
        """
        row = encoded(line) + b"\n"
        if (
            len(row) > LONGEST_LINE_BYTES
            or self._size + len(row) > LONGEST_FILE_BYTES
            or self.n >= MOST_LINES
        ):
            raise AttemptError(
                f"{self.path} is full after {self.n} actions: hand it in and start a new attempt."
            )
        try:
            with _locked(self.path):
                self._append(row)
        except OSError as error:
            raise AttemptError(
                f"{self.path} cannot be written ({error.strerror}): make room or mend the rights, "
                "then resume it; all steps before this one are kept."
            ) from None
        self.last_hash = line.hash
        self.n = line.n
        self._last_row = row[:-1]
        return line

    def next_line(self, line: Line) -> Line:
        """The line with its number, the hash it follows and its own hash."""
        return hashed_line(
            Line(self.n + 1, line.minute, line.action, line.arguments, line.result, self.last_hash)
        )

    def expect_untouched(self) -> None:
        """Raise AttemptError if another window went on with the file, before anything is done."""
        try:
            with self.path.open("rb") as file:
                self._expect_end(file)
        except OSError as error:
            raise AttemptError(
                f"{self.path} cannot be read ({error.strerror}): put it back, then resume it."
            ) from None

    def _expect_end(self, file: BinaryIO) -> None:
        end = file.seek(0, os.SEEK_END)
        file.seek(max(0, self._size - len(self._last_row) - 2))
        tail = file.read(len(self._last_row) + 2).rstrip(b"\r\n")
        if end != self._size or not tail.endswith(self._last_row):
            raise AttemptError(
                f"{self.path} was changed by another window or program: "
                f"go on there, or resume({str(self.path)!r}) here to take its steps over."
            )

    def _append(self, row: bytes) -> None:
        with self.path.open("r+b") as file:
            self._expect_end(file)
            file.seek(0, os.SEEK_END)
            try:
                file.write(row)
                file.flush()
                os.fsync(file.fileno())
            except OSError:
                file.truncate(self._size)
                raise
            self._size += len(row)


def set_torn_aside(log: Log) -> Path | None:
    """Move a torn last line into a side file and make the attempt file whole; the side file, or None.

    The side file is made before the attempt file is cut, and is never overwritten.
    """
    if not log.torn and not log.unfinished:
        return None
    with _locked(log.path), log.path.open("r+b") as file:
        file.seek(0, os.SEEK_END)
        if file.tell() != log.size + len(log.torn):
            raise AttemptError(f"{log.path} is being written by another window: resume it again.")
        if log.unfinished:
            file.write(b"\n")
            file.flush()
            os.fsync(file.fileno())
            return None
        aside = _side_file(log)
        file.truncate(log.size)
        file.flush()
        os.fsync(file.fileno())
    return aside


def _side_file(log: Log) -> Path:
    for number in range(1, 1000):
        aside = log.path.with_name(f"{log.path.name}.torn-{number}")
        try:
            with aside.open("xb") as file:
                file.write(log.torn)
                file.flush()
                os.fsync(file.fileno())
        except FileExistsError:
            continue
        _sync_folder(aside.parent)
        return aside
    raise AttemptError(
        f"There are a thousand torn lines beside {log.path}: move them elsewhere and resume again."
    )


@contextmanager
def _locked(path: Path) -> Iterator[None]:
    # Not beside the attempt: the learner's folder is handed in, and only their own files belong in it.
    owner = os.getuid() if hasattr(os, "getuid") else 0
    # Some attempts have one lock in common, which they hold for moments: thousands of locks were left in the folder else.
    name = hashlib.sha256(str(path.resolve()).encode()).hexdigest()[:2]
    lock = FileLock(Path(tempfile.gettempdir()) / f"parked-hvac-{owner}-{name}.lock")
    try:
        lock.acquire(timeout=_LOCK_S)
    except Timeout:
        raise AttemptError(f"{path} is being written by another window: try again when it is done.") from None
    try:
        yield
    finally:
        lock.release()


def _bytes_of(path: Path) -> bytes:
    try:
        status = path.stat()
        if not stat.S_ISREG(status.st_mode):
            raise AttemptError(f"{path} is no file: give the path of an attempt file.")
        if status.st_size > LONGEST_FILE_BYTES:
            raise AttemptError(
                f"{path} has {status.st_size} bytes, more than an attempt can have ({LONGEST_FILE_BYTES}): "
                "give the attempt file itself."
            )
        return path.read_bytes()
    except FileNotFoundError:
        raise AttemptError(
            f"There is no attempt file {path}: check the path, or start a new attempt."
        ) from None
    except OSError as error:
        raise AttemptError(
            f"{path} cannot be read ({error.strerror}): mend its rights and try again."
        ) from None


def _sync_folder(folder: Path) -> None:
    # So that the new name itself survives a power cut; Windows neither needs nor allows it.
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
