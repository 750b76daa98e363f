"""Drive T1 and compressor M1: whether the drive drives, and how fast the compressor turns."""

from __future__ import annotations

import math
from typing import Any

_ENABLE_V = 6.0  # at T1.E
_LOWEST_COMMAND_V = 0.4  # at T1.C


def over_current(p: Any, plugged_in: bool) -> bool:
    """Whether the drive trips at once when commanded."""
    return bool(p.over_current > 0.5 and plugged_in)


def can_turn(p: Any, plugged_in: bool) -> bool:
    """Whether a commanded compressor would turn."""
    return bool(p.can_turn > 0.5 and plugged_in)


def follow(draw: Any, p: Any, plugged_in: bool, supply_V: float, enable_V: float, command_V: float) -> bool:
    """Follow supply, enable and command; whether the drive starts or stops driving."""
    driving = (
        supply_V > p.drive_minimum_V
        and enable_V > _ENABLE_V
        and command_V > _LOWEST_COMMAND_V
        and not over_current(p, plugged_in)
    )
    moved = driving != draw.driving
    draw.driving = driving
    if not driving:
        draw.rpm = 0.0
    return bool(moved)


def advance(draw: Any, p: Any, plugged_in: bool, before_V: float, after_V: float, seconds: float) -> float:
    """Let the speed run up to the command at both ends of a step, or stop; its mean over the step, in rpm."""
    if not (draw.driving and can_turn(p, plugged_in)):
        draw.rpm = 0.0
        return 0.0
    rpm, first, last = draw.rpm, _commanded_rpm(p, before_V), _commanded_rpm(p, after_V)
    behind_s = abs(first - rpm) / p.drive_start_ramp_rpm_per_s
    if behind_s >= seconds:
        way = p.drive_start_ramp_rpm_per_s * seconds
        draw.rpm = rpm + way if first > rpm else rpm - way
        return float(0.5 * (rpm + draw.rpm))
    share = behind_s / seconds
    caught = first + share * (last - first)
    draw.rpm = last
    return float(0.5 * (share * (rpm + caught) + (1.0 - share) * (caught + last)))


def _commanded_rpm(p: Any, command_V: float) -> float:
    share = min(max((command_V - 0.5) / 4.0, 0.0), 1.0)
    return float(p.compressor_minimum_rpm + share * (p.compressor_maximum_rpm - p.compressor_minimum_rpm))


def advance_capacitor(draw: Any, p: Any, node_V: float, seconds: float) -> None:
    """Let the capacitor follow the voltage of its terminals, exactly for a held voltage."""
    time_s = p.drive_capacitor_ohm * p.drive_capacitor_F
    draw.capacitor_V = draw.capacitor_V + (node_V - draw.capacitor_V) * -math.expm1(-seconds / time_s)
