"""Submissions scored together get the marks that each alone would get, and none can spoil another's."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from threading import Barrier
from typing import Any

import pytest

from parked_hvac.assessment import apart
from parked_hvac.classroom import clean
from parked_hvac.classroom.clean import Limits, Work, score_together
from parked_hvac.classroom.exercises import Exercise
from parked_hvac.classroom.guarded import Overrun
from parked_hvac.classroom.results import ExerciseMark

JOB = Exercise("job", 60.0, "job_points", (("order", "night-call"), ("maximum", 60.0)))


def work(learner: str) -> Work:
    return Work([JOB], Path(f"/none/{learner}"), learner, "key")


def reply(learner: str) -> dict[str, object]:
    return {"replies": [{"state": "scored", "points": 10.0 + int(learner[1:]), "reason": ""}]}


class Judges:
    """Stands for the processes: answers what it is asked, line by line, and fails at those who spoil it."""

    def __init__(
        self, monkeypatch: pytest.MonkeyPatch, spoilt: str = "", say: str = "", after: str = ""
    ) -> None:
        self.spoilt, self.say, self.after = spoilt, say, after
        self.asked: list[list[str]] = []
        self.threads: set[str] = set()
        monkeypatch.setattr(clean, "run_guarded", self.run)

    def run(
        self,
        command: Sequence[str],
        request: bytes,
        *_: object,
        heard: Callable[[bytes], None] | None = None,
        environment: Mapping[str, str] | None = None,
    ) -> bytes:
        asked = json.loads(request)
        if "many" not in asked:
            self.asked.append([asked["learner"]])
            if asked["learner"] == self.spoilt:
                raise Overrun("it took longer than 900 s.")
            return json.dumps(reply(asked["learner"])).encode()
        assert heard is not None
        assert environment is not None
        self.threads.add(environment["PARKED_HVAC_THREADS"])
        names = [one["learner"] for one in asked["many"]]
        which, of = asked["share"]
        mine = [place for place in range(which, len(names), of) if not self.claimed(asked, place)]
        self.asked.append([names[place] for place in mine])

        def say(**line: object) -> None:
            heard(json.dumps(line).encode())

        for place in mine:
            (Path(asked["common"]) / str(place)).touch(exist_ok=False)
            say(place=place)
            if names[place] == self.spoilt:
                if not self.say and not self.after:
                    raise Overrun("it took longer than 900 s.")
                if self.say:
                    heard(self.say.encode())
            say(place=place, **reply(names[place]))
            if names[place] == self.spoilt and self.after:
                heard(self.after.encode())
        return b""

    @staticmethod
    def claimed(asked: Mapping[str, Any], place: int) -> bool:
        """Whether a process has begun it, which leaves a mark in the folder that the request names."""
        return (Path(asked["common"]) / str(place)).exists()


def together(count: int, workers: int = 1) -> list[ExerciseMark]:
    """The first mark of each of so many submissions."""
    found: dict[int, ExerciseMark] = {}

    def scored(place: int, marks: list[ExerciseMark]) -> None:
        assert place not in found
        found[place] = marks[0]

    score_together(works(count), Limits(), workers, scored)
    return [found[place] for place in range(count)]


def points(count: int, workers: int = 1) -> list[float | None]:
    return [mark.points for mark in together(count, workers)]


def works(count: int) -> list[Work]:
    return [work(f"K{number}") for number in range(1, count + 1)]


def test_does_a_process_that_fails_at_one_go_on_with_the_others(monkeypatch: pytest.MonkeyPatch) -> None:
    judges = Judges(monkeypatch, spoilt="K2")
    found = together(4)
    assert [mark.points for mark in found] == [11.0, None, 13.0, 14.0]
    assert found[1].state == "refused"
    assert "longer than 900 s" in found[1].reason
    assert judges.asked == [["K1", "K2", "K3", "K4"], ["K2"], ["K3", "K4"]]


def test_does_one_process_do_for_all_where_nothing_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    judges = Judges(monkeypatch)
    assert points(3) == [11.0, 12.0, 13.0]
    assert judges.asked == [["K1", "K2", "K3"]]
    assert points(0) == []


def test_do_workers_share_the_submissions_and_the_processors(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("os.cpu_count", lambda: 6)
    judges = Judges(monkeypatch, spoilt="K4")
    assert points(5, workers=2) == [11.0, 12.0, 13.0, None, 15.0]
    # Who has failed at one asks once more while the other is still at its own, and may find nothing left.
    assert sorted(filter(None, judges.asked)) == [["K1", "K3", "K5"], ["K2", "K4"], ["K4"]]
    assert judges.threads == {"3"}


@pytest.mark.parametrize("when", ["say", "after"])  # amid an answer, or before the next is begun
@pytest.mark.parametrize(
    "nonsense",
    [
        "no line of ours",
        "[]",
        '{"place": 7}',
        '{"place": 0, "replies": [{"state": "scored", "points": 60.0}]}',
        '{"place": 0}',
        '{"place": -1}',
        '{"place": "K3"}',
        '{"place": [2]}',
        '{"place": 1, "replies": [{"state": "scored", "points": 60.0}, 1]}',
    ],
)
def test_is_a_process_that_talks_nonsense_believed_no_more(
    nonsense: str, when: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What it had said before stands; from there on each is scored again, the one at which it began to rave alone."""
    judges = Judges(monkeypatch, spoilt="K2", **{when: nonsense})
    monkeypatch.setattr(
        clean, "score_apart", lambda work, _: clean._marks(work, reply(work.learner)["replies"])
    )
    assert points(3) == [11.0, 12.0, 13.0]
    assert judges.asked[0] == ["K1", "K2", "K3"]


