"""Is a verdict judged by what a technician could know: the sheet, the state, and what sound trucks show?"""

from __future__ import annotations

import numpy as np
import pytest

from parked_hvac.assessment.bead import off_the_table
from parked_hvac.assessment.retrace import Line
from parked_hvac.assessment.rubric import rubric
from parked_hvac.assessment.verdicts import Deserved, deserved, proves_dead
from parked_hvac.diagnosis.analysis import Learned
from parked_hvac.diagnosis.prediction import Observed, foretelling

RED_BLACK = ("X20", "X22")


def line(value: float, mode: str, red: str = RED_BLACK[0], black: str = RED_BLACK[1]) -> Line:
    given = {"function": "dc_volts", "red": red, "black": black}
    return Line(1, 5.0, "measure", given, {}, mode, seen=Observed(value), display=f"{value:.2f} V")


def right(
    value: float, sound_V: tuple[float, float], mode: str, bits: float = 1.0, **places: str
) -> set[str]:
    """The verdicts that earn every point for a voltage, beside sound trucks in a range of them."""
    told = judged(line(value, mode, **places), sound_V, bits)
    return {verdict for verdict, share in told.share.items() if share == 1.0}


def judged(read: Line, sound: tuple[float, float], bits: float = 1.0) -> Deserved:
    """What the judge says of a reading that taught so many bits, beside sound trucks in a range of values."""
    assert read.seen is not None
    values = np.linspace(*sound, 40)[None, :]
    foretold = foretelling(values, np.full(values.shape, ""), np.full(values.shape, 0.01))
    learned = Learned(1, np.ones(1), 1.0, bits, lambda: bits, lambda: bits, (), 1)
    return deserved(read, foretold, read.seen, learned, rubric())


@pytest.mark.parametrize(
    ("value", "mode", "wanted"),
    [
        (12.45, "parked", {"in_spec"}),
        # Nothing draws on it, because the fault lies behind: the supply itself is sound.
        (12.89, "parked", {"in_spec", "out_of_spec"}),
        (13.2, "parked", {"out_of_spec"}),
        (11.6, "parked", {"out_of_spec"}),
        # With the engine running too much is too much.
        (12.89, "engine", {"out_of_spec"}),
        (-12.89, "parked", {"out_of_spec"}),
    ],
)
def test_is_a_supply_that_nothing_draws_on_in_spec(value: float, mode: str, wanted: set[str]) -> None:
    assert right(value, (12.28, 12.60), mode) == wanted


@pytest.mark.parametrize(
    ("value", "wanted"),
    [
        (13.70, {"in_spec"}),
        # The relay behind it is burnt, and nothing is drawn: within the 13.4 V to 14.4 V that the sheet gives for charging.
        (13.95, {"in_spec", "out_of_spec"}),
        (14.25, {"in_spec", "out_of_spec"}),
        # More than the sheet lets a bank be charged with, or more than a missing load explains.
        (14.45, {"out_of_spec"}),
        (14.38, {"out_of_spec"}),
    ],
)
def test_is_a_supply_that_the_alternator_holds_up_in_spec(value: float, wanted: set[str]) -> None:
    assert right(value, (13.58, 13.84), "engine") == wanted


def test_is_a_reading_of_no_supply_not_excused_by_a_missing_load() -> None:
    assert right(0.8, (0.1, 0.4), "parked") == {"out_of_spec"}


def test_does_a_line_of_the_sheet_make_in_spec_right_where_nothing_could_be_learnt() -> None:
    # The drive's proof of dead tells no cause apart, and is the reading that keeps a hand safe.
    places = {"red": "T1.+", "black": "T1.-"}
    assert right(0.4, (0.1, 0.6), "off", bits=0.0, **places) == {"in_spec", "tells_nothing"}
    assert right(12.5, (12.4, 12.6), "off", bits=0.0, red="G2.1+", black="K1.30") == {"tells_nothing"}


