"""Heat on the truck: refrigerant circuit, bunk, ice and water, and the temperatures that sensors feel."""

from __future__ import annotations

from dataclasses import fields

import numpy as np

from parked_hvac.physics import air, cabin, sun, thermistor, unit
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.parameters import Floats, Parameters

_COMPRESSOR_LAG_S = 600.0
_MELTING_W_PER_K = 14.0  # what the air brings to the ice; invented for this course
_PAN_FULL_KG = 0.35
_BALANCE_STEPS = 5
_LARGEST_CHANGE_K = {
    "bunk": 0.6,
    "surface": 2.0,
}  # in one step: the thermostat's and the frost switch's hysteresis
_LEADING_SHARE = 0.9  # of the draws that must keep within it, when there are many


class Climate:
    """State of everything warm or cold; arrays are (B,)."""

    def __init__(self, parameters: Parameters, conditions: Conditions) -> None:
        n = parameters.batch
        self._conditions = conditions
        self.adopt(parameters)
        self.hour = float(conditions.sun_hour)
        self.outside_C = np.full(n, conditions.outside_C)
        self.outside_ratio = np.asarray(air.humidity_ratio(self.outside_C, conditions.relative_humidity))
        bunk = np.full(n, conditions.bunk_C)
        self.cabin = cabin.CabinState(bunk, bunk.copy(), self.outside_ratio.copy())
        self.surface_C = bunk.copy()
        self.condensing_C = np.minimum(bunk, self.outside_C)
        self.air_off_C = bunk.copy()
        self.shaft_W = np.zeros(n)
        self.cooling_W = np.zeros(n)
        self.compressor_C = self.outside_C.copy()
        self.ice_kg = np.zeros(n)
        self.water_kg = np.zeros(n)
        self.spilled = np.zeros(n, dtype=bool)
        self.sensor_C = {"B1": bunk.copy(), "B2": bunk.copy(), "B3": self.outside_C.copy()}
        self._balance: unit.Balance | None = None
        self._rates_K_per_s = {"bunk": 0.0, "surface": 0.0}

    def longest_step_s(self) -> float:
        """How long a step may be, so that bunk and evaporator do not run past their switching points."""
        return min(_LARGEST_CHANGE_K[name] / max(rate, 1e-6) for name, rate in self._rates_K_per_s.items())

    def adopt(self, parameters: Parameters) -> None:
        """Take over the figures, as after a repair."""
        self._p = parameters
        self._circuit = unit.CircuitParameters(
            displacement_m3=parameters["compressor.displacement_m3"],
            **{
                field.name: parameters[f"unit.{field.name}"]
                for field in fields(unit.CircuitParameters)
                if field.name != "displacement_m3"
            },
        )
        self._cabin = cabin.CabinParameters(
            **{
                field.name: parameters[f"cabin.{field.name}"]
                for field in fields(cabin.CabinParameters)
                if field.name != "sun_on_air_share"
            }
        )

    @property
    def bunk_C(self) -> Floats:
        """Air temperature of the bunk, (B,)."""
        return np.asarray(self.cabin.air_C)

    def advance(
        self, rpm: Floats, fan_fraction: Floats, blower_fraction: Floats, warmed: set[str], seconds: float
    ) -> None:
        """A step in which compressor, fans and fingers hold still."""
        p = self._p
        before = {"bunk": self.bunk_C, "surface": self.surface_C}
        flow = blower_fraction * p["unit.evaporator_flow_m3_per_s"]
        ratio = np.asarray(self.cabin.humidity_ratio_kg_per_kg)
        made = unit.balance(
            self._circuit,
            rpm,
            p["refrigerant.charge_fraction"],
            fan_fraction,
            p["condenser.blockage"],
            self.outside_C,
            flow,
            self.ice_kg,
            self.bunk_C,
            ratio,
            guess=self._balance,
            steps=_BALANCE_STEPS if self._balance is not None else 10,
        )
        self._balance = made if bool((rpm >= 1.0).all()) else None
        quick = -np.expm1(-seconds / p["unit.evaporator_lag_s"])
        slow = -np.expm1(-seconds / p["unit.condenser_lag_s"])
        self.surface_C = self.surface_C + quick * (made.surface_C - self.surface_C)
        self.condensing_C = self.condensing_C + slow * (made.condensing_C - self.condensing_C)
        self.shaft_W = np.where(
            rpm > 1.0, self.shaft_W + slow * (made.compressor_shaft_W - self.shaft_W), 0.0
        )
        target_off = np.where(blower_fraction > 0.02, made.air_off_C, self.surface_C)
        hot = p["door.stuck_hot"]
        mixed = target_off + hot * 0.75 * (self.bunk_C + 6.0 - target_off)
        self.air_off_C = self.air_off_C + quick * (mixed - self.air_off_C)
        self.cooling_W = self.cooling_W + quick * (made.cooling_W - self.cooling_W)
        self._advance_water(made, blower_fraction, seconds)
        self._advance_cabin(made, blower_fraction, hot, seconds)
        body = np.where(rpm > 1.0, 0.75 * made.discharge_C + 0.25 * self.outside_C, self.outside_C)
        self.compressor_C = thermistor.follow(self.compressor_C, body, _COMPRESSOR_LAG_S, seconds)
        self._advance_sensors(warmed, seconds)
        after = {"bunk": self.bunk_C, "surface": self.surface_C}
        for name, start in before.items():
            change = np.abs(after[name] - start)
            self._rates_K_per_s[name] = float(np.quantile(change, _LEADING_SHARE)) / seconds
        self.hour = (self.hour + seconds / 3600.0) % 24.0

    def _advance_water(self, made: unit.Balance, blower_fraction: Floats, seconds: float) -> None:
        p = self._p
        rate = unit.ice_rate_kg_per_s(
            self.surface_C,
            made.condensate_kg_per_s,
            self.ice_kg,
            _MELTING_W_PER_K * (0.2 + blower_fraction),
            self.bunk_C,
        )
        # A minute of frost moves the air flow by less than a hundredth, so an explicit step will do.
        self.ice_kg = np.clip(self.ice_kg + rate * seconds, 0.0, p["unit.ice_full_kg"])
        plugged = p["drain.plugged"] > 0.5
        gained = np.maximum(made.condensate_kg_per_s - np.maximum(rate, 0.0), 0.0) * seconds
        self.water_kg = np.where(plugged, self.water_kg + gained, np.minimum(self.water_kg + gained, 0.03))
        self.spilled = self.spilled | (self.water_kg > _PAN_FULL_KG)

    def _advance_cabin(
        self, made: unit.Balance, blower_fraction: Floats, hot: Floats, seconds: float
    ) -> None:
        p = self._p
        c = self._conditions
        level = np.asarray(sun.clear_sky(self.hour).level_W_per_m2)
        lamp = np.clip(level / 900.0, 0.0, 1.2)
        self.cabin = cabin.advance(
            self.cabin,
            self._cabin,
            seconds,
            self.outside_C,
            self.outside_ratio,
            sun_W=p["cabin.sun_area_m2"] * level,
            occupants=cabin.people(c.occupants, self.bunk_C),
            curtain_open=1.0 if c.curtains == "open" else 0.0,
            cab_C=self.outside_C + p["cabin.greenhouse_K"] * lamp,
            other_heat_W=hot * 60.0,
            supply_W_per_K=np.where(blower_fraction > 0.02, made.supply_W_per_K, 0.0),
            supply_C=self.air_off_C,
            condensate_kg_per_s=made.condensate_kg_per_s,
        )

    def _advance_sensors(self, warmed: set[str], seconds: float) -> None:
        p = self._p
        places = {"B1": self.surface_C, "B2": self.bunk_C, "B3": self.outside_C}
        for name, place in places.items():
            target = p["sensor.finger_C"] if name in warmed else place
            self.sensor_C[name] = thermistor.follow(
                self.sensor_C[name], target, p["sensor.time_constant_s"], seconds
            )
