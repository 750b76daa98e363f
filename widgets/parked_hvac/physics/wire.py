"""Copper wire: resistance by length, cross-section and temperature, and the American wire gauge.

Laws: R = ρ20·L/A·(1 + α20·(t − 20)); gauge diameter 0.005 in · 92^((36 − n)/39).
Sources: IEC 60028 (ρ20, α20), ASTM B258 (gauge); checked against IEC 60228 and NEC tables.
Limits: annealed copper, direct current, −40 to 105 °C (the law is linear in temperature); no skin effect. The
temperature is given: a wire is not heated here by its own current.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = float | NDArray[np.float64]

RESISTIVITY_20C_OHM_M = 1.7241e-8  # annealed copper, IEC 60028
TEMPERATURE_COEFFICIENT_20C_PER_K = 0.00393  # annealed copper, IEC 60028
STRANDING_FACTOR = 1.02  # strands run in a spiral and are longer than the wire, NEC chapter 9 table 8


def resistance_ohm(
    length_m: Floats, area_mm2: Floats, temperature_C: Floats = 20.0, lay_factor: Floats = 1.0
) -> NDArray[np.float64]:
    """Resistance in Ω of copper, one way; all arguments of one broadcastable shape.

    R = ρ20·L/A·(1 + α20·(t − 20)), IEC 60028. ``lay_factor`` lengthens the strands of a stranded wire
    (``STRANDING_FACTOR``). Raises ValueError for a negative length or an area that is not positive.
    """
    length = np.asarray(length_m, dtype=np.float64)
    area = np.asarray(area_mm2, dtype=np.float64)
    if not np.all(length >= 0):
        raise ValueError(f"A wire cannot be {length.min()} m long: give its length in metres, 0 or more.")
    if not np.all(area > 0):
        raise ValueError(f"A wire cannot have {area.min()} mm² of copper: give a cross-section above 0 mm².")
    per_metre = RESISTIVITY_20C_OHM_M / (area * 1e-6) * lay_factor
    return np.asarray(length * per_metre * temperature_factor(temperature_C))


def temperature_factor(temperature_C: Floats) -> NDArray[np.float64]:
    """Resistance of copper at a temperature in °C over that at 20 °C (IEC 60028, linear law)."""
    warmer_K = np.asarray(temperature_C, dtype=np.float64) - 20.0
    return np.asarray(1.0 + TEMPERATURE_COEFFICIENT_20C_PER_K * warmer_K)


def voltage_drop_V(resistance_ohm: Floats, current_A: Floats) -> NDArray[np.float64]:
    """Drop in V along a resistance in Ω that carries a current in A (Ohm's law)."""
    return np.asarray(np.multiply(resistance_ohm, current_A), dtype=np.float64)


def gauge_number(gauge: str) -> int:
    """Number in the AWG diameter law: "12" gives 12, "1/0" gives 0, "4/0" gives −3.

    Raises ValueError for text that is no gauge.
    """
    size, _, aught = gauge.partition("/")
    if not size.isdigit() or aught not in ("", "0") or not (aught or 0 <= int(size) <= 40):
        raise ValueError(f"'{gauge}' is no wire gauge: write a number from 0 to 40, or 1/0 to 4/0.")
    return 1 - int(size) if aught else int(size)


def gauge_diameter_m(number: Floats) -> NDArray[np.float64]:
    """Diameter in m of a solid wire by AWG number, where −3 stands for 4/0 (ASTM B258)."""
    step = (36.0 - np.asarray(number, dtype=np.float64)) / 39.0
    return np.asarray(0.005 * 0.0254 * 92.0**step)


def gauge_area_mm2(number: Floats) -> NDArray[np.float64]:
    """Cross-section in mm² of a solid wire by AWG number, where −3 stands for 4/0 (ASTM B258)."""
    return np.asarray(np.pi / 4.0 * (1e3 * gauge_diameter_m(number)) ** 2)
