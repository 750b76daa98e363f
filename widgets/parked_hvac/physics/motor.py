"""Motors: the brushed blower, a fan with a command input, and the compressor's three windings.

Laws: brushed, k·(V − k·ω)/R = c·ω² + friction; fan, power by the cube of a speed that rises in a line with the command;
star and delta, sums and parallels of the phases.
Sources: textbook DC machine and the affinity laws of fans; how a fan starts and stalls is common practice, no source.
Limits: steady states from 0 to 17 V, windings and magnets at one temperature, no brush drop, no inertia (the rig lets
speed follow at once), phases as plain resistances: an inverter's frequency is not seen by an ohmmeter.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics.each import each
from parked_hvac.physics.scalar import motor as law

Floats = float | NDArray[np.float64]


def brushed_speed_rad_s(
    voltage_V: Floats,
    resistance_ohm: Floats,
    constant_V_per_rad_s: Floats,
    fan_torque_coefficient: Floats,
    friction_torque_Nm: Floats,
) -> NDArray[np.float64]:
    """Steady speed in rad/s of a brushed motor with a fan; 0 where the torque does not beat the friction.

    k·(V − k·ω)/R = c·ω² + friction, solved for ω (textbook DC machine; fan torque by the square of the
    speed, in N·m·s²/rad²). A seized motor has a friction beyond k·V/R.
    """
    figures = resistance_ohm, constant_V_per_rad_s, fan_torque_coefficient, friction_torque_Nm
    return np.asarray(each(law.brushed, voltage_V, *figures)[0])


def brushed_current_A(
    voltage_V: Floats,
    resistance_ohm: Floats,
    constant_V_per_rad_s: Floats,
    fan_torque_coefficient: Floats,
    friction_torque_Nm: Floats,
) -> NDArray[np.float64]:
    """Steady current in A of the motor of ``brushed_speed_rad_s``; V/R where it stands still."""
    figures = resistance_ohm, constant_V_per_rad_s, fan_torque_coefficient, friction_torque_Nm
    return np.asarray(each(law.brushed, voltage_V, *figures)[1])


def brushed_slope_S(
    voltage_V: Floats,
    resistance_ohm: Floats,
    constant_V_per_rad_s: Floats,
    fan_torque_coefficient: Floats,
    friction_torque_Nm: Floats,
) -> NDArray[np.float64]:
    """Derivative in S of ``brushed_current_A`` by the voltage: 0 (just turning) to 1/R (standing)."""
    figures = resistance_ohm, constant_V_per_rad_s, fan_torque_coefficient, friction_torque_Nm
    return np.asarray(each(law.brushed, voltage_V, *figures)[2])


@dataclass(frozen=True)
class FanParameters:
    """An electronically commutated fan; floats or arrays of shape (B,).

    ``power_W`` at full command; the command starts it at ``start_command_V`` with ``slowest_fraction`` of
    full speed. ``health`` 1 turns, 0 does not (seized: the electronics try, and take ``stalled_power_W``).
    """

    power_W: Floats
    start_command_V: Floats
    full_command_V: Floats
    minimum_supply_V: Floats
    slowest_fraction: Floats = law.FAN_SLOWEST
    standby_A: Floats = 0.02
    stalled_power_W: Floats = 12.0
    health: Floats = 1.0


def fan_speed_fraction(voltage_V: Floats, command_V: Floats, p: FanParameters) -> NDArray[np.float64]:
    """Speed as a fraction of full speed, by supply and command in V: 0 below a minimum or when seized."""
    gate = each(law.fan_gate, voltage_V, p.minimum_supply_V)
    return np.asarray(_demand(command_V, p) * gate * p.health)


def fan_current_A(voltage_V: Floats, command_V: Floats, p: FanParameters) -> NDArray[np.float64]:
    """Current in A by supply and command in V: power by the cube of the speed, off below the minimum."""
    return np.asarray(_fan(voltage_V, command_V, p)[0])


def fan_slope_S(voltage_V: Floats, command_V: Floats, p: FanParameters) -> NDArray[np.float64]:
    """Derivative in S of ``fan_current_A`` by the supply: negative where the fan takes constant power."""
    return np.asarray(_fan(voltage_V, command_V, p)[1])


def _demand(command_V: Floats, p: FanParameters) -> NDArray[np.float64]:
    found = each(law.fan_demand, command_V, p.start_command_V, p.full_command_V, p.slowest_fraction)
    return np.asarray(found)


def _fan(voltage_V: Floats, command_V: Floats, p: FanParameters) -> tuple[Floats, Floats]:
    power_W = each(law.fan_power_W, _demand(command_V, p), p.power_W, p.stalled_power_W, p.health)
    current, slope = each(law.fan_current, voltage_V, power_W, p.minimum_supply_V, p.standby_A)
    return current, slope


def line_resistance_ohm(
    phase_u_ohm: Floats, phase_v_ohm: Floats, phase_w_ohm: Floats
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Resistances in Ω between the terminals U–V, V–W, W–U of a star winding; an open phase is inf."""
    u = np.asarray(phase_u_ohm, dtype=np.float64)
    v = np.asarray(phase_v_ohm, dtype=np.float64)
    w = np.asarray(phase_w_ohm, dtype=np.float64)
    return np.asarray(u + v), np.asarray(v + w), np.asarray(w + u)


def delta_line_resistance_ohm(
    phase_uv_ohm: Floats, phase_vw_ohm: Floats, phase_wu_ohm: Floats
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Resistances in Ω between the terminals U–V, V–W, W–U of a delta winding; an open phase is inf."""
    uv = np.asarray(phase_uv_ohm, dtype=np.float64)
    vw = np.asarray(phase_vw_ohm, dtype=np.float64)
    wu = np.asarray(phase_wu_ohm, dtype=np.float64)
    return _beside(uv, vw + wu), _beside(vw, wu + uv), _beside(wu, uv + vw)


def _beside(a: NDArray[np.float64], b: NDArray[np.float64]) -> NDArray[np.float64]:
    with np.errstate(divide="ignore"):
        return np.asarray(1.0 / (1.0 / a + 1.0 / b))


def imbalance_fraction(a_ohm: Floats, b_ohm: Floats, c_ohm: Floats) -> NDArray[np.float64]:
    """Largest deviation of three resistances from their mean, over the mean; inf where one is open."""
    three = np.stack(np.broadcast_arrays(a_ohm, b_ohm, c_ohm)).astype(np.float64)
    unbroken = np.isfinite(three).all(axis=0)
    finite = np.where(unbroken, three, 1.0)
    mean = finite.mean(axis=0)
    return np.where(unbroken, np.abs(finite - mean).max(axis=0) / mean, np.inf)
