"""Is an attempt file read strictly, and is nothing in it ever lost?"""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parked_hvac.job.errors import AttemptError
from parked_hvac.job.lines import LONGEST_FILE_BYTES, LONGEST_LINE_BYTES, MOST_LINES, Line, encoded
from parked_hvac.job.log import LogWriter, create_log, read_log, set_torn_aside
from tests.job.recorded import STEPS, chained, played


@pytest.fixture
def file(tmp_path) -> Path:
    path = tmp_path / "attempt.jsonl"
    path.write_bytes(played())
    return path


def rows_of(data: bytes) -> list[bytes]:
    return data.removesuffix(b"\n").split(b"\n")


def test_does_a_sound_file_read_as_it_was_written(file):
    log = read_log(file)
    assert [(line.action, line.arguments) for line in log.lines] == list(STEPS)
    assert (log.torn, log.unfinished, log.size) == (b"", False, len(played()))


def swapped(rows):
    rows[3], rows[4] = rows[4], rows[3]
    return rows


def edited(old: bytes, new: bytes, row: int):
    def edit(rows):
        assert old in rows[row]
        rows[row] = rows[row].replace(old, new, 1)
        return rows

    return edit


DAMAGES = {
    "a value changed": (edited(b" V", b"0 V", 4), "line 5 was edited or damaged"),
    "an action changed": (edited(b"in_spec", b"out_of_spec", 5), "line 6 was edited or damaged"),
    "a line left out": (lambda rows: rows[:3] + rows[4:], "line 4 does not follow"),
    "a line twice": (lambda rows: [*rows[:4], rows[3], *rows[4:]], "line 5 does not follow"),
    "lines swapped": (swapped, "line 4 does not follow"),
    "the header changed": (edited(b'"A17"', b'"A18"', 0), "line 1 was edited or damaged"),
    "a blank put in": (edited(b'{"n":1,', b'{"n": 1,', 1), "line 2 was edited or damaged"),
    "a key twice": (edited(b'{"n":1,', b'{"n":1,"n":1,', 1), "line 2 was edited or damaged"),
    "a key too many": (edited(b'{"n":1,', b'{"m":1,"n":1,', 1), "line 2 is damaged"),
    "not a number": (edited(b'"minute":0.0', b'"minute":NaN', 1), "line 2 is damaged"),
    "an endless number": (edited(b'"minute":0.0', b'"minute":1e999', 1), "line 2 is damaged"),
    "a number as text": (edited(b'"minute":0.0', b'"minute":"0"', 1), "line 2 is damaged"),
    "a nest of lists": (edited(b'"eye_protection"', b"[" * 9000 + b"]" * 9000, 1), "line 2 is damaged"),
    "bytes that are no text": (edited(b"eye", b"\xff\xfe", 1), "line 2 is damaged"),
    "an empty line": (lambda rows: [*rows[:2], b"", *rows[2:]], "line 3 is damaged"),
    "a line of zeros": (lambda rows: [*rows[:2], b"\0" * 40, *rows[2:]], "line 3 is damaged"),
    "a newer version": (edited(b'"version":1', b'"version":2', 0), "reads up to 1: update the course"),
    "an older version": (edited(b'"version":1', b'"version":0', 0), "older than this course reads"),
    "another format": (
        edited(b"parked-hvac attempt", b"grocery list", 0),
        "give an attempt file of this course",
    ),
    "no header": (lambda rows: rows[1:], "line 1 is no header"),
    "a huge line": (
        lambda rows: [*rows[:2], b"x" * (LONGEST_LINE_BYTES + 1), *rows[2:]],
        f"line 3 has {LONGEST_LINE_BYTES + 1} bytes",
    ),
    "too many lines": (lambda rows: rows + [b"x"] * MOST_LINES, "start a new attempt"),
}


@pytest.mark.parametrize("damage", DAMAGES)
def test_is_damage_named_with_line_and_remedy_and_the_file_left_alone(file, damage):
    change, sentence = DAMAGES[damage]
    data = b"\n".join(change(rows_of(played()))) + b"\n"
    file.write_bytes(data)
    with pytest.raises(AttemptError, match=re.escape(sentence)) as refusal:
        read_log(file)
    told = str(refusal.value)
    assert str(file) in told
    assert "\n" not in told
    assert re.search(r"(: |, )(restore|start|update|give|delete)", told)
    assert file.read_bytes() == data
    assert os.listdir(file.parent) == [file.name]


