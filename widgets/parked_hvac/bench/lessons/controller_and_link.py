"""Lesson 06: what the controller sees, when it lets the compressor run, and how it tells what it found."""

from __future__ import annotations

from typing import Any

import numpy as np

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.cut_out_plot import cut_out_plot, watched
from parked_hvac.bench.lessons.reader import fresh, own_truck
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.bench.plots import Plot
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.controller import codes
from parked_hvac.rig.data_link import FMI_TEXTS, pack_dtc, unpack_dtc
from parked_hvac.rig.parameters import Parameters
from parked_hvac.rig.truck import Truck

_EVENING = Conditions(outside_C=30.0, relative_humidity=0.5, sun_hour=20.0, bunk_C=31.0, occupants=0)
_RUN_S = 270.0
_LUG_OHM = 0.03  # a badly corroded lug; common practice, no source
_POWER = (
    ("all joints sound, bank full", "sound"),
    ("ground lug X4 corroded, bank full", "lug"),
    ("all joints sound, bank nearly empty", "empty"),
)
_TODAY = (
    ("nothing is wrong", "nothing_wrong"),
    ("the thermal switch S1 is open", "s1_open"),
    ("the temperature knob is dead", "panel_temperature_dead_spot"),
    ("the outside sensor reads far too cold", "b3_shifted"),
    ("the blower knob stands on a dead spot", "panel_blower_dead_spot"),
    ("fuse F14 of the drive's logic is blown", "fuse_f14_blown"),
)


def _power(state: str) -> tuple[Parameters, Conditions]:
    truck = own_truck()
    if state == "lug":
        truck.set("contact.X4lug.resistance_ohm", np.array([_LUG_OHM]))
    charge = 0.2 if state == "empty" else 0.92
    return truck, Conditions(
        outside_C=30.0, relative_humidity=0.5, sun_hour=20.0, bunk_C=31.0, occupants=0, aux_charge=charge
    )


def cut_out(state: str = "sound") -> Plot:
    """Four and a half minutes of the reader's own truck, from the moment that it is asked to cool."""
    title = {key: words for words, key in _POWER}[state]
    parameters, conditions = _power(state)
    return cut_out_plot(watched(Truck(parameters, conditions), _RUN_S), f"{title[0].upper()}{title[1:]}")


def starts_and_stops() -> Any:
    """The plot with a list of three states of the power side."""
    import ipywidgets

    pick = ipywidgets.Dropdown(options=list(_POWER), value="sound", description="Power side:",
                               style={"description_width": "initial"}, layout={"width": "26em"})  # fmt: skip
    picture = ipywidgets.HTML(value=cut_out()._repr_html_())

    def show(change: dict[str, Any]) -> None:
        picture.value = "<p>The truck runs for four and a half minutes …</p>"
        picture.value = cut_out(str(change["new"]))._repr_html_()

    pick.observe(show, names="value")
    return ipywidgets.VBox([pick, picture])


def conditions(fault: str = "nothing_wrong") -> Told:
    """Every condition for the compressor, as K0 finds it a quarter of a minute after it was asked."""
    truck = Truck(own_truck(fault=fault), Conditions(outside_C=18.0, bunk_C=26.0, sun_hour=14.0, occupants=0))
    truck.set_key("on")
    truck.turn_blower(3)
    truck.turn_temperature(18.0)
    truck.press_parked_cooling(True)
    truck.advance(15.0)
    p = truck.parameters
    live = {name: float(truck.live(name)[0]) for name in _LIVE}
    switch_V = float(truck.voltage_V("K0.S", "K0.-")[0])
    set_C = 28.0 if float(p["panel.temperature_dead"][0]) > 0.5 else truck.controls.set_temperature_C
    rows = [
        ("asked for, blower above 0", "", live["cooling_asked"] > 0.5),
        ("supply above 11.4 V", f"{live['supply_V']:.2f} V, ", live["supply_V"] > float(p["controller.cut_out_V"][0])),
        ("thermal switch closed: its input near 0 V", f"{abs(switch_V):.2f} V, ", switch_V < 1.5),
        ("evaporator not freezing: above 1.5 °C", f"{live['evaporator_C']:.1f} °C, ", live["evaporator_C"] > 1.5),
        ("bunk warmer than the knob asks", f"{live['bunk_C']:.1f} °C to {set_C:.0f} °C, ", live["bunk_C"] > set_C + 0.5),
        ("outside above 5 °C", f"{live['outside_C']:.1f} °C, ", live["outside_C"] > 5.0),
    ]  # fmt: skip
    listed = truck.codes()
    stored = "; ".join(f"SPN {spn} FMI {fmi}" for spn, fmi, _ in (listed[0] if listed else []))
    shown = [(name, f"{figure}{'yes' if met else 'NO'}") for name, figure, met in rows]
    shown += [
        ("so the drive command is", f"{live['drive_command_percent']:.0f} %"),
        ("enable T1.E and command T1.C", f"{_volts(truck, 'T1.E')}, {_volts(truck, 'T1.C')}"),
        ("compressor", f"{live['compressor_rpm']:.0f} rpm"),
        ("code", stored or "none"),
    ]
    words = {key: text for text, key in _TODAY}[fault]
    return told(
        f"Six conditions, while {words}",
        shown,
        "One NO is enough to keep the compressor still; K0 need not be broken.",
    )


