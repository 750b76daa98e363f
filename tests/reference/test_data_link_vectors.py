"""Are codes and values laid out on the data link as SAE J1939 and its public decoders have them?

Outside values: j1939_dtc.json (the layout in words), j1939_dtc_vectors.json, j1939_no_dtc.json (from memory),
j1939_fmi.json, j1939_spn.json, j1939_frames.json, j1939_raw_ranges.json, j1939_truck_messages.json.
Traps: can-j1939 takes the filling of a short DM1 for one code more, and the frame that says 'no fault' for SPN 0; so it
packs here, and decodes only as many as were packed.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import venv
from pathlib import Path

import numpy as np
import pytest

from parked_hvac.instruments import data_link_reader
from parked_hvac.rig import data_link, live
from parked_hvac.rig.controller import codes as stored_codes
from parked_hvac.rig.data_link import DTC
from tests.rig.trucks import cool, truck

AUTHORITIES = Path(__file__).parent / "authorities"


def value_of(name: str):
    return json.loads((AUTHORITIES / f"{name}.json").read_text(encoding="utf-8"))["value"]


@pytest.mark.parametrize(("code", "given"), value_of("j1939_dtc_vectors").items())
def test_is_a_code_packed_as_another_library_packs_it(code, given):
    """j1939_dtc_vectors.json: exact."""
    spn, fmi, count = (int(part) for part in code.split("/"))
    assert data_link.pack_dtc(spn=spn, fmi=fmi, occurrence_count=count) == bytes.fromhex(given)
    assert data_link.unpack_dtc(bytes.fromhex(given)) == DTC(spn, fmi, count)


@pytest.mark.parametrize(("spn", "fmi", "count"), [(520195, 7, 3), (168, 1, 126), (0x7FFFF, 31, 0)])
def test_lies_a_code_in_its_bytes_as_the_standard_is_restated(spn, fmi, count):
    """j1939_dtc.json: exact; its formula written out."""
    assert value_of("j1939_dtc").startswith("byte1=SPN[7:0]; byte2=SPN[15:8]; byte3=SPN[18:16]<<5 | FMI;")
    one, two, three, four = data_link.pack_dtc(spn, fmi, count)
    assert (one, two, three, four) == (spn % 256, spn // 256 % 256, spn // 65536 * 32 + fmi, count)


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


MESSAGES = value_of("j1939_truck_messages")


@pytest.mark.parametrize("told", MESSAGES["dm1"], ids=lambda told: f"{len(told['codes'])} codes")
def test_is_a_message_of_several_codes_packed_as_another_library_packs_it(told):
    """j1939_truck_messages.json: exact; the filling of a short message to eight bytes is the bus's."""
    body, codes = bytes.fromhex(told["body"]), tuple(DTC(*code) for code in told["codes"])
    assert data_link.dm1_body(codes) == body.ljust(8, b"\xff")
    assert data_link.read_dm1(body).codes == codes
    assert {(code.spn, code.fmi) for code in codes} <= {(c.spn, c.fmi) for c in stored_codes().values()}


@pytest.mark.parametrize("told", MESSAGES["frames"], ids=lambda told: str(told["pgn"]))
def test_is_a_frame_of_the_truck_packed_as_another_library_packs_it(told):
    """j1939_truck_messages.json: exact, floats 1e-9."""
    values = {int(spn): value for spn, value in told["values"].items()}
    body = bytes.fromhex(told["body"])
    assert data_link.pack_frame(told["pgn"], values) == body
    for spn, value in values.items():
        found = data_link.unpack_frames(spn, np.frombuffer(body, dtype=np.uint8).reshape(1, 8))
        assert found[0] == pytest.approx(value, abs=1e-9)
        field = data_link.signal(spn)
        assert told["fields"][str(spn)] == [field.start_bit, field.length_bits, field.scale, field.offset]
    carried = {spn for spn in live.SPN.values() if data_link.signal(spn).pgn == told["pgn"]}
    assert set(values) == carried  # all that the truck sends in that group


def test_does_the_reader_show_what_a_library_packed(monkeypatch):
    """j1939_truck_messages.json: the reader at the bench, fed with the library's bytes instead of the truck's."""
    made = cool(truck(), 10.0)
    told = MESSAGES["dm1"][2]
    monkeypatch.setattr(made, "codes_messages", lambda: [bytes.fromhex(told["body"])])
    expected = "; ".join(f"SPN {spn} FMI {fmi} ×{count}" for spn, fmi, count in told["codes"])
    assert data_link_reader.read_codes(made).display == (expected,)
    bodies = {one["pgn"]: np.frombuffer(bytes.fromhex(one["body"]), np.uint8) for one in MESSAGES["frames"]}
    monkeypatch.setattr(made, "frames", lambda pgn: bodies[pgn].reshape(1, 8))
    shown = {name: data_link_reader.read_live(made, name).display[0] for name in live.SPN}
    assert shown["supply_V"] == "12.35 V"
    assert shown["bunk_C"] == "26.5 °C"
    assert shown["compressor_rpm"] == "3588 rpm"
    assert shown["fan_command_percent"] == "37 %"


LIBRARIES = ("can-j1939==2.0.12", "cantools==45.1.0")


@pytest.mark.skipif(
    not os.environ.get("PARKED_HVAC_ASK_LIBRARY"),
    reason="set PARKED_HVAC_ASK_LIBRARY=1 to ask the libraries anew",
)
@pytest.mark.slow
def test_do_the_libraries_still_pack_and_decode_so(tmp_path):
    """j1939_truck_messages.json: worked out anew by the libraries, in an environment of their own."""
    venv.create(tmp_path / "apart", with_pip=True)
    python = tmp_path / "apart" / ("Scripts" if os.name == "nt" else "bin") / "python"
    subprocess.run([python, "-m", "pip", "install", "--quiet", *LIBRARIES], check=True, capture_output=True)
    kept = (AUTHORITIES / "j1939_truck_messages.json").read_bytes()
    ran = subprocess.run(
        [python, Path(__file__).with_name("data_link_library.py")],
        input=kept,
        check=True,
        capture_output=True,
    )
    found = json.loads(ran.stdout)
    assert found["dm1"] == MESSAGES["dm1"]
    for one, told in zip(found["frames"], MESSAGES["frames"], strict=True):
        assert one["body"] == told["body"]
        assert one["values"] == pytest.approx(told["values"], abs=1e-9)
