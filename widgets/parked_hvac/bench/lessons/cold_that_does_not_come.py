"""Lesson 09: lost refrigerant, lost airflow and ice, told apart with the circuit closed."""

from __future__ import annotations

from dataclasses import fields
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.asked import asked_to_cool, switched_on
from parked_hvac.bench.lessons.progress import shown
from parked_hvac.bench.lessons.reader import fresh, own_truck
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.bench.plots import INK, MARKERS, SERIES, Plot, finished, over_time, sentence, sheet
from parked_hvac.instruments import meter
from parked_hvac.physics import air, refrigerant, unit
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.truck import Truck

HOT_DAY = Conditions(outside_C=33.0, bunk_C=34.0, sun_hour=13.0, relative_humidity=0.5, occupants=0)
DAMP_NIGHT = Conditions(outside_C=30.0, bunk_C=30.0, sun_hour=22.0, relative_humidity=0.7, occupants=1)
_AFTER_S = 100.0
_ATMOSPHERE_BAR = 1.01325  # standard atmosphere
_STATES = (
    ("healthy", "nothing_wrong"),
    ("refrigerant half lost", "refrigerant_part_lost"),
    ("refrigerant all lost", "refrigerant_lost"),
    ("condenser blocked with dirt", "condenser_blocked"),
    ("condenser fan dead", "m3_open"),
    ("blend door stuck at hot", "m4_stuck_hot"),
)
_POINTS = (
    ("healthy", 1.0, 1.0),
    ("half the charge lost", 0.45, 1.0),
    ("all of it lost", 0.02, 1.0),
    ("fan dead, if nothing stopped it", 1.0, 0.0),
)


def gauge_bar(temperature_C: float) -> float:
    """Pressure of boiling or condensing R-134a above the atmosphere, bar, at a temperature in °C."""
    return float(refrigerant.saturation_pressure_kPa(temperature_C)) / 100.0 - _ATMOSPHERE_BAR


def settled(charge: float, fan: float) -> unit.Balance:
    """The reader's own circuit at full speed on a hot day: charge and fan speed as shares of the whole."""
    truck = own_truck()
    built = unit.CircuitParameters(
        displacement_m3=truck["compressor.displacement_m3"],
        **{
            field.name: truck[f"unit.{field.name}"]
            for field in fields(unit.CircuitParameters)
            if field.name != "displacement_m3"
        },
    )
    bunk = 29.0
    flow = truck["unit.evaporator_flow_m3_per_s"]
    dirt = truck["condenser.blockage"]
    outside = HOT_DAY.outside_C
    return unit.balance(
        built, 3600.0, charge, fan, dirt, outside, flow, 0.0, bunk, air.humidity_ratio(bunk, 0.5)
    )


def pressure_and_temperature() -> Plot:
    """R-134a: pressure against temperature, and where the reader's circuit boils and condenses in four states."""
    figure, axes = sheet(7.4, 4.0)
    line_C = np.arange(-20.0, 91.0, 2.0)
    axes.plot(line_C, [gauge_bar(float(c)) for c in line_C], color=INK, linewidth=1.2)
    axes.annotate("boils and condenses along this line", (48.0, 7.4), color=INK, fontsize=9)
    told_points = []
    for index, (name, charge, fan) in enumerate(_POINTS):
        made = settled(charge, fan)
        at = [float(np.ravel(x)[0]) for x in (made.evaporating_C, made.condensing_C)]
        bar = [
            float(np.ravel(x)[0]) / 100.0 - _ATMOSPHERE_BAR for x in (made.suction_kPa, made.discharge_kPa)
        ]
        axes.plot(
            at, bar, linestyle=":", color=SERIES[index], marker=MARKERS[index], markersize=7, label=name
        )
        if bar[0] == bar[1]:
            told_points.append(f"{name}: only gas, {at[0]:.0f} °C at {bar[0]:.1f} bar")
        else:
            told_points.append(
                f"{name}: {at[0]:.0f} °C at {bar[0]:.1f} bar and {at[1]:.0f} °C at {bar[1]:.1f} bar"
            )
    stop = float(own_truck()["controller.high_pressure_C"][0])
    axes.axhline(gauge_bar(stop), color=INK, linestyle="--", linewidth=1)
    axes.annotate(
        f"the controller stops it here, {stop:.0f} °C", (-19.0, gauge_bar(stop) + 0.4), color=INK, fontsize=9
    )
    axes.set_xlabel("°C")
    axes.set_ylabel("bar above the atmosphere")
    axes.set_ylim(-1.0, 31.0)
    words = (
        "Your circuit at 33 °C outside, where it boils and where it condenses. "
        + sentence("; ".join(told_points))
        + "."
    )
    return finished(figure, axes, "R-134a", words.replace(" -", " \N{MINUS SIGN}"))


