"""Warming up for the refresher: four reasons for a compressor that stands, and eight short items."""

from __future__ import annotations

from typing import Any

import numpy as np

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.asked import asked_to_cool
from parked_hvac.bench.lessons.reader import fresh
from parked_hvac.bench.lessons.told import Told, told

_MHO = 1e-7  # a meter's input of 10 MΩ, data/instruments/meter.toml


def four_reasons() -> Told:
    """What the reader's own sound truck shows in four readings, and what each clears."""
    truck = asked_to_cool()
    wave = truck.waveform("T1.U", "T1.-")
    hertz = "" if wave is None else f", {float(np.ravel(wave.frequency_Hz)[0]) / 1e3:.2f} kHz"
    rows = [
        ("nobody asks it: enable T1.E to T1.−", f"{_volts('T1.E', 'T1.-'):.2f} V"),
        ("its feed gives way: G2+ to T1.+, running", f"{_volts('G2+', 'T1.+'):.2f} V"),
        ("its ground gives way: X22 to G2−, running", f"{_volts('X22', 'G2-'):.2f} V"),
        ("the drive does not answer: T1.U to T1.−", f"{_volts('T1.U', 'T1.-'):.1f} V on DC{hertz}"),
    ]
    return told(
        "Asked to cool for a minute and a half, nothing wrong",
        rows,
        "What is left when all four are good is the motor itself: windings and insulation, with the drive dead and X30 parted.",
    )


def _volts(red: str, black: str) -> float:
    return float(asked_to_cool().probe(red, black, _MHO)[0])


def check_yourself() -> Any:
    """Eight short items; other figures each time the cell is run."""
    chance = fresh()
    enable = round(chance.uniform(12.0, 12.7), 2)
    drop = round(chance.uniform(0.7, 1.5), 2)
    amps = round(chance.uniform(38.0, 52.0), 0)
    leg = round(chance.uniform(5.8, 6.3), 1)
    winding = round(chance.uniform(0.16, 0.24), 2)
    ohms = round(chance.uniform(2.0, 60.0), 1)
    charge = round(chance.uniform(6.0, 12.0), 1)
    off = chance.choice(("U", "V", "W"))
    pairs = {"U": "U–V and U–W", "V": "U–V and V–W", "W": "V–W and U–W"}[off]
    return items(
        verdict(
            f"Cooling asked for, compressor still. T1.E to T1.−: {enable:.2f} V. Your verdict?", right="in_spec",
            explanation="11.0 V or more: controller, K4 and thermal switch have said yes. Look at feed, drive and motor.",
        ),
        verdict(
            "G2+ to T1.+, compressor still: 0.01 V. Your verdict?", right="tells_nothing",
            explanation="The feed is judged with the compressor running. Without current a corroded holder reads like a new one.",
        ),
        number(
            f"G2+ to T1.+ {drop:.2f} V while {amps:.0f} A flow. How many milliohms does the feed have?",
            right=1e3 * drop / amps, unit="mΩ", tolerance=1.0,
            explanation=f"{drop:.2f} V ÷ {amps:.0f} A = {1e3 * drop / amps:.1f} mΩ. A sound feed on this truck has some four.",
        ),
        choice(
            f"X30 parted, cooling asked for. AC volts to T1.−: two legs {leg:.1f} V, leg {off} 0.1 V. What does it leave?",
            ("the motor", f"leg {off} of the drive", "the feed"), right=1,
            explanation="The motor is unplugged, so it cannot be blamed. A feed that failed would take all three legs.",
        ),
        choice(
            f"Drive dead, X30 parted. One pair reads {winding:.2f} Ω, the pairs {pairs} read OL. Which winding end is open?",
            ("U", "V", "W"), right=("U", "V", "W").index(off),
            explanation="The end that both open pairs share. The third pair clears the other two.",
        ),
        verdict(
            f"Drive dead, X30 parted. M1.U to the case M1.C: {ohms:.1f} kΩ. Your verdict?", right="out_of_spec",
            explanation="The sheet asks for more than 1 MΩ. A winding touches the case, and the drive will trip or never start.",
        ),
        choice(
            f"F1 is out. T1.+ to T1.− still shows {charge:.1f} V. What now?",
            ("part X30, F1 is out", "gloves on, discharge the capacitors, measure again", "wait a minute, it fades"), right=1,
            explanation="The capacitors hold it for a long time. Discharge with the tool, and go on only below 2 V.",
        ),
        choice(
            "DC volts and AC volts on a leg both show about half the supply, and hertz shows some 7 kHz. What does that mean?",
            ("the leg is switching as it should", "the leg is half dead", "the meter cannot read it"), right=0,
            explanation="A leg switches between plus and minus thousands of times a second. Its mean is half the supply; 7.0 to 7.4 kHz is the sheet's figure.",
        ),
    )  # fmt: skip
