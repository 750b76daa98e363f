"""Brushed motor with a fan, and a fan with a command input; one of each."""

from __future__ import annotations

import math

FAN_SLOWEST = 0.3  # of full speed: what a fan turns at its start command
_GATE_V = 0.05  # width over which a fan's electronics come alive; keeps Newton smooth
_LARGEST_EXPONENT = 60.0  # beyond it a logistic is 0 or 1 to double precision


def brushed(
    voltage_V: float,
    resistance_ohm: float,
    constant_V_per_rad_s: float,
    fan_torque_coefficient: float,
    friction_torque_Nm: float,
) -> tuple[float, float, float]:
    """Steady speed in rad/s, current in A and its slope in S; the law stands at ``motor``."""
    driving = max(constant_V_per_rad_s * voltage_V / resistance_ohm - friction_torque_Nm, 0.0)
    damping = constant_V_per_rad_s * constant_V_per_rad_s / resistance_ohm
    root = math.sqrt(damping * damping + 4.0 * fan_torque_coefficient * driving)
    speed = 2.0 * driving / (damping + root)
    current = (voltage_V - constant_V_per_rad_s * speed) / resistance_ohm
    turning = damping / root if driving > 0.0 else 0.0
    return speed, current, (1.0 - turning) / resistance_ohm


def fan_demand(
    command_V: float, start_command_V: float, full_command_V: float, slowest_fraction: float
) -> float:
    """Speed that the command asks for, as a fraction of full speed."""
    share = (command_V - start_command_V) / (full_command_V - start_command_V)
    if share < 0.0:
        return 0.0
    return slowest_fraction + (1.0 - slowest_fraction) * min(share, 1.0)


def fan_gate(voltage_V: float, minimum_supply_V: float) -> float:
    """Share of the fan's electronics that are alive at a supply in V: 0 below the minimum, 1 above."""
    above = (voltage_V - minimum_supply_V) / _GATE_V
    return 1.0 / (1.0 + math.exp(-min(max(above, -_LARGEST_EXPONENT), _LARGEST_EXPONENT)))


def fan_power_W(demand: float, power_W: float, stalled_power_W: float, health: float) -> float:
    """Power in W by the cube of the demanded speed, or that of a fan that tries and does not turn."""
    if health > 0.0:
        return power_W * (demand * demand * demand)
    return stalled_power_W if demand > 0.0 else 0.0


def fan_current(
    voltage_V: float, power_W: float, minimum_supply_V: float, standby_A: float
) -> tuple[float, float]:
    """Current in A at a supply in V, off below the minimum, and its slope in S."""
    volts = max(voltage_V, 0.1)
    gate = fan_gate(voltage_V, minimum_supply_V)
    taken = power_W / volts + standby_A
    opening = gate * (1.0 - gate) / _GATE_V
    return gate * taken, opening * taken - gate * power_W / (volts * volts)
