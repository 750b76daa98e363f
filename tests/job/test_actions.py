"""Does the vocabulary hold what it lists, and refuse everything else with a sentence?"""

from __future__ import annotations

import re

import pytest

from parked_hvac.job.actions import LONGEST_TEXT, actions, checked
from parked_hvac.job.errors import Refused
from parked_hvac.job.labour import labour
from parked_hvac.job.verbs import VERBS


def test_is_every_listed_verb_done_somewhere_and_the_other_way_round():
    assert set(actions()) == set(VERBS)


def test_does_every_labour_time_belong_to_a_verb():
    assert set(labour().verbs) <= set(actions())
    told = {verb: action.minutes for verb, action in actions().items() if isinstance(action.minutes, float)}
    assert told == labour().verbs


def test_does_every_action_tell_a_sentence_and_allowed_values():
    for action in actions().values():
        assert action.sentence.endswith(".")
        for argument in action.arguments:
            if argument.type == "name":
                assert argument.names
            if argument.type in ("whole", "number"):
                assert argument.low is not None
                assert argument.high is not None


@pytest.mark.parametrize(
    ("verb", "arguments", "sentence"),
    [
        ("mesure", {}, "did you mean 'measure'?"),
        ("", {}, "No action is called ''"),
        ("measure", {"functoin": "ohms"}, "did you mean 'function'?"),
        ("measure", {"function": "amps"}, "No function is called 'amps'; choose one of"),
        ("measure", {"function": "dc_volts", "red": "G2.5+", "black": "X0"}, "did you mean 'G2."),
        ("touch_leads", {"red": "X0"}, "leave it out."),
        ("switch_key", {}, "switch_key needs 'position': choose one of off, on, engine."),
        ("switch_parked_cooling", {"on": 1}, "give true or false."),
        ("switch_parked_cooling", {"on": "true"}, "give true or false."),
        ("set_blower", {"step": 6}, "give a whole number from 0 to 5."),
        ("set_blower", {"step": 2.5}, "give a whole number from 0 to 5."),
        ("set_blower", {"step": True}, "give a whole number from 0 to 5."),
        ("set_temperature", {"celsius": 15.9}, "give a number from 16 to 28."),
        ("set_temperature", {"celsius": True}, "give a number from 16 to 28."),
        ("wait", {"seconds": 0}, "give a number from 1 to 28800."),
        ("wait", {"seconds": float("nan")}, "give a number from 1 to 28800."),
        ("wait", {"seconds": float("inf")}, "give a number from 1 to 28800."),
        ("wait", {"seconds": 10**400}, "give a number from 1 to 28800."),
        ("wait", {"seconds": 10**9000}, "give a number from 1 to 28800."),
        ("wait", {"seconds": "60"}, "give a number from 1 to 28800."),
        ("wait", {"seconds": [60]}, "give a number from 1 to 28800."),
        ("note", {"text": "x" * (LONGEST_TEXT + 1)}, f"give a text of 1 to {LONGEST_TEXT} characters."),
        ("note", {"text": "\x1b[31m"}, "a sign that cannot be printed"),
        ("note", {"text": "\ud800"}, "a sign that cannot be printed"),
        ("write_up", {"complaint": " ", "cause": "x", "correction": "y"}, "complaint is empty"),
        ("conclude", {"cause": "x" * 5000}, "No cause is called"),
    ],
)
def test_is_a_wrong_action_refused_with_the_remedy(verb, arguments, sentence):
    with pytest.raises(Refused, match=re.escape(sentence)) as refusal:
        checked(verb, arguments)
    assert "\n" not in str(refusal.value)
    assert len(str(refusal.value)) < 400


def test_are_numbers_brought_into_one_form():
    assert checked("wait", {"seconds": 60}) == {"seconds": 60.0}
    assert isinstance(checked("wait", {"seconds": 60})["seconds"], float)
    assert checked("measure", {"function": None, "red": None, "black": None}) == {}
