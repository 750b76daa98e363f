"""What the instruments can do, as data/instruments tells it."""

from __future__ import annotations

from functools import cache

import msgspec

from parked_hvac.places import data_dir
from parked_hvac.tables import read_table


class Quantity(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One number with its unit, valid range and source."""

    value: float
    unit: str
    range: tuple[float, float]
    source: str

    def __post_init__(self) -> None:
        _check((self.value,), self.unit, self.range)


class Ladder(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One number per range of the meter, smallest range first."""

    value: tuple[float, ...]
    unit: str
    range: tuple[float, float]
    source: str

    def __post_init__(self) -> None:
        _check(self.value, self.unit, self.range)


def _check(values: tuple[float, ...], unit: str, limits: tuple[float, float]) -> None:
    low, high = limits
    for value in values:
        if not low <= value <= high:
            raise ValueError(f"{value} {unit} is outside its range of {low} to {high}; correct one of them.")


class Function(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The ranges of one function of the meter and how accurate it is in each."""

    full_scale: Ladder
    percent: Ladder
    counts: Ladder
    resolution: Ladder | None = None
    test_current_A: Ladder | None = None
    beeps_below_ohm: Quantity | None = None
    least_swing_V: Quantity | None = None

    def __post_init__(self) -> None:
        length = len(self.full_scale.value)
        for ladder in (self.percent, self.counts, self.resolution, self.test_current_A):
            if ladder is not None and len(ladder.value) != length:
                raise ValueError(f"{len(ladder.value)} values for {length} ranges; give one per range.")


class MeterBody(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What all functions of the meter share."""

    counts: Quantity
    input_resistance_ohm: Quantity
    lead_resistance_ohm: Quantity
    open_lead_V: Quantity


class ProvingSource(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The known voltage in the tool box."""

    voltage_V: Quantity
    tolerance_V: Quantity


class MeterSpecification(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The digital meter."""

    meter: MeterBody
    dc_volts: Function
    ac_volts: Function
    ohms: Function
    continuity: Function
    diode: Function
    hertz: Function
    proving_source: ProvingSource


class Clamp(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The DC clamp."""

    full_scale_A: Quantity
    resolution_A: Quantity
    percent: Quantity
    absolute_A: Quantity


class Thermometer(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The contact thermometer."""

    resolution_C: Quantity
    percent: Quantity
    absolute_C: Quantity


class BatteryTester(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The conductance tester."""

    test_current_A: Quantity
    full_scale_S: Quantity
    resolution_S: Quantity
    percent: Quantity
    absolute_S: Quantity


class LoadTester(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The load resistor with its voltmeter."""

    load_ohm: Quantity
    resolution_V: Quantity
    percent: Quantity
    absolute_V: Quantity


class LiveValue(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A value the truck sends on its data link."""

    label: str
    unit: str
    step: float


class Senses(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What eyes, hands and ears can notice at all."""

    look: tuple[str, ...]
    feel: tuple[str, ...]
    listen: tuple[str, ...]


class Tools(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The instruments beside the meter."""

    clamp: Clamp
    thermometer: Thermometer
    battery_tester: BatteryTester
    load_tester: LoadTester
    live: dict[str, LiveValue]
    senses: Senses


@cache
def meter_specification() -> MeterSpecification:
    """The meter of data/instruments/meter.toml, read once. Raises DataError."""
    return read_table(data_dir() / "instruments" / "meter.toml", MeterSpecification)


@cache
def tools() -> Tools:
    """The other instruments of data/instruments/tools.toml, read once. Raises DataError."""
    return read_table(data_dir() / "instruments" / "tools.toml", Tools)