def worked_example() -> Told:
    """From two touches and a clamp to what the closed circuit does, on the reader's own truck."""
    truck = asked_to_cool("nothing_wrong", _AFTER_S, HOT_DAY)
    liquid, outside = _touch(truck, "liquid line"), _touch(truck, "outside air")
    vent, bunk = _touch(truck, "vent air"), _touch(truck, "bunk air")
    condensing = liquid + 5.0
    return told(
        "Your truck, 100 seconds after full cold was asked for",
        [
            ("liquid line, touched", f"{liquid:.1f} °C"),
            ("it condenses some 5 °C above that", f"{condensing:.1f} °C"),
            ("that is a pressure of (from the line above)", f"{gauge_bar(condensing):.1f} bar"),
            ("above the outside air: condenser and fan do their work", f"{condensing - outside:.1f} °C"),
            ("clamp on W8: the compressor has something to push", f"{float(truck.current_A('W8')[0]):.1f} A"),
            ("bunk air less vent air", f"{bunk - vent:.1f} °C"),
            ("heat taken from the bunk", f"{float(truck.climate.cooling_W[0]):.0f} W"),
        ],
        "Left out: the first minutes are not steady yet, and a contact thermometer reads a degree low on a shiny pipe.",
    )


def cold_side(state: int = 0) -> Told:
    """What hands, eyes, thermometer and clamp tell in one state of the cold side."""
    name, fault = _STATES[state]
    truck = asked_to_cool(fault, _AFTER_S, HOT_DAY)
    outside, inside, bunk = (truck.senses(place) for place in ("unit_outside", "unit_opened", "bunk"))
    codes = "; ".join(f"{spn}/{fmi}" for spn, fmi, _ in (truck.codes() or [[]])[0]) or "none"
    return told(
        f"Your truck, 100 seconds after full cold was asked for: {name}",
        [
            ("air from the vent", f"{bunk['air from the vent'][0]}, {_touch(truck, 'vent air'):.1f} °C"),
            (
                "bunk air · outside air",
                f"{_touch(truck, 'bunk air'):.1f} °C · {_touch(truck, 'outside air'):.1f} °C",
            ),
            (
                "liquid line · suction line",
                f"{_touch(truck, 'liquid line'):.1f} °C · {_touch(truck, 'suction line'):.1f} °C",
            ),
            ("clamp on W8", f"{float(truck.current_A('W8')[0]):.1f} A"),
            (
                "compressor · condenser fan",
                f"{outside['compressor sound'][0]} · {outside['condenser fan'][0]}",
            ),
            (
                "condenser face · oil at the fittings",
                f"{outside['condenser face'][0]} · {inside['oil at the fittings'][0]}",
            ),
            ("blend door, M4.2 to X22", meter.read(truck, "dc_volts", "M4.2", "X22").shown()),
            ("codes", codes),
        ],
    )


def six_states() -> Any:
    """The table with a list to choose the state of the cold side."""
    import ipywidgets

    pick = ipywidgets.Dropdown(
        options=[(name, index) for index, (name, _) in enumerate(_STATES)],
        value=0,
        description="State:",
        layout={"width": "28em", "max_width": "100%"},
    )
    picture = ipywidgets.HTML(value=cold_side(0)._repr_html_())

    def show(change: dict[str, Any]) -> None:
        picture.value = cold_side(int(change["new"]))._repr_html_()

    pick.observe(show, names="value")
    return ipywidgets.VBox([pick, picture])


