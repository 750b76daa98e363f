"""Does a cell open the right attempt, at every run, and never a new one while it is graded?"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from nbconvert.filters import clean_html

from parked_hvac.bench import bench
from parked_hvac.bench.summary import Notice, Summary
from parked_hvac.bench.widget import Bench
from parked_hvac.job.attempt import Attempt, start
from parked_hvac.job.order import order_named
from parked_hvac.job.seal import issue_hand_out, write_hand_out


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    yield tmp_path
    from parked_hvac.bench import opening

    opening._open.clear()


def opened(order: str = "night-call", **given: object) -> Bench:
    made = bench(order, **given)  # type: ignore[arg-type]
    assert isinstance(made, Bench), made
    return made


def test_the_first_run_begins_an_attempt_beside_the_notebook(folder: Path) -> None:
    assert opened().attempt.path == Path("night-call.jsonl")
    assert (folder / "night-call.jsonl").exists()
    assert opened().attempt.learner == "self-study"


def test_a_second_run_goes_on_and_takes_the_first_ones_place() -> None:
    first = opened()
    first.receive({"do": "act", "verb": "prepare", "step": "chock_wheels"})
    second = opened()
    assert second.attempt.prepared == {"chock_wheels"}
    first.receive({"do": "act", "verb": "prepare", "step": "eye_protection"})  # retired: it writes no more
    second.receive({"do": "act", "verb": "prepare", "step": "rings_off"})
    assert opened().attempt.prepared == {"chock_wheels", "rings_off"}


def test_the_hand_out_beside_the_notebook_says_who_works_here(folder: Path) -> None:
    write_hand_out(
        issue_hand_out("fall", "L03", [order_named("night-call")], b"a class key of some length"),
        folder / "hand-out.json",
    )
    assert opened().attempt.learner == "L03"


def test_a_named_learner_and_path_are_taken(folder: Path) -> None:
    made = opened(path=folder / "mine.jsonl", learner="A17")
    assert (made.attempt.learner, made.attempt.path) == ("A17", folder / "mine.jsonl")


@pytest.mark.parametrize(
    ("order", "content", "says"),
    [
        ("nightcall", None, "did you mean 'night-call'?"),
        ("night-call", "{}\n", "night-call.jsonl"),
        ("night-call", "garbage", "night-call.jsonl"),
    ],
)
def test_what_cannot_be_opened_is_one_sentence_and_no_traceback(
    folder: Path, order: str, content: str | None, says: str
) -> None:
    if content is not None:
        (folder / "night-call.jsonl").write_text(content)
    made = bench(order)
    assert isinstance(made, Notice)
    assert says in made.sentence
    if content is not None:
        assert (folder / "night-call.jsonl").read_text() == content


def test_an_attempt_at_another_order_is_not_gone_on_with(folder: Path) -> None:
    start("first-look", "A17", folder / "night-call.jsonl")
    made = bench("night-call")
    assert isinstance(made, Notice)
    assert "holds an attempt at 'first-look', not at 'night-call'" in made.sentence


def test_while_it_is_graded_no_attempt_begins(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    made = bench("night-call")
    assert isinstance(made, Notice)
    assert made.sentence == "No attempt at 'night-call' yet."
    assert list(folder.iterdir()) == []


def test_while_it_is_graded_the_attempt_is_shown_and_left_alone(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = opened()
    first.receive({"do": "act", "verb": "look", "location": "cab"})
    first.receive(
        {"do": "act", "verb": "write_up", "complaint": "<script>1</script>", "cause": "b", "correction": "c"}
    )
    before = (folder / "night-call.jsonl").read_bytes()
    monkeypatch.setenv("NBGRADER_EXECUTION", "validate")
    made = bench("night-call")
    assert isinstance(made, Summary)
    assert repr(made) == "Attempt at 'night-call' by self-study: 1 readings in 1 min, cause named: none yet"
    html = made._repr_html_()
    assert "look, Cab" in html
    assert "not judged" in html
    assert "<script>" not in html
    assert (folder / "night-call.jsonl").read_bytes() == before


def test_a_reopened_notebook_says_what_to_do(folder: Path) -> None:
    from parked_hvac.bench.summary import not_connected

    text = not_connected("Night call <&>")
    assert "Run this cell again" in text
    assert "Night call &lt;&amp;&gt;" in text


def test_newcomers_get_prompts() -> None:
    assert "guide" in opened(guided=True)._panels
    assert "guide" not in opened()._panels


def test_does_the_instructors_marking_page_show_a_summary_without_tags(attempt: Attempt) -> None:
    """nbgrader's page cleans outputs by nbconvert's own filter, which prints tags that it does not know as text."""
    attempt.do("feel", location="bunk")
    attempt.do("write_up", complaint="<b>no</b> cold", cause="fuse", correction="new fuse")
    shown = clean_html(Summary(attempt)._repr_html_())
    assert "<ol><li>" in shown
    assert shown.replace("&lt;b&gt;no&lt;/b&gt;", "").count("&lt;") == 0
    assert "&lt;" not in clean_html(Notice("Not here.")._repr_html_())
