"""Elements whose current is not proportional to their voltage.

For Newton's method each offers its law, the tangent to it, and a first guess.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from math import exp, expm1, log, sqrt

from parked_hvac.circuit.elements import Element, finite, positive
from parked_hvac.circuit.errors import CircuitError

BOLTZMANN_J_K = 1.380649e-23  # exact by definition (SI brochure, 9th edition, 2019)
ELEMENTARY_CHARGE_C = 1.602176634e-19  # exact by definition (same)
ZERO_CELSIUS_K = 273.15

_STEEPEST = 200.0  # exponent beyond which a diode continues straight, far above any current that flows


@dataclass(frozen=True)
class NonlinearElement(Element, ABC):
    """An element with a law, its slope, and the step that Newton may take on it."""

    @abstractmethod
    def law_A(self, voltage_V: float) -> float:
        """Current at a voltage."""

    @abstractmethod
    def slope_S(self, voltage_V: float) -> float:
        """Derivative of the current by the voltage."""

    @property
    def resting_S(self) -> float:
        """Conductance that stands for the element before anything is known of its voltage."""
        return self.slope_S(0.0)

    def limited_V(self, proposed_V: float, present_V: float) -> float:
        """Voltage to go to when Newton proposes one."""
        return proposed_V


@dataclass(frozen=True)
class ConstantPower(NonlinearElement):
    """A load that draws power_W at any voltage from minimum_voltage_V up.

    Below the minimum it is the resistance that draws the same power at the minimum, so that a network with
    it always has a solution. Where a stiff and a collapsed state both exist, the solver finds the stiff one.
    """

    power_W: float
    minimum_voltage_V: float

    def __post_init__(self) -> None:
        super().__post_init__()
        finite(self, "power_W", self.power_W)
        if self.power_W < 0.0:
            raise CircuitError(
                f"{self.name!r} has power_W = {self.power_W}; a load draws 0 W or more, use a source instead."
            )
        positive(self, "minimum_voltage_V", self.minimum_voltage_V, "below it the load is a resistance")

    @property
    def conducts(self) -> bool:
        """A load of 0 W ties nothing."""
        return self.power_W > 0.0

    @property
    def _low_S(self) -> float:
        return self.power_W / self.minimum_voltage_V**2

    def law_A(self, voltage_V: float) -> float:
        """Current at a voltage."""
        if voltage_V < self.minimum_voltage_V:
            return voltage_V * self._low_S
        return self.power_W / voltage_V

    def slope_S(self, voltage_V: float) -> float:
        """Derivative of the current by the voltage; negative above the minimum."""
        if voltage_V < self.minimum_voltage_V:
            return self._low_S
        return -self.power_W / voltage_V**2

    @property
    def resting_S(self) -> float:
        """Almost unloaded: from there Newton walks down to the stiff solution, not the collapsed one."""
        return 1e-6 * self._low_S


@dataclass(frozen=True)
class Diode(NonlinearElement):
    """A junction, anode ``a``: I = saturation_A (exp(V / (emission kT/q)) - 1) (W. Shockley, 1949)."""

    saturation_A: float = 1e-14
    emission: float = 1.0
    temperature_C: float = 27.0

    def __post_init__(self) -> None:
        super().__post_init__()
        positive(self, "saturation_A", self.saturation_A, "typically 1e-15 to 1e-6 A")
        positive(self, "emission", self.emission, "typically 1 to 2")
        finite(self, "temperature_C", self.temperature_C)
        if self.temperature_C <= -ZERO_CELSIUS_K:
            raise CircuitError(
                f"{self.name!r} has temperature_C = {self.temperature_C}; give one above -273.15."
            )

    @property
    def thermal_V(self) -> float:
        """Voltage that multiplies the current by e."""
        kelvin = self.temperature_C + ZERO_CELSIUS_K
        return self.emission * BOLTZMANN_J_K * kelvin / ELEMENTARY_CHARGE_C

    def law_A(self, voltage_V: float) -> float:
        """Current at a voltage."""
        exponent = voltage_V / self.thermal_V
        if exponent <= _STEEPEST:
            return self.saturation_A * expm1(exponent)
        return self.saturation_A * exp(_STEEPEST) * (1.0 + exponent - _STEEPEST)

    def slope_S(self, voltage_V: float) -> float:
        """Derivative of the current by the voltage."""
        # Far in reverse the slope underflows; a trace of it keeps the equations solvable.
        exponent = min(max(voltage_V / self.thermal_V, -30.0), _STEEPEST)
        return self.saturation_A * exp(exponent) / self.thermal_V

    def limited_V(self, proposed_V: float, present_V: float) -> float:
        """Shorten a step up the exponential to its logarithm (L. W. Nagel, SPICE2, ERL-M520, 1975)."""
        thermal = self.thermal_V
        knee = thermal * max(1.0, log(thermal / (sqrt(2.0) * self.saturation_A)))
        if proposed_V <= knee or abs(proposed_V - present_V) <= 2.0 * thermal:
            return proposed_V
        if present_V <= 0.0:
            return thermal * log(proposed_V / thermal)
        steps = 1.0 + (proposed_V - present_V) / thermal
        return present_V + thermal * log(steps) if steps > 0.0 else knee