_LIVE = (
    "cooling_asked",
    "supply_V",
    "evaporator_C",
    "bunk_C",
    "outside_C",
    "drive_command_percent",
    "compressor_rpm",
)


def _volts(truck: Truck, terminal: str) -> str:
    return f"{abs(float(truck.voltage_V(terminal, 'T1.-')[0])):.1f} V"


def six_conditions() -> Any:
    """The conditions with a list of what may be wrong."""
    return _chosen("Today", _TODAY, conditions)


def four_bytes(code: str = "evaporator_high", count: int = 1) -> Told:
    """One trouble code taken apart byte by byte, as SAE J1939-73 packs it."""
    spn, fmi = codes()[code].spn, codes()[code].fmi
    data = pack_dtc(spn, fmi, count)
    back = unpack_dtc(data)
    top, low = data[2] >> 5, data[2] & 0x1F
    return told(
        f"Four bytes on the link: {data.hex(' ').upper()}",
        [
            (f"byte 1, {data[0]:02X}", f"{data[0]}"),
            (f"byte 2, {data[1]:02X}: times 256", f"{data[1] * 256}"),
            (f"byte 3, {data[2]:02X} = {data[2]:08b}: its first three bits, times 65536", f"{top * 65536}"),
            ("the three together: SPN, what it is about", f"{back.spn}"),
            (f"byte 3: its last five bits, {low:05b}: FMI, how it failed", f"{back.fmi}, {FMI_TEXTS[back.fmi]}"),
            (f"byte 4, {data[3]:02X}: how often it was seen", f"{back.occurrence_count}"),
            ("the truck's own list of codes says", codes()[code].text),
        ],
        "Left out: the frames and lamps around the four bytes. Your reader takes those apart.",
    )  # fmt: skip


def take_apart() -> Any:
    """The four bytes with a list of the truck's codes."""
    listed = [(f"SPN {code.spn} FMI {code.fmi}", name) for name, code in codes().items()]
    return _chosen("Code", listed, four_bytes)


def _chosen(label: str, options: Any, show: Any) -> Any:
    import ipywidgets

    pick = ipywidgets.Dropdown(options=list(options), description=f"{label}:", style={"description_width": "initial"},
                               layout={"width": "26em"})  # fmt: skip
    table = ipywidgets.HTML(value=show(pick.value)._repr_html_())
    pick.observe(lambda change: setattr(table, "value", show(change["new"])._repr_html_()), names="value")
    return ipywidgets.VBox([pick, table])


def your_turn() -> Any:
    """Predict the supply at K0 from what the two halves of the way lose, then what K0 does."""
    chance = fresh()
    bank = round(chance.uniform(12.2, 12.6), 2)
    feed, ground = round(chance.uniform(0.15, 0.35), 2), round(chance.choice((0.25, 0.3, 0.9, 1.1)), 2)
    left = bank - feed - ground
    return items(
        number(
            f"The compressor runs. G2+ to G2−: {bank:.2f} V. G2+ to K0.+: {feed:.2f} V. K0.− to G2−: {ground:.2f} V. "
            "What supply does K0 see?",
            right=left, unit="V", tolerance=0.011,
            explanation=f"{bank:.2f} − {feed:.2f} − {ground:.2f} = {left:.2f} V. K0 knows nothing of the bank, only of its own two pins.",
        ),
        choice(
            "It stays like that. What does K0 do?",
            ("goes on cooling", "stops the compressor after 4 s and stores SPN 168 FMI 1", "blows a fuse"),
            right=1 if left < 11.4 else 0,
            explanation=f"{left:.2f} V is {'below' if left < 11.4 else 'above'} the 11.4 V of the spec sheet.",
        ),
    )  # fmt: skip


