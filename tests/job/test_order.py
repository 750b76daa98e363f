"""Are work orders, labour and skills read strictly?"""

from __future__ import annotations

import re
import shutil

import pytest

from parked_hvac.job import labour as labour_module
from parked_hvac.job import order as order_module
from parked_hvac.job.errors import OrderError
from parked_hvac.job.labour import labour
from parked_hvac.job.order import order_named, orders
from parked_hvac.job.skills import skills
from parked_hvac.places import data_dir
from parked_hvac.rig.faults import faults
from parked_hvac.tables import DataError


def test_are_the_first_two_orders_there_and_all_easiest_first():
    assert {"first-look", "night-call"} <= set(orders())
    difficulties = [order.difficulty for order in orders().values()]
    assert difficulties == sorted(difficulties)


def test_does_an_unknown_order_name_the_nearest():
    with pytest.raises(OrderError, match="did you mean 'night-call'"):
        order_named("night-cal")


def test_does_every_fault_and_order_name_a_known_skill():
    named = {skill for order in orders().values() for skill in order.skills}
    named |= {fault.skill for fault in faults().values()}
    assert named <= set(skills())


@pytest.fixture
def planted(tmp_path, monkeypatch):
    """A copy of the data folder, for planted defects; what the other modules read stays cached."""
    faults(), skills(), labour()
    shutil.copytree(data_dir() / "work-orders", tmp_path / "work-orders")
    shutil.copytree(data_dir() / "rig", tmp_path / "rig")
    monkeypatch.setenv("PARKED_HVAC_DATA", str(tmp_path))

    def plant(name: str, old: str, new: str) -> None:
        path = tmp_path / name
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")

    return plant


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("complaint =", "complain =", "did you mean 'complaint'?"),
        ("outside_C", "outsid_C", "did you mean 'outside_C'?"),
        ('"s1_open"', '"s1_opened"', "did you mean 's1_open'?"),
        ('"voltage_drop"', '"voltage_drops"', "did you mean 'voltage_drop'?"),
        ('id = "night-call"', 'id = "day-call"', "give file and id the same name"),
        ("outside_C = 30.0", "outside_C = 300.0", "give -40.0 to 55.0"),
        ("difficulty = 3", "difficulty = 9", "give 1 to 5"),
        ('curtains = "closed"', 'curtains = "drawn"', "give 'closed' or 'open'"),
        ("occupants = 1", 'occupants = "one"', "Expected `int`, got `str`"),
    ],
)
def test_is_a_defect_in_an_order_named_with_its_file_and_remedy(planted, old, new, sentence):
    planted("work-orders/night-call.toml", old, new)
    with pytest.raises(DataError, match=re.escape(sentence)) as error:
        order_module.orders.__wrapped__()
    assert "night-call.toml" in str(error.value)


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("measure = 1.0", "measure = 99.0", "99.0 min for a verb; give 0.0 to 30.0"),
        ("[covers.unit_lid]", "[covers.unit_lids]", "cover 'unit_lid' has no times"),
        ("[connectors.plug]", "[connectors.plugs]", "add [connectors.plug]"),
    ],
)
def test_is_a_defect_in_the_labour_times_named(planted, old, new, sentence):
    planted("rig/labour.toml", old, new)
    with pytest.raises(DataError, match=re.escape(sentence)):
        labour_module.labour.__wrapped__()
