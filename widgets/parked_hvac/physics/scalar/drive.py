"""What a drive takes from its supply, for one drive."""

from __future__ import annotations


def input_current(voltage_V: float, power_W: float, minimum_voltage_V: float) -> tuple[float, float]:
    """Current in A and its slope in S: P/V, and below the minimum voltage that of a resistance."""
    if voltage_V >= minimum_voltage_V:
        return power_W / voltage_V, -power_W / (voltage_V * voltage_V)
    conductance = power_W / (minimum_voltage_V * minimum_voltage_V)
    return conductance * voltage_V, conductance
