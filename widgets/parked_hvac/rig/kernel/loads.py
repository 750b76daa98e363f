"""Loads that are not resistors, and the voltages across them at which everything agrees.

The wiring seen from the loads is a set of open voltages and a matrix of resistances; Newton's method finds
the voltages across the loads, which are three, or four while the engine runs.
"""

from __future__ import annotations

from typing import Any

from parked_hvac.physics.scalar.alternator import current as alternator_current
from parked_hvac.physics.scalar.drive import input_current
from parked_hvac.physics.scalar.motor import FAN_SLOWEST, brushed, fan_current, fan_demand, fan_power_W
from parked_hvac.physics.scalar.unit import wetted_share

_STEPS, _ANEW, _SMALL = 200, 25, 0.1
_TOLERANCE_V = 1e-6
"""The last move of Newton's; what is still wrong after it is of the order of its square."""
_LARGEST_STEP_V = 4.0  # what Newton may move at once: a load that browns out has a kink
_START_SHARE = (
    0.35  # of the running power that the first turns take against the gas that stands in the circuit
)
_START_W = 700.0  # shaft power of a compressor at full speed on a hot day; invented for this course
_GAP_OHM = 1e3  # wiring in front of a load that no sound or worn contact reaches: a blown fuse, a lifted lead
_TURNS = 180  # to find the voltage left behind a gap ...
_GAP_SHARE, _LAST_BIT = 1e-13, 1e-16  # ... as nearly as to these shares of the open one, or of itself
MOST_LOADS = 4
_SINKS = 3  # the loads before the alternator
_WIDTH = MOST_LOADS + 1


def drive_power_W(draw: Any, p: Any, plugged_in: bool) -> float:
    """Power the drive takes from the bank, for the shaft power of the running compressor."""
    if not draw.driving:
        return 0.0
    asked = 0.0
    if draw.rpm > 1.0:
        # Little gas, little to turn against: an empty circuit leaves the friction, which is in the shaft power.
        against = wetted_share(p.refrigerant_charge_fraction, p.gas_only_charge, p.starving_charge)
        first_W = _START_SHARE * _START_W * against * draw.rpm / p.compressor_maximum_rpm
        asked = max(draw.shaft_W, first_W)
        asked = asked / p.drive_efficiency
    elif plugged_in:
        asked = p.stalled_W
    return float(asked + p.drive_idle_W)


def load_count(hand: Any) -> int:
    """How many loads there are: the alternator only while the engine runs."""
    return 4 if hand.engine else 3


def law(number: int, volts: float, p: Any, power_W: float, fan_W: float) -> tuple[float, float]:
    """Current in A through a load at a voltage across it, and its slope in S."""
    if number == 0:
        return input_current(volts, power_W, p.drive_minimum_V)
    if number == 1:
        _, current, slope = brushed(
            volts,
            p.blower_resistance_ohm,
            p.blower_constant_V_per_rad_s,
            p.blower_fan_torque,
            p.blower_friction_Nm,
        )
        return current, slope
    if number == 2:
        return fan_current(volts, fan_W, p.fan_minimum_V, p.fan_standby_A)
    current, slope = alternator_current(
        -volts,
        p.alternator_held_V,
        p.alternator_available_A,
        p.alternator_max_current_A,
        p.alternator_regulator_ohm,
    )
    return current, -slope


def fan_taken_W(draw: Any, p: Any) -> float:
    """Power in W the condenser fan takes at its command, its supply apart."""
    demand = fan_demand(draw.fan_command_V, p.fan_start_command_V, p.fan_full_command_V, FAN_SLOWEST)
    return fan_power_W(demand, p.fan_power_W, p.fan_stalled_W, p.fan_health)


