"""What the truck says on its data link: fault codes and live values as SAE J1939 lays them out.

Packing after SAE J1939-73 (diagnostic messages, conversion method 4) and J1939-71 (signals), as restated in
public decoders; the standards themselves were not at hand. Only the body of a message is made here: the
bus, its arbitration and its transport of long messages are left out, and DM1 carries every code that is stored,
where a truck would send those that are no longer active in a message of their own.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Bytes = NDArray[np.uint8]

DM1_PGN = 65226
CLIMATE_CONTROL_ADDRESS = 0x19  # passenger-operator climate control 1; from memory, not confirmed
HIGHEST_SPN = 0x7FFFF
FIRST_MANUFACTURER_SPN = 520192  # from here to 524287 the standard leaves the numbers to manufacturers
OCCURRENCES_NOT_AVAILABLE = 127

FMI_TEXTS: dict[int, str] = {
    0: "above normal range, most severe",
    1: "below normal range, most severe",
    2: "erratic, intermittent or incorrect",
    3: "voltage above normal, or shorted to high",
    4: "voltage below normal, or shorted to low",
    5: "current below normal, or open circuit",
    6: "current above normal, or grounded circuit",
    7: "mechanical system not responding",
    8: "abnormal frequency, pulse width or period",
    9: "abnormal update rate",
    10: "abnormal rate of change",
    11: "root cause not known",
    12: "bad intelligent device or component",
    13: "out of calibration",
    14: "special instructions",
    15: "above normal range, least severe",
    16: "above normal range, moderately severe",
    17: "below normal range, least severe",
    18: "below normal range, moderately severe",
    19: "received network data in error",
    20: "drifted high",
    21: "drifted low",
    **dict.fromkeys(range(22, 31), "reserved"),
    31: "condition exists",
}


@dataclass(frozen=True, order=True)
class DTC:
    """A diagnostic trouble code: what (SPN), how (FMI, 0..31) and how often (1..126; 127 not available)."""

    spn: int
    fmi: int
    occurrence_count: int = OCCURRENCES_NOT_AVAILABLE

    @property
    def text(self) -> str:
        """The failure mode in words, after J1939-73 appendix A."""
        return FMI_TEXTS[self.fmi]


LampState = Literal["off", "on", "error", "not available"]
_LAMP_STATES: tuple[LampState, ...] = ("off", "on", "error", "not available")


@dataclass(frozen=True)
class Lamps:
    """The four lamps of a DM1 message."""

    protect: LampState = "off"
    amber: LampState = "off"
    red: LampState = "off"
    malfunction: LampState = "off"


@dataclass(frozen=True)
class ActiveCodes:
    """What a DM1 message says."""

    lamps: Lamps
    codes: tuple[DTC, ...]


def _whole(name: str, value: int, lowest: int, highest: int, remedy: str) -> int:
    if isinstance(value, bool) or not isinstance(value, (int, np.integer)) or not lowest <= value <= highest:
        raise ValueError(f"{name} {value!r} is not a whole number from {lowest} to {highest}: {remedy}.")
    return int(value)


def pack_dtc(spn: int, fmi: int, occurrence_count: int) -> bytes:
    """Four bytes of one trouble code, SPN conversion method 4; ValueError for a number out of its field.

    Byte 1 and 2: SPN bits 7-0 and 15-8; byte 3: SPN bits 18-16 above the FMI; byte 4: occurrence count
    below a conversion bit of 0. SAE J1939-73.
    """
    spn = _whole("SPN", spn, 0, HIGHEST_SPN, "choose a suspect parameter number of 19 bits")
    fmi = _whole("FMI", fmi, 0, 31, "choose a failure mode of the table FMI_TEXTS")
    count = _whole(
        "Occurrence count",
        occurrence_count,
        0,
        OCCURRENCES_NOT_AVAILABLE,
        "hold it at 126, or give 127 for 'not available'",
    )
    return bytes((spn & 0xFF, spn >> 8 & 0xFF, spn >> 16 << 5 | fmi, count))


def unpack_dtc(data: bytes) -> DTC:
    """The trouble code in four bytes; ValueError for another length or another conversion method."""
    if len(data) != 4:
        raise ValueError(
            f"A trouble code has 4 bytes, not {len(data)}: cut the message body from its third byte on."
        )
    if data[3] & 0x80:
        raise ValueError(
            f"Trouble code {data.hex(' ').upper()} sets the conversion bit of an older SPN layout: "
            "read it with that layout, here only method 4 (bit clear) is known."
        )
    return DTC(
        spn=data[0] | data[1] << 8 | data[2] >> 5 << 16, fmi=data[2] & 0x1F, occurrence_count=data[3] & 0x7F
    )


def dm1_body(codes: Iterable[DTC], lamps: Lamps | None = None) -> bytes:
    """Body of a DM1 message: two lamp bytes and the codes, filled with FF to eight bytes.

    Without lamps given, the amber lamp is on when there is any code. No code: SPN 0, FMI 0, count 0. More
    than one code makes a body longer than a frame, which the bus carries in packets. SAE J1939-73.
    """
    listed = tuple(codes)
    shown = lamps or Lamps(amber="on" if listed else "off")
    states = (shown.protect, shown.amber, shown.red, shown.malfunction)
    lamp_byte = sum(_LAMP_STATES.index(state) << 2 * place for place, state in enumerate(states))
    packed = b"".join(pack_dtc(code.spn, code.fmi, code.occurrence_count) for code in listed) or bytes(4)
    return (bytes((lamp_byte, 0xFF)) + packed).ljust(8, b"\xff")


def read_dm1(body: bytes) -> ActiveCodes:
    """Lamps and codes of a DM1 body; ValueError when the body is cut short or has bytes left over."""
    if len(body) < 6:
        raise ValueError(f"A DM1 body has at least 6 bytes, not {len(body)}: read the whole message again.")
    end = 2 + (len(body) - 2) // 4 * 4
    if body[end:].strip(b"\xff"):
        raise ValueError(
            f"DM1 body {body.hex(' ').upper()} ends inside a trouble code: read the whole message again."
        )
    lamps = Lamps(*(_LAMP_STATES[body[0] >> 2 * place & 3] for place in range(4)))
    chunks = (body[start : start + 4] for start in range(2, end, 4))
    return ActiveCodes(
        lamps, tuple(unpack_dtc(chunk) for chunk in chunks if chunk not in (bytes(4), b"\xff" * 4))
    )


@dataclass(frozen=True)
class Signal:
    """A value with its place: raw number = (value - offset) / scale, least significant bit first.

    ``start_bit`` counts from bit 0 of the first data byte; None where no public source at hand gives the
    place.
    """

    spn: int
    name: str
    unit: str
    pgn: int
    start_bit: int | None
    length_bits: int
    scale: float
    offset: float

    @property
    def highest_raw(self) -> int:
        """Highest raw number that is a value; those above mean reserved, error or not available."""
        return {2: 0x01, 8: 0xFA, 16: 0xFAFF}[self.length_bits]

    @property
    def error_raw(self) -> int:
        """Raw number that says 'error'."""
        return {2: 0x02, 8: 0xFE, 16: 0xFE00}[self.length_bits]

    @property
    def not_available_raw(self) -> int:
        """Raw number that says 'not available': all bits set."""
        return (1 << self.length_bits) - 1


# SAE J1939-71 as restated in public repositories: two agree on SPN 79 to 172, the rest stands in one.
SIGNALS: dict[int, Signal] = {
    signal.spn: signal
    for signal in (
        Signal(114, "net battery current", "A", 65271, 0, 8, 1.0, -125.0),
        Signal(115, "alternator current", "A", 65271, 8, 8, 1.0, 0.0),
        Signal(167, "charging system potential", "V", 65271, 16, 16, 0.05, 0.0),
        Signal(168, "battery potential", "V", 65271, 32, 16, 0.05, 0.0),
        Signal(158, "keyswitch battery potential", "V", 65271, 48, 16, 0.05, 0.0),
        Signal(108, "barometric pressure", "kPa", 65269, 0, 8, 0.5, 0.0),
        Signal(170, "cab interior temperature", "°C", 65269, 8, 16, 0.03125, -273.0),
        Signal(171, "ambient air temperature", "°C", 65269, 24, 16, 0.03125, -273.0),
        Signal(172, "air inlet temperature", "°C", 65269, 40, 8, 1.0, -40.0),
        Signal(79, "road surface temperature", "°C", 65269, 48, 16, 0.03125, -273.0),
        Signal(985, "air conditioner high pressure fan switch", "", 65252, 16, 2, 1.0, 0.0),
        Signal(875, "refrigerant low pressure switch", "", 65252, 18, 2, 1.0, 0.0),
        Signal(605, "refrigerant high pressure switch", "", 65252, 20, 2, 1.0, 0.0),
        Signal(2609, "cab compressor outlet pressure", "kPa", 64993, None, 8, 16.0, 0.0),
        Signal(1800, "battery 1 temperature", "°C", 65104, None, 8, 1.0, -40.0),
        Signal(2579, "net battery current, high range", "A", 65106, None, 16, 0.05, -1600.0),
        Signal(986, "requested fan speed", "%", 57344, None, 8, 0.4, 0.0),
        Signal(441, "auxiliary temperature 1", "°C", 65164, None, 8, 1.0, -40.0),
    )
}

OWN_PGN = 65280
"""A group of the truck's own: 65280 to 65535 are left to manufacturers (SAE J1939-21; from memory, not confirmed)."""