def test_is_a_line_of_another_attempt_noticed(file):
    rows = [msgspec.json.decode(row) for row in rows_of(played())]
    header = msgspec.convert({**rows[0], "learner": "B02", "hash": ""}, type=type(read_log(file).header))
    other = chained([header, *read_log(file).lines])
    spliced = rows_of(played())[:4] + rows_of(other)[4:]
    file.write_bytes(b"\n".join(spliced) + b"\n")
    with pytest.raises(AttemptError, match="line 5 does not follow"):
        read_log(file)


@pytest.mark.parametrize("content", [b"", b"\n", b"{}", b"\x00\x01\x02", b"null\n", b"[" * 50_000 + b"\n"])
def test_is_a_file_that_is_no_attempt_a_clear_error(tmp_path, content):
    path = tmp_path / "a.jsonl"
    path.write_bytes(content)
    with pytest.raises(AttemptError, match=r"(delete it|restore) "):
        read_log(path)


def test_is_a_path_to_nothing_or_to_a_folder_a_clear_error(tmp_path):
    with pytest.raises(AttemptError, match="There is no attempt file"):
        read_log(tmp_path / "none.jsonl")
    with pytest.raises(AttemptError, match="is no file"):
        read_log(tmp_path)


def test_is_a_huge_file_refused_before_it_is_read(tmp_path):
    path = tmp_path / "a.jsonl"
    with path.open("wb") as handle:
        handle.truncate(LONGEST_FILE_BYTES + 1)
    with pytest.raises(AttemptError, match="more than an attempt can have"):
        read_log(path)


def test_are_line_ends_of_another_system_harmless(file):
    file.write_bytes(played().replace(b"\n", b"\r\n"))
    assert len(read_log(file).lines) == len(STEPS)


@settings(max_examples=300, deadline=None)
@given(st.integers(0, len(played()) - 1), st.integers(1, 255))
def test_does_no_change_of_a_byte_ever_pass_for_other_work(tmp_path_factory, place: int, flip: int):
    data = bytearray(played())
    data[place] ^= flip
    path = tmp_path_factory.mktemp("flip") / "a.jsonl"
    path.write_bytes(bytes(data))
    sound = [encoded(msgspec.convert(json.loads(row), type=Line)) for row in rows_of(played())[1:]]
    try:
        found = [encoded(line) for line in read_log(path).lines]
    except AttemptError:
        return
    # Only the newline at the end may have become a torn tail; no line may differ.
    assert found in (sound, sound[:-1])
    assert place == len(data) - 1


def test_is_a_last_line_cut_at_any_byte_kept_aside(tmp_path):
    whole = played()
    last = whole.rindex(b"\n", 0, len(whole) - 1) + 1
    for cut in range(last + 1, len(whole) - 1):
        path = tmp_path / f"cut-{cut}.jsonl"
        path.write_bytes(whole[:cut])
        log = read_log(path)
        assert len(log.lines) == len(STEPS) - 1
        aside = set_torn_aside(log)
        assert aside is not None
        assert aside.read_bytes() == whole[last:cut]
        assert path.read_bytes() == whole[:last]
        aside.unlink()
        path.unlink()


def test_does_a_whole_last_line_without_newline_count(tmp_path):
    path = tmp_path / "a.jsonl"
    path.write_bytes(played()[:-1])
    log = read_log(path)
    assert len(log.lines) == len(STEPS)
    assert set_torn_aside(log) is None
    assert path.read_bytes() == played()


def test_is_an_earlier_side_file_never_overwritten(tmp_path):
    path = tmp_path / "a.jsonl"
    for tail in (b'{"n":12', b'{"n":12,"minute"'):
        path.write_bytes(played() + tail)
        set_torn_aside(read_log(path))
    kept = sorted(file.read_bytes() for file in tmp_path.glob("a.jsonl.torn-*"))
    assert kept == [b'{"n":12', b'{"n":12,"minute"']


def test_is_a_file_that_is_there_never_overwritten(file):
    header = read_log(file).header
    with pytest.raises(AttemptError, match="never overwritten: go on with resume"):
        create_log(file, header)
    assert file.read_bytes() == played()


def test_does_a_writer_notice_that_another_went_on(file):
    log = read_log(file)
    first, second = LogWriter(log), LogWriter(log)
    line = Line(0, 10.0, "note", {"text": "mine"}, None, "")
    first.append(first.next_line(line))
    kept = file.read_bytes()
    with pytest.raises(AttemptError, match="changed by another window or program"):
        second.append(second.next_line(line))
    assert file.read_bytes() == kept


def test_does_a_full_disk_lose_nothing(file, monkeypatch):
    writer = LogWriter(read_log(file))

    def full(_handle):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        with pytest.raises(AttemptError, match="No space left on device"):
            writer.append(writer.next_line(Line(0, 10.0, "note", {"text": "x"}, None, "")))
    assert file.read_bytes() == played()
