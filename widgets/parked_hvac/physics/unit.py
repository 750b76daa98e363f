"""The unit's refrigerant circuit under given conditions: its cooling, its power and its temperatures.

Evaporator: contact-factor coil with condensation, of which a lost charge leaves only a part wetted and ice
closes the passages. Condenser: coil at one temperature, effectiveness 1 - exp(-UA/C). Compressor: swept
volume with clearance and leakage, isentropic efficiency, friction. The expansion valve holds the superheat
while there is liquid. On a truck the circuit settles within a minute or so; here it always is.
`scalar/circuit_balance.py` finds the balance, with properties from `refrigerant_tables`; every output comes
from the same figures, so the energy balance closes.

Laws: Q = m·(h1 − h4); m = swept volume · speed · density · filled share; coil 1 − exp(−UA/C) with UA by the power 0.6 of
the air flow; condensate by what the air carries above saturation at the surface.
Sources: textbook relations of a vapour-compression cycle (the cycle itself is checked against textbook examples, the
saturated vapour after A. L. Buck, J. Appl. Meteorol. 20 (1981) 1527); sizes are the truck's own, in data/rig.
Limits: R-134a, evaporating −50 to 35 °C, condensing −10 to 93 °C, one settled state at a time: no start transients, no
slugging, no oil, no air in the circuit. An empty circuit turns against friction alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parked_hvac.physics import refrigerant_tables
from parked_hvac.physics.each import each
from parked_hvac.physics.scalar import unit as law
from parked_hvac.physics.scalar.unit import (
    FIRST_CONDENSING_K,
    FIRST_SURFACE_K,
    FUSION_J_PER_KG,
    STANDING_RPM,
    Balance,
)

__all__ = ["FUSION_J_PER_KG", "STANDING_RPM", "Balance"]

Floats = NDArray[np.float64]

STEPS_FROM_SCRATCH, STEPS_FROM_GUESS = 8, 5


@dataclass(frozen=True)
class CircuitParameters:
    """How the unit's circuit is built; numbers or arrays (B,)."""

    displacement_m3: ArrayLike  # swept volume per turn
    volumetric_efficiency: ArrayLike  # share of the swept volume filled when suction and discharge are alike
    clearance: ArrayLike  # dead volume over swept volume
    isentropic_efficiency: ArrayLike
    friction_Nm: ArrayLike
    superheat_K: ArrayLike  # held by the expansion valve at full charge
    subcooling_K: ArrayLike  # at full charge
    starving_charge: ArrayLike  # charge fraction below which the evaporator runs short of liquid
    gas_only_charge: ArrayLike  # charge fraction below which no liquid is left to boil
    evaporator_air_W_per_K: ArrayLike  # air to surface at nominal air flow
    evaporator_refrigerant_W_per_K: ArrayLike  # surface to refrigerant
    evaporator_flow_m3_per_s: ArrayLike  # nominal
    ice_full_kg: ArrayLike  # ice that closes the evaporator
    condenser_W_per_K: ArrayLike  # air to refrigerant at nominal air flow
    condenser_flow_m3_per_s: ArrayLike  # nominal: fan at full speed, clean
    condenser_still_share: ArrayLike  # draught through the hot condenser without fan, share of nominal flow


def condenser_conductance_W_per_K(
    parameters: CircuitParameters, fan_fraction: ArrayLike, blockage: ArrayLike, outside_C: ArrayLike = 35.0
) -> Floats:
    """Heat given off per kelvin between refrigerant and outside air; fan speed 0..1, blocked share 0..1.

    Fan and natural draught add as squares; dirt slows both; the surface's conductance goes with the root of
    the air speed.
    """
    found = each(law.give_off_W_per_K, vars(parameters), fan_fraction, blockage, outside_C)
    return np.asarray(found)[()]


def iced_flow_m3_per_s(flow_m3_per_s: ArrayLike, ice_kg: ArrayLike, ice_full_kg: ArrayLike) -> Floats:
    """Air that still gets through an iced evaporator, of what the blower moves when it is free.

    Invented for this course: hardly less with a thin film, 3 % when the passages are closed.
    """
    return np.asarray(each(law.iced_flow_m3_per_s, flow_m3_per_s, ice_kg, ice_full_kg))[()]


def resting_pressure_kPa(
    temperature_C: ArrayLike, charge_fraction: ArrayLike, gas_only_charge: ArrayLike
) -> Floats:
    """Pressure of the standing circuit, kPa absolute: saturation while any liquid is left, else less.

    Never below the atmosphere, since a leaking circuit takes in air. Gas pressure in proportion to the
    charge left.
    """
    return np.asarray(each(law.resting_pressure_kPa, temperature_C, charge_fraction, gas_only_charge))[()]


def ice_rate_kg_per_s(
    surface_C: ArrayLike,
    condensate_kg_per_s: ArrayLike,
    ice_kg: ArrayLike,
    melting_W_per_K: ArrayLike,
    air_C: ArrayLike,
) -> Floats:
    """Growth (above 0) or melting (below 0) of the evaporator's ice in kg/s; numbers or arrays (B,).

    From -1 °C of the surface down all condensate stays as ice, at 0 °C none; above, ice melts by the heat
    that air warmer than 0 °C brings, ``melting_W_per_K``, fully from 1 °C up. Blend over a kelvin invented
    for this course.
    """
    found = each(law.ice_rate_kg_per_s, surface_C, condensate_kg_per_s, ice_kg, melting_W_per_K, air_C)
    return np.asarray(found)[()]


def balance(
    parameters: CircuitParameters,
    speed_rpm: ArrayLike,
    charge_fraction: ArrayLike,
    condenser_fan_fraction: ArrayLike,
    condenser_blockage: ArrayLike,
    outside_C: ArrayLike,
    blower_flow_m3_per_s: ArrayLike,
    ice_kg: ArrayLike,
    bunk_C: ArrayLike,
    bunk_humidity_ratio: ArrayLike,
    guess: Balance | None = None,
    steps: int | None = None,
) -> Balance:
    """The circuit as it settles under the given conditions; every argument a number or an array (B,).

    Speed in rpm (below 1 the circuit stands), charge fraction 0..1, fan speed and blocked share 0..1,
    temperatures in °C, blower flow through a free evaporator in m³/s, ice in kg, humidity ratio of the
    bunk's air in kg/kg. ``guess``: an earlier answer to start from. ``steps``: Newton steps, 8 from
    scratch and 5 from a guess. Condensing stops at 93 °C, where the tables end: there the discharge
    pressure means 'at least'.
    """
    bunk, outside = np.asarray(bunk_C, dtype=np.float64), np.asarray(outside_C, dtype=np.float64)
    surface = bunk + FIRST_SURFACE_K if guess is None else guess.surface_C
    condensing = outside + FIRST_CONDENSING_K if guess is None else guess.condensing_C
    count = steps if steps is not None else STEPS_FROM_SCRATCH if guess is None else STEPS_FROM_GUESS
    k = refrigerant_tables.coefficients()

    def one(p: Any, *conditions: Any) -> law.Balance:
        begin: Any = (*conditions, count)
        return law.balance(k, p, *begin)

    found = each(
        one,
        vars(parameters),
        speed_rpm,
        charge_fraction,
        condenser_fan_fraction,
        condenser_blockage,
        outside_C,
        blower_flow_m3_per_s,
        ice_kg,
        bunk_C,
        bunk_humidity_ratio,
        surface,
        condensing,
    )
    return Balance(*found)
