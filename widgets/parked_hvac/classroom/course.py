"""nbgrader as this course uses it: one configuration, one call for one thing at a time."""

from __future__ import annotations

import logging
import os
import re
import sys
import sysconfig
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from parked_hvac.classroom.errors import ClassError

# How a traceback names what was raised: "KeyError: 'x'" or "nbformat.reader.NotJSONError: ...".
_RAISED = re.compile(r"[\w.]+(Error|Exception|Exit|Interrupt|Warning)\b(:|$)")

REPOSITORY = Path(__file__).resolve().parents[3]
"""The package is installed in place; the course's notebooks lie beside it."""


def sources() -> Path:
    """Folder with the lessons' sources. Raises ClassError when they are not where the repository has them."""
    path = REPOSITORY / "solutions"
    if not (path / "nbgrader_config.py").is_file():
        raise ClassError(
            f"No lesson sources at {path}: install the course from its repository, 'pip install -e widgets'."
        )
    return path


def lesson_ids(folder: Path) -> tuple[str, ...]:
    """Names of the lessons in a folder of sources or released lessons, sorted."""
    return tuple(
        sorted(path.parent.name for path in folder.glob("*/*.ipynb") if path.stem == path.parent.name)
    )


def sqlite_url(path: Path) -> str:
    """nbgrader's way to name a gradebook file."""
    return f"sqlite:///{path.resolve().as_posix()}"


def course_api(root: Path, gradebook: Path | None, source: Path, released: Path) -> Any:
    """An NbGraderAPI with the course's settings and these folders; ``root`` holds submitted/, autograded/.

    Without a gradebook it can only release: what it makes is the same, nothing is recorded, and no database
    is laid out, which takes nbgrader several seconds.
    """
    # jsonschema tries an optional grammar that takes three seconds to build and that no notebook needs.
    sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]
    from nbgrader.apps.api import NbGraderAPI
    from nbgrader.converters import GenerateAssignment
    from nbgrader.preprocessors import SaveCells
    from traitlets.config.loader import PyFileConfigLoader

    config = PyFileConfigLoader("nbgrader_config.py", str(sources())).load_config()
    course = config.CourseDirectory
    course.root = str(root.resolve())
    if gradebook is not None:
        course.db_url = sqlite_url(gradebook)
    else:
        steps = GenerateAssignment().preprocessors
        config.GenerateAssignment.no_database = True
        config.GenerateAssignment.preprocessors = [step for step in steps if step is not SaveCells]
    course.source_directory = str(source.resolve())
    course.release_directory = str(released.resolve())
    # The exchange is for classes on one server; a folder that is not there keeps nbgrader from looking.
    config.Exchange.root = str(root.resolve() / "no-exchange")
    config.NbGraderAPI.log_level = "CRITICAL"
    with _as_nbgrader_likes():
        return NbGraderAPI(config=config)


def generate(api: Any, lesson: str) -> None:
    """Release one lesson. Raises ClassError with the end of nbgrader's log when it fails."""
    api.log_level = "INFO"
    with _as_nbgrader_likes():
        result = api.generate_assignment(lesson, force=True, create=True)
    if not result["success"]:
        raise ClassError(f"nbgrader could not release {lesson}: {last_sentence(result)}")


def autograde(api: Any, lesson: str, learner: str) -> dict[str, Any]:
    """Run one learner's notebook through nbgrader; its result dictionary, which never raises."""
    api.log_level = "INFO"
    with _as_nbgrader_likes():
        result: dict[str, Any] = api.autograde(lesson, learner, force=True, create=True)
    return result


def last_sentence(result: dict[str, Any]) -> str:
    """The line of nbgrader's log or traceback that says most, for one sentence."""
    text = str(result.get("error") or "") + "\n" + str(result.get("log") or "")
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    telling = [line for line in lines if _RAISED.match(line) and "NbGraderException" not in line]
    return (telling or lines or ["it gave no reason."])[-1][:300]


@contextmanager
def _as_nbgrader_likes() -> Iterator[None]:
    """Its programs found, its log (which it captures) not printed again, this folder kept."""
    here, path = os.getcwd(), os.environ.get("PATH", "")
    root = logging.getLogger()
    level = root.level
    root.setLevel(logging.CRITICAL)
    # nbgrader starts 'alembic' by name, which is found only where the environment is activated.
    os.environ["PATH"] = os.pathsep.join((sysconfig.get_path("scripts"), path))
    try:
        yield
    finally:
        root.setLevel(level)
        os.environ["PATH"] = path
        os.chdir(here)
