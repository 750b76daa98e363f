"""The unit's refrigerant circuit under given conditions: its cooling, its power and its temperatures.

Evaporator: contact-factor coil with condensation, of which a lost charge leaves only a part wetted and ice
closes the passages. Condenser: coil at one temperature, effectiveness 1 - exp(-UA/C). Compressor: swept
volume with clearance and leakage, isentropic efficiency, friction. The expansion valve holds the superheat
while there is liquid. On a truck the circuit settles within a minute or so; here it always is.
`circuit_balance` finds the balance, with properties from `refrigerant_tables`; every output comes from the
same figures, so the energy balance closes.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parked_hvac.physics import air, refrigerant
from parked_hvac.physics.circuit_balance import FOR_ARRAYS, FOR_FLOATS, Circuit, Maths, settle

Floats = NDArray[np.float64]
Value = Any  # a float, or an array (B,)

FUSION_J_PER_KG = 333.4e3  # ASHRAE Fundamentals 2017, chapter 1: enthalpy of ice at 0 °C is -333.4 kJ/kg
STANDING_RPM = 1.0  # below, the compressor stands
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


@dataclass(frozen=True)
class Balance:
    """The settled circuit; every field has the broadcast shape of the inputs. Pressures are absolute."""

    evaporating_C: Floats
    condensing_C: Floats
    suction_kPa: Floats
    discharge_kPa: Floats
    surface_C: Floats  # evaporator fins where liquid boils behind them
    fins_C: Floats  # mean of all fins, as a sensor amid them reads: the bunk's air where no liquid reaches
    cooling_W: Floats  # heat taken from the bunk's air, sensible and latent
    sensible_W: Floats
    latent_W: Floats
    condensate_kg_per_s: Floats
    condenser_W: Floats  # heat given off outside
    compressor_shaft_W: Floats
    compressor_torque_Nm: Floats
    refrigerant_kg_per_s: Floats
    air_off_C: Floats
    air_off_humidity_ratio: Floats
    air_flow_m3_per_s: Floats  # through the evaporator, ice considered
    supply_W_per_K: Floats  # capacity rate of that air
    superheat_K: Floats
    discharge_C: Floats


_NAMES = tuple(field.name for field in fields(CircuitParameters))


def _number(value: ArrayLike) -> float:
    return float(value.item() if isinstance(value, np.ndarray) else np.asarray(value, dtype=np.float64))


def _array(value: ArrayLike) -> Floats:
    return np.asarray(value, dtype=np.float64)


def _all_arrays(parameters: CircuitParameters) -> CircuitParameters:
    return CircuitParameters(*(_array(getattr(parameters, name)) for name in _NAMES))


def _shaped(value: Value, shape: tuple[int, ...]) -> Any:
    if isinstance(value, float):  # a single draw
        return np.array(value, ndmin=len(shape))[()]
    return np.array(np.broadcast_to(value, shape))


def _volume_m3_per_kg(celsius: Value, humidity_ratio: Value) -> Value:
    """Equation 26 of ASHRAE 2017, chapter 1, as `air` has it, at sea level."""
    moist = (celsius + 273.15) * (1.0 + humidity_ratio / air.MOLAR_RATIO)
    return air.DRY_AIR_GAS_CONSTANT_J_PER_KG_K / (1000.0 * air.STANDARD_PRESSURE_KPA) * moist


def _give_off(m: Maths, p: Any, fan: Value, blocked: Value, outside_C: Value) -> Value:
    still: Value = p.condenser_still_share
    speed = m.sqrt(fan * fan + still * still) * m.largest(1.0 - blocked, 0.02)
    stream = speed * p.condenser_flow_m3_per_s * air.DRY_AIR_J_PER_KG_K / _volume_m3_per_kg(outside_C, 0.0)
    return -stream * m.expm1(-p.condenser_W_per_K * m.sqrt(speed) / stream)


def _iced(m: Maths, flow: Value, ice: Value, full: Value) -> Value:
    closed = m.smallest(m.largest(ice / full, 0.0), 1.0)
    return flow * (1.0 - 0.97 * closed**1.5)


def condenser_conductance_W_per_K(
    parameters: CircuitParameters, fan_fraction: ArrayLike, blockage: ArrayLike, outside_C: ArrayLike = 35.0
) -> Floats:
    """Heat given off per kelvin between refrigerant and outside air; fan speed 0..1, blocked share 0..1.

    Fan and natural draught add as squares; dirt slows both; the surface's conductance goes with the root of
    the air speed.
    """
    return np.asarray(
        _give_off(FOR_ARRAYS, _all_arrays(parameters), *map(_array, (fan_fraction, blockage, outside_C)))
    )[()]


def iced_flow_m3_per_s(flow_m3_per_s: ArrayLike, ice_kg: ArrayLike, ice_full_kg: ArrayLike) -> Floats:
    """Air that still gets through an iced evaporator, of what the blower moves when it is free.

    Invented for this course: hardly less with a thin film, 3 % when the passages are closed.
    """
    return np.asarray(_iced(FOR_ARRAYS, *map(_array, (flow_m3_per_s, ice_kg, ice_full_kg))))[()]


def resting_pressure_kPa(
    temperature_C: ArrayLike, charge_fraction: ArrayLike, gas_only_charge: ArrayLike
) -> Floats:
    """Pressure of the standing circuit, kPa absolute: saturation while any liquid is left, else less.

    Never below the atmosphere, since a leaking circuit takes in air. Gas pressure in proportion to the
    charge left.
    """
    share = np.clip(np.asarray(charge_fraction, dtype=np.float64) / np.asarray(gas_only_charge), 0.0, 1.0)
    gas = share * refrigerant.saturation_pressure_kPa(temperature_C)
    return np.asarray(np.maximum(gas, air.STANDARD_PRESSURE_KPA))[()]


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
    surface = np.asarray(surface_C, dtype=np.float64)
    kept = np.clip(-surface, 0.0, 1.0) * np.asarray(condensate_kg_per_s, dtype=np.float64)
    warmth = np.asarray(melting_W_per_K) * np.maximum(np.asarray(air_C, dtype=np.float64), 0.0)
    melted = np.clip(surface, 0.0, 1.0) * warmth / FUSION_J_PER_KG * (np.asarray(ice_kg) > 0.0)
    return np.asarray(kept - melted)[()]


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
    given = (
        speed_rpm,
        charge_fraction,
        condenser_fan_fraction,
        condenser_blockage,
        outside_C,
        blower_flow_m3_per_s,
        ice_kg,
        bunk_C,
        bunk_humidity_ratio,
    )
    built = tuple(getattr(parameters, name) for name in _NAMES)
    shape = np.broadcast_shapes(*map(np.shape, given + built))
    single = math.prod(shape) == 1
    m = FOR_FLOATS if single else FOR_ARRAYS
    take: Callable[[ArrayLike], Value] = _number if single else _array
    speed, charge, fan, blocked, outside, flow, ice, bunk, ratio = map(take, given)
    p: Any = CircuitParameters(*map(take, built))

    moving = m.sqrt(
        _iced(m, flow, ice, p.ice_full_kg) ** 2 + (0.02 * p.evaporator_flow_m3_per_s) ** 2
    )  # cold air sinks through a still coil
    dry = moving / _volume_m3_per_kg(bunk, ratio)
    stream = dry * (air.DRY_AIR_J_PER_KG_K + air.VAPOUR_J_PER_KG_K * ratio)
    wetted = (charge - p.gas_only_charge) / (p.starving_charge - p.gas_only_charge)
    wetted = m.smallest(m.largest(wetted, 1e-3), 1.0)
    reach = p.evaporator_air_W_per_K * (moving / p.evaporator_flow_m3_per_s) ** 0.6 * wetted
    turning = m.largest(speed, STANDING_RPM) / 60.0
    friction_W = 2.0 * math.pi * turning * p.friction_Nm
    circuit = Circuit(
        bunk_C=bunk,
        humidity_ratio=ratio,
        outside_C=outside,
        dry_kg_per_s=dry,
        stream_W_per_K=stream,
        contact=-m.expm1(-reach / stream),
        to_refrigerant_W_per_K=p.evaporator_refrigerant_W_per_K * wetted,
        dry_share=1.0 - wetted,
        give_off_W_per_K=_give_off(m, p, fan, blocked, outside),
        swept_m3_per_s=turning * p.displacement_m3,
        filled=p.volumetric_efficiency,
        clearance=p.clearance,
        efficiency=p.isentropic_efficiency,
        friction_W=friction_W,
        superheat_K=p.superheat_K,
        subcooling_K=p.subcooling_K * wetted,
    )
    if guess is None:
        surface, condensing = bunk - 14.0, outside + 14.0
    else:
        surface, condensing = take(guess.surface_C), take(guess.condensing_C)
    count = steps if steps is not None else STEPS_FROM_SCRATCH if guess is None else STEPS_FROM_GUESS
    surface, condensing, end = settle(m, circuit, surface, condensing, count)

    turns = speed >= STANDING_RPM
    pumps = turns & (charge > p.gas_only_charge)
    rest_C = m.smallest(bunk, outside)
    rest_kPa = m.largest(
        m.smallest(charge / p.gas_only_charge, 1.0) * refrigerant.saturation_line_kPa(rest_C),
        air.STANDARD_PRESSURE_KPA,
    )
    sensible, latent = m.pick(pumps, end.sensible_W, 0.0), m.pick(pumps, end.latent_W, 0.0)
    shaft = m.pick(pumps, end.work_W, friction_W * turns)
    condensate = m.pick(pumps, end.condensate_kg_per_s, 0.0)
    shown = {
        "evaporating_C": m.pick(pumps, m.largest(end.evaporating_C, -60.0), rest_C),
        "condensing_C": m.pick(pumps, condensing, rest_C),
        "suction_kPa": m.pick(pumps, m.exp(end.ln_suction_kPa), rest_kPa),
        "discharge_kPa": m.pick(pumps, m.exp(end.ln_discharge_kPa), rest_kPa),
        "surface_C": m.pick(pumps, surface, bunk),
        "fins_C": m.pick(pumps, bunk + wetted * (surface - bunk), bunk),
        "cooling_W": sensible + latent,
        "sensible_W": sensible,
        "latent_W": latent,
        "condensate_kg_per_s": condensate,
        "condenser_W": m.pick(pumps, sensible + latent + shaft, 0.0),
        "compressor_shaft_W": shaft,
        "compressor_torque_Nm": shaft / (2.0 * math.pi * turning),
        "refrigerant_kg_per_s": m.pick(pumps, end.flow_kg_per_s, 0.0),
        "air_off_C": bunk - sensible / stream,
        "air_off_humidity_ratio": ratio - condensate / dry,
        "air_flow_m3_per_s": moving,
        "supply_W_per_K": stream,
        "superheat_K": m.pick(pumps, end.superheat_K, 0.0),
        "discharge_C": m.pick(pumps, condensing + end.over_J_per_kg * end.hotter_K_per_J_per_kg, rest_C),
    }
    return Balance(**{name: _shaped(value, shape) for name, value in shown.items()})
