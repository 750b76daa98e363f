"""Numbers by which the kernel finds branches, places to measure and codes in the rows it is handed.

The order here is the kernel's own; `wiring.py` says where each stands in the wiring of data/rig.
"""

from __future__ import annotations

BRANCHES = (
    "isolator contacts",
    "isolator coil",
    "isolator status",
    "run contact",
    "panel output",
    "driver K3",
    "driver K4",
    "blower steps",
    "S1",
    "truck load",
    "ref S1",
    "drive command",
    "fan command",
    "door command",
    "door position",
    "link high",
    "link low",
    "drive capacitor",
)
(
    ISOLATOR_CONTACTS,
    ISOLATOR_COIL,
    ISOLATOR_STATUS,
    RUN_CONTACT,
    PANEL_OUTPUT,
    DRIVER_K3,
    DRIVER_K4,
    BLOWER_STEPS,
    S1,
    TRUCK_LOAD,
    REF_S1,
    DRIVE_COMMAND,
    FAN_COMMAND,
    DOOR_COMMAND,
    DOOR_POSITION,
    LINK_HIGH,
    LINK_LOW,
    DRIVE_CAPACITOR,
) = range(len(BRANCHES))

TAPS = (
    ("Q1.S", "Q1.G"),
    ("K0.+", "K0.-"),
    ("K0.B1", "K0.B0"),
    ("K0.B2", "K0.B0"),
    ("K0.B3", "K0.B0"),
    ("K0.S", "K0.-"),
    ("P1.+", "P1.-"),
    ("P1.R", "P1.-"),
    ("T1.+", "T1.-"),
    ("T1.E", "T1.-"),
    ("T1.C", "T1.-"),
    ("M2.+", "M2.-"),
    ("M3.+", "M3.-"),
    ("M3.C", "M3.-"),
)
"""Pairs of terminals whose voltage a component of the truck follows."""
(
    SENSE,
    SUPPLY,
    SEEN_B1,
    SEEN_B2,
    SEEN_B3,
    SWITCH,
    PANEL,
    RUN_SIGNAL,
    DRIVE,
    ENABLE,
    COMMAND,
    BLOWER,
    FAN,
    FAN_COMMANDED,
) = range(len(TAPS))

LOADS = (("T1.+", "T1.-"), ("M2.+", "M2.-"), ("M3.+", "M3.-"), ("X2", "G3+"))
"""Loads that are not resistors: drive, blower, condenser fan, alternator; current flows from first to second."""

MOVING = 11
BUNK, EVAPORATOR, SPEED, SHAFT, ICE, COMMANDED, BLOWN, FANNED, FALLING, BUILDING, BENDING = range(MOVING)
"""What limits a step by how fast it moves, or is carried on through the next step as it moves."""
SWITCHING_POINTS = 9
ISOLATOR, THERMOSTAT, FROST, HIGH_SIDE, CUT_OUT, HEAT, DRIVE_LOW, WAKING, PANEL_LOW = range(SWITCHING_POINTS)
"""Where a step should end."""

CODES = (
    "evaporator_high",
    "evaporator_low",
    "bunk_high",
    "bunk_low",
    "outside_high",
    "outside_low",
    "low_voltage",
    "drive_no_turn",
    "drive_over_current",
    "thermal_switch",
    "high_pressure",
)
"""Codes of data/rig/codes.toml that the controller can store; the first six stand two by two by sensor."""
LOW_VOLTAGE, DRIVE_NO_TURN, DRIVE_OVER_CURRENT, THERMAL_SWITCH, HIGH_PRESSURE = range(6, len(CODES))
