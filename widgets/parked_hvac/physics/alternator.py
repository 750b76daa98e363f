"""Alternator with regulator: a voltage it holds, a current it cannot exceed.

Law: I = (set voltage − V)/regulator resistance, held softly between 0 and what the speed allows, which is a power law
through cut-in, idle and cruise; the set voltage falls in a line with the regulator's temperature.
Sources: the slope given as default lies within charger makers' −3 to −5 mV/K and cell
(tests/reference/authorities/bat_tempcomp.json; the training truck's own is less steep); the rest is common practice, no source.
Limits: steady speed between standstill and cruise, 0 to 17 V. No field time constant, load dump, ripple, or loss of
output as it heats up.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics.each import each
from parked_hvac.physics.scalar import alternator as law

Floats = float | NDArray[np.float64]


@dataclass(frozen=True)
class AlternatorParameters:
    """An alternator and its regulator; floats or arrays of shape (B,).

    ``slope_V_per_K`` is negative: a cold battery is charged at a higher voltage. ``idle_fraction`` is the
    share of the largest current that is left at idle; ``slip_factor`` the share of the pulley's speed that
    a slipping belt hands on; ``output_factor`` 0 for an alternator that gives nothing. Speeds are fractions
    of the cruise speed.
    """

    setpoint_V: Floats
    max_current_A: Floats
    slope_V_per_K: Floats = -0.024
    idle_fraction: Floats = 0.5
    regulator_resistance_ohm: Floats = 0.004
    slip_factor: Floats = 1.0
    output_factor: Floats = 1.0
    idle_speed_fraction: Floats = 0.35
    cut_in_speed_fraction: Floats = 0.15


def setpoint_V(p: AlternatorParameters, temperature_C: Floats = 25.0) -> NDArray[np.float64]:
    """Voltage in V that the regulator holds at its temperature in °C."""
    return np.asarray(p.setpoint_V + p.slope_V_per_K * (np.asarray(temperature_C, dtype=np.float64) - 25.0))


def available_current_A(p: AlternatorParameters, speed_fraction: Floats) -> NDArray[np.float64]:
    """Largest current in A at a speed: none below cut-in, ``idle_fraction`` at idle, all of it at cruise.

    A power law through the two points, for want of a maker's curve (common practice, no source).
    """
    return np.asarray(
        each(
            law.available_current_A,
            speed_fraction,
            p.max_current_A,
            p.output_factor,
            p.slip_factor,
            p.idle_fraction,
            p.idle_speed_fraction,
            p.cut_in_speed_fraction,
        )
    )


def current_A(
    terminal_V: Floats,
    p: AlternatorParameters,
    temperature_C: Floats = 25.0,
    speed_fraction: Floats = 1.0,
) -> NDArray[np.float64]:
    """Current in A out of the positive terminal at a terminal voltage in V: falls smoothly, never below 0."""
    return np.asarray(_current(terminal_V, p, temperature_C, speed_fraction)[0])


def slope_S(
    terminal_V: Floats,
    p: AlternatorParameters,
    temperature_C: Floats = 25.0,
    speed_fraction: Floats = 1.0,
) -> NDArray[np.float64]:
    """Derivative in S of ``current_A`` by the terminal voltage: zero or negative."""
    return np.asarray(_current(terminal_V, p, temperature_C, speed_fraction)[1])


def _current(
    terminal_V: Floats, p: AlternatorParameters, temperature_C: Floats, speed_fraction: Floats
) -> tuple[Floats, Floats]:
    held, available = setpoint_V(p, temperature_C), available_current_A(p, speed_fraction)
    out_A, slope = each(law.current, terminal_V, held, available, p.max_current_A, p.regulator_resistance_ohm)
    return out_A, slope
