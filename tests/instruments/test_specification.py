"""Is what data/instruments says read strictly?"""

from __future__ import annotations

import re

import pytest

from parked_hvac.instruments.specification import MeterSpecification, Tools, meter_specification, tools
from parked_hvac.places import data_dir
from parked_hvac.tables import DataError, read_table


def planted(tmp_path, name: str, old: str, new: str):
    text = (data_dir() / "instruments" / name).read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / name
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return path


def test_is_the_course_s_own_data_sound():
    assert meter_specification().meter.input_resistance_ohm.value == 10e6
    assert tools().clamp.full_scale_A.value > 100.0


def test_does_a_misspelt_key_name_the_nearest(tmp_path):
    path = planted(tmp_path, "meter.toml", "input_resistance_ohm", "input_resistence_ohm")
    with pytest.raises(DataError, match="did you mean 'input_resistance_ohm'"):
        read_table(path, MeterSpecification)


def test_is_a_number_outside_its_own_range_refused(tmp_path):
    path = planted(tmp_path, "tools.toml", "value = 400.0", "value = 4000.0")
    with pytest.raises(DataError, match=re.escape("4000.0 A is outside its range of 10.0 to 2000.0")):
        read_table(path, Tools)


def test_does_every_range_need_its_accuracy(tmp_path):
    path = planted(
        tmp_path, "meter.toml", "percent = { value = [0.5, 0.5, 0.5, 0.5]", "percent = { value = [0.5, 0.5]"
    )
    with pytest.raises(DataError, match="2 values for 4 ranges; give one per range"):
        read_table(path, MeterSpecification)


def test_does_every_number_tell_its_source():
    for name in ("meter.toml", "tools.toml"):
        text = (data_dir() / "instruments" / name).read_text(encoding="utf-8")
        for line in text.splitlines():
            if "value =" in line:
                assert re.search(r'source = "(invented|common practice|from memory)', line), line