# Places and scales of this group are invented for this course; the temperature is scaled as J1939-71 scales one.
OWN_SIGNALS: dict[int, Signal] = {
    signal.spn: signal
    for signal in (
        Signal(520193, "evaporator temperature", "°C", OWN_PGN, 0, 16, 0.03125, -273.0),
        Signal(520195, "compressor speed", "rpm", OWN_PGN, 16, 16, 1.0, 0.0),
        Signal(520197, "drive command", "%", OWN_PGN, 32, 8, 1.0, 0.0),
        Signal(520198, "condenser-fan command", "%", OWN_PGN, 40, 8, 1.0, 0.0),
        Signal(520199, "cooling asked for", "", OWN_PGN, 48, 2, 1.0, 0.0),
    )
}


def signal(spn: int) -> Signal:
    """The signal of an SPN; ValueError naming the known ones."""
    found = SIGNALS.get(spn) or OWN_SIGNALS.get(spn)
    if found is None:
        known = ", ".join(str(number) for number in sorted(SIGNALS | OWN_SIGNALS))
        raise ValueError(f"SPN {spn!r} is no live value of this truck: choose one of {known}.")
    return found


State = Literal["valid", "reserved", "error", "not available"]


@dataclass(frozen=True)
class Decoded:
    """A raw number read: a value with ``state`` 'valid', or no value (nan) and why."""

    value: float
    state: State


