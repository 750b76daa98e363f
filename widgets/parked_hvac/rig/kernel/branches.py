"""What the wiring looks like at one moment: conductances and sources of one draw as it stands."""

from __future__ import annotations

from typing import Any

from parked_hvac.physics.scalar.battery import emf_V, ohmic_ohm
from parked_hvac.physics.scalar.thermistor import resistance_ohm
from parked_hvac.rig.kernel.numbers import (
    BLOWER_STEPS,
    DOOR_COMMAND,
    DOOR_POSITION,
    DRIVE_CAPACITOR,
    DRIVE_COMMAND,
    DRIVER_K3,
    DRIVER_K4,
    FAN_COMMAND,
    ISOLATOR_COIL,
    ISOLATOR_CONTACTS,
    ISOLATOR_STATUS,
    LINK_HIGH,
    LINK_LOW,
    PANEL_OUTPUT,
    REF_S1,
    RUN_CONTACT,
    RUN_SIGNAL,
    S1,
    TRUCK_LOAD,
)

RUN_SIGNAL_V = 6.0
LEG_DUTY = 0.5
"""Share of the time a switching leg stands at the supply, averaged over a revolution."""
_RUN_CONTACT_OHM = 0.02
_UNPOWERED_OHM = 1e6
_LEG_OHM = 500.0
"""Behind it a switching leg, averaged, stands at its mean; too high to take a current that counts."""
_LOAD_AT_V = 12.6  # voltage at which the truck's own loads take their rated current
_LINK_HIGH_V, _LINK_LOW_V = 2.62, 2.38
"""Mean of a busy link: about 2.6 V and 2.4 V against ground; common practice, no source."""
_DOOR_HOT_V, _DOOR_COLD_V = 4.4, 0.6


def tap_V(wiring: Any, volts: Any, tap: int) -> float:
    """Voltage that a component sees between its two terminals; ``tap``: a number of ``numbers.TAPS``."""
    return float(volts[wiring.tap_red[tap]] - volts[wiring.tap_black[tap]])


def engine_seen(wiring: Any, draw: Any, volts: Any) -> bool:
    """Whether the panel sees that the engine runs."""
    return bool(draw.solved and tap_V(wiring, volts, RUN_SIGNAL) > RUN_SIGNAL_V)


def pressed(p: Any, hand: Any) -> bool:
    """Whether the parked-mode button stands on and makes contact."""
    return bool(hand.parked_cooling and p.panel_button_dead < 0.5)


def lay(
    draw: Any, p: Any, hand: Any, cells: Any, wiring: Any, volts: Any, siemens: Any, source_V: Any
) -> None:
    """Fill in the conductances and sources that change while the truck works; the others stand already."""
    at = wiring.branch
    for i in range(len(wiring.contact)):
        siemens[wiring.contact[i]] = 1.0 / p.relay_contact_ohm[i] if draw.relay_closed[i] else 0.0
    siemens[at[ISOLATOR_CONTACTS]] = 1.0 / p.isolator_contact_ohm if draw.isolator_closed else 0.0
    siemens[at[ISOLATOR_COIL]] = 1.0 / p.isolator_coil_ohm if draw.isolator_wanted else 0.0
    siemens[at[ISOLATOR_STATUS]] = 1.0 if draw.isolator_closed else 0.0
    siemens[at[RUN_CONTACT]] = 1.0 / _RUN_CONTACT_OHM if hand.engine else 0.0
    asked = draw.panel_alive and pressed(p, hand) and not engine_seen(wiring, draw, volts)
    siemens[at[PANEL_OUTPUT]] = 1.0 / p.panel_output_ohm if asked else 0.0
    siemens[at[DRIVER_K3]] = 1.0 / p.controller_driver_ohm if draw.running else 0.0
    siemens[at[DRIVER_K4]] = 1.0 / p.controller_driver_ohm if draw.cooling else 0.0
    blows = draw.running and hand.blower_step > 0
    siemens[at[BLOWER_STEPS]] = 1.0 / max(p.step_ohm[hand.blower_step], 1e-3) if blows else 0.0
    reference_V = p.controller_reference_V if draw.alive else 0.0
    for i in range(len(wiring.bead)):
        bead = resistance_ohm(
            draw.sensor_C[i] + p.sensor_shift_K[i], p.curve_a[i], p.curve_b[i], p.curve_c[i]
        )
        short = p.sensor_short_ohm[i]
        siemens[wiring.bead[i]] = 1.0 / (p.sensor_series_ohm[i] + bead * short / (bead + short))
        siemens[wiring.reference[i]] = 1.0 / p.controller_pull_up_ohm
        source_V[wiring.reference[i]] = reference_V
    hot = draw.compressor_C > p.thermal_switch_opens_C
    siemens[at[S1]] = 0.0 if hot else 1.0 / p.thermal_switch_closed_ohm
    load_A = p.truck_standby_A
    if hand.key_on:
        load_A += p.truck_key_on_A
    if hand.engine:
        load_A += p.truck_engine_load_A
    siemens[at[TRUCK_LOAD]] = load_A / _LOAD_AT_V
    siemens[at[REF_S1]] = 1.0 / p.controller_switch_pull_up_ohm
    source_V[at[REF_S1]] = reference_V
    out = 1.0 / p.controller_output_ohm if draw.alive else 1.0 / _UNPOWERED_OHM
    for number in (DRIVE_COMMAND, FAN_COMMAND, DOOR_COMMAND, DOOR_POSITION, LINK_HIGH, LINK_LOW):
        siemens[at[number]] = out
        source_V[at[number]] = 0.0
    if draw.alive:
        source_V[at[DRIVE_COMMAND]] = draw.speed_V
        source_V[at[FAN_COMMAND]] = draw.fan_V
        source_V[at[DOOR_COMMAND]] = draw.door_V
        source_V[at[DOOR_POSITION]] = _DOOR_HOT_V if p.door_stuck_hot > 0.5 else _DOOR_COLD_V
        source_V[at[LINK_HIGH]] = _LINK_HIGH_V
        source_V[at[LINK_LOW]] = _LINK_LOW_V
    for i in range(len(wiring.leg_high)):
        live = draw.driving and p.leg[i] > 0.5
        siemens[wiring.leg_high[i]] = LEG_DUTY / _LEG_OHM if live else 0.0
        siemens[wiring.leg_low[i]] = (1.0 - LEG_DUTY) / _LEG_OHM if live else 1.0 / p.drive_leak_ohm
    siemens[at[DRIVE_CAPACITOR]] = 1.0 / p.drive_capacitor_ohm
    source_V[at[DRIVE_CAPACITOR]] = draw.capacitor_V
    for i in range(len(wiring.cell)):
        siemens[wiring.cell[i]] = 1.0 / ohmic_ohm(cells[i], cells[i])
        source_V[wiring.cell[i]] = emf_V(cells[i], cells[i])
