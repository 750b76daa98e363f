"""Both published thermistor curves on one sheet, with a reading of the learner's on them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from parked_hvac.bench.plots import INK, SERIES, Plot, finished, sheet
from parked_hvac.physics import thermistor

CURVES = {"5k": "5 kΩ curve (B1, B2)", "10k": "10 kΩ curve (B3)"}
COLDEST_C, HOTTEST_C = -10.0, 60.0
TOLERANCE_K = 1.0  # data/rig/spec-sheet.toml, [sensors]
_TICKS_KOHM = (1, 2, 5, 10, 20, 50)


@dataclass(frozen=True)
class BeadReading:
    """Ohms between a sensor's pins, and what a thermometer beside it says."""

    curve: str
    resistance_ohm: float
    thermometer_C: float

    @property
    def table_C(self) -> float:
        """The temperature that belongs to the ohms, by the sensor's own curve."""
        return float(thermistor.curve(self.curve).temperature_C(self.resistance_ohm))

    @property
    def expected_ohm(self) -> float:
        """The ohms that belong to the thermometer's temperature."""
        return float(thermistor.curve(self.curve).resistance_ohm(self.thermometer_C))

    @property
    def words(self) -> str:
        """What the two say of each other."""
        off = self.table_C - self.thermometer_C
        says = (
            f"{self.resistance_ohm / 1e3:.2f} kΩ means {self.table_C:.1f} °C on the {CURVES[self.curve]}; "
            f"the thermometer says {self.thermometer_C:.1f} °C, where {self.expected_ohm / 1e3:.2f} kΩ belong."
        )
        if abs(off) <= TOLERANCE_K:
            return f"{says} They agree within {TOLERANCE_K:g} °C."
        return f"{says} The sensor reads {abs(off):.1f} °C too {'warm' if off > 0 else 'cold'}."


def curves_plot(reading: BeadReading | None = None, title: str = "Resistance by temperature") -> Plot:
    """Both curves from -10 to 60 °C on a scale of tenfolds; a reading as a mark beside its curve."""
    figure, axes = sheet(7.4, 3.6)
    celsius = np.linspace(COLDEST_C, HOTTEST_C, 141)
    for index, (name, label) in enumerate(CURVES.items()):
        ohm = thermistor.curve(name).resistance_ohm(celsius)
        axes.plot(celsius, ohm / 1e3, label=label, color=SERIES[index], linestyle=("-", "--")[index])
    axes.set_yscale("log")
    axes.set_yticks(_TICKS_KOHM, [str(tick) for tick in _TICKS_KOHM])
    axes.set_yticks([], minor=True)
    axes.set_xlabel("°C")
    axes.set_ylabel("kΩ")
    told = f"{title}. At 25 °C the one has 5 kΩ, the other 10 kΩ; both halve about every 17 °C."
    if reading is not None:
        kohm = reading.resistance_ohm / 1e3
        axes.plot([reading.thermometer_C], [kohm], "D", color=INK, markersize=7, label="your reading")
        if COLDEST_C <= reading.table_C <= HOTTEST_C:
            # The gap along this line is how far the sensor lies, in degrees.
            axes.plot([reading.thermometer_C, reading.table_C], [kohm, kohm], color=INK, linestyle=":")
        told = reading.words
    return finished(figure, axes, title, told)