def encode(spn: int, value: float | None) -> int:
    """Raw number of a value in the signal's unit; None or nan is sent as 'not available'.

    A value beyond the field is held at its end, as a sender does that must say something. ValueError:
    unknown SPN.
    """
    field = signal(spn)
    if value is None or np.isnan(value):
        return field.not_available_raw
    return int(np.clip(np.rint((value - field.offset) / field.scale), 0, field.highest_raw))


def decode(spn: int, raw: int) -> Decoded:
    """Value and state of a raw number; ValueError for an unknown SPN or a number wider than the field."""
    field = signal(spn)
    raw = _whole(
        f"Raw value of SPN {spn}",
        raw,
        0,
        field.not_available_raw,
        f"it is a field of {field.length_bits} bits",
    )
    if raw <= field.highest_raw:
        return Decoded(raw * field.scale + field.offset, "valid")
    if raw < field.error_raw:
        return Decoded(float("nan"), "reserved")
    top = 0xFF00 if field.length_bits == 16 else field.not_available_raw
    return Decoded(float("nan"), "not available" if raw >= top else "error")


def _all() -> Iterable[Signal]:
    return (*SIGNALS.values(), *OWN_SIGNALS.values())


def _placed(pgn: int) -> list[tuple[int, Signal]]:
    fields = [
        (entry.start_bit, entry) for entry in _all() if entry.pgn == pgn and entry.start_bit is not None
    ]
    if not fields:
        known = ", ".join(
            str(number) for number in sorted({s.pgn for s in _all() if s.start_bit is not None})
        )
        raise ValueError(f"Parameter group {pgn!r} has no signal with a known place: choose one of {known}.")
    return fields


