"""Unpacks an archive that somebody else made, without letting it write anywhere but into its folder."""

from __future__ import annotations

import zipfile
from pathlib import Path, PurePosixPath

from parked_hvac.classroom.errors import ClassError

MAX_FILES = 2_000
MAX_BYTES = 200_000_000
"""Unpacked; a lesson with its attempts is far below one hundredth of that."""


def unpack(archive: Path, target: Path) -> None:
    """Unpack a zip archive below ``target``.

    Raises ClassError for a damaged or locked archive, one that is too large, links, and names that lead out.
    """
    try:
        with zipfile.ZipFile(archive) as packed:
            entries = [entry for entry in packed.infolist() if not entry.is_dir()]
            _check_size(archive, entries)
            for entry in entries:
                path = target / _safe_name(archive, entry)
                path.parent.mkdir(parents=True, exist_ok=True)
                if path.exists():
                    raise ClassError(f"{archive.name} holds {entry.filename!r} twice: ask for a new one.")
                with packed.open(entry) as source, path.open("xb") as file:
                    _copy(archive, source.read, file.write, entry.file_size)
    except ClassError:
        raise
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, OSError, ValueError) as error:
        raise ClassError(
            f"{archive.name} cannot be unpacked ({error}): ask for the folder again, as a plain zip."
        ) from None


def _check_size(archive: Path, entries: list[zipfile.ZipInfo]) -> None:
    if len(entries) > MAX_FILES or sum(entry.file_size for entry in entries) > MAX_BYTES:
        raise ClassError(
            f"{archive.name} holds {len(entries)} files, {sum(entry.file_size for entry in entries)} bytes: "
            "that is no lesson's folder; look at it before you unpack it by hand."
        )


def _safe_name(archive: Path, entry: zipfile.ZipInfo) -> Path:
    """The entry's place below the target. Archives made on Windows may use backslashes."""
    name = PurePosixPath(entry.filename.replace("\\", "/"))
    is_link = (entry.external_attr >> 16) & 0o170000 == 0o120000
    if name.is_absolute() or ".." in name.parts or ":" in entry.filename or is_link:
        raise ClassError(
            f"{archive.name} holds {entry.filename!r}, which leads out of its folder: it was not unpacked."
        )
    return Path(*name.parts)


def _copy(archive: Path, read, write, promised: int) -> None:  # type: ignore[no-untyped-def]
    """Copy no more than the archive's table promised: a lying size is how a small archive fills a disk."""
    left = promised
    while block := read(65_536):
        left -= len(block)
        if left < 0:
            raise ClassError(f"{archive.name} lies about the size of its files: it was not unpacked.")
        write(block)
