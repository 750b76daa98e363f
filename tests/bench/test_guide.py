"""Do prompts wait for their readings, ask, and explain only after an answer?"""

from __future__ import annotations

from parked_hvac.bench.guide import FIRST_STEPS, Progress, Prompt, view
from parked_hvac.bench.widget import Bench
from parked_hvac.job.attempt import Attempt

AT_F6 = Prompt(
    "Read F6.", "Which side?", ("supply", "load"), right=1, explanation="Load.", at=("F6.1", "F6.2")
)


def read(attempt: Attempt, red: str, black: str) -> None:
    attempt.do("measure", function="dc_volts", red=red, black=black)


def test_a_prompt_waits_for_a_reading_at_its_terminals(attempt: Attempt) -> None:
    progress = Progress((AT_F6,))
    read(attempt, "F6.1", "S3.2")
    assert view(attempt, progress)["text"] == "Read F6."
    read(attempt, "F6.2", "F6.1")
    assert view(attempt, progress)["text"] == "Which side?"


def test_a_reading_written_down_where_the_leads_lie_counts_too(attempt: Attempt) -> None:
    attempt.do("place_leads", function="dc_volts", red="F6.1", black="F6.2")
    attempt.do("measure")
    assert AT_F6.met(attempt)


def test_the_explanation_comes_after_an_answer_even_a_wrong_one(attempt: Attempt) -> None:
    progress = Progress((AT_F6,))
    read(attempt, "F6.1", "F6.2")
    assert view(attempt, progress)["explanation"] == ""
    progress.choose(0)
    shown = view(attempt, progress)
    assert (shown["verdict"], shown["explanation"]) == ("Not quite.", "Load.")
    progress.choose(1)
    assert view(attempt, progress)["verdict"] == "Yes."


def test_an_answer_out_of_range_is_no_answer(attempt: Attempt) -> None:
    progress = Progress((AT_F6,))
    read(attempt, "F6.1", "F6.2")
    progress.choose(5)
    assert view(attempt, progress)["answer"] is None


def test_a_prompt_counts_readings(attempt: Attempt) -> None:
    twice = Prompt("Twice.", explanation="Good.", readings=2)
    read(attempt, "F6.1", "F6.2")
    assert not twice.met(attempt)
    read(attempt, "F6.1", "F6.2")
    assert twice.met(attempt)
    assert view(attempt, Progress((twice,)))["explanation"] == "Good."


def test_the_guide_at_the_bench_goes_on_and_ends(attempt: Attempt) -> None:
    desk = Bench(attempt, (AT_F6,))
    desk.receive({"do": "act", "verb": "measure", "function": "dc_volts", "red": "F6.1", "black": "F6.2"})
    desk.receive({"do": "answer", "answer": 1})
    assert desk._panels["guide"].view["next"] == "Close the guide"
    desk.receive({"do": "guide_on"})
    assert desk._panels["guide"].view["done"] is True
    desk.receive({"do": "answer", "answer": 0})
    assert desk._panels["guide"].view["done"] is True


def test_the_first_steps_can_be_done(attempt: Attempt) -> None:
    for prompt in FIRST_STEPS:
        assert not prompt.met(attempt)
    attempt.do("prove_meter")
    attempt.do("open_cover", cover="aux_bank_lid")
    read(attempt, "G2+", "X0")
    read(attempt, "G2+", "X0")
    assert all(prompt.met(attempt) for prompt in FIRST_STEPS)
