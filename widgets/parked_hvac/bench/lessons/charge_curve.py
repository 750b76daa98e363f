"""State of charge against voltage at rest, for both kinds of battery, with the learner's reading on it."""

from __future__ import annotations

import numpy as np

from parked_hvac.bench.plots import INK, MARKERS, SERIES, Plot, finished, sheet
from parked_hvac.job.spoken import percent
from parked_hvac.physics import battery

KINDS: tuple[tuple[str, battery.Chemistry], ...] = (("AGM (G2)", "agm"), ("flooded (G1)", "flooded"))
_CHARGE = np.linspace(0.0, 1.0, 41)


def charge_of(voltage_V: float, chemistry: battery.Chemistry, temperature_C: float = 25.0) -> float:
    """State of charge, 0 to 1, of a battery that rests at a voltage; the ends where it is beyond them."""
    curve = battery.open_circuit_voltage_V(_CHARGE, temperature_C, chemistry)
    return float(np.interp(voltage_V, curve, _CHARGE))


def charge_plot(voltage_V: float, temperature_C: float = 25.0) -> Plot:
    """Both curves at a temperature, and where a reading meets them."""
    figure, axes = sheet(7.4, 3.4)
    told = []
    for index, (name, chemistry) in enumerate(KINDS):
        curve = battery.open_circuit_voltage_V(_CHARGE, temperature_C, chemistry)
        axes.plot(100 * _CHARGE, curve, color=SERIES[index], marker=MARKERS[index], markevery=8, label=name)
        found = charge_of(voltage_V, chemistry, temperature_C)
        beyond = "" if curve[0] <= voltage_V <= curve[-1] else ", beyond the curve"
        axes.plot(100 * found, voltage_V, marker="x", markersize=11, color=INK)
        axes.annotate(
            percent(found), (100 * found, voltage_V), (-12, 9), textcoords="offset points", color=INK
        )
        told.append(f"{name}: {percent(found)} full{beyond}")
    axes.axhline(voltage_V, color=INK, linestyle="--", linewidth=1, label=f"your reading {voltage_V:.2f} V")
    axes.set_xlabel("% full")
    axes.set_ylabel("V at rest")
    title = f"Rested a day, {temperature_C:.0f} °C"
    return finished(figure, axes, title, f"{title}. A reading of {voltage_V:.2f} V means: {'; '.join(told)}.")