def agree(
    draw: Any, p: Any, hand: Any, open_V: Any, resistance: Any, across: Any, taken_A: Any, matrix: Any
) -> None:
    """Newton from ``across`` (volts across each load) to agreement; fills in ``across`` and ``taken_A``.

    open_V (loads,) and resistance (loads·loads,) are the wiring; matrix (loads·(loads + 1),) is room to work.
    """
    count = load_count(hand)
    power_W, fan_W = drive_power_W(draw, p, hand.plugged_in), fan_taken_W(draw, p)
    for step in range(_STEPS):
        if step == _ANEW:
            # A rail that has just lost its feed has no agreement near the voltages it had.
            for i in range(count):
                across[i] = open_V[i]
        if step == 0 or step == _ANEW:
            for i in range(_SINKS):
                ohm = resistance[i * MOST_LOADS + i]
                if ohm > _GAP_OHM:
                    across[i] = _left_V(i, open_V[i], ohm, p, power_W, fan_W)
        for j in range(count):
            current, slope = law(j, across[j], p, power_W, fan_W)
            taken_A[j] = current
            for i in range(count):
                matrix[i * _WIDTH + j] = resistance[i * MOST_LOADS + j] * slope
        for i in range(count):
            matrix[i * _WIDTH + i] += 1.0
            wrong = across[i] - open_V[i]
            for j in range(count):
                wrong += resistance[i * MOST_LOADS + j] * taken_A[j]
            matrix[i * _WIDTH + MOST_LOADS] = wrong
        _solve(matrix, count)
        largest = 0.0
        for i in range(count):
            largest = max(largest, abs(matrix[i * _WIDTH + MOST_LOADS]))
        if largest <= _TOLERANCE_V:
            # The currents of this last step, not those of the law at its end: behind a gap in the wiring a
            # millionth of a volt is more than the whole current, and only these agree with the wiring.
            for i in range(count):
                move = matrix[i * _WIDTH + MOST_LOADS]
                current, slope = law(i, across[i], p, power_W, fan_W)
                across[i] -= move
                taken_A[i] = current - slope * move
            return
        # Halving from the sixth step on ends the to and fro across a kink, smaller steps that across a sharp one.
        turn = step % _ANEW
        share = _SMALL if step >= 2 * _ANEW else 1.0 if turn < 6 else 0.5
        damping = min(1.0, _LARGEST_STEP_V / max(largest, 1e-300)) * share
        for i in range(count):
            across[i] -= damping * matrix[i * _WIDTH + MOST_LOADS]
    for j in range(count):
        taken_A[j], _ = law(j, across[j], p, power_W, fan_W)


def _left_V(number: int, open_V: float, ohm: float, p: Any, power_W: float, fan_W: float) -> float:
    """Voltage in V left across one load behind a gap, between 0 V and the open one: no slope leads Newton there.

    A chord from end to end, whose standing end counts half when it stands twice (the Illinois method: M. Dowell,
    P. Jarratt, BIT 11, 1971; from memory), and the middle at every third turn, for laws with a step: halving alone took
    sixty turns where this takes five.
    """
    low, high = 0.0, open_V
    low_V = _missed_V(number, low, open_V, ohm, p, power_W, fan_W)
    high_V = _missed_V(number, high, open_V, ohm, p, power_W, fan_W)
    if low_V * high_V >= 0.0:
        return low if abs(low_V) <= abs(high_V) else high
    stood = 0
    for turn in range(_TURNS):
        middle = 0.5 * (low + high)
        if turn % 3 < 2:
            middle = high - high_V * (high - low) / (high_V - low_V)
        missed_V = _missed_V(number, middle, open_V, ohm, p, power_W, fan_W)
        if abs(missed_V) <= _GAP_SHARE * abs(open_V) or abs(high - low) <= _LAST_BIT * abs(high + low):
            return middle
        if missed_V * high_V > 0.0:
            high, high_V = middle, missed_V
            if stood > 0:
                low_V *= 0.5
            stood = 1
        else:
            low, low_V = middle, missed_V
            if stood < 0:
                high_V *= 0.5
            stood = -1
    return 0.5 * (low + high)


def _missed_V(
    number: int, volts: float, open_V: float, ohm: float, p: Any, power_W: float, fan_W: float
) -> float:
    """By how much load and gap together take more than the open voltage."""
    current, _slope = law(number, volts, p, power_W, fan_W)
    return volts + ohm * current - open_V


def _solve(matrix: Any, count: int) -> None:
    """Gauss with row exchange; the answer takes the place of the last column."""
    for i in range(count):
        best = i
        for row in range(i + 1, count):
            if abs(matrix[row * _WIDTH + i]) > abs(matrix[best * _WIDTH + i]):
                best = row
        if best != i:
            for column in range(_WIDTH):
                kept = matrix[i * _WIDTH + column]
                matrix[i * _WIDTH + column] = matrix[best * _WIDTH + column]
                matrix[best * _WIDTH + column] = kept
        for row in range(i + 1, count):
            share = matrix[row * _WIDTH + i] / matrix[i * _WIDTH + i]
            for column in range(i + 1, _WIDTH):
                matrix[row * _WIDTH + column] -= share * matrix[i * _WIDTH + column]
    for back in range(count):
        i = count - 1 - back
        for j in range(i + 1, count):
            matrix[i * _WIDTH + MOST_LOADS] -= matrix[i * _WIDTH + j] * matrix[j * _WIDTH + MOST_LOADS]
        matrix[i * _WIDTH + MOST_LOADS] /= matrix[i * _WIDTH + i]
