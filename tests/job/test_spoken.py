"""Do shares and names of terminals stand everywhere the same way where a person reads them?"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from parked_hvac.assessment import debrief_words
from parked_hvac.diagnosis.checks import Check
from parked_hvac.job.spoken import percent, terminals

PLAIN = re.compile(r"\d%(?![\w(])")
TOP = Path(__file__).resolve().parents[2]


def test_does_the_sign_of_percent_stand_after_a_space_that_breaks_no_line() -> None:
    assert percent(0.404) == "40\N{NO-BREAK SPACE}%"
    assert debrief_words.percent(0.999) == "more than 99\N{NO-BREAK SPACE}%"
    assert debrief_words.percent(0.0) == "less than 1\N{NO-BREAK SPACE}%"


@pytest.mark.parametrize("folder", ["widgets/parked_hvac", "data", "solutions", "lessons"])
def test_is_no_percentage_written_without_the_space(folder: str) -> None:
    # Python's own format leaves the space out. The answers are made by the generator, and only every now and then.
    made = {"answers.md", "reliability.md"}
    found = [
        f"{path.relative_to(TOP)}:{number}"
        for path in (TOP / folder).rglob("*")
        if path.suffix in {".py", ".md", ".toml", ".ipynb"} and path.name not in made
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if (":.0%" in line or PLAIN.search(line)) and "width" not in line and "font-size" not in line
    ]
    assert [place for place in found if "job/spoken.py" not in place] == []


@pytest.mark.parametrize(
    ("data", "read"),
    [
        ("DC volts, G2+ to G2-", "DC volts, G2+ to G2\N{MINUS SIGN}"),
        ("B on T1.-. Wait", "B on T1.\N{MINUS SIGN}. Wait"),
        ("W14-3 and M1.U", "W14-3 and M1.U"),
        ("-9.6 °C at B1", "-9.6 °C at B1"),
    ],
)
def test_do_terminals_have_a_minus_sign_and_nothing_else(data: str, read: str) -> None:
    assert terminals(data) == read


def test_does_the_best_path_name_terminals_as_the_card_does() -> None:
    check = Check("measure", {"function": "dc_volts", "red": "G2+", "black": "G2-"}, "parked")
    assert debrief_words.check_words(check).startswith("DC volts from G2+ to G2\N{MINUS SIGN}; ")
