"""Submissions scored together get the marks that each alone would get, and none can spoil another's."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

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

    def __init__(self, monkeypatch: pytest.MonkeyPatch, spoilt: str = "", say: str = "") -> None:
        self.spoilt, self.say = spoilt, say
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
        own = range(which, len(names), of)
        self.asked.append([names[place] for place in own])

        def say(**line: object) -> None:
            heard(json.dumps(line).encode())

        say(share=list(own))
        for place in own:
            say(place=place)
            if names[place] == self.spoilt:
                if not self.say:
                    raise Overrun("it took longer than 900 s.")
                heard(self.say.encode())
            say(place=place, **reply(names[place]))
        return b""


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
    assert sorted(judges.asked) == [["K1", "K3", "K5"], ["K2", "K4"], ["K4"]]
    assert judges.threads == {"3"}


@pytest.mark.parametrize(
    "nonsense",
    [
        "no line of ours",
        "[]",
        '{"place": 7}',
        '{"place": 0, "replies": []}',
        '{"place": 1, "replies": [{"state": "scored", "points": 60.0}, 1]}',
        '{"share": [9]}',
    ],
)
def test_is_a_process_that_talks_nonsense_believed_no_more(
    nonsense: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What it had said before stands; from there on each is scored again, the one at which it began to rave alone."""
    judges = Judges(monkeypatch, spoilt="K2", say=nonsense)
    monkeypatch.setattr(
        clean, "score_apart", lambda work, _: clean._marks(work, reply(work.learner)["replies"])
    )
    assert points(3) == [11.0, 12.0, 13.0]
    assert judges.asked[0] == ["K1", "K2", "K3"]


def test_is_one_left_out_scored_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    def run(command: Sequence[str], request: bytes, *_: object, heard: object = None, **__: object) -> bytes:
        asked = json.loads(request)
        return b"" if "many" in asked else json.dumps(reply(asked["learner"])).encode()

    monkeypatch.setattr(clean, "run_guarded", run)
    assert points(2, workers=2) == [11.0, 12.0]


def test_are_those_that_begin_alike_answered_in_a_row_and_each_by_one_process(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    beginnings = {"K1": "c", "K2": "a", "K3": "b", "K4": "a", "K5": ""}
    monkeypatch.setattr(apart, "_beginning", lambda request: beginnings[request["learner"]])
    monkeypatch.setattr(apart, "answer", lambda request: {"replies": request["learner"]})
    requests = [{"learner": name} for name in beginnings]
    told = list(apart.answers(requests))
    assert told[0] == {"share": [4, 1, 3, 2, 0]}
    assert told[1:5] == [
        {"place": 4},
        {"place": 4, "replies": "K5"},
        {"place": 1},
        {"place": 1, "replies": "K2"},
    ]
    shares = [next(apart.answers(requests, (which, 3)))["share"] for which in range(3)]
    assert shares == [[4], [1, 3], [2, 0]]
