"""The digital meter: what it feels between its leads and what it then shows.

It is part of the circuit while it is connected: on volts it loads the terminals with its input resistance, on
ohms, continuity and diode it pushes a test current into whatever lies between them. Parallel paths and live
circuits therefore falsify it as they do on a truck; nothing here knows what a right reading would be.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from parked_hvac.instruments.ohmmeter import apparent_ohm, auto_ranged_ohm, junction_V
from parked_hvac.instruments.outcome import Floats, Outcome, accuracy_limit, shown, sigma, to_step
from parked_hvac.instruments.specification import Function, MeterSpecification, meter_specification
from parked_hvac.tables import nearest

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck

FUNCTIONS = ("dc_volts", "ac_volts", "ohms", "continuity", "diode", "hertz")
PUSHING = ("ohms", "continuity", "diode")
"""Functions that push a test current: the circuit must be dead."""

UNITS = {"dc_volts": "V", "ac_volts": "V", "ohms": "Ω", "continuity": "Ω", "diode": "V", "hertz": "Hz"}


def read(truck: Truck, function: str, red: str, black: str) -> Outcome:
    """The reading with the leads on two terminals; ValueError for an unknown function."""
    return show(function, sense(truck, function, red, black), gain_error(truck))


def gain_error(truck: Truck) -> Floats:
    """Relative error (B,) of this very meter, the same in every function that measures volts or ohms."""
    return truck.parameters["meter.gain_error"]


def sense(truck: Truck, function: str, red: str, black: str) -> Floats:
    """What reaches the meter's converter (B,), in the function's unit; inf where it is beyond any range."""
    specification = meter_specification()
    body = specification.meter
    checked = function_named(function)
    if red == black:
        return touching(function, truck.batch)
    if function in ("ohms", "continuity"):
        lead = body.lead_resistance_ohm.value
        if function == "ohms":
            return auto_ranged_ohm(truck, red, black, checked, body.open_lead_V.value, lead)
        assert checked.test_current_A is not None
        standing = truck.voltage_V(red, black)
        current = checked.test_current_A.value[0]
        return apparent_ohm(truck, red, black, current, body.open_lead_V.value, standing) + lead
    if function == "diode":
        assert checked.test_current_A is not None
        return junction_V(truck, red, black, checked.test_current_A.value[0], body.open_lead_V.value)
    if function == "dc_volts":
        return _mean_V(truck, red, black, 1.0 / body.input_resistance_ohm.value)
    if function == "ac_volts":
        return _alternating_V(truck, red, black)
    return _frequency_Hz(truck, red, black, checked)


def touching(function: str, batch: int) -> Floats:
    """What the meter feels with its leads held together (B,): their own resistance on ohms, else nothing."""
    lead = meter_specification().meter.lead_resistance_ohm.value
    return np.full(batch, lead if function in ("ohms", "continuity") else 0.0)


def show(function: str, sensed: Floats, gain: Floats) -> Outcome:
    """The display for what the converter was given (B,): range, counts, accuracy, 'OL' beyond all ranges."""
    checked = function_named(function)
    body = meter_specification().meter
    true = sensed if function == "hertz" else sensed * (1.0 + gain)
    full_scale = np.array(checked.full_scale.value)
    steps = np.array(checked.resolution.value) if checked.resolution else full_scale / body.counts.value
    limits = np.rint(full_scale / steps)
    counted = np.rint(np.abs(true)[None, :] / steps[:, None])
    fits = counted < limits[:, None]
    overload = ~fits.any(axis=0)
    chosen = np.where(overload, full_scale.size - 1, fits.argmax(axis=0))
    step = steps[chosen]
    values = np.where(overload, np.nan, to_step(np.where(overload, 0.0, true), step))
    percent, counts = np.array(checked.percent.value)[chosen], np.array(checked.counts.value)[chosen]
    limit = accuracy_limit(np.nan_to_num(values), percent, counts, step)
    words = np.where(overload, "OL", "")
    if function != "continuity":
        return Outcome(values, words, UNITS[function], step, sigma(limit, step))
    assert checked.beeps_below_ohm is not None
    beeps = ~overload & (values < checked.beeps_below_ohm.value)

    def text(draw: int) -> str:
        if overload[draw]:
            return "OL"
        return shown(values[draw], step[draw], "Ω") + (" beep" if beeps[draw] else "")

    return Outcome(
        values=np.where(beeps, np.nan, values),
        words=np.where(beeps, "beep", words),
        unit="Ω",
        resolution=step,
        sigma=sigma(limit, step),
        text=text,
    )


def prove(truck: Truck) -> Outcome:
    """The meter on the known source of the tool box, on DC volts."""
    source_V = meter_specification().proving_source.voltage_V.value
    return show("dc_volts", np.full(truck.batch, source_V), gain_error(truck))


def proving_text() -> str:
    """The known source as its label says: voltage and tolerance."""
    source = meter_specification().proving_source
    return f"{source.voltage_V.value:.2f} V ± {source.tolerance_V.value:.2f} V"


def touch_leads(truck: Truck) -> Outcome:
    """The leads held together on ohms: their own resistance, and proof that none is broken."""
    return show("ohms", touching("ohms", truck.batch), gain_error(truck))


def function_named(function: str) -> Function:
    """The ranges of a function of the meter; ValueError names the nearest for an unknown one."""
    if function not in FUNCTIONS:
        raise ValueError(f"The meter has no function {function!r}; {nearest(function, FUNCTIONS)}")
    specification: MeterSpecification = meter_specification()
    found: Function = getattr(specification, function)
    return found


def _mean_V(truck: Truck, red: str, black: str, input_S: float) -> Floats:
    steady = truck.probe(red, black, conductance_S=input_S)
    wave = truck.waveform(red, black)
    if wave is None:
        return steady
    return np.where(np.asarray(wave.frequency_Hz) > 0.0, wave.mean_V, steady)


def _alternating_V(truck: Truck, red: str, black: str) -> Floats:
    wave = truck.waveform(red, black)
    if wave is None:
        return np.zeros(truck.batch)
    return np.where(np.asarray(wave.frequency_Hz) > 0.0, wave.ac_rms_V, 0.0) + np.zeros(truck.batch)


def _frequency_Hz(truck: Truck, red: str, black: str, function: Function) -> Floats:
    wave = truck.waveform(red, black)
    if wave is None:
        return np.zeros(truck.batch)
    assert function.least_swing_V is not None
    swing_V = np.abs(np.asarray(wave.high_V) - np.asarray(wave.low_V))
    duty = np.asarray(wave.duty)
    counted = (swing_V >= function.least_swing_V.value) & (duty > 0.0) & (duty < 1.0)
    return np.where(counted, wave.frequency_Hz, 0.0) + np.zeros(truck.batch)
