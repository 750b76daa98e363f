"""Attacks by what lies in, or leads out of, the folder or archive that is handed in."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path

import pytest

from parked_hvac.assessment.cell import command
from parked_hvac.classroom.archive import MAX_BYTES, unpack
from parked_hvac.classroom.errors import ClassError
from parked_hvac.classroom.guarded import run_guarded
from tests.attacks.forger import (
    KEY,
    LEARNER,
    MAXIMUM,
    NAME,
    ORDER,
    OTHER,
    assert_earns_nothing,
    begun,
    honest,
    marked,
)


def test_a_link_to_another_s_attempt(tmp_path: Path) -> None:
    others = honest(tmp_path / OTHER, OTHER)
    own = begun(tmp_path / LEARNER).path
    own.unlink()
    own.symlink_to(others)
    assert_earns_nothing(marked(tmp_path / LEARNER), "is a link")


def test_an_order_that_is_a_path(tmp_path: Path) -> None:
    """The name of the order comes from the lesson, never from the folder; a path in it finds no order."""
    from parked_hvac.assessment.apart import Submission, evaluate

    honest(tmp_path / "other")
    (tmp_path / "own").mkdir()
    reply = evaluate(
        "job_points",
        {"order": f"../other/{ORDER}", "maximum": MAXIMUM},
        Submission(tmp_path / "own", LEARNER, KEY),
    )
    assert not reply["points"]
    assert reply["state"] == "refused"


def test_an_archive_that_leads_out(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "a.zip", "w") as made:
        made.writestr("../../class-key.txt", "0" * 64)
    with pytest.raises(ClassError, match="leads out of its folder"):
        unpack(tmp_path / "a.zip", tmp_path / "in" / "out")


def test_a_small_archive_of_huge_content(tmp_path: Path) -> None:
    """Zeros pack a thousandfold; what the archive would unpack to is asked before anything is written."""
    path = tmp_path / "bomb.zip"
    block = bytes(1_000_000)
    with (
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as made,
        made.open("x.jsonl", "w") as file,
    ):
        for _ in range(MAX_BYTES // len(block) + 1):
            file.write(block)
    assert path.stat().st_size < 2_000_000
    with pytest.raises(ClassError, match="that is no lesson's folder"):
        unpack(path, tmp_path / "out")
    assert not list((tmp_path / "out").glob("**/*")) if (tmp_path / "out").exists() else True


def test_an_archive_that_lies_about_its_size(tmp_path: Path) -> None:
    path = tmp_path / "lie.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("x.jsonl", bytes(100_000))
    data = path.read_bytes()
    told = (100_000).to_bytes(4, "little")
    assert data.count(told) == 2  # beside the file, and in the table at the end
    path.write_bytes(data.replace(told, (10).to_bytes(4, "little")))
    with pytest.raises(ClassError, match=r"lies about the size|cannot be unpacked"):
        unpack(path, tmp_path / "out")
    assert sum(found.stat().st_size for found in (tmp_path / "out").rglob("*") if found.is_file()) <= 10


def test_archives_in_archives_end(tmp_path: Path) -> None:
    """A chain of archives is followed a few steps and then left; it cannot go on for ever."""
    from parked_hvac.classroom import collect as module

    content = b""
    for _ in range(40):
        buffer = io.BytesIO()
        with zipfile.ZipFile(buffer, "w") as made:
            made.writestr("next.zip", content)
        content = buffer.getvalue()
    (tmp_path / "chain.zip").write_bytes(content)
    (tmp_path / "scratch").mkdir()
    found = module._look(tmp_path / "chain.zip", tmp_path / "scratch", [ORDER], (), "chain.zip", [])
    assert found == []
    assert sum(1 for _ in (tmp_path / "scratch").iterdir()) < 12


def test_modules_that_pose_as_the_judge_s_own(tmp_path: Path) -> None:
    """Files named numpy.py or sitecustomize.py beside the attempt are not what the clean process imports."""
    begun(tmp_path)
    trap = "import pathlib; pathlib.Path('ran').write_text('x'); raise SystemExit\n"
    for name in ("numpy", "json", "msgspec", "sitecustomize", "usercustomize", "parked_hvac"):
        (tmp_path / f"{name}.py").write_text(trap)
    request = {
        "exercises": [{"scorer": "job_points", "arguments": {"order": ORDER, "maximum": MAXIMUM}}],
        "folder": str(tmp_path),
        "learner": LEARNER,
        "class_key": KEY,
    }
    reply = json.loads(run_guarded(command(), json.dumps(request).encode(), 120.0, 3_000_000_000))["replies"][
        0
    ]
    assert_earns_nothing(reply, "names no cause yet")
    assert not list(tmp_path.rglob("ran"))


def test_a_hand_out_with_another_name(tmp_path: Path) -> None:
    """Whose folder it is says the class, not the hand-out in it."""
    honest(tmp_path, OTHER)
    assert_earns_nothing(marked(tmp_path, LEARNER), f"not of '{LEARNER}'")
    text = (tmp_path / "hand-out.json").read_text("utf-8")
    (tmp_path / "hand-out.json").write_text(text.replace(OTHER, LEARNER), "utf-8")
    assert_earns_nothing(marked(tmp_path, LEARNER), f"not of '{LEARNER}'")


def test_results_written_by_the_learner(tmp_path: Path) -> None:
    """A file of marks, a gradebook or a report in the handed-in folder is read by nobody."""
    begun(tmp_path)
    for name in ("results.json", "gradebook.db", f"{ORDER}-points.json", "night-call.report.json"):
        (tmp_path / name).write_text('{"points": 60.0, "state": "scored"}')
    assert_earns_nothing(marked(tmp_path), "names no cause yet")
    assert (tmp_path / NAME).exists()
