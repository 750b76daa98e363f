"""The unit's refrigerant circuit under given conditions, for one draw; the laws stand at ``unit``."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from parked_hvac.physics.scalar.circuit_balance import Circuit, settle
from parked_hvac.physics.scalar.moist_air import (
    DRY_AIR_J_PER_KG_K,
    STANDARD_PRESSURE_KPA,
    VAPOUR_J_PER_KG_K,
    volume_m3_per_kg,
)
from parked_hvac.physics.scalar.refrigerant import saturation_line_kPa

FUSION_J_PER_KG = 333.4e3  # ASHRAE Fundamentals 2017, chapter 1: enthalpy of ice at 0 °C is -333.4 kJ/kg
STANDING_RPM = 1.0  # below, the compressor stands
_DRY_K_PER_W = 0.5  # how warm a compressor's friction makes it where no gas carries the heat away
FIRST_SURFACE_K, FIRST_CONDENSING_K = -14.0, 14.0  # where Newton starts, from the air on each side


class Balance(NamedTuple):
    """The settled circuit, of numbers, or of arrays where ``physics/unit.py`` makes it. Pressures are absolute."""

    evaporating_C: Any
    condensing_C: Any
    suction_kPa: Any
    discharge_kPa: Any
    surface_C: Any  # evaporator fins where liquid boils behind them
    fins_C: Any  # mean of all fins, as a sensor amid them reads: the bunk's air where no liquid reaches
    cooling_W: Any  # heat taken from the bunk's air, sensible and latent
    sensible_W: Any
    latent_W: Any
    condensate_kg_per_s: Any
    condenser_W: Any  # heat given off outside
    compressor_shaft_W: Any
    compressor_torque_Nm: Any
    refrigerant_kg_per_s: Any
    air_off_C: Any
    air_off_humidity_ratio: Any
    air_flow_m3_per_s: Any  # through the evaporator, ice considered
    supply_W_per_K: Any  # capacity rate of that air
    superheat_K: Any
    discharge_C: Any


def give_off_W_per_K(p: Any, fan: float, blocked: float, outside_C: float) -> float:
    """Heat given off per kelvin between refrigerant and outside air."""
    still = p.condenser_still_share
    speed = math.sqrt(fan * fan + still * still) * max(1.0 - blocked, 0.02)
    volume = volume_m3_per_kg(outside_C, 0.0, STANDARD_PRESSURE_KPA)
    stream = speed * p.condenser_flow_m3_per_s * DRY_AIR_J_PER_KG_K / volume
    return float(-stream * math.expm1(-p.condenser_W_per_K * math.sqrt(speed) / stream))


def iced_flow_m3_per_s(flow_m3_per_s: float, ice_kg: float, ice_full_kg: float) -> float:
    """Air that still gets through an iced evaporator, of what the blower moves when it is free."""
    closed = min(max(ice_kg / ice_full_kg, 0.0), 1.0)
    return flow_m3_per_s * (1.0 - 0.97 * closed * math.sqrt(closed))


def ice_rate_kg_per_s(
    surface_C: float, condensate_kg_per_s: float, ice_kg: float, melting_W_per_K: float, air_C: float
) -> float:
    """Growth (above 0) or melting (below 0) of the evaporator's ice in kg/s."""
    kept = min(max(-surface_C, 0.0), 1.0) * condensate_kg_per_s
    if ice_kg <= 0.0:
        return kept
    warmth = melting_W_per_K * max(air_C, 0.0)
    return kept - min(max(surface_C, 0.0), 1.0) * warmth / FUSION_J_PER_KG


