"""Papers that lie at the bench: order, spec sheet, wiring, resistance tables."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from parked_hvac.physics import thermistor, wire
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.controller import SENSOR_CURVES

if TYPE_CHECKING:
    from parked_hvac.job.order import Order

Block = dict[str, Any]

_TABLE_C = range(-10, 61, 5)
_AREAS_MM2 = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 35.0, 50.0, 70.0, 95.0)


def order_paper(order: Order) -> list[Block]:
    """The work order as the office wrote it."""
    weather = order.conditions
    return [
        {"heading": "Complaint", "paragraphs": [order.complaint]},
        {"heading": "History", "paragraphs": [order.history]},
        {
            "heading": "As it came in",
            "list": [
                f"{order.truck}, about {weather.sun_hour:.0f} o'clock, {weather.outside_C:.0f} °C outside",
                f"the engine last ran {weather.engine_off_h:g} h ago",
                f"{weather.bunk_C:.0f} °C in the bunk",
            ],
        },
        {
            "heading": "Your job",
            "paragraphs": [
                "Find out whether anything is wrong, and what. Prove it with readings, name the cause, "
                "repair it, prove the repair, and write it up. Every minute counts, and so does every step "
                "that keeps you safe.",
                "This truck is simulated. On a real one the vehicle maker's manual and local codes decide.",
            ],
        },
    ]


@cache
def spec_paper() -> list[Block]:
    """The spec sheet by section."""
    sections: dict[str, dict[str, None]] = {}
    for entry in catalogue().spec_sheet.values():
        # A line that holds for several pairs of terminals is printed once.
        sections.setdefault(entry.section, dict[str, None]()).setdefault(entry.text)
    return [{"heading": section, "list": list(lines)} for section, lines in sections.items()]


@cache
def wiring_paper() -> list[Block]:
    """Every fuse and cable of the truck."""
    truck = catalogue()
    fuses = [
        [
            name,
            fuse.label,
            f"{fuse.rating_A:g}",
            _signs(f"{fuse.start} to {fuse.end}"),
            truck.locations[fuse.location],
        ]
        for name, fuse in truck.fuses.items()
    ]
    cables = [
        [name, _signs(cable.start), _signs(cable.end), f"{cable.length_m:g}", f"{cable.area_mm2:g}"]
        for name, cable in sorted(truck.cables.items(), key=lambda item: int(item[0][1:]))
    ]
    return [
        {
            "paragraphs": [
                "A relay's contact lies between 30 and 87, its coil between 86 and 85. Names ending in + "
                "and − are the posts and supplies of their component; X0 is the frame."
            ]
        },
        {"table": {"caption": "Fuses", "head": ["fuse", "feeds", "A", "between", "where"], "rows": fuses}},
        {"table": {"caption": "Cables", "head": ["cable", "from", "to", "m", "mm²"], "rows": cables}},
    ]


@cache
def resistance_paper() -> list[Block]:
    """Sensor resistances by temperature, and copper by cross-section."""
    kinds = sorted(set(SENSOR_CURVES.values()))
    sensors = {
        kind: ", ".join(name for name, curve in SENSOR_CURVES.items() if curve == kind) for kind in kinds
    }
    rows = [
        [
            f"{celsius} °C".replace("-", "−"),
            *(_ohms(float(thermistor.curve(kind).resistance_ohm(float(celsius)))) for kind in kinds),
        ]
        for celsius in _TABLE_C
    ]
    copper = [
        [
            f"{area:g}",
            f"{1e3 * float(wire.resistance_ohm(1.0, area)):.3g}",
            f"{10 * float(wire.resistance_ohm(1.0, area)) * 1e3:.3g}",
        ]
        for area in _AREAS_MM2
    ]
    return [
        {
            "paragraphs": [
                "With the sensor's plug parted; the sensor takes some minutes to follow a new temperature."
            ],
            "table": {
                "caption": "Sensors, kΩ",
                "head": ["at", *(sensors[kind] for kind in kinds)],
                "rows": rows,
            },
        },
        {
            "paragraphs": [
                "Copper at 20 °C; 10 °C more make it 4 % more. Drop in volts = amperes × milliohms ÷ 1000."
            ],
            "table": {
                "caption": "Cables, one way",
                "head": ["mm²", "mΩ per m", "mV per m at 10 A"],
                "rows": copper,
            },
        },
    ]


def _ohms(value_ohm: float) -> str:
    return f"{value_ohm / 1e3:#.3g}"


def _signs(text: str) -> str:
    return text.replace("-", "−")
