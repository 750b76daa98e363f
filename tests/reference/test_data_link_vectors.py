"""Are codes and values laid out on the data link as SAE J1939 and its public decoders have them?

Outside values: j1939_dtc_vectors.json, j1939_no_dtc.json (from memory), j1939_fmi.json, j1939_spn.json,
j1939_frames.json, j1939_raw_ranges.json.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from parked_hvac.rig import data_link
from parked_hvac.rig.data_link import DTC

AUTHORITIES = Path(__file__).parent / "authorities"


def value_of(name: str):
    return json.loads((AUTHORITIES / f"{name}.json").read_text(encoding="utf-8"))["value"]


@pytest.mark.parametrize(("code", "given"), value_of("j1939_dtc_vectors").items())
def test_is_a_code_packed_as_another_library_packs_it(code, given):
    """j1939_dtc_vectors.json: exact."""
    spn, fmi, count = (int(part) for part in code.split("/"))
    assert data_link.pack_dtc(spn=spn, fmi=fmi, occurrence_count=count) == bytes.fromhex(given)
    assert data_link.unpack_dtc(bytes.fromhex(given)) == DTC(spn, fmi, count)


def test_does_a_truck_without_faults_say_so():
    """j1939_no_dtc.json (from memory): exact."""
    body = bytes.fromhex(re.search(r"payload ((?:[0-9A-F]{2} ?){8})", value_of("j1939_no_dtc"))[1])
    assert data_link.dm1_body([]) == body
    assert data_link.read_dm1(body) == data_link.ActiveCodes(data_link.Lamps(), ())


def test_does_each_failure_mode_mean_what_the_standard_says():
    """j1939_fmi.json: every word of ours is one of theirs, or stands for one."""
    ours_for = {"valid,": "", "erratic,": "erratic", "/": " "}
    filler = {"range", "or", "to", "circuit", "and", "data", "most", "valid", "-"}
    for key, meaning in value_of("j1939_fmi").items():
        numbers = (
            range(*(int(part) + place for place, part in enumerate(key.split("-"))))
            if "-" in key
            else [int(key)]
        )
        for old, new in ours_for.items():
            meaning = meaning.replace(old, new)
        expected = set(re.findall(r"[a-z]+", meaning.lower())) - filler
        for number in numbers:
            found = set(re.findall(r"[a-z]+", data_link.FMI_TEXTS[number])) - filler
            assert found == expected, number
    assert sorted(data_link.FMI_TEXTS) == list(range(32))


@pytest.mark.parametrize(("number", "given"), value_of("j1939_spn").items())
def test_is_a_value_scaled_and_placed_as_public_tables_have_it(number, given):
    """j1939_spn.json: exact."""
    field = data_link.signal(int(number))
    assert field.pgn == given["pgn"]
    if "scale" in given:
        assert (field.scale, field.offset, field.unit.replace("°", "")) == (
            given["scale"],
            given["offset"],
            given["unit"],
        )
    if "start_bit" in given:
        assert (field.start_bit, field.length_bits) == (given["start_bit"], given["len"])
    assert len(data_link.SIGNALS) == len(value_of("j1939_spn"))


NAMES = {
    "NetBatteryCurrent": 114,
    "AlternatorCurrent": 115,
    "ChargingSystemPotential": 167,
    "BatteryPotential": 168,
    "KeyswitchBatteryPotential": 158,
    "Barometric": 108,
    "CabInteriorTemp": 170,
    "AmbientAirTemp": 171,
    "AirInletTemp": 172,
    "RoadTemp": 79,
}
FRAMES = {key.split()[0]: (key, values) for key, values in value_of("j1939_frames").items()}


@pytest.mark.parametrize(("group", "pgn"), [("VEP1", 65271), ("AMB", 65269)])
def test_does_a_frame_decode_as_another_library_decodes_it(group, pgn):
    """j1939_frames.json: 1e-9, floating point."""
    key, values = FRAMES[group]
    identifier, data = re.search(r"id (\w+) data (.*)", key).groups()
    assert data_link.identifier(pgn, source_address=0xFE) == int(identifier, 16)
    found = data_link.unpack_frame(pgn, bytes.fromhex(data))
    assert {name: found[NAMES[name]].value for name in values} == pytest.approx(values, abs=1e-9)
    assert data_link.pack_frame(pgn, {NAMES[name]: value for name, value in values.items()}) == bytes.fromhex(
        data
    )


def test_does_a_code_message_decode_as_two_libraries_decode_it():
    """j1939_frames.json: exact."""
    key, values = FRAMES["DM1"]
    identifier, data = re.search(r"id (\w+) data (.*)", key).groups()
    assert data_link.identifier(data_link.DM1_PGN) == int(identifier, 16)
    found = data_link.read_dm1(bytes.fromhex(data))
    assert found.lamps.amber == ("on" if values["amber_lamp"] else "off")
    assert found.codes == (DTC(values["spn"], values["fmi"], values["oc"]),)
    assert data_link.dm1_body(found.codes, found.lamps) == bytes.fromhex(data)


@pytest.mark.parametrize(("bits", "spn"), [("2", 605), ("8", 172), ("16", 168)])
def test_does_a_raw_number_mean_value_error_or_nothing_where_the_decoder_says(bits, spn):
    """j1939_raw_ranges.json: exact, at both ends of each range."""
    for state, (lowest, highest) in value_of("j1939_raw_ranges")[bits].items():
        for raw in (lowest, highest):
            assert data_link.decode(spn, raw).state == state, raw
