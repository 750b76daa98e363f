"""Lesson 07: what a look inside costs, what rubs, burns and drips there, and how it is closed again."""

from __future__ import annotations

from typing import Any

import numpy as np

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.blower_plot import blower_plot, currents_A, running
from parked_hvac.bench.lessons.feed import BANK_V, WAY, part_ohm
from parked_hvac.bench.lessons.progress import shown
from parked_hvac.bench.lessons.reader import fresh, own_truck
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.bench.plots import HATCHES, INK, SERIES, Plot, finished, sheet
from parked_hvac.job.labour import labour
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.faults import apply_fault
from parked_hvac.rig.truck import Truck

_PAN_KG = 0.35  # the water that the pan holds, rig/climate.py
_DAMP_NIGHT = Conditions(outside_C=27.0, relative_humidity=0.8, sun_hour=22.0, bunk_C=29.0, occupants=1)


def access_plot() -> Plot:
    """Minutes of one reading at six places: getting there and back, and the reading itself."""
    times = labour()
    covers, plug = times.covers, times.connectors["plug"]
    reading = times.verbs["measure"]

    def behind(cover: str) -> float:
        return covers[cover].open + covers[cover].close

    places = (
        ("live value\non the link", 0.0, times.verbs["read_live"]),
        ("a look\nin the bunk", 0.0, times.verbs["look"]),
        ("plug X32\nin the bunk", plug.part + plug.seat, reading),
        ("feed panel", behind("feed_panel_cover"), reading),
        ("battery box", behind("aux_bank_lid"), reading),
        ("inside\nthe unit", behind("unit_lid"), reading),
    )
    figure, axes = sheet(7.4, 3.2)
    names = [name for name, _, _ in places]
    ways = [way for _, way, _ in places]
    axes.bar(names, ways, 0.6, label="cover or plug, off and on", color=SERIES[1], hatch=HATCHES[1], edgecolor=INK, linewidth=0.6)  # fmt: skip
    bars = axes.bar(names, [act for _, _, act in places], 0.6, bottom=ways, label="the reading", color=SERIES[0], edgecolor=INK, linewidth=0.6)  # fmt: skip
    axes.bar_label(
        bars, labels=[f"{way + act:g}" for _, way, act in places], fontsize=8, color=INK, padding=1
    )
    axes.set_ylabel("minutes")
    words = ", ".join(f"{name} {way + act:g} min".replace("\n", " ") for name, way, act in places)
    return finished(figure, axes, "What one reading costs", f"What one reading costs: {words}.")


def blower_steps() -> Plot:
    """Blower current at each step: the reader's own blower, a worn one, and one behind a burnt plug."""
    cases = {"yours, sound": "nothing_wrong", "worn": "m2_worn", "plug X35 burnt": "m2_connector_burnt"}
    amperes = currents_A([own_truck(fault=fault) for fault in cases.values()])
    return blower_plot(dict(zip(cases, amperes, strict=True)))


def worked_example(chafe_ohm: float = 0.08) -> Told:
    """What flows where a wire has rubbed through behind F11, along the reader's own wiring."""
    truck = own_truck()
    names = [(start, part) for start, _, part in WAY]
    there = next(index for index, (start, _) in enumerate(names) if start == "F11.2")
    back = next(index for index, (start, _) in enumerate(names) if start == "X22")
    way_ohm = sum(part_ohm(truck, part) for _, part in names[:there] + names[back:])
    current = BANK_V / (way_ohm + chafe_ohm)
    rating = catalogue().fuses["F11"].rating_A
    sound = float(running(truck, 5).current_A("F11")[0])
    return told(
        "A wire rubbed through to the frame, behind fuse F11",
        [
            ("all cables, fuses and contacts there and back", f"{way_ohm * 1e3:.0f} mΩ"),
            ("the rubbed spot itself", f"{chafe_ohm * 1e3:.0f} mΩ"),
            (f"current = {BANK_V:g} V ÷ both together", f"{current:.0f} A"),
            ("fuse F11", f"{rating:g} A"),
            ("your blower at step 5 takes", f"{sound:.1f} A"),
        ],
        "Left out: the bank's own resistance, and how long the fuse takes. At many times its rating it is a blink.",
    )


def browned(severity: float) -> tuple[float, float]:
    """Volts across plug X35 and amperes of the blower at step 5, on the reader's own truck with that plug burnt."""
    figures = own_truck().copy()
    apply_fault(figures, "m2_connector_burnt", np.array([severity]), np.array([0.5]))
    truck = running(figures, 5)
    return float(truck.voltage_V("R1.2", "M2.+")[0]), float(truck.current_A("W62")[0])


def your_turn() -> Any:
    """Predict resistance and heat of a burnt plug from two readings on the reader's own truck."""
    seen = browned(fresh().uniform(0.0, 1.0))
    volts, amperes = (round(figure, digits) for figure, digits in zip(seen, (2, 1), strict=True))
    return items(
        number(
            f"Blower at step 5. Clamp on W62: {amperes} A. R1.2 to M2.+, across plug X35: {volts:.2f} V. What is the plug's "
            "resistance?",
            right=volts / amperes * 1e3, unit="mΩ", tolerance=volts / amperes * 30,
            explanation=f"{volts:.2f} V ÷ {amperes} A = {volts / amperes * 1e3:.0f} mΩ. A sound plug has about 2.",
        ),
        number(
            "And how much heat does it make? Watts are volts times amperes.",
            right=volts * amperes, unit="W", tolerance=0.05 * volts * amperes,
            explanation=f"{volts:.2f} × {amperes} = {volts * amperes:.0f} W, in a thing of the size of a sugar cube. A small "
            "soldering iron has no more. So it browns, and one day it melts.",
        ),
    )  # fmt: skip