def test_is_a_drop_without_current_named_as_telling_nothing() -> None:
    # The sheet's line for plug X35 holds, and a burnt plug would show the same: the debrief's verdict and its reason agree.
    told = judged(line(0.0, "parked", "R1.2", "M2.+"), (0.0, 0.0), bits=0.0)
    assert told.best == "tells_nothing"
    assert told.why.startswith("every cause would show the same")
    assert told.share["in_spec"] == 1.0
    assert judged(line(0.4, "off", "T1.+", "T1.-"), (0.1, 0.6), bits=0.0).best == "in_spec"


@pytest.mark.parametrize(("mode", "proof"), [("off", True), ("parked", False)])
def test_is_the_proof_of_dead_known_as_one(mode: str, proof: bool) -> None:
    assert proves_dead(line(0.4, mode, "T1.-", "T1.+")) is proof
    assert not proves_dead(line(0.4, mode))


def touched(celsius: float, minute: float = 21.0, point: str = "evaporator") -> Line:
    """A reading of the thermometer."""
    given = {"point": point}
    return Line(2, minute, "thermometer", given, {}, "off", seen=Observed(celsius), display=f"{celsius} °C")


def at_b1(ohm: float, *near: Line, plug: str = "X31", mode: str = "off") -> str:
    """What the table says of ohms at the evaporator sensor's pins in minute 20, beside thermometer readings."""
    given = {"function": "ohms", "red": "B1.2", "black": "B1.1"}
    ohms = Line(1, 20.0, "measure", given, {"parted": [plug]}, mode, seen=Observed(ohm), display=f"{ohm} Ω")
    return off_the_table(ohms, [ohms, *near])


def test_does_the_table_find_off_what_the_wide_line_of_the_sheet_lets_pass() -> None:
    # 5.00 kΩ at 25 °C is the nominal value of such a bead.
    assert at_b1(5000.0, touched(25.0)) == ""
    assert at_b1(5000.0, touched(27.0)) == ""
    assert at_b1(9130.0, touched(25.0)).startswith("the resistance table asks for 5.00 kΩ at the 25.0 °C")
    assert at_b1(9130.0, touched(25.0, minute=29.0)) == ""
    assert at_b1(9130.0, touched(25.0), plug="X30") == ""
    assert at_b1(9130.0, touched(25.0), mode="parked") == ""


def test_is_a_bead_held_against_the_thermometer_nearest_in_time_and_place() -> None:
    # 9.13 kΩ is right at 12 °C, which the fins had when the ohms were taken.
    early, late = touched(25.0, minute=16.0), touched(12.0, minute=21.0)
    assert at_b1(9130.0, early, late) == ""
    assert at_b1(9130.0, early) != ""
    assert at_b1(9130.0, touched(25.0, point="bunk air")) == ""


def test_are_both_verdicts_right_at_the_edge_of_what_sound_trucks_show() -> None:
    assert right(0.404, (0.1, 0.4), "parked") == {"in_spec", "out_of_spec"}


@pytest.mark.parametrize(("sound_ones", "wanted"), [(5, "in_spec"), (1, "out_of_spec")])
def test_is_a_word_that_few_sound_trucks_show_out_of_spec(sound_ones: int, wanted: str) -> None:
    words = np.array([["wet"] * sound_ones + ["dry"] * (20 - sound_ones)])
    sound = foretelling(np.full(words.shape, np.nan), words, np.full(words.shape, np.nan))
    learned = Learned(1, np.ones(1), 1.0, 1.0, lambda: 1.0, lambda: 1.0, (), 1)
    looked = Line(1, 5.0, "look", {"location": "bunk"}, {}, "off", seen=Observed(np.nan, "wet"))
    assert deserved(looked, sound, Observed(np.nan, "wet"), learned, rubric()).best == wanted


