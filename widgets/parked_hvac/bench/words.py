"""Small phrases that several panels use."""

from __future__ import annotations

FUNCTIONS = (
    ("dc_volts", "V=", "DC volts"),
    ("ac_volts", "V~", "AC volts, true RMS"),
    ("hertz", "Hz", "frequency"),
    ("ohms", "Ω", "ohms"),
    ("continuity", "beep", "continuity"),
    ("diode", "▷|", "diode"),
)
"""Functions of the meter: name, what its key shows, what a listener hears."""

VERDICTS = (("in_spec", "in spec"), ("out_of_spec", "out of spec"), ("tells_nothing", "tells nothing"))

PREPARATIONS = {
    "chock_wheels": "wheels chocked",
    "eye_protection": "eye protection",
    "rings_off": "rings off",
    "exhaust_hose": "exhaust hose",
    "insulated_gloves": "gloves",
}


def minutes(value: float) -> str:
    """'3 min' or '0.5 min'."""
    return f"{value:g} min"
