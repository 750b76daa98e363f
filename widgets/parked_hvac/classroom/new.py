"""Starts a class: a folder with the checked roster, a class key, the lessons and an empty gradebook."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

from parked_hvac.classroom.course import REPOSITORY, course_api, generate, lesson_ids, sources
from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.folder import FORMAT, ClassFolder, parse_moment, write_key
from parked_hvac.classroom.roster import Learner, roster_text

_CONFIG = '''"""nbgrader's settings for this class: the course's own, then this folder and its gradebook.

Written by 'parked-hvac class new'. Start JupyterLab in this folder to mark with nbgrader's own pages.
"""

from pathlib import Path

c = get_config()  # noqa: F821
load_subconfig("nbgrader_config.py", path={solutions})  # noqa: F821

here = Path(__file__).resolve().parent
c.CourseDirectory.root = str(here)
c.CourseDirectory.db_url = "sqlite:///" + (here / "gradebook.db").as_posix()
'''


def new_class(
    root: Path,
    roster: Sequence[Learner],
    say: Callable[[str], None],
    lessons: Sequence[str] = (),
    due: dict[str, str] | None = None,
) -> ClassFolder:
    """Make a class folder for a roster; all lessons unless some are named.

    ``due`` gives the date and time by which a lesson is due. Raises ClassError for a folder that is in use,
    an unknown lesson or a date that is none; nothing is left behind then.
    """
    folder = ClassFolder(root.resolve())
    if folder.root.exists() and (not folder.root.is_dir() or any(folder.root.iterdir())):
        raise ClassError(f"{root} is in use: name a folder that does not exist yet or is empty.")
    if folder.root == REPOSITORY or REPOSITORY in folder.root.parents:
        raise ClassError(
            f"{root} lies within the course itself: name a folder apart from it, for the key's sake."
        )
    known = lesson_ids(sources())
    chosen = tuple(lessons) or known
    for lesson in (*chosen, *(due or {})):
        if lesson not in known:
            raise ClassError(f"No lesson is called {lesson!r}; choose from {', '.join(known)}.")
    due = {lesson: parse_moment(when).isoformat() for lesson, when in (due or {}).items()}
    existed = folder.root.exists()
    try:
        _fill(folder, roster, chosen, due, say)
    except BaseException:
        # Half a class would look like a whole one: all or nothing.
        for path in folder.root.iterdir() if folder.root.is_dir() else ():
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        if folder.root.is_dir() and not existed:
            folder.root.rmdir()
        raise
    return folder


def _fill(
    folder: ClassFolder,
    roster: Sequence[Learner],
    lessons: Sequence[str],
    due: dict[str, str],
    say: Callable[[str], None],
) -> None:
    folder.root.mkdir(parents=True, exist_ok=True)
    # Marks and key are nobody else's business; Windows keeps its own rights.
    folder.root.chmod(0o700)
    write_key(folder.key)
    say(f"made the class key {folder.key}; keep a copy in a safe place and give it to nobody")
    folder.roster.write_text(roster_text(tuple(roster)), "utf-8")
    (folder.root / "nbgrader_config.py").write_text(_CONFIG.format(solutions=repr(str(sources()))), "utf-8")
    say("releasing the lessons with nbgrader, some seconds")
    # The class keeps the lessons as they are today: nbgrader cannot change a lesson that someone handed in.
    for lesson in lessons:
        shutil.copytree(
            sources() / lesson, folder.sources / lesson, ignore=shutil.ignore_patterns(".*", "__pycache__")
        )
    api = course_api(folder.root, folder.gradebook, folder.sources, folder.released)
    for lesson in lessons:
        generate(api, lesson)
    with api.gradebook as gradebook:
        for learner in roster:
            gradebook.update_or_create_student(
                learner.id, first_name=learner.name, last_name="", email=learner.email or None
            )
    shutil.copy(folder.gradebook, folder.blank_gradebook)
    folder.settings.write_text(_settings_text(lessons, due), "utf-8")
    say(f"{len(roster)} learners, {len(lessons)} lessons: {', '.join(lessons)}")


def _settings_text(lessons: Sequence[str], due: dict[str, str]) -> str:
    """class.toml; JSON's strings and lists are TOML's, too."""
    lines = [
        "# Made by 'parked-hvac class new'. You may add or change the times under [due].",
        f"format = {FORMAT}",
        f"created = {json.dumps(datetime.now().astimezone().isoformat(timespec='seconds'))}",
        f"lessons = {json.dumps(list(lessons))}",
        "",
        "[due]",
        *(f"{json.dumps(lesson)} = {json.dumps(when)}" for lesson, when in due.items()),
    ]
    return "\n".join(lines) + "\n"