def test_may_a_reading_that_could_no_longer_add_anything_be_said_to_tell_nothing() -> None:
    foretold = foretelling(np.full((1, 40), 12.4), np.full((1, 40), ""), np.full((1, 40), 0.01))
    once = Learned(
        1, np.ones(1), 1.0, 0.0, lambda: 0.0, lambda: 1.0, (), 1
    )  # it could have told someone who knew nothing
    told = deserved(line(12.4, "parked"), foretold, Observed(12.4), once, rubric())
    assert (told.share["in_spec"], told.share["tells_nothing"]) == (1.0, 1.0)


def test_does_a_line_of_the_sheet_hold_for_leads_the_other_way_round() -> None:
    # The sheet's line of the drive's terminals at rest, red on −: minus signs turn with the leads.
    assert right(-0.4, (-9.0, -8.0), "off", red="T1.-", black="T1.+") == {"in_spec", "out_of_spec"}
    assert right(-14.4, (-9.0, -8.0), "off", red="T1.-", black="T1.+") == {"out_of_spec"}


def test_is_out_of_spec_right_where_the_table_finds_a_sensor_off() -> None:
    values = np.linspace(8000.0, 9500.0, 40)[None, :]
    sound = foretelling(values, np.full(values.shape, ""), np.full(values.shape, 10.0))
    learned = Learned(1, np.ones(1), 1.0, 1.0, lambda: 1.0, lambda: 1.0, (), 1)
    given = {"function": "ohms", "red": "B1.1", "black": "B1.2"}
    pins = Line(1, 5.0, "measure", given, {}, "off", seen=Observed(9130.0), display="9.13 kΩ")
    told = deserved(pins, sound, Observed(9130.0), learned, rubric(), "the table says so")
    assert (told.best, told.why) == ("out_of_spec", "the table says so")
    assert deserved(pins, sound, Observed(9130.0), learned, rubric()).best == "in_spec"


def test_do_ohms_on_a_live_circuit_tell_nothing() -> None:
    values = np.full((1, 40), np.nan)
    sound = foretelling(values, np.full(values.shape, "OL"), np.full(values.shape, np.nan))
    learned = Learned(1, np.ones(1), 1.0, 1.0, lambda: 1.0, lambda: 1.0, (), 1)
    given = {"function": "ohms", "red": "B2.1", "black": "B2.2"}
    for live_V, best in ((3.4, "tells_nothing"), (0.0, "in_spec")):
        pins = Line(
            1, 5.0, "measure", given, {"live_V": live_V}, "parked", seen=Observed(np.nan, "OL"), display="OL"
        )
        assert deserved(pins, sound, Observed(np.nan, "OL"), learned, rubric()).best == best


@pytest.mark.parametrize(
    ("mode", "best"), [("off", "in_spec"), ("key_on", "tells_nothing"), ("parked", "tells_nothing")]
)
def test_do_ohms_on_the_data_link_tell_nothing_while_it_talks(mode: str, best: str) -> None:
    # Ends of 120 Ω each, 60 Ω together (ISO 11898-2); that they are measured with the bus at rest is common practice, no source.
    given = {"function": "ohms", "red": "X40.L", "black": "X40.H"}
    link = Line(1, 5.0, "measure", given, {"live_V": 0.03}, mode, seen=Observed(60.2), display="60.2 Ω")
    assert judged(link, (59.0, 61.0)).best == best


def test_is_in_spec_right_of_a_reading_that_taught_although_it_seemed_to_tell_nothing() -> None:
    values = np.linspace(12.0, 13.0, 40)[None, :]
    foretold = foretelling(values, np.full(values.shape, ""), np.full(values.shape, 0.01))
    learned = Learned(1, np.ones(1), 1.0, 1.0, lambda: 0.0, lambda: 0.0, (), 1)
    read = line(12.5, "parked", red="X11.1", black="X11.4")
    assert read.seen is not None
    share = deserved(read, foretold, read.seen, learned, rubric()).share
    assert (share["in_spec"], share["tells_nothing"]) == (1.0, 0.0)