def check_yourself() -> Any:
    """Eleven short items; other figures each time the cell is run."""
    chance = fresh()
    low, high = (
        chance.choice(names)
        for names in (
            ("low_voltage", "bunk_high", "outside_low"),
            ("evaporator_high", "thermal_switch", "drive_no_turn"),
        )
    )
    count = chance.randrange(2, 30)
    bytes_low = pack_dtc(codes()[low].spn, codes()[low].fmi, count)
    bytes_high = pack_dtc(codes()[high].spn, codes()[high].fmi, count)
    sag, back = round(chance.uniform(10.7, 11.3), 2), round(chance.uniform(11.6, 12.1), 2)
    enable, command = round(chance.uniform(12.2, 12.6), 1), round(chance.uniform(3.5, 4.5), 1)
    return items(
        number(
            f"Four bytes: {bytes_low.hex(' ').upper()}. Byte 2 is 00. Which SPN is it?",
            right=codes()[low].spn, unit="", tolerance=0.0,
            explanation=f"Byte 1 is {bytes_low[0]:02X}, that is {bytes_low[0]}; byte 2 and the top of byte 3 add nothing. Sixteen times the "
            "first sign plus the second, with A to F for 10 to 15.",
        ),
        number(
            f"Four bytes: {bytes_high.hex(' ').upper()}. Byte 3 is {bytes_high[2]:08b} in ones and zeros. Which FMI is it?",
            right=codes()[high].fmi, unit="", tolerance=0.0,
            explanation=f"The last five bits are {bytes_high[2] & 31:05b}: {codes()[high].fmi}. The first three belong to the SPN.",
        ),
        number(
            f"The fourth byte of a code is written {count:02X}. How often was it seen?",
            right=count, unit="", tolerance=0.0,
            explanation=f"16 × {count >> 4} + {count & 15} = {count}. A code seen once may be history; "
            f"one seen {count} times comes back.",
        ),
        verdict(
            f"K0.+ to K0.−, cooling asked for, the compressor starts: {sag:.2f} V, held minimum. Your verdict?", right="out_of_spec",
            explanation="Below 11.4 V. Now ask where it was lost: in the bank, on the feed or on the way back by ground.",
        ),
        choice(
            f"At the start the supply of K0 falls to {sag:.2f} V for two seconds, then stands at {back:.2f} V. Does the cut-out act?",
            ("yes, at once", "no, it waits four seconds below 11.4 V", "yes, after 45 s"), right=1,
            explanation="A short sag is the compressor's start. Only four seconds in a row count.",
        ),
        choice(
            f"The cut-out has acted. The supply is back at {back:.2f} V and stays there. When does the compressor start again?",
            ("after 45 s", "at once", "not by itself"), right=2,
            explanation=f"It needs more than 12.2 V, held for 45 s, and {back:.2f} V is less. A bank that is nearly empty never gets there.",
        ),
        choice(
            "Four stops in a row. What does the driver have to do?",
            ("wait", "switch the unit off and on", "pull fuse F13"), right=1,
            explanation="K0 has locked itself. Switched off and on it tries again, and fails again until someone finds the joint.",
        ),
        choice(
            "Key and unit off. X40.H to X40.L shows 120 Ω. What does that say?",
            ("the data link is whole", "one end is missing: a wire is open", "the two wires touch"), right=1,
            explanation="A resistor of 120 Ω sits at each end. Side by side they make 60 Ω; 120 Ω is only the end near you.",
        ),
        choice(
            f"Cooling is asked for, all six conditions are met. T1.E {enable} V, T1.C 0.0 V. What is left?",
            ("the drive T1", "the controller, or its command wire W70", "the thermal switch"), right=1,
            explanation="The drive is enabled and waits for a speed that never comes. Read K0.D too: the command at its source.",
        ),
        choice(
            f"T1.E {enable} V, T1.C {command} V, and the compressor stands. Code SPN 520195 FMI 7. Is K0 to blame?",
            ("yes, it stored a code", "no, it asks and enables: look at drive and motor", "cannot be told"), right=1,
            explanation="FMI 7 says that a part does not answer. K0 reports what it sees behind it.",
        ),
        choice(
            "The reader says 'no answer'. The blower runs. What first?",
            ("replace K0", "ohms across the data link, key off", "clear the codes"), right=1,
            explanation="The blower runs only when K0 asks for it. So K0 lives, and the way to your reader is what is broken.",
        ),
    )  # fmt: skip
