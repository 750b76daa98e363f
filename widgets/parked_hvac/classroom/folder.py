"""A class folder: where the roster, the class key, the gradebook and what was handed in lie."""

from __future__ import annotations

import os
import re
import secrets
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import msgspec

from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.roster import Learner, read_roster
from parked_hvac.tables import DataError, read_table

FORMAT = 1
KEY_BYTES = 32


class Settings(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What class.toml says."""

    format: int
    created: str
    lessons: list[str]
    due: dict[str, str] = {}


@dataclass(frozen=True)
class ClassFolder:
    """The places within one class folder; nothing here reads or writes."""

    root: Path

    @property
    def settings(self) -> Path:
        """class.toml: lessons of this class and when they are due."""
        return self.root / "class.toml"

    @property
    def roster(self) -> Path:
        """The roster as it was checked."""
        return self.root / "roster.csv"

    @property
    def key(self) -> Path:
        """The class key; it never leaves this folder."""
        return self.root / "class-key"

    @property
    def sources(self) -> Path:
        """The lessons' sources as they were when the class began."""
        return self.root / "solutions"

    @property
    def released(self) -> Path:
        """The lessons as nbgrader released them for this class."""
        return self.root / "lessons"

    @property
    def gradebook(self) -> Path:
        """nbgrader's database of this class."""
        return self.root / "gradebook.db"

    @property
    def blank_gradebook(self) -> Path:
        """The gradebook before anyone handed in: each grading run starts from a copy."""
        return self.root / "gradebook-blank.db"

    @property
    def hand_out(self) -> Path:
        """One folder and one archive per learner."""
        return self.root / "hand-out"

    @property
    def submitted(self) -> Path:
        """What was handed in, untouched: submitted/LEARNER/LESSON."""
        return self.root / "submitted"

    @property
    def earlier(self) -> Path:
        """Submissions that a later one replaced, kept."""
        return self.root / "submitted-earlier"

    @property
    def autograded(self) -> Path:
        """The notebooks as nbgrader ran them: autograded/LEARNER/LESSON."""
        return self.root / "autograded"

    @property
    def results(self) -> Path:
        """The marks that count, one JSON file per submission."""
        return self.root / "results"

    @property
    def debriefs(self) -> Path:
        """One page per learner, to hand back."""
        return self.root / "debriefs"

    @property
    def class_page(self) -> Path:
        """One page about the class, for the instructor."""
        return self.root / "class-page.html"

    @property
    def marks(self) -> Path:
        """The marks as a table."""
        return self.root / "marks.csv"

    def read_settings(self) -> Settings:
        """The settings, checked. Raises ClassError when this is no class folder or class.toml is wrong."""
        if not self.settings.is_file():
            raise ClassError(
                f"{self.root} is no class folder, it has no class.toml: make one, 'parked-hvac class new'."
            )
        try:
            settings = read_table(self.settings, Settings)
        except DataError as error:
            raise ClassError(f"{error} Mend {self.settings}.") from None
        if settings.format != FORMAT:
            raise ClassError(
                f"{self.settings} has format {settings.format}, this course reads {FORMAT}: "
                "use the course version that made the class."
            )
        for lesson, when in settings.due.items():
            if lesson not in settings.lessons:
                raise ClassError(f"{self.settings}: due names {lesson!r}, which is no lesson of this class.")
            parse_moment(when)
        return settings

    def read_roster(self) -> tuple[Learner, ...]:
        """The learners of this class. Raises ClassError where the folder is none."""
        self.read_settings()
        return read_roster(self.roster)

    def read_key(self) -> str:
        """The class key as text. Raises ClassError when it is missing, damaged or readable by others."""
        try:
            key = self.key.read_text("ascii").strip()
        except (OSError, ValueError):
            key = ""
        if not re.fullmatch(f"[0-9a-f]{{{2 * KEY_BYTES}}}", key):
            raise ClassError(
                f"{self.key} is missing or damaged: put back your copy of it; "
                "without it no attempt of this class can be checked."
            )
        if os.name == "posix" and self.key.stat().st_mode & 0o077:
            raise ClassError(f"{self.key} can be read by others: run 'chmod 600 {self.key}' first.")
        return key


def write_key(path: Path) -> None:
    """Make a new class key, readable by its owner only. Never overwrites one."""
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "w", encoding="ascii") as file:
        file.write(secrets.token_hex(KEY_BYTES) + "\n")


def parse_moment(text: str) -> datetime:
    """A date and time such as '2026-12-01 17:00' (local time unless it names a zone), with its zone.

    Raises ClassError with the text and an example.
    """
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise ClassError(f"{text!r} is no date and time: write it like 2026-12-01 17:00.") from None
    return moment if moment.tzinfo else moment.astimezone()