def balance(
    k: Any,
    p: Any,
    speed_rpm: float,
    charge: float,
    fan: float,
    blocked: float,
    outside_C: float,
    flow_m3_per_s: float,
    ice_kg: float,
    bunk_C: float,
    humidity_ratio: float,
    surface_C: float,
    condensing_C: float,
    steps: int,
) -> Balance:
    """The circuit after so many Newton steps from a surface and condensing temperature.

    ``k``: the coefficients of `refrigerant_tables`; ``p``: anything with the fields of
    ``unit.CircuitParameters``.
    """
    flow = iced_flow_m3_per_s(flow_m3_per_s, ice_kg, p.ice_full_kg)
    draught = 0.02 * p.evaporator_flow_m3_per_s  # cold air sinks through a still coil
    moving = math.sqrt(flow * flow + draught * draught)
    dry = moving / volume_m3_per_kg(bunk_C, humidity_ratio, STANDARD_PRESSURE_KPA)
    stream = dry * (DRY_AIR_J_PER_KG_K + VAPOUR_J_PER_KG_K * humidity_ratio)
    wetted = max(wetted_share(charge, p.gas_only_charge, p.starving_charge), 1e-3)
    reach = p.evaporator_air_W_per_K * (moving / p.evaporator_flow_m3_per_s) ** 0.6 * wetted
    turning = max(speed_rpm, STANDING_RPM) / 60.0
    friction_W = 2.0 * math.pi * turning * p.friction_Nm
    circuit = Circuit(
        bunk_C,
        humidity_ratio,
        outside_C,
        dry,
        stream,
        -math.expm1(-reach / stream),
        p.evaporator_refrigerant_W_per_K * wetted,
        1.0 - wetted,
        give_off_W_per_K(p, fan, blocked, outside_C),
        turning * p.displacement_m3,
        p.volumetric_efficiency,
        p.clearance,
        p.isentropic_efficiency,
        friction_W,
        p.superheat_K,
        p.subcooling_K * wetted,
    )
    turns = speed_rpm >= STANDING_RPM
    if turns and charge > p.gas_only_charge:
        surface, condensing, end = settle(k, circuit, surface_C, condensing_C, steps)
        taken = end.sensible_W + end.latent_W
        return Balance(
            max(end.evaporating_C, -60.0),
            condensing,
            math.exp(end.ln_suction_kPa),
            math.exp(end.ln_discharge_kPa),
            surface,
            bunk_C + wetted * (surface - bunk_C),
            taken,
            end.sensible_W,
            end.latent_W,
            end.condensate_kg_per_s,
            taken + end.work_W,
            end.work_W,
            end.work_W / (2.0 * math.pi * turning),
            end.flow_kg_per_s,
            bunk_C - end.sensible_W / stream,
            humidity_ratio - end.condensate_kg_per_s / dry,
            moving,
            stream,
            end.superheat_K,
            condensing + end.over_J_per_kg * end.hotter_K_per_J_per_kg,
        )
    rest_C = min(bunk_C, outside_C)
    rest_kPa = resting_pressure_kPa(rest_C, charge, p.gas_only_charge)
    shaft = friction_W if turns else 0.0
    return Balance(
        rest_C,
        rest_C,
        rest_kPa,
        rest_kPa,
        bunk_C,
        bunk_C,
        0.0,
        0.0,
        0.0,
        0.0,
        0.0,
        shaft,
        shaft / (2.0 * math.pi * turning),
        0.0,
        bunk_C,
        humidity_ratio,
        moving,
        stream,
        0.0,
        rest_C + _DRY_K_PER_W * shaft,
    )


def wetted_share(charge: float, gas_only: float, starving: float) -> float:
    """Share of the coil that liquid reaches, 0 to 1; all three charges as shares of the full one."""
    return min(max((charge - gas_only) / (starving - gas_only), 0.0), 1.0)


def resting_pressure_kPa(temperature_C: float, charge: float, gas_only_charge: float) -> float:
    """Pressure of the standing circuit, kPa absolute; the law stands at ``unit.resting_pressure_kPa``."""
    share = min(max(charge / gas_only_charge, 0.0), 1.0)
    return max(share * saturation_line_kPa(temperature_C), STANDARD_PRESSURE_KPA)
