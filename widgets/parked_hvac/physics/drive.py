"""Three-phase compressor drive fed with DC: what it takes, and what stands on its three terminals.

The switched legs are averaged over the electrical revolution. A leg is either at the supply or at drive
negative, so its mean and its true RMS depend on its mean duty alone, whatever the modulation.

Laws: input I = P/V above the minimum voltage; a leg's mean is duty · V, its true RMS V · √duty; between two legs the
mean of |sin| over a revolution (2·m/π).
Sources: closed forms of two-level waves, checked by sampling and by a circuit simulator; 'about 5 V and about 9 kHz' at a
terminal is common practice, no source.
Limits: sinusoidal modulation up to m = 1 without added third harmonic, carrier far above the electrical frequency, ideal
edges, no dead time, no ripple on the supply, star windings. A meter whose bandwidth ends below the carrier would show less.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from parked_hvac.physics.each import each
from parked_hvac.physics.scalar import drive as law
from parked_hvac.physics.waveform import PulseTrain

Floats = float | NDArray[np.float64]
Flags = bool | NDArray[np.bool_]

_CANCELS = 1e-9  # the legs' weights add up to nothing


@dataclass(frozen=True)
class DriveParameters:
    """A three-phase drive; floats or arrays of shape (B,).

    ``common_duty`` is the share of the time each leg stands at the supply, averaged over a revolution. Below
    ``minimum_voltage_V`` the drive takes what a resistance would, so that a solution always exists.
    """

    carrier_Hz: Floats
    minimum_voltage_V: Floats
    efficiency: Floats = 0.9
    logic_power_W: Floats = 4.0
    common_duty: Floats = 0.5


def input_power_W(shaft_power_W: Floats, p: DriveParameters) -> NDArray[np.float64]:
    """Power in W the drive takes to give a shaft power, motor and drive losses and its own logic included."""
    shaft = np.asarray(shaft_power_W, dtype=np.float64)
    return np.asarray(shaft / p.efficiency + np.where(shaft > 0, p.logic_power_W, 0.0))


def input_current_A(voltage_V: Floats, power_W: Floats, minimum_voltage_V: Floats) -> NDArray[np.float64]:
    """Input current in A: P/V, and below the minimum voltage that of a resistance with that power there."""
    return np.asarray(each(law.input_current, voltage_V, power_W, minimum_voltage_V)[0])


def input_slope_S(voltage_V: Floats, power_W: Floats, minimum_voltage_V: Floats) -> NDArray[np.float64]:
    """Derivative in S of ``input_current_A``: negative above the minimum voltage, positive below."""
    return np.asarray(each(law.input_current, voltage_V, power_W, minimum_voltage_V)[1])


def terminal_waveform(
    voltage_V: Floats,
    p: DriveParameters,
    modulation: Floats,
    running: Flags = True,
    leg_alive: tuple[Flags, Flags, Flags] = (True, True, True),
    winding_ohm: tuple[Floats, Floats, Floats] = (0.1, 0.1, 0.1),
) -> tuple[PulseTrain, PulseTrain, PulseTrain]:
    """Voltages of the terminals U, V, W against drive negative, as two-level waves of arrays of shape (B,).

    ``modulation`` is the peak voltage between two terminals over the supply voltage, 0 to 1. A dead leg
    switches nothing: its terminal follows the star point through its own winding, and stands at 0 V where
    that winding is open (inf) or the motor is unplugged (three inf). An open winding changes nothing on a
    leg that switches. The wave of a dead leg has three levels; the two-level wave given has the same mean
    and true RMS.
    """
    volts = np.asarray(voltage_V, dtype=np.float64)
    on = np.asarray(running, dtype=bool)
    alive = [on & np.asarray(leg, dtype=bool) for leg in leg_alive]
    with np.errstate(divide="ignore"):
        conductance = [1.0 / np.asarray(winding, dtype=np.float64) for winding in winding_ohm]
    feeding = [np.where(a, g, 0.0) for a, g in zip(alive, conductance, strict=True)]
    return (
        _terminal(volts, p, modulation, alive[0], conductance[0], feeding[1], feeding[2]),
        _terminal(volts, p, modulation, alive[1], conductance[1], feeding[2], feeding[0]),
        _terminal(volts, p, modulation, alive[2], conductance[2], feeding[0], feeding[1]),
    )


def _terminal(
    volts: NDArray[np.float64],
    p: DriveParameters,
    modulation: Floats,
    alive: NDArray[np.bool_],
    own_S: NDArray[np.float64],
    next_S: NDArray[np.float64],
    last_S: NDArray[np.float64],
) -> PulseTrain:
    together = next_S + last_S
    follows = ~alive & (own_S > 0) & (together > 0)
    share = np.where(together > 0, next_S / np.where(together > 0, together, 1.0), 0.0)
    # Between the two feeding legs the star point stands at `share` of the supply while only one of them is
    # high.
    apart = 2.0 / np.pi * np.asarray(modulation, dtype=np.float64)
    duty = np.asarray(p.common_duty, dtype=np.float64)
    lost = np.minimum(share * (1.0 - share) * apart / duty, 0.9)
    shrink = np.where(follows, 1.0 - lost, 1.0)
    live = alive | follows
    return PulseTrain(
        low_V=np.zeros_like(volts * shrink),
        high_V=np.where(live, volts * shrink, 0.0),
        duty=np.where(live, np.minimum(duty / shrink, 1.0), 0.0),
        frequency_Hz=np.where(live, p.carrier_Hz, 0.0),
    )


def line_waveform(
    voltage_V: Floats,
    p: DriveParameters,
    modulation: Floats,
    running: Flags = True,
    between: tuple[int, int] = (0, 1),
    leg_alive: tuple[Flags, Flags, Flags] = (True, True, True),
    winding_ohm: tuple[Floats, Floats, Floats] = (0.1, 0.1, 0.1),
) -> PulseTrain:
    """Voltage between two terminals (0 U, 1 V, 2 W), as a two-level wave of the same mean and true RMS.

    Two legs with sinusoidal duties differ for 2·m/π of the time (mean of |sin|), so that both are high for the
    common duty less m/π. A dead leg's terminal follows the star point, as in ``terminal_waveform``: against a leg
    that switches it shows half the voltage of two that do, with the motor unplugged that leg's own wave. Both
    edges of each period show where the means cancel, so a frequency counter sees twice the carrier there.
    """
    volts = np.asarray(voltage_V, dtype=np.float64)
    duty = np.asarray(p.common_duty, dtype=np.float64)
    both_high = duty - np.asarray(modulation, dtype=np.float64) / np.pi
    red, black = (_weights(number, running, leg_alive, winding_ohm) for number in between)
    weights = [one - other for one, other in zip(red, black, strict=True)]
    total = weights[0] + weights[1] + weights[2]
    squares = np.square(weights[0]) + np.square(weights[1]) + np.square(weights[2])
    mean = duty * total
    swing = np.sqrt(
        np.maximum(duty * squares + both_high * (np.square(total) - squares) - np.square(mean), 0.0)
    )
    switching = squares > 0.0
    edges = np.where(np.abs(total) > _CANCELS, 1.0, 2.0)
    return PulseTrain(
        low_V=volts * (mean - swing),
        high_V=volts * (mean + swing),
        duty=np.full_like(volts * swing, 0.5),
        frequency_Hz=np.where(switching, edges * np.asarray(p.carrier_Hz), 0.0),
    )


def _weights(
    number: int,
    running: Flags,
    leg_alive: tuple[Flags, Flags, Flags],
    winding_ohm: tuple[Floats, Floats, Floats],
) -> list[NDArray[np.float64]]:
    """What each leg's state gives to the voltage of a terminal, as shares of the supply."""
    alive = [np.asarray(running, dtype=bool) & np.asarray(leg, dtype=bool) for leg in leg_alive]
    with np.errstate(divide="ignore"):
        conductance = [1.0 / np.asarray(winding, dtype=np.float64) for winding in winding_ohm]
    feeding = [np.where(a, g, 0.0) for a, g in zip(alive, conductance, strict=True)]
    together = feeding[0] + feeding[1] + feeding[2]
    follows = ~alive[number] & (conductance[number] > 0) & (together > 0)
    star = [np.where(follows, own / np.where(together > 0, together, 1.0), 0.0) for own in feeding]
    return [np.where(alive[number], float(leg == number), share) for leg, share in enumerate(star)]
