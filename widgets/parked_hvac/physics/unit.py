"""The refrigerant circuit in balance: evaporator, compressor, condenser and their air, all at once.

Two unknowns per draw, the temperature of the evaporator's surface and the condensing temperature, are found such
that the compressor carries the heat that the evaporator takes up, and the condenser gives off that heat and the
compressor's work. Newton steps, a fixed number of them, on all draws side by side. Evaporator: contact-factor coil
with condensation. Condenser: effectiveness of a coil at one temperature, 1 - exp(-UA/C).

For speed the refrigerant's properties are not evaluated in the loop: at first use they are tabulated as
polynomials fitted to `refrigerant` itself (within 0.3 % between -45 and 25 °C evaporating, up to 93 °C condensing);
the outputs come from the same polynomials, so the energy balance closes.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from parked_hvac.physics import air, refrigerant

Floats = NDArray[np.float64]

FUSION_J_PER_KG = 333.6e3  # ASHRAE Fundamentals 2017, chapter 1: enthalpy of ice -333.4 kJ/kg at 0 °C
_LOW_C, _HIGH_C = -50.0, 93.0  # of the tabulated polynomials
_FADE_PER_K = 0.06  # below _LOW_C suction pressure and density go on falling at the rate they have there


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
    condenser_flow_m3_per_s: ArrayLike  # nominal, fan at full speed, clean
    condenser_still_share: ArrayLike  # draught through the hot condenser without fan, as a share of nominal flow


@dataclass(frozen=True)
class Balance:
    """The running circuit; every field has the broadcast shape of the inputs. Pressures are absolute."""

    evaporating_C: Floats
    condensing_C: Floats
    suction_kPa: Floats
    discharge_kPa: Floats
    surface_C: Floats  # evaporator fins, where a sensor between them would read
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


@cache
def _tables() -> tuple[Floats, Floats, Floats]:
    """Polynomials over x = (T - 20) / 60: along the evaporating line, along the condensing line, of the work."""
    nodes = np.cos(np.pi * (np.arange(18) + 0.5) / 18)
    low = _LOW_C + 0.5 * (nodes + 1.0) * (35.0 - _LOW_C)
    high = -5.0 + 0.5 * (nodes + 1.0) * (_HIGH_C + 5.0)
    superheat = np.array([1.0, 10.0, 25.0, 45.0, 70.0])
    evaporating, heated = np.meshgrid(low, superheat, indexing="ij")
    sat = refrigerant.saturated_vapour(low)
    hot = refrigerant.vapour(evaporating + heated, refrigerant.saturation_pressure_kPa(evaporating))
    # ln density and enthalpy: saturated value + a * superheat + b * superheat**2, a and b polynomials of x
    power = _powers(low, 6).T
    per_kelvin = np.stack([superheat, superheat**2], axis=1)
    thin = np.linalg.lstsq(per_kelvin, (np.log(hot.density_kg_per_m3) - np.log(sat.density_kg_per_m3)[:, None]).T)[0]
    warm = np.linalg.lstsq(per_kelvin, (hot.enthalpy_J_per_kg - sat.enthalpy_J_per_kg[:, None]).T)[0]
    along_low = np.linalg.lstsq(
        power,
        np.stack([np.log(sat.pressure_kPa), np.log(sat.density_kg_per_m3), thin[0], thin[1], sat.enthalpy_J_per_kg, warm[0], warm[1]], axis=1),
    )[0].T
    liquid = refrigerant.saturated_liquid(high)
    along_high = np.linalg.lstsq(_powers(high, 7).T, np.stack([np.log(liquid.pressure_kPa), liquid.enthalpy_J_per_kg], axis=1))[0].T
    e, c, s = (grid.ravel() for grid in np.meshgrid(low[::2], high[::2], superheat, indexing="ij"))
    keep = c > e + 5.0
    e, c, s = e[keep], c[keep], s[keep]
    made = refrigerant.cycle(e, c, s, 0.0, 1.0)
    ratio = np.log(made.pressure_ratio)
    work = np.linalg.lstsq(_work_terms((e - 20.0) / 60.0, ratio, s).T, made.isentropic_work_J_per_kg / ratio)[0]
    return along_low, along_high, work


def _powers(celsius: Floats, count: int) -> Floats:
    x = (celsius - 20.0) / 60.0
    rows = [np.ones_like(x), x]
    for _ in range(count - 2):
        rows.append(rows[-1] * x)
    return np.stack(rows)


def _work_terms(x: Floats, ratio: Floats, superheat: Floats) -> Floats:
    s = superheat / 50.0
    return np.stack([np.ones_like(x), ratio, ratio * ratio, x, x * x, s, s * x, ratio * x, ratio * s, ratio * ratio * x, x * x * x, s*s, ratio*x*x, ratio*x*s])


@dataclass(frozen=True)
class _Point:
    """One evaluation of the circuit at trial temperatures."""

    shortage_W: Floats  # heat the compressor would carry less heat the evaporator takes up
    surplus_W: Floats  # heat and work less heat given off outside
    evaporating_C: Floats
    suction_kPa: Floats
    discharge_kPa: Floats
    sensible_W: Floats
    latent_W: Floats
    work_W: Floats
    work_J_per_kg: Floats
    flow_kg_per_s: Floats
    superheat_K: Floats


def _fog_kPa(celsius: Floats) -> Floats:
    """Saturation pressure of water in Magnus form (Buck, J. Appl. Meteorol. 20 (1981) 1527); 0.2 % from `air`, and fast."""
    frozen = celsius < 0.0
    slope, shift = np.where(frozen, 22.452, 17.502), np.where(frozen, 272.55, 240.97)
    result: Floats = 0.61121 * np.exp(slope * celsius / (shift + celsius))
    return result


def condenser_conductance_W_per_K(
    parameters: CircuitParameters, fan_fraction: ArrayLike, blockage: ArrayLike, outside_C: ArrayLike = 35.0
) -> Floats:
    """Heat given off per kelvin between refrigerant and outside air; fan speed 0..1, blocked share of the face 0..1.

    Fan and natural draught add as squares of speed; conductance of the surface grows with the root of the air speed.
    """
    still = np.asarray(parameters.condenser_still_share, dtype=np.float64)
    fan = np.clip(np.asarray(fan_fraction, dtype=np.float64), 0.0, 2.0)
    open_share = np.clip(1.0 - np.asarray(blockage, dtype=np.float64), 0.01, 1.0)
    speed = np.sqrt(fan * fan + still * still) * open_share
    volume = 287.042 * (np.asarray(outside_C, dtype=np.float64) + 273.15) / 101325.0
    stream = speed * np.asarray(parameters.condenser_flow_m3_per_s) / volume * air.DRY_AIR_J_PER_KG_K
    surface = np.asarray(parameters.condenser_W_per_K) * np.sqrt(speed)
    return np.asarray(stream * -np.expm1(-surface / stream))[()]


def iced_flow_m3_per_s(flow_m3_per_s: ArrayLike, ice_kg: ArrayLike, ice_full_kg: ArrayLike) -> Floats:
    """Air that still gets through an evaporator with ice between its fins, of the flow that the blower moves when it is free.

    Invented for this course: free up to a thin film, then falling to 3 % when the passages are closed.
    """
    closed = np.clip(np.asarray(ice_kg, dtype=np.float64) / np.asarray(ice_full_kg), 0.0, 1.0)
    return np.asarray(np.asarray(flow_m3_per_s, dtype=np.float64) * (0.03 + 0.97 * (1.0 - closed**1.5)))[()]


def resting_pressure_kPa(temperature_C: ArrayLike, charge_fraction: ArrayLike, gas_only_charge: ArrayLike) -> Floats:
    """Pressure of the standing circuit, kPa absolute: saturation while any liquid is left, else as much gas as there is.

    Never below the atmosphere, since a leaking circuit takes in air. Ideal gas below saturation.
    """
    share = np.clip(np.asarray(charge_fraction, dtype=np.float64) / np.asarray(gas_only_charge), 0.0, 1.0)
    return np.asarray(np.maximum(share * refrigerant.saturation_pressure_kPa(temperature_C), air.STANDARD_PRESSURE_KPA))[()]


def ice_rate_kg_per_s(
    surface_C: ArrayLike, condensate_kg_per_s: ArrayLike, ice_kg: ArrayLike, melting_W_per_K: ArrayLike, air_C: ArrayLike = 20.0
) -> Floats:
    """Growth (above 0) or melting (below 0) of evaporator ice in kg/s.

    A surface below 0 °C keeps the condensate as ice, all of it from -1 °C down; above 0 °C ice melts by the heat that ``melting_W_per_K`` brings from the air,
    and none melts where there is none. Invented blend over one kelvin; heat of fusion from ASHRAE.
    """
    surface = np.asarray(surface_C, dtype=np.float64)
    kept = np.clip(-surface, 0.0, 1.0)
    thaw = np.clip(1.0 + surface, 0.0, 1.0) * (1.0 - kept)
    melting = np.asarray(melting_W_per_K) * np.maximum(np.asarray(air_C, dtype=np.float64), 0.0) / FUSION_J_PER_KG
    melting = thaw * np.where(np.asarray(ice_kg) > 0.0, melting, 0.0)
    return np.asarray(kept * np.asarray(condensate_kg_per_s, dtype=np.float64) - melting)[()]


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
    steps: int = 8,
) -> Balance:
    """The circuit as it settles under the given conditions; all arguments numbers or arrays (B,).

    Speed in rpm (below 1 the circuit stands), charge fraction 0..1, fan speed and blocked share 0..1, temperatures in °C, blower flow through a free evaporator in m³/s,
    ice in kg, humidity ratio of the bunk's air in kg/kg. ``guess``: an earlier answer to start from; then 4 steps are enough.
    """
    along_low, along_high, work_fit = _tables()
    p = parameters
    speed, charge, outside, flow, bunk, ratio = (
        np.asarray(value, dtype=np.float64)
        for value in (speed_rpm, charge_fraction, outside_C, blower_flow_m3_per_s, bunk_C, bunk_humidity_ratio)
    )
    free = iced_flow_m3_per_s(flow, ice_kg, p.ice_full_kg)
    nominal = np.asarray(p.evaporator_flow_m3_per_s, dtype=np.float64)
    moving = np.sqrt(free * free + (0.02 * nominal) ** 2)  # natural convection past a still coil
    volume = 287.042 * (bunk + 273.15) * (1.0 + ratio / air.MOLAR_RATIO) / 101325.0
    dry_kg_per_s = moving / volume
    stream = dry_kg_per_s * (air.DRY_AIR_J_PER_KG_K + air.VAPOUR_J_PER_KG_K * ratio)
    gas_only, starving = np.asarray(p.gas_only_charge), np.asarray(p.starving_charge)
    wetted = np.clip((charge - gas_only) / (starving - gas_only), 1e-4, 1.0)
    insulated = 1.0 - 0.5 * np.clip(np.asarray(ice_kg, dtype=np.float64) / np.asarray(p.ice_full_kg), 0.0, 1.0)
    air_side = np.asarray(p.evaporator_air_W_per_K) * (moving / nominal) ** 0.6 * wetted
    contact = -np.expm1(-air_side / stream)
    to_refrigerant = np.asarray(p.evaporator_refrigerant_W_per_K) * wetted * insulated
    give_off = condenser_conductance_W_per_K(p, condenser_fan_fraction, condenser_blockage, outside)
    turning = np.maximum(speed, 0.0) / 60.0
    swept = np.maximum(turning, 1.0 / 60.0) * np.asarray(p.displacement_m3)
    friction_W = 2.0 * np.pi * turning * np.asarray(p.friction_Nm)
    filled, clearance = np.asarray(p.volumetric_efficiency), np.asarray(p.clearance)
    efficiency, superheat_set = np.asarray(p.isentropic_efficiency), np.asarray(p.superheat_K)
    subcooling = np.asarray(p.subcooling_K) * wetted

    def at(surface: Floats, condensing: Floats) -> _Point:
        sensible = stream * contact * (bunk - surface)
        fog = _fog_kPa(np.maximum(surface, -60.0))
        condensed = contact * np.maximum(ratio - air.MOLAR_RATIO * fog / (air.STANDARD_PRESSURE_KPA - fog), 0.0)
        latent = dry_kg_per_s * condensed * (
            air.VAPORISATION_AT_0_C_J_PER_KG
            + air.VAPOUR_J_PER_KG_K * (bunk + contact * (surface - bunk))
            - air.LIQUID_WATER_J_PER_KG_K * surface
        )
        taken = sensible + latent
        evaporating = surface - taken / to_refrigerant
        held = np.clip(evaporating, _LOW_C, 33.0)
        beyond = _FADE_PER_K * np.minimum(evaporating - _LOW_C, 0.0)
        superheat = superheat_set + (1.0 - wetted) * np.clip(bunk - held - superheat_set, 0.0, 70.0)
        low = np.tensordot(along_low, _powers(held, 6), 1)
        high = np.tensordot(along_high, _powers(condensing, 7), 1)
        liquid = high[1] if not np.any(subcooling) else np.tensordot(along_high[1], _powers(condensing - subcooling, 7), 1)
        density = np.exp(low[1] + superheat * (low[2] + superheat * low[3]) + beyond)
        ln_ratio = np.maximum(high[0] - low[0], 0.02)
        gain = low[4] + superheat * (low[5] + superheat * low[6]) - liquid
        work = ln_ratio * np.tensordot(work_fit, _work_terms((held - 20.0) / 60.0, ln_ratio, superheat), 1) / efficiency
        fill = np.maximum(filled * (1.0 + clearance - clearance * np.exp(ln_ratio / 1.1)), 0.02)
        carried = swept * density * fill
        work_W = taken * work / gain + friction_W
        return _Point(
            shortage_W=carried * gain - taken,
            surplus_W=taken + work_W - give_off * (condensing - outside),
            evaporating_C=evaporating,
            suction_kPa=np.exp(low[0] + beyond),
            discharge_kPa=np.exp(high[0]),
            sensible_W=sensible,
            latent_W=latent,
            work_W=work_W,
            work_J_per_kg=work,
            flow_kg_per_s=taken / gain,
            superheat_K=superheat,
        )

    shape = np.broadcast_shapes(*(np.shape(x) for x in (speed, contact, to_refrigerant, give_off, efficiency, filled, superheat_set, subcooling)))
    if guess is None:
        surface = np.broadcast_to(bunk - 16.0 * wetted, shape).copy()
        condensing = np.broadcast_to(outside + 14.0, shape).copy()
    else:
        surface, condensing = np.broadcast_to(guess.surface_C, shape).copy(), np.broadcast_to(guess.condensing_C, shape).copy()
    nudge_surface = np.array([0.0, 0.02, 0.0]).reshape(3, *(1,) * len(shape))
    nudge_condensing = np.array([0.0, 0.0, 0.02]).reshape(3, *(1,) * len(shape))
    for _ in range(steps):
        tried = at(surface + nudge_surface, condensing + nudge_condensing)
        (f, f_s, f_c), (g, g_s, g_c) = tried.shortage_W, tried.surplus_W
        a, b, c, d = f_s - f, f_c - f, g_s - g, g_c - g
        determinant = a * d - b * c
        surface = np.minimum(surface - 0.02 * np.clip((f * d - g * b) / determinant, -900.0, 900.0), bunk - 1e-3)
        condensing = np.clip(condensing - 0.02 * np.clip((g * a - f * c) / determinant, -900.0, 900.0), outside + 0.05, _HIGH_C)
    end = at(surface, condensing)

    running = (speed >= 1.0) & (charge > gas_only)
    standing_kPa = resting_pressure_kPa(np.minimum(bunk, outside), charge, gas_only)
    standing_C = np.minimum(bunk, outside)

    def shown(value: Floats, otherwise: ArrayLike) -> Floats:
        return np.asarray(np.where(running, value, otherwise))[()]

    shaft = np.where(running, end.work_W, friction_W * (speed >= 1.0))
    sensible, latent = shown(end.sensible_W, 0.0), shown(end.latent_W, 0.0)
    off_C = bunk - sensible / stream
    heat = air.VAPORISATION_AT_0_C_J_PER_KG + air.VAPOUR_J_PER_KG_K * off_C - air.LIQUID_WATER_J_PER_KG_K * surface
    condensate = latent / heat
    held = np.maximum(end.evaporating_C, -60.0)
    return Balance(
        evaporating_C=shown(held, standing_C),
        condensing_C=shown(condensing, standing_C),
        suction_kPa=shown(end.suction_kPa, standing_kPa),
        discharge_kPa=shown(end.discharge_kPa, standing_kPa),
        surface_C=shown(surface, bunk),
        cooling_W=sensible + latent,
        sensible_W=sensible,
        latent_W=latent,
        condensate_kg_per_s=condensate,
        condenser_W=shown(sensible + latent + shaft, 0.0),
        compressor_shaft_W=shaft[()],
        compressor_torque_Nm=np.asarray(shaft / (2.0 * np.pi * np.maximum(turning, 1.0 / 60.0)))[()],
        refrigerant_kg_per_s=shown(end.flow_kg_per_s, 0.0),
        air_off_C=off_C,
        air_off_humidity_ratio=ratio - condensate / dry_kg_per_s,
        air_flow_m3_per_s=np.broadcast_to(moving, shape)[()],
        supply_W_per_K=np.broadcast_to(stream, shape)[()],
        superheat_K=shown(end.superheat_K, 0.0),
        discharge_C=shown(condensing + 15.0, bunk),
    )