def fan_dead(minutes: int = 10) -> Plot:
    """The liquid line over some minutes, with the condenser fan sound and dead."""
    at = [step / 3 for step in range(3 * minutes + 1)]
    series: dict[str, list[float]] = {}
    trucks = {"fan sound": switched_on("nothing_wrong", HOT_DAY), "fan dead": switched_on("m3_open", HOT_DAY)}
    for name, truck in trucks.items():
        seen = []
        for _ in shown(at, name):
            seen.append(_touch(truck, "liquid line"))
            truck.advance(20.0)
        series[name] = seen
    plot = over_time(at, series, "°C", "Liquid line after full cold is asked for")
    sound, dead = series.values()
    stops = sum(_falls(dead))
    words = (
        f"Liquid line over {minutes} minutes. Fan sound: {max(sound):.0f} °C at most. Fan dead: {max(dead):.0f} °C at most, "
        f"and the controller stopped it {stops} times."
    )
    if any(_falls(sound)):
        words += " The dip of the sound one is a frost pause: its evaporator came near 0 °C."
    return Plot(plot.svg, words)


def _falls(liquid_C: list[float]) -> list[bool]:
    """Where the line loses in twenty seconds what only a stopped compressor loses: 5 °C."""
    return [after < before - 5.0 for before, after in pairwise(liquid_C)]


@cache
def _iced() -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...], str]:
    truck = switched_on("b1_shifted", DAMP_NIGHT)
    truck.turn_blower(1)
    full = float(truck.parameters["unit.ice_full_kg"][0])
    free = float(truck.parameters["unit.evaporator_flow_m3_per_s"][0])
    at = tuple(5.0 * step for step in range(19))
    ice, flow = [], []
    for _ in shown(at, "an hour and a half"):
        kg = float(truck.climate.ice_kg[0])
        ice.append(100.0 * kg / full)
        flow.append(100.0 * float(unit.iced_flow_m3_per_s(free, kg, full)) / free)
        truck.advance(300.0)
    lie = f"{float(truck.live('evaporator_C')[0]):.1f} °C where the thermometer shows {_touch(truck, 'evaporator'):.1f} °C"
    return at, tuple(ice), tuple(flow), lie


def ice_grows() -> Plot:
    """Ice and air through the evaporator on a damp night, with a sensor B1 that reads too warm."""
    at, ice, flow, lie = _iced()
    plot = over_time(
        list(at),
        {"ice (100 %: closed)": list(ice), "air that gets through": list(flow)},
        "%",
        "B1 reads too warm",
    )
    return Plot(
        plot.svg, f"{plot.words} At the end the controller sees {lie}.".replace(" -", " \N{MINUS SIGN}")
    )


