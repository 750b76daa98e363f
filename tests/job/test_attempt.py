"""Does an attempt keep everything, and does replaying it bring everything back?"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import threading
from dataclasses import asdict
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parked_hvac.job.actions import LONGEST_TEXT, Argument, actions
from parked_hvac.job.attempt import Attempt, resume, start
from parked_hvac.job.errors import AttemptError, OrderError, Refused
from parked_hvac.job.log import read_log
from parked_hvac.job.reading import Reading
from parked_hvac.job.replay import replay
from parked_hvac.job.seal import draw_ticket, seal
from parked_hvac.rig.harness import GROUND, PORTS, harness
from parked_hvac.rig.truck import Truck
from tests.job.recorded import STEPS, Result, chained, played

BANK = {"function": "dc_volts", "red": "G2+", "black": "G2-"}


def card(attempt: Attempt) -> dict:
    """Everything an attempt shows of itself."""
    return {
        "minutes": attempt.minutes,
        "readings": [asdict(reading) for reading in attempt.readings],
        "entries": [asdict(entry) for entry in attempt.entries],
        "open": attempt.open_covers,
        "parted": attempt.parted,
        "pulled": attempt.pulled,
        "prepared": attempt.prepared,
        "leads": attempt.leads,
        "held": attempt.held,
        "concluded": attempt.concluded,
        "repaired": attempt.repaired,
        "write_up": attempt.write_up,
        "notes": attempt.notes,
        "state": attempt.state,
        "shown": None if attempt.meter_shows() is None else attempt.meter_shows().display,
        "controls": asdict(attempt.controls),
    }


@pytest.fixture
def file(tmp_path) -> Path:
    path = tmp_path / "attempt.jsonl"
    path.write_bytes(played())
    return path


def test_does_an_attempt_show_what_was_done(file):
    attempt = resume(file)
    assert [(entry.action, entry.arguments) for entry in attempt.entries] == list(STEPS)
    assert [reading.id for reading in attempt.readings] == ["r1", "r2", "r3"]
    second = attempt.reading("r2")
    assert second.label == "DC volts, G2+ to G2\N{MINUS SIGN}"
    assert second.n == 4
    assert (second.unit, second.verdict) == ("V", "in_spec")
    assert second.value == float(second.display.removesuffix(" V"))
    assert attempt.verdicts == {"r2": "in_spec"}
    assert attempt.reading("r3").value is None
    assert attempt.concluded == "nothing_wrong"
    assert attempt.notes == [STEPS[9][1]["text"]]


def test_is_everything_back_after_resuming(tmp_path):
    attempt = start("night-call", "A17", tmp_path / "a.jsonl")
    for verb, arguments in (
        *STEPS,
        ("place_leads", BANK),
        ("hold", {"mode": "min"}),
        ("wait", {"seconds": 20}),
        ("measure", {}),
        ("warm_sensor", {"sensor": "B2", "seconds": 5}),
        ("open_cover", {"cover": "feed_panel_cover"}),
        ("pull_fuse", {"fuse": "F3"}),
        ("change_meter", {}),
        ("repair", {"fault": "lug_corroded_unit_ground"}),
        ("write_up", {"complaint": "no cold", "cause": "a lug", "correction": "cleaned"}),
    ):
        attempt.do(verb, **arguments)
    assert card(resume(attempt.path)) == card(attempt)


def test_does_work_go_on_after_resuming_as_if_nothing_had_been(tmp_path):
    through = start("night-call", "A17", tmp_path / "through.jsonl")
    for verb, arguments in STEPS:
        through.do(verb, **arguments)
        stopped = tmp_path / "stopped.jsonl"
        (resume(stopped) if stopped.exists() else start("night-call", "A17", stopped)).do(verb, **arguments)
    assert card(resume(stopped)) == card(through)


def test_does_an_action_that_is_refused_leave_file_and_clock_alone(file):
    attempt = resume(file)
    before, minutes = file.read_bytes(), attempt.minutes
    for verb, arguments, sentence in (
        ("measure", {**BANK, "red": "K1.30"}, "take the lid of the unit off first"),
        ("judge", {"reading": "r9", "verdict": "in_spec"}, "No reading is called 'r9'"),
        ("conclude", {"cause": "a ghost"}, "No cause is called"),
        ("pay", {}, "No action is called 'pay'"),
    ):
        with pytest.raises(Refused, match=sentence):
            attempt.do(verb, **arguments)
    assert (file.read_bytes(), attempt.minutes) == (before, minutes)
    attempt.do("touch_leads")


def test_does_nothing_printed_tell_what_was_not_measured(file):
    attempt = resume(file)
    event = attempt.do("switch_key", position="engine")
    assert "compressor_current_A" in event.context
    assert "compressor_current_A" not in repr(event)
    assert "compressor_current_A" not in repr(attempt.entries[-1])


def test_does_peeking_leave_no_trace(file):
    attempt = resume(file)
    before = card(attempt)
    assert attempt.peek(**BANK).display[0].endswith(" V")
    assert attempt.peek("ohms", "G2+", "X0").display == ("OL",)
    assert (card(attempt), file.read_bytes()) == (before, played())


def test_is_a_path_in_use_never_begun_anew(file):
    with pytest.raises(AttemptError, match=re.escape(f"go on with resume({str(file)!r})")):
        start("night-call", "A17", file)
    assert file.read_bytes() == played()


def test_does_the_default_file_lie_in_the_working_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert start("night-call", "A17").path == Path("attempt-night-call.jsonl")


def test_is_an_unknown_order_or_learner_refused_before_any_file_is_made(tmp_path):
    with pytest.raises(OrderError, match="did you mean 'night-call'"):
        start("nightcall", "A17", tmp_path / "a.jsonl")
    with pytest.raises(OrderError, match="is no learner id"):
        start("night-call", "../A17", tmp_path / "a.jsonl")
    assert not list(tmp_path.iterdir())


def test_do_two_windows_on_one_file_get_a_clear_sentence(file):
    mine, other = resume(file), resume(file)
    other.do("touch_leads")
    with pytest.raises(AttemptError, match="changed by another window or program: go on there, or resume"):
        mine.do("prove_meter")
    # Nothing was done here, so the same window may go on once the file is taken over.
    again = resume(file)
    again.do("prove_meter")
    assert [entry.action for entry in resume(file).entries[-2:]] == ["touch_leads", "prove_meter"]


def test_do_writers_at_the_same_time_never_mix_their_lines(file):
    attempts = [resume(file) for _ in range(4)]
    outcomes: list[str] = []

    def work(attempt: Attempt, mark: str) -> None:
        try:
            attempt.do("note", text=mark)
            outcomes.append("written")
        except AttemptError:
            outcomes.append("refused")

    threads = [threading.Thread(target=work, args=(a, str(i))) for i, a in enumerate(attempts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["refused"] * 3 + ["written"]
    assert len(read_log(file).lines) == len(STEPS) + 1


def test_does_a_failing_disk_stop_the_attempt_and_keep_what_was_done(file, monkeypatch):
    attempt = resume(file)

    def broken(_handle):
        raise OSError(5, "Input/output error")

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", broken)
        with pytest.raises(AttemptError, match="Input/output error"):
            attempt.do("touch_leads")
    with pytest.raises(AttemptError, match="go on with resume"):
        attempt.do("touch_leads")
    assert len(resume(file).entries) == len(STEPS)


WORK = """
import sys
from parked_hvac import resume, start
attempt = start("night-call", "A17", sys.argv[1])
attempt.do("open_cover", cover="aux_bank_lid")
for i in range(1000):
    reading = attempt.do("measure", function="dc_volts", red="G2+", black="G2-")
    print(reading.id, reading.display, flush=True)
    attempt.do("judge", reading=reading.id, verdict="tells_nothing")
