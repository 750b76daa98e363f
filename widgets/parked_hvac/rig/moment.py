"""What the wiring looks like at one moment: conductances, sources and loads of a truck as it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics import alternator, drive, motor, thermistor
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.compressor import LEG_DUTY
from parked_hvac.rig.controller import SENSOR_CURVES
from parked_hvac.rig.electrics import PortLoad
from parked_hvac.rig.harness import PHASES, RELAYS, harness, switched
from parked_hvac.rig.parameters import Floats

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck

Flags = NDArray[np.bool_]

_RUN_CONTACT_OHM = 0.02
_UNPOWERED_OHM = 1e6
_LEG_OHM = 500.0
"""Behind it a switching leg, averaged, stands at its mean; too high to take a current that counts."""
_RUN_SIGNAL_V = 6.0
_LOAD_AT_V = 12.6  # voltage at which the truck's own loads take their rated current
_ENGINE_SPEED = 0.6  # fast idle as a share of cruise; invented for this course


def conductance_S(truck: Truck) -> Floats:
    """Conductance of every branch at this moment, (branches, B), in the order of the harness."""
    p, row, controls = truck.parameters, harness().row, truck.controls
    table = truck.fixed_S.copy()
    ones = np.ones(truck.batch, dtype=bool)
    for name in controls.pulled:
        table[row[name]] = 0.0
    for name in controls.parted:
        for contact in catalogue().connectors[name].opens:
            table[row[contact]] = 0.0
    for name in RELAYS:
        table[row[f"contact {name}"]] = switched(truck.relay_closed[name], p[f"relay.{name}.contact_ohm"])
    table[row["isolator contacts"]] = switched(truck.isolator.closed, p["isolator.contact_ohm"])
    table[row["isolator coil"]] = switched(truck.isolator.wanted, p["isolator.coil_ohm"])
    table[row["isolator status"]] = switched(truck.isolator.closed, ones * 1.0)
    table[row["run contact"]] = switched(ones & (controls.key == "engine"), ones * _RUN_CONTACT_OHM)
    run = run_signal(truck) if truck.solved else ~ones
    table[row["panel output"]] = switched(truck.panel_alive & pressed(truck) & ~run, p["panel.output_ohm"])
    table[row["driver K3"]] = switched(truck.controller.running, p["controller.driver_ohm"])
    table[row["driver K4"]] = switched(truck.controller.cooling, p["controller.driver_ohm"])
    blower = truck.controller.running & (controls.blower_step > 0)
    step_ohm = p[f"blower.step_{max(controls.blower_step, 1)}_ohm"]
    table[row["blower steps"]] = switched(blower, np.maximum(step_ohm, 1e-3))
    for name, curve in SENSOR_CURVES.items():
        felt = truck.climate.sensor_C[name] + p[f"sensor.{name}.shift_K"]
        bead = thermistor.curve(curve).resistance_ohm(felt)
        short = p[f"sensor.{name}.short_ohm"]
        table[row[name]] = 1.0 / (p[f"sensor.{name}.series_ohm"] + bead * short / (bead + short))
    hot = truck.climate.compressor_C > p["thermal_switch.opens_C"]
    table[row["S1"]] = switched(~hot, p["thermal_switch.closed_ohm"])
    load_A = p["truck.standby_A"] + (p["truck.key_on_A"] if controls.key != "off" else 0.0)
    load_A = load_A + (p["truck.engine_load_A"] if controls.key == "engine" else 0.0)
    table[row["truck load"]] = load_A / _LOAD_AT_V
    awake = truck.controller.alive
    for name in SENSOR_CURVES:
        table[row[f"ref {name}"]] = 1.0 / p["controller.pull_up_ohm"]
    table[row["ref S1"]] = 1.0 / p["controller.switch_pull_up_ohm"]
    for name in ("drive command", "fan command", "door command", "link high", "link low"):
        table[row[name]] = np.where(awake, 1.0 / p["controller.output_ohm"], 1.0 / _UNPOWERED_OHM)
    table[row["door position"]] = np.where(awake, 1.0 / p["controller.output_ohm"], 1.0 / _UNPOWERED_OHM)
    for phase, leg in zip(PHASES, truck.compressor.legs, strict=True):
        live = truck.compressor.driving & leg
        table[row[f"leg {phase} high"]] = np.where(live, LEG_DUTY / _LEG_OHM, 0.0)
        table[row[f"leg {phase} low"]] = np.where(
            live, (1.0 - LEG_DUTY) / _LEG_OHM, 1.0 / p["drive.leak_ohm"]
        )
    table[row["drive capacitor"]] = 1.0 / p["drive.capacitor_ohm"]
    for bank in truck.banks.values():
        for name, ohm in zip(bank.batteries, bank.ohmic_ohm(), strict=True):
            table[row[name]] = 1.0 / ohm
    return table


def run_signal(truck: Truck) -> Flags:
    """Whether the panel sees that the engine runs, (B,)."""
    return np.asarray(truck.now.voltage_V("P1.R", "P1.-") > _RUN_SIGNAL_V)


def pressed(truck: Truck) -> Flags:
    """Whether the parked-mode button stands on and makes contact, (B,)."""
    return np.asarray(truck.controls.parked_cooling & (truck.parameters["panel.button_dead"] < 0.5))


def sources_V(truck: Truck) -> dict[str, Floats]:
    """Voltages behind the branches that are sources, each (B,)."""
    p, controller = truck.parameters, truck.controller
    awake = controller.alive
    reference = np.where(awake, p["controller.reference_V"], 0.0)
    sources = {f"ref {name}": reference for name in SENSOR_CURVES}
    sources["ref S1"] = reference
    sources["drive command"] = np.where(awake, controller.speed_V, 0.0)
    sources["fan command"] = np.where(awake, controller.fan_V, 0.0)
    sources["door command"] = np.where(awake, controller.door_V, 0.0)
    position = np.where(p["door.stuck_hot"] > 0.5, 4.4, 0.6)
    sources["door position"] = np.where(awake, position, 0.0)
    # Mean of a busy link: about 2.6 V and 2.4 V against ground; common practice, no source.
    sources["link high"] = np.where(awake, 2.62, 0.0)
    sources["link low"] = np.where(awake, 2.38, 0.0)
    sources["drive capacitor"] = truck.compressor.capacitor_V
    for bank in truck.banks.values():
        for name, emf in zip(bank.batteries, bank.emf_V(), strict=True):
            sources[name] = emf
    return sources


def port_loads(truck: Truck) -> tuple[PortLoad, ...]:
    """Drive, blower and condenser fan as they stand, and the alternator while the engine runs."""
    p = truck.parameters
    power = truck.compressor.power_W(truck.climate.shaft_W)
    blower = (
        p["blower.resistance_ohm"],
        p["blower.constant_V_per_rad_s"],
        p["blower.fan_torque"],
        p["blower.friction_Nm"],
    )
    fan_now = fan(truck)
    command = truck.fan_command_V

    def blower_law(volts: Floats) -> tuple[Floats, Floats]:
        forward = np.maximum(volts, 0.0)
        return motor.brushed_current_A(forward, *blower), motor.brushed_slope_S(forward, *blower)

    loads = (
        PortLoad(
            "T1.+",
            "T1.-",
            lambda v: (
                drive.input_current_A(v, power, p["drive.minimum_V"]),
                drive.input_slope_S(v, power, p["drive.minimum_V"]),
            ),
        ),
        PortLoad("M2.+", "M2.-", blower_law),
        PortLoad(
            "M3.+",
            "M3.-",
            lambda v: (motor.fan_current_A(v, command, fan_now), motor.fan_slope_S(v, command, fan_now)),
        ),
    )
    return (*loads, _alternator(truck)) if truck.controls.key == "engine" else loads


def _alternator(truck: Truck) -> PortLoad:
    p = truck.parameters
    turned = alternator.AlternatorParameters(
        setpoint_V=p["alternator.setpoint_V"],
        max_current_A=p["alternator.max_current_A"],
        slope_V_per_K=p["alternator.slope_V_per_K"],
        idle_fraction=p["alternator.idle_fraction"],
        regulator_resistance_ohm=p["alternator.regulator_ohm"],
        slip_factor=p["alternator.slip_factor"],
        output_factor=p["alternator.output_factor"],
    )
    warm = truck.climate.outside_C

    return PortLoad(
        "X2",
        "G3+",
        lambda v: (
            alternator.current_A(-v, turned, warm, _ENGINE_SPEED),
            -alternator.slope_S(-v, turned, warm, _ENGINE_SPEED),
        ),
    )


def fan(truck: Truck) -> motor.FanParameters:
    """The condenser fan as its figures say."""
    p = truck.parameters
    whole = p["fan.motor_open"] < 0.5
    return motor.FanParameters(
        power_W=np.where(whole, p["fan.rated_W"], 0.0),
        start_command_V=p["fan.start_command_V"],
        full_command_V=p["fan.full_command_V"],
        minimum_supply_V=p["fan.minimum_V"],
        standby_A=np.where(whole, 0.02, 0.0),
        stalled_power_W=np.where(whole, 12.0, 0.0),
        health=np.where(whole & (p["fan.seized"] < 0.5), 1.0, 0.0),
    )
