"""Attacks on the lines of an attempt file, with and without its hashes written anew: none is marked."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.attacks.forger import Row, assert_earns_nothing, forge, honest, marked, rows_of


@pytest.fixture(scope="module")
def original(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return honest(tmp_path_factory.mktemp("honest"))


@pytest.fixture
def attempt(original: Path, tmp_path: Path) -> Path:
    folder = Path(shutil.copytree(original.parent, tmp_path / "handed in"))
    return folder / original.name


def of(rows: list[Row], action: str) -> Row:
    return next(row for row in rows[1:] if row["action"] == action)


# ---- by hand, hashes left as they were


def lines(path: Path) -> list[bytes]:
    return path.read_bytes().splitlines(keepends=True)


@pytest.mark.parametrize(
    ("what", "sentence"),
    [
        ("value", "line 10 was edited or damaged"),
        ("order", "line 5 does not follow the line before it"),
        ("left out", "line 5 does not follow the line before it"),
        ("doubled", "line 6 does not follow the line before it"),
        ("middle cut", "line 3 was edited or damaged"),
        ("blank line", "is damaged"),
    ],
)
def test_edited_by_hand(attempt: Path, what: str, sentence: str) -> None:
    found = lines(attempt)
    if what == "value":
        found[9] = found[9].replace(b'"display":"', b'"display":"1')
    elif what == "order":
        found[4], found[5] = found[5], found[4]
    elif what == "left out":
        del found[4]
    elif what == "doubled":
        found.insert(5, found[4])
    elif what == "blank line":
        found.insert(5, b"\n")
    data = b"".join(found)
    attempt.write_bytes(data[:900] + data[1100:] if what == "middle cut" else data)
    assert_earns_nothing(marked(attempt.parent), sentence)


def test_spliced(attempt: Path, tmp_path: Path) -> None:
    """The beginning of one attempt and the end of another that went better."""
    other = honest(tmp_path / "other", key="7" * 64)
    attempt.write_bytes(b"".join([*lines(attempt)[:6], *lines(other)[6:]]))
    assert_earns_nothing(marked(attempt.parent), "line 7 does not follow the line before it")


def test_conclusion_cut_off(attempt: Path) -> None:
    """A torn last line is set aside, not believed: the conclusion in it was never made."""
    attempt.write_bytes(attempt.read_bytes()[:-5])
    assert_earns_nothing(marked(attempt.parent), "names no cause yet")


# ---- by one who read the source: every hash written anew


def _set(action: str, /, **changes: object) -> Callable[[list[Row]], None]:
    return lambda rows: of(rows, action).update(changes)


def _give(action: str, /, **arguments: object) -> Callable[[list[Row]], None]:
    return lambda rows: of(rows, action)["arguments"].update(arguments)


def _show(action: str, /, **result: object) -> Callable[[list[Row]], None]:
    return lambda rows: of(rows, action)["result"].update(result)


def _swap(rows: list[Row]) -> None:
    at = [row.get("action") for row in rows]
    early, late = at.index("read_codes"), at.index("measure")
    rows[early], rows[late] = rows[late], rows[early]


def _drop_wait(rows: list[Row]) -> None:
    rows.remove(of(rows, "wait"))


def _judge_first(rows: list[Row]) -> None:
    verdict = of(rows, "judge")
    rows.remove(verdict)
    rows.insert(2, verdict)


def _all_minutes(minute: float) -> Callable[[list[Row]], None]:
    def change(rows: list[Row]) -> None:
        for row in rows[1:]:
            row["minute"] = minute

    return change


FORGED: dict[str, tuple[Callable[[list[Row]], None], str]] = {
    "another value": (_show("measure", display="13.40 V"), "where a replay gives"),
    "another word": (_show("feel", display="cold air"), "where a replay gives"),
    "another unit": (_show("measure", unit="kV"), "where a replay gives"),
    "a reading under another name": (_show("measure", reading="r99"), "where a replay gives"),
    "readings in another order": (_swap, "where a replay gives"),
    "a wait left out": (_drop_wait, "where a replay gives"),
    "a result where none belongs": (
        _set("prepare", result={"display": "1 V", "unit": "V", "reading": "r0"}),
        "where a replay gives",
    ),
    "a result taken away": (_set("read_codes", result=None), "where a replay gives"),
    "clock turned back": (_all_minutes(0.0), "where a replay gives"),
    "clock before the beginning": (_set("measure", minute=-5.0), "where a replay gives"),
    "clock beyond all numbers": (_set("measure", minute=9e9), "where a replay gives"),
    "clock that is no number": (_set("measure", minute=float("nan")), "is damaged"),
    "clock without end": (_set("measure", minute=float("inf")), "is damaged"),
    "a wait back in time": (_give("wait", seconds=-600.0), "cannot have happened"),
    "a wait of a year": (_give("wait", seconds=3.2e7), "cannot have happened"),
    "a wait that is no number": (_give("wait", seconds=float("nan")), "is damaged"),
    "a flag as a number": (_give("switch_parked_cooling", on=1), "cannot have happened"),
    "verdict before the reading": (_judge_first, "cannot have happened"),
    "verdict on a reading never taken": (_give("judge", reading="r77"), "cannot have happened"),
    "a verdict that is none": (_give("judge", verdict="in_spec_indeed"), "cannot have happened"),
    "a look-alike letter in a terminal": (_give("measure", red="Х11.1"), "cannot have happened"),
    "a look-alike letter in a cause": (_give("conclude", cause="k1_cоntact_burnt"), "cannot have happened"),
    "letters apart from their marks": (_give("prepare", step="chock_wheels\u0301"), "cannot have happened"),
    "an invisible sign in a cause": (
        _give("conclude", cause="k1_contact_burnt\u200b"),
        "cannot have happened",
    ),
    "all causes at once": (
        _give("conclude", cause="k1_contact_burnt + fuse_f13_blown + k2_coil_open"),
        "cannot have happened",
    ),
    "a cause beside 'nothing wrong'": (
        _give("conclude", cause="k1_contact_burnt + nothing_wrong"),
        "cannot have happened",
    ),
    "two causes the other way round": (
        _give("conclude", cause="k1_contact_burnt + fuse_f13_blown"),
        "where a replay gives",
    ),
    "an action of one's own making": (_set("prove_meter", action="set_score"), "cannot have happened"),
    "an argument too many": (_give("conclude", points=100), "cannot have happened"),
    "a field too many": (_set("conclude", score=100), "is damaged"),
    "an argument nested": (_give("conclude", cause={"$gt": ""}), "is damaged"),
    "half a letter": (_give("judge", reading="\ud800"), "is damaged"),
}


@pytest.mark.parametrize("what", FORGED)
def test_forged_with_all_hashes_anew(attempt: Path, what: str) -> None:
    change, sentence = FORGED[what]
    forge(attempt, change)  # type: ignore[arg-type]
    assert_earns_nothing(marked(attempt.parent), sentence)


def test_a_key_twice(attempt: Path) -> None:
    """A reader that takes the first of two values and one that takes the last must not differ."""
    data = attempt.read_bytes()
    attempt.write_bytes(data.replace(b'"action":"conclude"', b'"action":"note","action":"conclude"'))
    assert_earns_nothing(marked(attempt.parent), "was edited or damaged")


def test_the_forger_alone_changes_nothing(attempt: Path) -> None:
    """Written anew without a change the file is the same, byte for byte: the refusals above are not the forger's slips."""
    before = attempt.read_bytes()
    forge(attempt, lambda rows: None)
    assert attempt.read_bytes() == before


def test_a_last_digit_rounded_otherwise(attempt: Path, original: Path) -> None:
    """Another machine may round a number up where this one rounds it down: nobody loses an attempt for that, nor wins by it."""
    shown = of(rows_of(original), "measure")["result"]["display"]
    value, unit = shown.split()
    places = len(value.partition(".")[2])
    for steps, taken in ((1, True), (-1, True), (2, False), (-2, False)):
        other = f"{float(value) + steps * 10.0**-places:.{places}f} {unit}"
        forge(attempt, _show("measure", display=other))
        reply = marked(attempt.parent)
        if taken:
            assert reply == marked(original.parent)
            assert reply["state"] == "scored"
        else:
            assert_earns_nothing(reply, "where a replay gives")
        forge(attempt, _show("measure", display=other, reading="r99"))
        assert_earns_nothing(marked(attempt.parent), "where a replay gives")
        forge(attempt, _show("measure", display=shown, reading="r4"))
