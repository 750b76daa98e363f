"""Is every kind of failure there that the course is about, each told whole: severity, weight with its reason, access, repair?"""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from parked_hvac.job.order import orders
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.faults import Fault, draw_parameters, faults

KINDS: dict[str, tuple[str, ...]] = {
    "start bank": (
        "start_bank_discharged",
        "start_bank_sulphated",
        "start_battery_weak",
        "start_battery_cell_shorted",
    ),
    "auxiliary bank": (
        "aux_bank_discharged",
        "aux_bank_sulphated",
        "aux_battery_weak",
        "aux_battery_cell_shorted",
        "aux_bank_surface_charge",
    ),
    "alternator": (
        "alternator_no_output",
        "alternator_undercharge",
        "alternator_overcharge",
        "alternator_slips",
    ),
    "lugs": tuple(
        f"lug_corroded_{place}"
        for place in (
            "g1_positive",
            "g1_negative",
            "g2_positive",
            "g2_negative",
            "x0",
            "engine_strap",
            "x1",
            "unit_ground",
        )
    ),
    "isolator": (
        "isolator_stuck_open",
        "isolator_stuck_closed",
        "isolator_burnt",
        "isolator_sense_fuse_blown",
        "isolator_sense_holder_corroded",
        "isolator_sense_lead_open",
        "isolator_ground_lead_open",
        "isolator_ground_lead_corroded",
        "isolator_status_lead_open",
    ),
    "large fuses": tuple(
        name for fuse in ("f1", "f2", "f3") for name in (f"fuse_{fuse}_blown", f"holder_{fuse}_corroded")
    ),
    "branch fuses": tuple(f"fuse_f{number}_blown" for number in (11, 12, 13, 14, 15)),
    "relays": tuple(
        f"k{number}_{what}"
        for number, what in itertools.product(
            (1, 2, 3, 4), ("coil_open", "contact_burnt", "contact_welded", "control_open")
        )
    ),
    "unit's feed": ("x10_pin_backed_out", "harness_chafed"),
    "sensors": tuple(
        f"b{number}_{what}"
        for number, what in itertools.product((1, 2, 3), ("open", "shorted", "shifted", "connector_corroded"))
    ),
    "panel": ("panel_button_dead", "panel_blower_dead_spot", "panel_temperature_dead_spot"),
    "controller": ("controller_dead", "controller_no_drive_command", "controller_no_fan_command"),
    "compressor and drive": (
        "t1_leg_dead",
        "t1_no_output",
        "m1_winding_open",
        "m1_shorted_to_case",
        "m1_seized",
        "s1_open",
    ),
    "blower": ("m2_worn", "m2_open", "m2_connector_burnt"),
    "condenser fan": ("m3_open", "m3_ground_lost", "m3_command_open", "m3_seized"),
    "door, refrigerant, air": (
        "m4_stuck_hot",
        "refrigerant_part_lost",
        "refrigerant_lost",
        "condenser_blocked",
        "drain_plugged",
    ),
    "data link": ("data_link_open",),
    "none": ("nothing_wrong",),
}
ON_OR_OFF = (
    *("open", "stuck_closed", "welded", "seized", "dead", "no_output", "stuck_hot"),
    *("plugged", "cell_shorted", "no_drive", "no_fan", "leg_dead"),
)
"""What either is or is not, so that no severity is drawn; which part it hits may be."""


@pytest.mark.parametrize("kind", KINDS)
def test_is_every_failure_of_its_kind_there(kind: str) -> None:
    assert set(KINDS[kind]) <= set(faults())


@pytest.mark.parametrize("name", faults())
def test_is_each_cause_told_whole(name: str) -> None:
    one: Fault = faults()[name]
    assert one.prior > 0.0
    assert len(one.prior_reason) > 10
    assert one.repair.endswith(".")
    assert one.repair_minutes > 0.0
    assert set(one.access) <= set(catalogue().covers)
    assert one.edits or name == "nothing_wrong"


@pytest.mark.parametrize("name", [name for name in faults() if name != "nothing_wrong"])
def test_does_its_severity_spread_or_is_it_one_that_is_or_is_not(name: str) -> None:
    one = faults()[name]
    if any(edit.low != edit.high for edit in one.edits):
        drawn = draw_parameters([name], 60, np.random.default_rng(8))
        changed = [edit.parameter for edit in one.edits if edit.low != edit.high]
        parts = one.pick or ("",)
        values = [drawn[parameter.replace("{pick}", part)] for parameter in changed for part in parts]
        # Tolerance alone moves a figure by up to 2 % among sixty trucks.
        assert max(np.ptp(value) / abs(value.mean()) for value in values) > 0.03
    else:
        assert any(word in name for word in ON_OR_OFF) or one.pick, name


def test_is_nothing_wrong_met_in_its_variants_and_are_there_pairs() -> None:
    """Settings, a hot day, an open curtain, a run time that the energy explains: orders whose truck may have nothing wrong."""
    honest = [order for order in orders().values() if "nothing_wrong" in order.pool]
    assert any(order.conditions.curtains == "open" for order in honest)
    assert any(order.conditions.outside_C >= 38.0 for order in honest)
    assert any("eight" in order.complaint or "hours" in order.complaint for order in honest)
    assert any("degrees" in order.complaint or "°C" in order.complaint for order in honest)
    pairs = [cause for order in orders().values() for cause in order.pool if not isinstance(cause, str)]
    assert len(pairs) >= 10
    assert all(len(pair) == 2 for pair in pairs)