def test_is_no_submission_answered_by_two(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever a process says: the second that begins at one is not heard on it."""
    all_there = Barrier(3)

    def run(
        command: Sequence[str],
        request: bytes,
        *_: object,
        heard: Callable[[bytes], None] | None = None,
        **__: object,
    ) -> bytes:
        asked = json.loads(request)
        names = [one["learner"] for one in asked["many"]]
        assert heard is not None
        all_there.wait()
        for place, name in enumerate(names):
            heard(json.dumps({"place": place}).encode())
            heard(json.dumps({"place": place, **reply(name)}).encode())
        return b""

    monkeypatch.setattr(clean, "run_guarded", run)
    assert points(4, workers=3) == [11.0, 12.0, 13.0, 14.0]


def test_is_one_left_out_scored_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    def run(command: Sequence[str], request: bytes, *_: object, heard: object = None, **__: object) -> bytes:
        asked = json.loads(request)
        return b"" if "many" in asked else json.dumps(reply(asked["learner"])).encode()

    monkeypatch.setattr(clean, "run_guarded", run)
    assert points(2, workers=2) == [11.0, 12.0]


def names_of(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """Requests for five submissions, two of which begin alike, answered with the learner's name."""
    beginnings = {"K1": "c", "K2": "a", "K3": "b", "K4": "a", "K5": ""}
    monkeypatch.setattr(apart, "_beginning", lambda request: beginnings[request["learner"]])
    monkeypatch.setattr(apart, "answer", lambda request: {"replies": request["learner"]})
    return [{"learner": name} for name in beginnings]


def test_are_those_that_begin_alike_answered_in_a_row(monkeypatch: pytest.MonkeyPatch) -> None:
    told = list(apart.answers(names_of(monkeypatch)))
    assert [line["place"] for line in told[::2]] == [4, 1, 3, 2, 0]
    assert told[:4] == [
        {"place": 4},
        {"place": 4, "replies": "K5"},
        {"place": 1},
        {"place": 1, "replies": "K2"},
    ]
    shares = [
        [line["place"] for line in apart.answers(names_of(monkeypatch), (one, 3))][::2] for one in range(3)
    ]
    assert shares == [[4], [3, 1], [2, 0]]


def test_does_who_has_done_with_their_share_take_from_the_others(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """From the end, so that both go on with those that begin alike; each is answered once."""
    requests = names_of(monkeypatch)
    slow = apart.answers(requests, (1, 2), tmp_path)
    begun = [next(slow)["place"]]  # the first of its share, and is long at it
    quick = [line["place"] for line in apart.answers(requests, (0, 2), tmp_path)][::2]
    assert begun == [0]
    assert quick == [4, 1, 3, 2]
    assert [line["place"] for line in slow] == [0]
