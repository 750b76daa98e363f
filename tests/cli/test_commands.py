"""Do the commands print what a person reads and what a program parses, with the right exit status?"""

from __future__ import annotations

import json
import subprocess
import sys
import types
from dataclasses import dataclass
from pathlib import Path

import click
import pytest

from parked_hvac.cli import cli, main
from parked_hvac.job.actions import actions
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.faults import faults
from tests.job.recorded import STEPS, played


@pytest.fixture
def run(capsys):
    """Run a command in this process; exit status, standard output, standard error."""

    def ran(*arguments: object) -> tuple[int, str, str]:
        status = 0
        try:
            main([str(argument) for argument in arguments])
        except SystemExit as end:
            status = int(end.code or 0)
        captured = capsys.readouterr()
        return status, captured.out, captured.err

    return ran


@pytest.fixture
def script(tmp_path) -> Path:
    path = tmp_path / "actions.jsonl"
    rows = [json.dumps({"action": verb, "arguments": arguments}) for verb, arguments in STEPS]
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


@pytest.fixture
def attempt(tmp_path) -> Path:
    path = tmp_path / "attempt.jsonl"
    path.write_bytes(played())
    return path


def leaves(group: click.Group, context: click.Context) -> list[str]:
    return [
        name for name in group.list_commands(context) if name not in ("class", "judge")
    ]  # groups of commands


@pytest.mark.parametrize("name", leaves(cli, click.Context(cli)))
def test_does_every_command_explain_itself_and_offer_json(run, name):
    status, out, _ = run(name, "--help")
    assert status == 0
    assert "--json" in out
    assert out.count("\n") > 5


@pytest.mark.parametrize(
    ("command", "key", "expected"),
    [
        ("orders", "id", {"first-look", "night-call"}),
        ("faults", "id", set(faults())),
        ("terminals", "name", set(catalogue().terminals)),
        ("actions", "verb", set(actions())),
        ("skills", "id", {"safe_work", "voltage_drop", "write_up"}),
    ],
)
def test_does_every_list_read_as_json_and_as_lines(run, command, key, expected):
    status, out, err = run(command, "--json")
    rows = json.loads(out)
    assert (status, err) == (0, "")
    assert expected <= {row[key] for row in rows}
    status, out, _ = run(command)
    assert status == 0
    assert len(out.splitlines()) == len(rows)


def test_does_the_list_of_orders_keep_the_pool_to_itself(run):
    _, out, _ = run("orders", "--json")
    assert "pool" not in json.loads(out)[0]
    assert not any(name in out for name in faults())


def test_do_actions_list_types_values_minutes_and_hazards(run):
    rows = {row["verb"]: row for row in json.loads(run("actions", "--json")[1])}
    assert rows["measure"]["minutes"] == 1.0
    assert rows["measure"]["hazard"] == "live"
    function = rows["measure"]["arguments"][0]
    assert (function["name"], function["type"], function["required"]) == ("function", "name", False)
    assert "dc_volts" in function["names"]
    assert (rows["wait"]["arguments"][0]["low"], rows["wait"]["arguments"][0]["high"]) == (1.0, 28800.0)


def test_does_play_record_the_attempt_that_its_actions_make(run, script, tmp_path):
    out_file = tmp_path / "out.jsonl"
    status, out, err = run(
        "play", "night-call", "--actions", script, "--learner", "A17", "--out", out_file, "--json"
    )
    told = json.loads(out)
    assert (status, err) == (0, "")
    assert [(step["action"], step["arguments"]) for step in told["actions"]] == list(STEPS)
    assert told["readings"][1]["display"].endswith(" V")
    assert told["concluded"] == "nothing_wrong"
    # The same learner and actions give the same readings: all but header times and hashes agree.
    recorded = [json.loads(row) for row in out_file.read_text(encoding="utf-8").splitlines()]
    earlier = [json.loads(row) for row in played().splitlines()]
    assert [row["result"] for row in recorded[1:]] == [row["result"] for row in earlier[1:]]


def test_does_play_tell_each_step_in_a_line(run, script, tmp_path):
    status, out, _ = run(
        "play", "night-call", "--actions", script, "--learner", "A17", "--out", tmp_path / "o.jsonl"
    )
    assert status == 0
    assert "DC volts, G2+ to G2\N{MINUS SIGN}: " in out


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ('{"action": "mesure"}', "line 12: No action is called 'mesure'; did you mean 'measure'?"),
        ('{"verb": "wait"}', "line 12 is no action"),
        ('{"action": "wait", "arguments": {"seconds": NaN}}', "line 12 is no action"),
        ('{"action": "wait", "arguments": {"seconds": {"a": 1}}}', "line 12 is no action"),
        ("[" * 5000, "line 12 is no action"),
    ],
)
def test_is_a_wrong_line_found_before_an_attempt_is_begun(run, script, tmp_path, row, sentence):
    with script.open("a", encoding="utf-8") as file:
        file.write(row + "\n")
    out_file = tmp_path / "out.jsonl"
    status, out, err = run("play", "night-call", "--actions", script, "--learner", "A17", "--out", out_file)
    assert (status, out) == (2, "")
    assert sentence in err
    assert err.count("\n") == 1
    assert not out_file.exists()


