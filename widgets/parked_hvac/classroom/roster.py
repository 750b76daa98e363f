"""The roster: who is in the class, read from a table that an instructor saved somewhere."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from parked_hvac.classroom.errors import ClassError

COLUMNS = ("id", "name", "email")
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}")
# Names that Windows keeps for devices: a folder of that name cannot be made there.
_RESERVED = {"con", "prn", "aux", "nul"} | {f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10)}


@dataclass(frozen=True)
class Learner:
    """One line of the roster."""

    id: str
    name: str
    email: str = ""


def read_roster(path: Path, encoding: str | None = None) -> tuple[Learner, ...]:
    """Learners of a CSV file with the columns id, name and, if wanted, email, in the order of the file.

    Comma or semicolon separated; UTF-8 (with or without mark), UTF-16 with mark, or the encoding named.
    Raises ClassError with the line and the remedy: duplicate ids, odd characters, unquoted commas.
    """
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise ClassError(
            f"Cannot read the roster {path} ({error.strerror}): name an existing file."
        ) from None
    return parse_roster(_decoded(raw, path, encoding), path.name)


def parse_roster(text: str, source: str = "roster") -> tuple[Learner, ...]:
    """Learners of a roster's text; see read_roster."""
    lines = text.splitlines()
    first = next((line for line in lines if line.strip()), "")
    delimiter = ";" if first.count(";") > first.count(",") else ","
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    header: list[str] | None = None
    learners: list[Learner] = []
    seen: dict[str, int] = {}
    try:
        for row in rows:
            cells = [unicodedata.normalize("NFC", cell).strip() for cell in row]
            if not any(cells):
                continue
            if header is None:
                header = _checked_header(cells, source)
                continue
            learner = _learner(cells, header, f"{source}, line {rows.line_num}")
            folded = learner.id.casefold()
            if folded in seen:
                raise ClassError(
                    f"{source}, line {rows.line_num}: the id {learner.id!r} stands in line {seen[folded]} "
                    "(capitals count as small letters); give each learner an id of their own."
                )
            seen[folded] = rows.line_num
            learners.append(learner)
    except csv.Error as error:
        raise ClassError(
            f"{source}, line {rows.line_num}: not a proper CSV line ({error}); check the quotes."
        ) from None
    if not learners:
        raise ClassError(f"{source} names no learner: write one line per learner below 'id,name'.")
    return tuple(learners)


def roster_text(learners: tuple[Learner, ...]) -> str:
    """The roster as properly quoted CSV with a header line."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows((learner.id, learner.name, learner.email) for learner in learners)
    return out.getvalue()


def _decoded(raw: bytes, path: Path, encoding: str | None) -> str:
    if encoding is None:
        encoding = "utf-16" if raw.startswith((b"\xff\xfe", b"\xfe\xff")) else "utf-8-sig"
    try:
        return raw.decode(encoding)
    except LookupError:
        raise ClassError(f"Unknown encoding {encoding!r}: try utf-8, utf-16 or cp1252.") from None
    except UnicodeError:
        raise ClassError(
            f"{path.name} is not {encoding.removesuffix('-sig')} text: save it as 'CSV UTF-8', "
            "or name its encoding, for example --encoding cp1252."
        ) from None


def _checked_header(cells: list[str], source: str) -> list[str]:
    header = [cell.casefold() for cell in cells]
    unknown = [cell for cell in header if cell not in COLUMNS]
    if unknown or header.count("id") != 1 or header.count("name") != 1 or len(set(header)) != len(header):
        raise ClassError(
            f"{source}: the first line is {', '.join(cells)!r}; it must name id, name and, if wanted, email."
        )
    return header


def _learner(cells: list[str], header: list[str], where: str) -> Learner:
    if len(cells) != len(header):
        raise ClassError(
            f"{where}: {len(cells)} fields where the first line names {len(header)}; "
            'put a name with a comma in quotes, such as "Lee, Jr".'
        )
    record = dict(zip(header, cells, strict=True))
    if not _ID.fullmatch(record["id"]) or record["id"].casefold() in _RESERVED:
        raise ClassError(
            f"{where}: the id {record['id']!r} cannot name a folder everywhere; "
            "use up to 40 letters A-Z, digits, '-' and '_', beginning with a letter or digit."
        )
    for column in ("name", "email"):
        text = record.get(column, "")
        if any(unicodedata.category(letter) in {"Cc", "Cs", "Co", "Cn"} for letter in text):
            raise ClassError(f"{where}: the {column} {text!r} holds a control character; type it anew.")
        if len(text) > 128:
            raise ClassError(f"{where}: the {column} has {len(text)} characters; 128 fit the gradebook.")
    if not record["name"]:
        raise ClassError(f"{where}: the learner {record['id']!r} has no name; write one.")
    return Learner(record["id"], record["name"], record.get("email", ""))
