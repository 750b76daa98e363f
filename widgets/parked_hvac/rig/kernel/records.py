"""What the kernel knows of a draw: its state, its figures and its batteries, one named column each."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from parked_hvac.rig.kernel.numbers import CODES, MOVING, SWITCHING_POINTS

RELAYS = 4
SENSORS = 3

STATE = np.dtype(
    [
        ("time_s", "f8"),
        ("left_s", "f8"),  # of the time to pass
        ("step_s", "f8"),  # wanted by the step control
        ("solved", "?"),
        # isolator
        ("isolator_wanted", "?"),
        ("isolator_closed", "?"),
        ("rising_s", "f8"),
        ("falling_s", "f8"),
        # relays and panel
        ("relay_closed", "i1", (RELAYS,)),
        ("panel_alive", "?"),
        # unit controller
        ("alive", "?"),
        ("running", "?"),  # asked for by the panel and awake
        ("cooling", "?"),  # wants the compressor to run
        ("cut_out", "?"),
        ("locked", "?"),
        ("frozen", "?"),
        ("thermostat", "?"),
        ("speed_V", "f8"),
        ("fan_V", "f8"),
        ("door_V", "f8"),
        ("seen_C", "f8", (SENSORS,)),
        ("counts", "i8", (len(CODES),)),
        ("active", "i1", (len(CODES),)),
        ("boot_s", "f8"),
        ("low_s", "f8"),
        ("good_s", "f8"),
        ("still_s", "f8"),
        ("pause_s", "f8"),
        ("stops", "i8"),
        # drive and compressor
        ("rpm", "f8"),
        ("driving", "?"),
        ("capacitor_V", "f8"),
        # what blower and fan do
        ("blower_fraction", "f8"),
        ("fan_fraction", "f8"),
        ("fan_command_V", "f8"),
        # climate
        ("hour", "f8"),
        ("bunk_C", "f8"),
        ("mass_C", "f8"),
        ("humidity_ratio", "f8"),
        ("surface_C", "f8"),
        ("condensing_C", "f8"),
        ("air_off_C", "f8"),
        ("shaft_W", "f8"),
        ("cooling_W", "f8"),
        ("compressor_C", "f8"),
        ("ice_kg", "f8"),
        ("water_kg", "f8"),
        ("spilled", "?"),
        ("sensor_C", "f8", (SENSORS,)),
        ("balanced", "?"),  # whether a balance of the refrigerant circuit stands to start from
        ("balance_surface_C", "f8"),
        ("balance_condensing_C", "f8"),
        ("balance_shaft_W", "f8"),
        ("balance_vent_C", "f8"),
        ("last_s", "f8"),  # length of the step in which it was made
        ("vent_target_C", "f8"),
        ("supply_W_per_K", "f8"),
        ("condensate_kg_per_s", "f8"),
        # how fast things moved in the last step, and how far they stand from where something switches
        ("rate_per_s", "f8", (MOVING,)),
        ("margin", "f8", (SWITCHING_POINTS,)),
        ("margin_per_s", "f8", (SWITCHING_POINTS,)),
    ],
    align=True,
)

CELL = np.dtype(
    [
        (name, "f8")
        for name in (
            # state, the fields of battery.BatteryState
            "state_of_charge",
            "temperature_C",
            "fast_V",
            "slow_V",
            "surface_V",
            "draw_A",
            # how fast its current moved in the last step
            "current_A_per_s",
            # figures, those of battery.BatteryParameters with the chemistry as its acid
            "capacity_Ah",
            "resistance_ohm",
            "fast_resistance_ohm",
            "slow_resistance_ohm",
            "fast_time_s",
            "slow_time_s",
            "surface_build_s",
            "surface_bleed_s",
            "surface_decade_V",
            "acceptance_per_h",
            "gassing_per_h",
            "capacity_factor",
            "resistance_factor",
            "shorted_cells",
            "peukert_exponent",
            "acid_empty",
            "acid_span",
            # surface charge of a battery just off a charger, kept through the rest at the beginning
            "planted_V",
        )
    ]
)

HAND = np.dtype(
    [
        ("key_on", "?"),
        ("engine", "?"),
        ("parked_cooling", "?"),
        ("plugged_in", "?"),
        ("blower_step", "i8"),
        ("set_temperature_C", "f8"),
        ("warmed", "i1", (SENSORS,)),
        ("outside_C", "f8"),
        ("outside_ratio", "f8"),
        ("occupants", "f8"),
        ("curtain_open", "f8"),
        ("engine_off_s", "f8"),
        (
            "step_scale",
            "f8",
        ),  # of every limit to a step but the ends of delays; 1 but for checks of the steps
    ],
    align=True,
)
"""What is the same for all draws: hands on the controls, and the conditions of the order."""

SINGLE = (
    "relay.pull_in_V",
    "relay.drop_out_V",
    "isolator.contact_ohm",
    "isolator.coil_ohm",
    "isolator.close_V",
    "isolator.open_V",
    "isolator.close_delay_s",
    "isolator.open_delay_s",
    "isolator.stuck_open",
    "isolator.stuck_closed",
    "panel.output_ohm",
    "panel.minimum_V",
    "panel.button_dead",
    "panel.blower_dead_step",
    "panel.temperature_dead",
    "controller.dead",
    "controller.no_drive_command",
    "controller.no_fan_command",
    "controller.minimum_V",
    "controller.boot_s",
    "controller.cut_out_V",
    "controller.cut_out_delay_s",
    "controller.restart_V",
    "controller.restart_delay_s",
    "controller.lockout_starts",
    "controller.evaporator_low_C",
    "controller.evaporator_high_C",
    "controller.high_pressure_C",
    "controller.reference_V",
    "controller.pull_up_ohm",
    "controller.switch_pull_up_ohm",
    "controller.output_ohm",
    "controller.driver_ohm",
    "drive.minimum_V",
    "drive.efficiency",
    "drive.idle_W",
    "drive.capacitor_F",
    "drive.capacitor_ohm",
    "drive.leak_ohm",
    "drive.start_ramp_rpm_per_s",
    "compressor.minimum_rpm",
    "compressor.maximum_rpm",
    "compressor.displacement_m3",
    "thermal_switch.opens_C",
    "thermal_switch.closed_ohm",
    "truck.standby_A",
    "truck.key_on_A",
    "truck.engine_load_A",
    "blower.resistance_ohm",
    "blower.constant_V_per_rad_s",
    "blower.fan_torque",
    "blower.friction_Nm",
    "blower.rated_rad_s",
    "fan.start_command_V",
    "fan.full_command_V",
    "fan.minimum_V",
    "alternator.max_current_A",
    "alternator.regulator_ohm",
    "door.stuck_hot",
    "refrigerant.charge_fraction",
    "condenser.blockage",
    "drain.plugged",
    "sensor.time_constant_s",
    "sensor.finger_C",
    "unit.volumetric_efficiency",
    "unit.clearance",
    "unit.isentropic_efficiency",
    "unit.friction_Nm",
    "unit.superheat_K",
    "unit.subcooling_K",
    "unit.starving_charge",
    "unit.gas_only_charge",
    "unit.evaporator_air_W_per_K",
    "unit.evaporator_refrigerant_W_per_K",
    "unit.evaporator_flow_m3_per_s",
    "unit.ice_full_kg",
    "unit.condenser_W_per_K",
    "unit.condenser_flow_m3_per_s",
    "unit.condenser_still_share",
    "unit.evaporator_lag_s",
    "unit.condenser_lag_s",
    "cabin.air_capacity_J_per_K",
    "cabin.mass_capacity_J_per_K",
    "cabin.air_to_mass_W_per_K",
    "cabin.air_to_outside_W_per_K",
    "cabin.mass_to_outside_W_per_K",
    "cabin.leak_m3_per_s",
    "cabin.curtain_open_m3_per_s",
    "cabin.air_mass_kg",
    "cabin.sun_area_m2",
    "cabin.greenhouse_K",
)
"""Figures of data/rig that the kernel takes as they are."""


def column(figure: str) -> str:
    """Name of a figure's column: those of circuit and bunk bear the names that their laws use."""
    part, _, name = figure.partition(".")
    own = part in ("unit", "cabin") or figure == "compressor.displacement_m3"
    return name if own else figure.replace(".", "_")