def the_pan() -> Told:
    """Water that a damp night leaves in the pan when the drain is plugged: twenty minutes run, the rest reckoned."""
    truck = Truck(own_truck(fault="drain_plugged"), _DAMP_NIGHT)
    truck.set_key("on")
    truck.turn_blower(3)
    truck.turn_temperature(16.0)
    truck.press_parked_cooling(True)
    grams: list[float] = []
    for _ in shown(range(20), "The truck cools for 20 minutes"):
        truck.advance(60.0)
        grams.append(1e3 * float(truck.climate.water_kg[0]))
    rate = (grams[-1] - grams[4]) / 15.0
    left = 5.0 + (1e3 * _PAN_KG - grams[4]) / rate
    return told(
        "A plugged drain on a damp night, 27 °C and 80 % outside",
        [
            ("water in the pan after five minutes", f"{grams[4]:.0f} g"),
            ("after twenty", f"{grams[-1]:.0f} g"),
            ("so each minute adds about", f"{rate:.1f} g"),
            ("the pan holds", f"{1e3 * _PAN_KG:.0f} g"),
            ("it runs over after about", f"{left:.0f} min"),
        ],
        "Left out: the truck's tilt. Parked on a slope it runs over sooner.",
    )


def check_yourself() -> Any:
    """Eleven short items; other figures each time the cell is run."""
    chance = fresh()
    lid = labour().covers["unit_lid"]
    readings = chance.randrange(2, 6)
    rail = round(chance.uniform(12.2, 12.6), 1)
    plug_V = round(chance.uniform(1.8, 5.4), 2)  # as the rig shows it from the least burnt plug to the worst
    yours_A = float(running(own_truck(), 5).current_A("F11")[0])
    heavy, plain = (
        round(yours_A * chance.uniform(1.2, 1.4), 1),
        round(yours_A * chance.uniform(0.97, 1.03), 1),
    )
    path = chance.randrange(60, 160)
    return items(
        number(
            f"The lid of the unit takes {lid.open:g} minutes off and {lid.close:g} on, a reading one. You take {readings} readings inside, "
            "one after another. How many minutes in all?",
            right=lid.open + lid.close + readings, unit="min", tolerance=0.5,
            explanation=f"{lid.open:g} + {readings} + {lid.close:g} = {lid.open + readings + lid.close:g} min. Plan your readings first: one opening for all of them.",
        ),
        choice(
            "When may the lid of the unit come off?",
            ("when the engine is off", "when the unit is switched off and the fans stand", "at any time"), right=1,
            explanation="Fans in the opened unit take fingers and sleeves. Off, wait until they stand, then the lid.",
        ),
        verdict(
            f"Blower at step 5, R1.2 to M2.+: {plug_V:.2f} V. Your verdict?", right="out_of_spec",
            explanation=f"0.1 V is the limit across the plug, and {plug_V:.2f} V are lost. What is lost turns into heat in plug X35.",
        ),
        verdict(
            "The same two points, the blower stands: 0.00 V. Your verdict?", right="tells_nothing",
            explanation="No current, no drop. A burnt plug shows 0.00 V too as long as nothing flows.",
        ),
        choice(
            f"Blower asked for. F11.1 {rail} V, F11.2 0.0 V, both to X22. The fuse is open. What next?",
            ("a new fuse of 20 A", "ohms from F11.2 to X22, unit off, before any new fuse", "a fuse of 30 A"), right=1,
            explanation="Ask what the fuse saw. Into a short the new one blows too; a bigger one sets the harness on fire.",
        ),
        number(
            f"Cables, contacts and the rubbed spot make {path} mΩ together, the bank has 12.6 V. Which current flows into the frame "
            "until the fuse opens?",
            right=12.6 / path * 1e3, unit="A", tolerance=12.6 / path * 30,
            explanation=f"12.6 V ÷ {path / 1e3:.3f} Ω = {12.6 / path * 1e3:.0f} A, through a fuse of 20 A.",
        ),
        choice(
            f"Step 5: {heavy} A on W62, 12.1 V at M2, and a grinding sound. What is it?",
            ("a burnt plug", "the motor itself: it runs heavy", "the fan rail is low"), right=1,
            explanation=f"A bad joint makes the current smaller. A heavy motor makes it larger, at full voltage. Your own sound blower takes {yours_A:.1f} A.",
        ),
        choice(
            f"Step 5: {plain} A, 12.1 V at M2. The driver finds the air weak. What do these two say?",
            ("the blower is sound; look at ice, filter and vents", "the motor is worn", "the plug is burnt"), right=0,
            explanation=f"Voltage right, current right: your own sound blower takes {yours_A:.1f} A. It turns as it should; what is left is what the air meets on its way.",
        ),
        choice(
            "The blower runs at step 5 only. Which part do steps 1 to 4 share that step 5 goes around?",
            ("fuse F11", "the resistors R1", "relay K3"), right=1,
            explanation="Steps 1 to 4 pass through resistors, step 5 straight. Fuse and relay carry all five.",
        ),
        choice(
            "Compressor runs, evaporator cold, air from the vent warm. M4.2 to X22: 4.4 V, K0.A 0.5 V. What is it?",
            ("refrigerant lost", "the blend door M4 stands at hot", "the controller asks for heat"), right=1,
            explanation="K0 asks for cold with 0.5 V, the door answers 4.4 V: hot. The cold is made and then mixed away.",
        ),
        choice(
            "The lid is off, you want the unit to run for a reading. What comes first?",
            ("the reading", "every plug you parted is seated, every fuse fitted, hands and tools out", "the lid"), right=1,
            explanation="What you left open changes what you measure, and what you left inside gets hit.",
        ),
    )  # fmt: skip