def test_does_a_refused_action_end_the_run_and_keep_what_was_done(run, tmp_path):
    script = tmp_path / "s.jsonl"
    script.write_text('{"action": "prove_meter"}\n\n{"action": "pull_fuse", "arguments": {"fuse": "F1"}}\n')
    out_file = tmp_path / "out.jsonl"
    status, _, err = run("play", "night-call", "--actions", script, "--learner", "A17", "--out", out_file)
    assert status == 2
    assert "line 3: Fuse F1 is out of reach: take the cover of the feed panel off first." in err
    assert run("check", out_file)[0] == 1


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("play", "night-cal"), "did you mean 'night-call'?"),
        (("play", "night-call", "--learner", "a b"), "is no learner id"),
        (("play", "night-call", "--hand-out", "nowhere.json"), "cannot be read"),
        (("play", "night-call", "--actions", "nowhere.jsonl"), "cannot be read"),
    ],
)
def test_is_bad_input_to_play_one_sentence(run, script, tmp_path, arguments, sentence):
    filled = {"--actions": script, "--learner": "A17", "--out": tmp_path / "o.jsonl"}
    filled |= dict(zip(arguments[2::2], arguments[3::2], strict=True))
    status, _, err = run(*arguments[:2], *(part for pair in filled.items() for part in pair))
    assert status == 2
    assert sentence in err
    assert err.count("\n") == 1


def test_does_play_never_write_over_a_file(run, script, attempt):
    status, _, err = run("play", "night-call", "--actions", script, "--learner", "A17", "--out", attempt)
    assert status == 2
    assert "never overwritten" in err
    assert attempt.read_bytes() == played()


def test_does_check_say_that_an_attempt_holds(run, attempt):
    status, out, _ = run("check", attempt)
    assert status == 0
    assert "holds: order night-call, learner A17, 11 actions, 3 readings" in out
    assert json.loads(run("check", attempt, "--json")[1])["concluded"] == "nothing_wrong"


def test_does_check_name_the_line_that_does_not_hold(run, attempt):
    attempt.write_bytes(played().replace(b'"in_spec"', b'"out_of_spec"'))
    status, out, err = run("check", attempt)
    assert (status, out) == (2, "")
    assert "line 6 was edited or damaged" in err


def test_does_check_with_a_class_key_refuse_an_attempt_at_home(run, attempt, tmp_path):
    key = tmp_path / "class.key"
    key.write_text("a class key for tests only\n")
    status, _, err = run("check", attempt, "--class-key", key)
    assert status == 2
    assert "not the one the class gave A17" in err


@pytest.mark.parametrize(
    "arguments",
    [("grade",), ("check", "nowhere.jsonl"), ("dance",), ("orders", "--jsn"), ("grade", "nowhere.jsonl")],
)
def test_is_bad_input_one_sentence_and_status_2(run, arguments):
    status, out, err = run(*arguments)
    assert (status, out) == (2, "")
    assert err.strip().endswith((".", "?"))
    assert err.count("\n") == 1


@dataclass(frozen=True)
class Score:
    total: float

    def to_json(self):
        return {"total": self.total}


@pytest.mark.parametrize(("total", "status"), [(91.0, 0), (70.0, 0), (40.0, 1)])
def test_does_grade_end_with_1_where_the_work_falls_short(run, attempt, monkeypatch, total, status):
    """The judge is tested on its own floor; a stand-in shows what the command makes of its score."""
    judge = types.ModuleType("parked_hvac.assessment.grading")
    judge.grade = lambda path, class_key=None: Score(total)
    monkeypatch.setitem(sys.modules, "parked_hvac.assessment.grading", judge)
    found, out, _ = run("grade", attempt, "--json")
    assert found == status
    assert json.loads(out) == [{"attempt": str(attempt), "total": total}]


def test_does_one_broken_attempt_not_stop_the_others_from_being_scored(run, attempt, monkeypatch):
    judge = types.ModuleType("parked_hvac.assessment.grading")
    judge.grade = lambda path, class_key=None: Score(40.0)
    monkeypatch.setitem(sys.modules, "parked_hvac.assessment.grading", judge)
    status, out, err = run("grade", attempt.with_name("none.jsonl"), attempt)
    assert status == 2
    assert out == f"{attempt}: 40 of 100\n"
    assert "There is no attempt file" in err


def test_is_a_defect_of_the_program_not_passed_off_as_bad_input(monkeypatch):
    def broken(*_):
        raise ValueError("a defect")

    monkeypatch.setattr("parked_hvac.job.skills.skills", broken)
    with pytest.raises(ValueError, match="a defect"):
        main(["skills"])


def test_do_the_commands_work_in_a_process_of_their_own(attempt):
    done = subprocess.run(
        [sys.executable, "-W", "error", "-m", "parked_hvac.cli", "check", str(attempt)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")


def test_does_a_reader_that_has_enough_get_no_traceback():
    command = f"{sys.executable} -m parked_hvac.cli terminals --json | head -n 1"
    done = subprocess.run(command, shell=True, capture_output=True, text=True, check=False)
    assert (done.stdout, done.stderr) == ("[\n", "")


def test_does_a_list_start_without_the_classroom_or_the_truck():
    code = (
        "import sys; from parked_hvac.cli import main; main(['skills']);"
        "print([name for name in sys.modules if name.startswith(('parked_hvac.classroom', 'parked_hvac.rig',"
        " 'nbgrader', 'matplotlib', 'cryptography'))])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