"""


@pytest.mark.slow
@pytest.mark.parametrize("after", [1, 3, 8])
def test_is_nothing_lost_when_the_process_is_killed_in_mid_work(tmp_path, after):
    path = tmp_path / "a.jsonl"
    worker = subprocess.Popen(
        [sys.executable, "-c", WORK, str(path)], stdout=subprocess.PIPE, text=True, cwd=tmp_path
    )
    assert worker.stdout is not None
    seen = [worker.stdout.readline().split(maxsplit=1) for _ in range(after)]
    worker.kill()
    seen += [line.split(maxsplit=1) for line in worker.stdout.read().splitlines()]
    worker.stdout.close()
    worker.wait()
    attempt = resume(path)
    kept = [[reading.id, reading.display] for reading in attempt.readings]
    assert kept[: len(seen)] == [[name, shown.strip()] for name, shown in seen]
    attempt.do("touch_leads")
    assert replay(path).minutes == attempt.minutes


def test_does_a_torn_line_stand_in_a_side_file_and_the_work_go_on(file):
    file.write_bytes(played() + b'{"n":12,"minute":6')
    attempt = resume(file)
    assert attempt.set_aside is not None
    assert attempt.set_aside.read_bytes() == b'{"n":12,"minute":6'
    attempt.do("touch_leads")
    assert len(replay(file).entries) == len(STEPS) + 1


def test_does_replaying_a_torn_file_leave_it_alone(file):
    torn = played() + b'{"n":12'
    file.write_bytes(torn)
    assert len(replay(file).entries) == len(STEPS)
    assert file.read_bytes() == torn
    assert os.listdir(file.parent) == [file.name]


def rewritten(change) -> bytes:
    """The played attempt with one line changed and every hash made to fit, as a forger would."""
    rows = [msgspec.json.decode(row) for row in played().splitlines()]
    header = msgspec.convert(rows[0], type=type(_log().header))
    lines = list(_log().lines)
    return chained(change(header, lines))


def _log():
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.jsonl"
        path.write_bytes(played())
        return read_log(path)


def better_value(header, lines):
    lines[3] = msgspec.structs.replace(lines[3], result=Result("12.70 V", "V", "r2"))
    return [header, *lines]


def earlier(header, lines):
    lines[3] = msgspec.structs.replace(lines[3], minute=0.5)
    return [header, *lines]


def no_cover(header, lines):
    kept = [line for line in lines if line.action != "open_cover"]
    return [header, *(msgspec.structs.replace(line, n=n) for n, line in enumerate(kept, 1))]


def invented(header, lines):
    lines[3] = msgspec.structs.replace(lines[3], arguments={**BANK, "red": "G7+"})
    return [header, *lines]


def result_without_reading(header, lines):
    lines[2] = msgspec.structs.replace(lines[2], result=Result("12.70 V", "V", "r2"))
    return [header, *lines]


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (better_value, "line 5 tells of '12.70 V' at minute"),
        (earlier, "line 5 tells of"),
        (no_cover, "line 4 holds an action that cannot have happened"),
        (invented, "line 5 holds an action that cannot have happened (No red is called 'G7+'"),
        (result_without_reading, "line 4 tells of '12.70 V'"),
    ],
)
def test_is_a_forged_line_with_fitting_hashes_found_by_replay(file, change, sentence):
    file.write_bytes(rewritten(change))
    read_log(file)
    for reader in (replay, resume):
        with pytest.raises(AttemptError, match=re.escape(sentence)):
            reader(file)


def test_is_another_learner_s_ticket_refused(file):
    other = seal(draw_ticket(resume(file).order, "B02"))
    file.write_bytes(rewritten(lambda header, lines: [msgspec.structs.replace(header, ticket=other), *lines]))
    with pytest.raises(AttemptError, match="not for A17"):
        replay(file)


def test_is_an_attempt_at_home_refused_by_the_class_key(file):
    with pytest.raises(AttemptError, match="not the one the class gave A17"):
        replay(file, class_key=b"a class key for tests only")


def test_does_a_difference_tell_when_the_course_data_differ(file):
    def older(header, lines):
        return better_value(msgspec.structs.replace(header, data_digest="0" * 16), lines)

    file.write_bytes(rewritten(older))
    with pytest.raises(AttemptError, match="It was made with other course data"):
        replay(file)


def values_of(argument: Argument) -> st.SearchStrategy:
    if argument.type == "flag":
        return st.booleans()
    if argument.type == "name":
        return st.sampled_from(argument.names)
    if argument.type == "text":
        return st.sampled_from(["r1", "r2", "words", "x" * LONGEST_TEXT])
    low, high = argument.low or 0.0, min(argument.high or 0.0, 90.0)
    return st.integers(int(low), int(high)) if argument.type == "whole" else st.floats(low, high)


def moves() -> st.SearchStrategy:
    """Any action with arguments that exist; a repair only now and then, for it takes an hour."""
    weighted = [action for action in actions().values() for _ in range(1 if action.verb == "repair" else 4)]
    return st.sampled_from(weighted).flatmap(
        lambda action: st.tuples(
            st.just(action.verb),
            st.fixed_dictionaries({argument.name: values_of(argument) for argument in action.arguments}),
        )
    )


def largest_imbalance(truck: Truck) -> float:
    """Current that goes missing at a node, over the largest that flows there; ports with loads left out."""
    layout = harness()
    out = dict.fromkeys(layout.nodes, 0.0)
    most = dict.fromkeys(layout.nodes, 1e-3)
    for name, ends in zip(layout.names, layout.ends, strict=True):
        current = float(truck.current_A(name)[0])
        for node, flow in zip(ends, (current, -current), strict=True):
            out[node] += flow
            most[node] = max(most[node], abs(flow))
    return max(abs(out[node]) / most[node] for node in layout.nodes if node not in (*PORTS, GROUND))


@pytest.mark.slow
@settings(max_examples=20, deadline=None)
@given(st.lists(moves(), min_size=1, max_size=12), st.sampled_from(["A1", "A2", "A3", "A4", "A5", "A6"]))
def test_does_any_sequence_of_actions_work_or_say_why_and_replay_alike(tmp_path_factory, steps, learner):
    attempt = start("night-call", learner, tmp_path_factory.mktemp("any") / "a.jsonl")
    sentences: list[str] = []
    for cover in ("aux_bank_lid", "unit_lid"):
        attempt.do("open_cover", cover=cover)
    for verb, arguments in steps:
        try:
            done = attempt.do(verb, **arguments)
        except Refused as refusal:
            sentences.append(str(refusal))
            continue
        if isinstance(done, Reading):
            assert done.display
        assert largest_imbalance(attempt._session.truck) < 1e-6
    assert all(re.search(r"[.!?…]$", sentence) for sentence in sentences)
    assert card(replay(attempt.path)) == card(attempt)
