"""Does the data link carry codes and values unharmed, and refuse what no field can hold?"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from parked_hvac.rig import data_link
from parked_hvac.rig.data_link import DTC, Lamps

CODES = st.builds(DTC, st.integers(1, 0x7FFFF), st.integers(0, 31), st.integers(0, 126))
PLACED = [
    entry
    for entry in (*data_link.SIGNALS.values(), *data_link.OWN_SIGNALS.values())
    if entry.start_bit is not None
]
STATES = st.sampled_from(["off", "on", "error", "not available"])


@settings(deadline=None)  # a test states no time
@given(CODES)
def test_does_a_code_survive_four_bytes(code):
    packed = data_link.pack_dtc(code.spn, code.fmi, code.occurrence_count)
    assert len(packed) == 4
    assert data_link.unpack_dtc(packed) == code


@settings(deadline=None)  # a test states no time
@given(st.lists(CODES, max_size=6), st.builds(Lamps, STATES, STATES, STATES, STATES))
def test_does_a_message_survive_with_all_its_codes(codes, lamps):
    body = data_link.dm1_body(codes, lamps)
    assert len(body) >= 8
    assert data_link.read_dm1(body) == data_link.ActiveCodes(lamps, tuple(codes))


def test_is_the_amber_lamp_lit_by_any_code_when_nothing_else_is_said():
    assert data_link.read_dm1(data_link.dm1_body([DTC(168, 1, 2)])).lamps == Lamps(amber="on")
    assert data_link.read_dm1(data_link.dm1_body([])).lamps == Lamps()


def test_does_a_message_longer_than_a_frame_keep_its_length():
    codes = [DTC(168, 1, 2), DTC(171, 3, 1), DTC(520192, 5, 7)]
    body = data_link.dm1_body(codes)
    assert len(body) == 2 + 4 * 3
    assert data_link.read_dm1(body).codes == tuple(codes)


@settings(deadline=None)  # a test states no time
@given(st.sampled_from(sorted(data_link.SIGNALS | data_link.OWN_SIGNALS)), st.floats(0.0, 1.0))
def test_does_a_value_come_back_within_half_a_step(spn, share):
    field = data_link.signal(spn)
    value = field.offset + share * field.highest_raw * field.scale
    decoded = data_link.decode(spn, data_link.encode(spn, value))
    assert decoded.state == "valid"
    assert decoded.value == pytest.approx(value, abs=0.5 * field.scale + 1e-9)


@settings(deadline=None)  # a test states no time
@given(
    st.sampled_from(sorted({s.spn for s in PLACED})), st.lists(st.floats(0.0, 1.0), min_size=1, max_size=4)
)
def test_do_frames_of_many_trucks_carry_what_each_alone_would(spn, shares):
    field = data_link.signal(spn)
    values = np.array([field.offset + share * field.highest_raw * field.scale for share in shares])
    values[0] = math.nan
    bodies = data_link.pack_frames(field.pgn, {spn: values})
    for body, value in zip(bodies, values, strict=True):
        alone = data_link.unpack_frame(field.pgn, body.tobytes())
        assert body.tobytes() == data_link.pack_frame(field.pgn, {spn: value})
        assert {other for other, found in alone.items() if found.state == "valid"} == {spn} - (
            {spn} if math.isnan(value) else set()
        )
    found = data_link.unpack_frames(spn, bodies)
    assert math.isnan(found[0])
    np.testing.assert_allclose(found[1:], values[1:], atol=0.5 * field.scale + 1e-9)


def test_do_the_trucks_own_signals_lie_apart_in_their_group():
    taken = [
        bit
        for entry in data_link.OWN_SIGNALS.values()
        if entry.start_bit is not None
        for bit in range(entry.start_bit, entry.start_bit + entry.length_bits)
    ]
    assert len(taken) == len(set(taken))
    assert max(taken) < 64
    assert 65280 <= data_link.OWN_PGN <= 65535  # left to manufacturers


def test_is_a_value_beyond_the_field_held_at_its_end():
    assert data_link.decode(172, data_link.encode(172, 500.0)).value == 210.0
    assert data_link.decode(172, data_link.encode(172, -90.0)).value == -40.0
    bodies = data_link.pack_frames(65271, {114: np.array([-300.0, 0.4, 400.0])})
    np.testing.assert_allclose(data_link.unpack_frames(114, bodies), [-125.0, 0.0, 125.0])


def test_is_a_missing_value_sent_as_not_available():
    assert data_link.encode(168, None) == data_link.encode(168, math.nan) == 0xFFFF
    assert data_link.decode(168, 0xFFFF).state == "not available"
    assert math.isnan(data_link.decode(168, 0xFFFF).value)
    frame = data_link.unpack_frame(65271, data_link.pack_frame(65271, {168: 12.6}))
    assert frame[168].value == pytest.approx(12.6)
    assert {spn for spn, found in frame.items() if found.state == "not available"} == {114, 115, 167, 158}


def test_does_every_failure_mode_have_words():
    assert DTC(171, 4).text == "voltage below normal, or shorted to low"
    assert all(DTC(1, number).text for number in range(32))


def test_are_the_makers_numbers_inside_the_range_left_to_them():
    assert data_link.pack_dtc(data_link.FIRST_MANUFACTURER_SPN, 31, 1)[2] >> 5 == 7
    assert all(spn < data_link.FIRST_MANUFACTURER_SPN for spn in data_link.SIGNALS)
    assert all(spn >= data_link.FIRST_MANUFACTURER_SPN for spn in data_link.OWN_SIGNALS)


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: data_link.pack_dtc(524288, 1, 1), r"SPN 524288 is not a whole number from 0 to 524287: "),
        (lambda: data_link.pack_dtc(168.0, 1, 1), r"SPN 168\.0 is not a whole number"),
        (lambda: data_link.pack_dtc(True, 1, 1), r"SPN True is not a whole number"),
        (
            lambda: data_link.pack_dtc(168, 32, 1),
            r"FMI 32 is not a whole number from 0 to 31: choose a failure mode",
        ),
        (lambda: data_link.pack_dtc(168, -1, 1), r"FMI -1 is not"),
        (lambda: data_link.pack_dtc(168, 1, 128), r"Occurrence count 128 .* hold it at 126, or give 127"),
        (lambda: data_link.unpack_dtc(b"\xa8\x00\x01"), r"has 4 bytes, not 3: cut the message body"),
        (
            lambda: data_link.unpack_dtc(b"\xa8\x00\x01\x82"),
            r"A8 00 01 82 sets the conversion bit .* only method 4",
        ),
        (
            lambda: data_link.read_dm1(b"\x00\xff\x00"),
            r"at least 6 bytes, not 3: read the whole message again",
        ),
        (
            lambda: data_link.read_dm1(bytes.fromhex("04FFA8000102A800")),
            r"ends inside a trouble code: read the whole",
        ),
        (lambda: data_link.signal(9999), r"SPN 9999 is no live value of this truck: choose one of 79, 108"),
        (
            lambda: data_link.decode(172, 256),
            r"Raw value of SPN 172 256 .* from 0 to 255: it is a field of 8 bits",
        ),
        (
            lambda: data_link.pack_frame(65271, {171: 20.0}),
            r"SPN 171 is not carried by parameter group 65271",
        ),
        (
            lambda: data_link.pack_frame(1, {}),
            r"Parameter group 1 has no signal with a known place: choose one of",
        ),
        (lambda: data_link.unpack_frame(65271, b"\x00"), r"has 8 bytes, not 1: read it again"),
        (lambda: data_link.identifier(0x40000), r"Parameter group 262144 .* it is a number of 18 bits"),
    ],
)
def test_does_bad_input_get_one_sentence_with_the_value_and_the_remedy(call, sentence):
    with pytest.raises(ValueError, match=sentence) as caught:
        call()
    assert str(caught.value).count(". ") == 0, "one sentence"
    assert str(caught.value).endswith(".")