def pack_frame(pgn: int, values: Mapping[int, float | None]) -> bytes:
    """Eight bytes of a parameter group; what is not given is sent as 'not available' (all ones).

    ``values``: SPN to value. ValueError for a group without known places or an SPN that is not in it.
    """
    given = {spn: np.array([np.nan if value is None else value]) for spn, value in values.items()}
    return bytes(pack_frames(pgn, given)[0])


def pack_frames(pgn: int, values: Mapping[int, NDArray[np.float64]]) -> Bytes:
    """Bodies of a parameter group from many trucks, (B, 8); nan goes as 'not available'.

    ``values``: SPN to (B,) values. ValueError as from ``pack_frame``.
    """
    fields = _placed(pgn)
    strangers = sorted(set(values) - {entry.spn for _, entry in fields})
    if strangers:
        raise ValueError(
            f"SPN {strangers[0]} is not carried by parameter group {pgn}: send it in its own group."
        )
    batch = max((len(value) for value in values.values()), default=1)
    bits = np.full(batch, (1 << 64) - 1, dtype="<u8")
    for start, entry in fields:
        if entry.spn in values:
            value = values[entry.spn]
            held = np.clip(np.rint((value - entry.offset) / entry.scale), 0, entry.highest_raw)
            raw = np.where(np.isnan(value), entry.not_available_raw, held).astype("<u8")
            bits &= np.uint64(~(entry.not_available_raw << start) & (1 << 64) - 1)
            bits |= raw << np.uint64(start)
    return bits.view(np.uint8).reshape(batch, 8)


def unpack_frames(spn: int, bodies: Bytes) -> NDArray[np.float64]:
    """Values of one signal in the bodies of its group, (B, 8) to (B,); nan where none is sent."""
    field = signal(spn)
    start = next(start for start, entry in _placed(field.pgn) if entry.spn == spn)
    bits = np.ascontiguousarray(bodies).view("<u8")[:, 0]
    raw = (bits >> np.uint64(start)) & np.uint64(field.not_available_raw)
    return np.where(raw <= field.highest_raw, raw * field.scale + field.offset, np.nan)


def unpack_frame(pgn: int, data: bytes) -> dict[int, Decoded]:
    """Every known signal of a parameter group by SPN; ValueError when the body is not eight bytes."""
    if len(data) != 8:
        raise ValueError(f"A frame of parameter group {pgn} has 8 bytes, not {len(data)}: read it again.")
    bits = int.from_bytes(data, "little")
    return {
        entry.spn: decode(entry.spn, bits >> start & entry.not_available_raw) for start, entry in _placed(pgn)
    }


def identifier(pgn: int, source_address: int = CLIMATE_CONTROL_ADDRESS, priority: int = 6) -> int:
    """The 29-bit identifier of a broadcast parameter group. SAE J1939-21."""
    pgn = _whole("Parameter group", pgn, 0, 0x3FFFF, "it is a number of 18 bits")
    source_address = _whole("Source address", source_address, 0, 0xFF, "it is a number of 8 bits")
    return _whole("Priority", priority, 0, 7, "it is a number of 3 bits") << 26 | pgn << 8 | source_address
