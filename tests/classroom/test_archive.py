"""What an archive may not do while it is unpacked."""

from __future__ import annotations

import stat
import zipfile
from pathlib import Path

import pytest

from parked_hvac.classroom import archive as module
from parked_hvac.classroom.archive import unpack
from parked_hvac.classroom.errors import ClassError


def packed(path: Path, *entries: tuple[str | zipfile.ZipInfo, bytes]) -> Path:
    with zipfile.ZipFile(path, "w") as made:
        for name, content in entries:
            made.writestr(name, content)
    return path


def test_is_a_plain_archive_unpacked_even_with_backslashes(tmp_path: Path) -> None:
    odd = zipfile.ZipInfo("A17/lesson/x.jsonl")
    odd.filename = "A17\\lesson\\x.jsonl"
    unpack(packed(tmp_path / "a.zip", (odd, b"x"), ("A17/y.ipynb", b"y")), tmp_path / "out")
    assert (tmp_path / "out/A17/lesson/x.jsonl").read_bytes() == b"x"
    assert (tmp_path / "out/A17/y.ipynb").read_bytes() == b"y"


@pytest.mark.parametrize(
    "name", ["../outside", "/etc/outside", "a/../../outside", "C:/outside", "..\\outside"]
)
def test_is_a_name_that_leads_out_refused(tmp_path: Path, name: str) -> None:
    entry = zipfile.ZipInfo("x")
    entry.filename = name
    with pytest.raises(ClassError, match="leads out of its folder"):
        unpack(packed(tmp_path / "a.zip", (entry, b"x")), tmp_path / "in" / "out")
    assert not list(tmp_path.rglob("outside"))


def test_is_a_link_refused(tmp_path: Path) -> None:
    entry = zipfile.ZipInfo("link")
    entry.external_attr = (stat.S_IFLNK | 0o777) << 16
    with pytest.raises(ClassError, match="leads out of its folder"):
        unpack(packed(tmp_path / "a.zip", (entry, b"/etc/passwd")), tmp_path / "out")


def test_is_an_archive_that_would_fill_the_disk_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "MAX_BYTES", 100)
    with pytest.raises(ClassError, match="that is no lesson's folder"):
        unpack(packed(tmp_path / "a.zip", ("x", b"0" * 101)), tmp_path / "out")


@pytest.mark.parametrize("damage", [b"", b"PK no archive", b"PK\x03\x04" + b"\0" * 40])
def test_is_a_damaged_archive_told_in_a_sentence(tmp_path: Path, damage: bytes) -> None:
    (tmp_path / "a.zip").write_bytes(damage)
    with pytest.raises(ClassError, match=r"a\.zip cannot be unpacked"):
        unpack(tmp_path / "a.zip", tmp_path / "out")


def test_is_a_byte_changed_within_noticed(tmp_path: Path) -> None:
    path = packed(tmp_path / "a.zip", ("x.jsonl", b"the attempt of a learner"))
    data = path.read_bytes()
    path.write_bytes(data.replace(b"the attempt", b"thy attempt"))
    with pytest.raises(ClassError, match="cannot be unpacked"):
        unpack(path, tmp_path / "out")