def check_yourself() -> Any:
    """Ten short items, each from a reading; other figures each time the cell is run."""
    chance = fresh()
    condensing = chance.randint(44, 62)
    outside = chance.randint(29, 35)
    usual_A = float(asked_to_cool("nothing_wrong", _AFTER_S, HOT_DAY).current_A("W8")[0])
    # Shares of the sound current as the rig shows them for these states, see ``cold_side``.
    lost_A, dirt_A, part_A = (
        round(usual_A * chance.uniform(*span), 1) for span in ((0.095, 0.105), (1.28, 1.4), (0.8, 0.9))
    )
    bunk = chance.randint(27, 33)
    cold = round(bunk - chance.uniform(11.0, 13.5), 1)
    fan_V, lifted_V, command_V = (
        round(chance.uniform(*span), 2) for span in ((12.3, 12.6), (4.4, 4.8), (4.4, 4.5))
    )
    hot = chance.randint(60, 66)
    ice_C, lie_C = round(chance.uniform(-3.0, -1.5), 1), round(chance.uniform(7.0, 11.0), 1)
    causes = (
        "refrigerant lost",
        "condenser blocked",
        "condenser fan without ground",
        "command to the fan missing",
    )
    return items(
        number(
            f"The liquid line shows {condensing - 5} °C, so it condenses at about {condensing} °C. Read the pressure off the "
            "plot, in bar above the atmosphere.",
            right=gauge_bar(condensing), unit="bar", tolerance=1.0,
            explanation=f"R-134a condenses at {condensing} °C under {gauge_bar(condensing):.1f} bar. No gauge was needed.",
        ),
        choice(
            f"Compressor runs at full speed. W8 {lost_A:.1f} A, vent and bunk alike, liquid line no warmer than the outside air, no code. "
            "What fits?",
            causes, right=0,
            explanation=f"It turns and pushes nothing: your sound truck takes {usual_A:.0f} A there, and neither line gets warm or cold. "
            "The charge is gone. A certified technician goes on from here.",
        ),
        choice(
            f"W8 {dirt_A:.1f} A, liquid line {hot} °C at {outside} °C outside, fan turns fast, hardly any air comes through. What fits?",
            causes, right=1,
            explanation=f"More than the {usual_A:.0f} A of your sound truck and a hot liquid line: the heat does not get away. The fan turns, so it is the way of the air. "
            "Look at the face of the condenser.",
        ),
        choice(
            f"Code for high pressure, the fan stands. To X22: M3.+ {fan_V:.2f} V, M3.− {lifted_V:.2f} V, M3.C {command_V:.2f} V. What fits?",
            causes, right=2,
            explanation="A ground pin must lie at 0 V. Here it is lifted, since its way back is broken.",
        ),
        choice(
            f"Code for high pressure, the fan stands. To X22: M3.+ {fan_V:.2f} V, M3.− 0.00 V, M3.C 0.00 V. What fits?",
            causes, right=3,
            explanation="Feed and ground are there, nobody asks the fan to turn. Next reading: K0.C. With 4.5 V there it is the wire W65.",
        ),
        verdict(
            f"Unit on, compressor still. Liquid line {outside} °C, outside air {outside} °C. Your verdict on the liquid line?",
            right="tells_nothing",
            explanation="While the compressor stands, both lines take the temperature of the air. Read them at full speed.",
        ),
        verdict(
            f"Ten minutes after the start at {outside + 3} °C outside: bunk {bunk} °C, vent {cold:.1f} °C. Your verdict?", right="in_spec",
            explanation=f"The sheet wants 10 °C or more below the bunk air. Here it is {bunk - cold:.1f} °C. If the bunk still stays warm, look "
            "at what heats it: sun, curtains, doors.",
        ),
        choice(
            f"At full speed: W8 {part_A:.1f} A, less than usual, vent only 7 °C below the bunk, an oily spot at a fitting. What fits best?",
            ("part of the refrigerant lost", "condenser blocked", "blend door stuck at hot"), right=0,
            explanation="Less to push, less cold, and oil where it left. A certified technician finds the leak, mends it and charges "
            "by weight.",
        ),
        choice(
            f"After an hour hardly any air comes from the vent. The thermometer shows \N{MINUS SIGN}{-ice_C:.1f} °C at the evaporator, the controller's "
            f"live value says {lie_C:.1f} °C. What fits?",
            ("the blower is worn", "B1 reads too warm, so nobody stopped the frost", "refrigerant lost"), right=1,
            explanation="The controller pauses the compressor when B1 shows frost. This B1 never does. Ice closes the evaporator.",
        ),
        choice(
            "You are sure that refrigerant is missing. You are no certified technician. What is your next step?",
            (
                "connect gauges and top up",
                "name it with your readings and hand over to a certified technician with recovery equipment",
                "open the fitting a little to hear whether there is pressure",
            ), right=1,
            explanation="Nobody else may open the circuit, and venting is an offence in many places. Your readings save that person an hour.",
        ),
    )  # fmt: skip


def _touch(truck: Truck, point: str) -> float:
    return float(truck.temperature_C(point)[0])