FIGURE = np.dtype(
    [(column(name), "f8") for name in SINGLE]
    + [
        # worked out once from other figures, rig/figures.py
        ("sun_on_air_share", "f8"),
        ("alternator_held_V", "f8"),
        ("alternator_available_A", "f8"),
        ("fan_power_W", "f8"),
        ("fan_standby_A", "f8"),
        ("fan_stalled_W", "f8"),
        ("fan_health", "f8"),
        ("can_turn", "f8"),
        ("over_current", "f8"),
        ("stalled_W", "f8"),
        ("relay_contact_ohm", "f8", (RELAYS,)),
        ("relay_coil_ohm", "f8", (RELAYS,)),
        ("relay_welded", "f8", (RELAYS,)),
        ("step_ohm", "f8", (6,)),
        ("sensor_shift_K", "f8", (SENSORS,)),
        ("sensor_series_ohm", "f8", (SENSORS,)),
        ("sensor_short_ohm", "f8", (SENSORS,)),
        ("curve_a", "f8", (SENSORS,)),
        ("curve_b", "f8", (SENSORS,)),
        ("curve_c", "f8", (SENSORS,)),
        ("leg", "f8", (3,)),
    ]
)


def record(rows: Any) -> NDArray[Any]:
    """A named tuple of rows as an array of one record with the same fields, which a kernel takes whole."""
    made = np.zeros(1, dtype=[(name, row.dtype, row.shape) for name, row in rows._asdict().items()])
    for name, row in rows._asdict().items():
        made[name][0] = row
    return made
