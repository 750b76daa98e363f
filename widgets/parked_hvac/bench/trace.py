"""What moved while time was let pass: the voltage between the leads and the air of the bunk."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from parked_hvac.rig.truck import Truck

MOST_POINTS = 160
"""More than the small plot has pixels to tell apart."""
LEAST_SPAN = {"V": 0.2, "°C": 1.0}
"""A plot spans at least this much, so that a steady value looks steady."""


@dataclass
class Trace:
    """Samples over one wait; hand ``sample`` to ``Attempt.watch``."""

    leads: tuple[str, str] | None
    """Red and black terminal if the meter stands on DC volts, else None."""
    begin_s: float | None = None
    times_s: list[float] = field(default_factory=list)
    volts_V: list[float] = field(default_factory=list)
    bunk_C: list[float] = field(default_factory=list)

    def sample(self, truck: Truck) -> None:
        """Keep what the truck shows now."""
        if self.begin_s is None:
            self.begin_s = truck.time_s
        self.times_s.append(truck.time_s - self.begin_s)
        self.bunk_C.append(float(truck.temperature_C("bunk air")[0]))
        if self.leads is not None:
            self.volts_V.append(float(truck.voltage_V(*self.leads)[0]))

    def for_screen(self) -> dict[str, Any] | None:
        """Series for the small plot, None if too little time passed to draw a line."""
        if len(self.times_s) < 2 or self.times_s[-1] <= 0.0:
            return None
        series = [self._series("temperature", "bunk air", self.bunk_C, "°C", 1)]
        if self.leads is not None:
            series.insert(0, self._series("voltage", "between the leads", self.volts_V, "V", 2))
        return {
            "title": f"What moved in {spoken_time(self.times_s[-1])}",
            "until_s": self.times_s[-1],
            "series": series,
        }

    def _series(self, kind: str, name: str, values: list[float], unit: str, decimals: int) -> dict[str, Any]:
        step = max(1, len(values) // MOST_POINTS)
        kept = sorted({*range(0, len(values), step), len(values) - 1})
        first, last = (f"{value:.{decimals}f} {unit}".replace("-", "−") for value in (values[0], values[-1]))
        low, high = (f"{value:.{decimals}f}".replace("-", "−") for value in (min(values), max(values)))
        return {
            "kind": kind,
            "name": name,
            "points": [[round(self.times_s[i], 2), round(values[i], 4)] for i in kept],
            "least": LEAST_SPAN[unit],
            "first": first,
            "last": last,
            "span": spoken_time(self.times_s[-1]),
            "spoken": f"{name}: from {first} to {last} over {spoken_time(self.times_s[-1])}, "
            f"lowest {low}, highest {high}",
        }


def spoken_time(seconds: float) -> str:
    """'10 s', '15 min', '1 h', as a person says it."""
    if seconds < 90:
        return f"{seconds:.0f} s"
    if seconds < 90 * 60:
        return f"{seconds / 60:.0f} min"
    return f"{seconds / 3600:.1f} h".replace(".0 ", " ")
