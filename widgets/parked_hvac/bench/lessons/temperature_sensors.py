"""Lesson 05: temperature sensors, their tables, and what the controller does with a lie."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.reader import fresh, own_truck
from parked_hvac.bench.lessons.thermistor_plot import BeadReading, curves_plot
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.bench.plots import Plot, over_time
from parked_hvac.physics import thermistor
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.controller import SENSOR_CURVES
from parked_hvac.rig.parameters import Parameters
from parked_hvac.rig.truck import Truck

_WANTED_C = 18.0
_LIES = (
    ("B2 is sound", "nothing_wrong"),
    ("B2 reads some degrees too cold", "b2_shifted"),
    ("wire of B2 broken", "b2_open"),
)
_MINUTES = 16
_EVENING = Conditions(outside_C=26.0, relative_humidity=0.5, sun_hour=22.0, bunk_C=28.0, occupants=0)


def ohms(curve: str, celsius: float) -> float:
    """Resistance in ohms of a sound sensor."""
    return float(thermistor.curve(curve).resistance_ohm(celsius))


def input_V(truck: Parameters, resistance_ohm: float) -> float:
    """Voltage that a sensor leaves at the controller's input, of the truck's own reference and resistor."""
    pull_up = float(truck["controller.pull_up_ohm"][0])
    return float(truck["controller.reference_V"][0]) * resistance_ohm / (resistance_ohm + pull_up)


def your_reading() -> Any:
    """The two curves, with a mark where the reader's ohms and thermometer meet."""
    import ipywidgets

    wide = {"description_width": "initial"}
    sensor = ipywidgets.Dropdown(options=list(SENSOR_CURVES), value="B2", description="Sensor:", style=wide)
    kohm = ipywidgets.BoundedFloatText(
        value=6.3, min=0.5, max=60.0, step=0.1, description="Ohms read, kΩ:", style=wide
    )
    air = ipywidgets.BoundedFloatText(
        value=28.0, min=-10.0, max=60.0, step=0.5, description="Thermometer, °C:", style=wide
    )
    picture = ipywidgets.HTML()

    def show(_change: Any = None) -> None:
        reading = BeadReading(SENSOR_CURVES[str(sensor.value)], float(kohm.value) * 1e3, float(air.value))
        picture.value = curves_plot(reading)._repr_html_()

    for control in (sensor, kohm, air):
        control.observe(show, names="value")
    show()
    return ipywidgets.VBox([ipywidgets.HBox([sensor, kohm, air]), picture])


def worked_example(celsius: float = 30.0, corrosion_ohm: float = 6000.0) -> Told:
    """From the bead to the controller's belief and back, once sound and once with a bad connector."""
    truck = own_truck()
    sound = ohms("5k", celsius)
    bad = sound + corrosion_ohm
    believed = float(thermistor.curve("5k").temperature_C(bad))
    reference, pull_up = (float(truck[f"controller.{x}"][0]) for x in ("reference_V", "pull_up_ohm"))
    return told(
        f"B2 in air of {celsius:g} °C, on your truck",
        [
            (f"the bead, by the 5 kΩ curve at {celsius:g} °C", f"{sound / 1e3:.2f} kΩ"),
            ("resistor inside K0, fed with", f"{pull_up / 1e3:.2f} kΩ, {reference:.2f} V"),
            ("input = feed × bead ÷ (bead + resistor)", f"{input_V(truck, sound):.2f} V"),
            ("K0 turns that back into", f"{celsius:.1f} °C"),
            (f"the same with {corrosion_ohm / 1e3:g} kΩ of corrosion in the plug", f"{bad / 1e3:.2f} kΩ"),
            ("input now", f"{input_V(truck, bad):.2f} V"),
            ("K0 believes", f"{believed:.1f} °C"),
        ],
        "Left out: the wires, a tenth of an ohm each. Against thousands they count for nothing.",
    )


def your_turn() -> Any:
    """Predict a sensor's ohms from the table, and the input voltage from the ohms."""
    truck, chance = own_truck(), fresh()
    celsius = chance.randrange(18, 41)
    bead = ohms("5k", celsius)
    return items(
        number(
            f"The thermometer in the bunk says {celsius} °C. How many kΩ belong between the pins of B2, plug parted? "
            "(Table: bench, 'Resistance tables'; or the curve above.)",
            right=bead / 1e3, unit="kΩ", tolerance=0.05 * bead / 1e3,
            explanation=f"The 5 kΩ curve has {bead / 1e3:.2f} kΩ at {celsius} °C. Between two lines of the table take the share "
            "of the way; five parts in a hundred are close enough here.",
        ),
        number(
            f"With the plug seated and the unit on: 5.00 V × {bead / 1e3:.2f} ÷ ({bead / 1e3:.2f} + 2.49) gives the voltage at "
            "K0.B2. How many volts?",
            right=input_V(truck, bead), unit="V", tolerance=0.05,
            explanation=f"About {5.0 * bead / (bead + 2490.0):.2f} V by the formula; your own truck, with its own tolerances, shows "
            f"{input_V(truck, bead):.2f} V.",
        ),
    )  # fmt: skip


def lie_plot(fault: str = "nothing_wrong") -> Plot:
    """Air in the bunk, what the controller believes, and what was set, over a quarter of an hour."""
    truck = Truck(own_truck(fault=fault), _EVENING)
    truck.set_key("on")
    truck.turn_blower(3)
    truck.turn_temperature(_WANTED_C)
    truck.press_parked_cooling(True)
    minutes: list[float] = []
    air: list[float] = []
    believed: list[float] = []
    for half in range(1, 2 * _MINUTES + 1):
        truck.advance(30.0)
        minutes.append(half / 2)
        air.append(float(truck.climate.bunk_C[0]))
        believed.append(float(truck.live("bunk_C")[0]))
    title = {name: words for words, name in _LIES}[fault]
    title = f"{title[0].upper()}{title[1:]}"
    shown = {"air in the bunk": air, "what K0 believes": believed, "set": [_WANTED_C] * len(minutes)}
    words = (
        f"{title}. {_WANTED_C:g} °C is set. After {_MINUTES} minutes the air in the bunk has {air[-1]:.1f} °C, "
        f"and K0 believes {believed[-1]:.1f} °C."
    )
    return replace(over_time(minutes, shown, "°C", title), words=words)


def the_lie() -> Any:
    """The same evening with a sound and a lying bunk sensor; a list chooses."""
    import ipywidgets

    pick = ipywidgets.Dropdown(options=list(_LIES), value="nothing_wrong", description="Bunk sensor:",
                               style={"description_width": "initial"})  # fmt: skip
    picture = ipywidgets.HTML(value=lie_plot()._repr_html_())

    def show(change: dict[str, Any]) -> None:
        picture.value = "<p>The truck runs for a quarter of an hour …</p>"
        picture.value = lie_plot(str(change["new"]))._repr_html_()

    pick.observe(show, names="value")
    return ipywidgets.VBox([pick, picture])


def check_yourself() -> Any:
    """Ten short items; other figures each time the cell is run."""
    truck, chance = own_truck(), fresh()
    warm, mild = chance.randrange(26, 41), chance.randrange(12, 31)
    off = chance.choice((-9, -8, -7, 7, 8, 9))
    seated = chance.randrange(15, 36)
    extra = chance.randrange(3, 9) * 1000.0
    believed = float(thermistor.curve("5k").temperature_C(ohms("5k", warm) + extra))
    parallel = 1 / (1 / ohms("5k", seated) + 1 / float(truck["controller.pull_up_ohm"][0]))
    return items(
        number(
            f"B1 with its plug parted: {ohms('5k', mild) / 1e3:.2f} kΩ. Which temperature does the table give?",
            right=mild, unit="°C", tolerance=1.0,
            explanation=f"The 5 kΩ curve has that at {mild} °C. More ohms is colder, fewer is warmer.",
        ),
        number(
            f"B3 hangs outside at {warm} °C. How many kΩ belong between its pins?",
            right=ohms("10k", warm) / 1e3, unit="kΩ", tolerance=0.05 * ohms("10k", warm) / 1e3,
            explanation=f"B3 follows the 10 kΩ curve: {ohms('10k', warm) / 1e3:.2f} kΩ. By the wrong curve you would have "
            f"expected {ohms('5k', warm) / 1e3:.2f} kΩ and thrown a good sensor away.",
        ),
        verdict(
            f"Plug X32 parted, bunk air {warm} °C. B2 shows {ohms('5k', warm + off) / 1e3:.2f} kΩ. By the 5 kΩ curve "
            f"{ohms('5k', warm) / 1e3:.2f} kΩ belong there, tolerance 1 °C. Your verdict?",
            right="out_of_spec",
            explanation=f"Those ohms mean {warm + off} °C: {abs(off)} degrees off, far more than the one that is allowed.",
        ),
        choice(
            f"The unit is on. K0.B2 to K0.− shows {input_V(truck, 1e7):.2f} V. What is it?",
            ("B2 or its wire is open", "B2 or its wire is shorted", "the bunk is very hot"), right=0,
            explanation="No current flows, so nothing is lost in the resistor inside K0. The whole feed stands at the input. "
            "The code for it has FMI 3, voltage above normal.",
        ),
        choice(
            f"Now K0.B3 to K0.− shows {input_V(truck, chance.uniform(3, 15)):.2f} V, unit on. What is it?",
            ("B3 or its wire is open", "B3 or its wire is shorted", "it is very cold outside"), right=1,
            explanation="The input is held at ground. The code has FMI 4, voltage below normal.",
        ),
        choice(
            f"Unit off, plug X31 seated, {seated} °C at the evaporator. Ohms from B1.1 to B1.2: {parallel / 1e3:.2f} kΩ; the table "
            f"asks for {ohms('5k', seated) / 1e3:.2f} kΩ. Is B1 bad?",
            ("yes, it reads too warm", "cannot be told: K0's own resistor lies in parallel", "yes, it is nearly shorted"), right=1,
            explanation="The meter sees the bead and the 2.49 kΩ inside K0 side by side. Part the plug, then measure.",
        ),
        choice(
            "You warm B2 between your fingers for a minute. The live value stays where it was. What does that rule out?",
            ("a sensor that follows its curve, only shifted", "an open wire", "a short"), right=0,
            explanation="A shifted bead still moves when it is warmed. A number that stands still comes from a fallback: the "
            "input is open or shorted, and K0 uses a fixed figure instead.",
        ),
        choice(
            "No code is stored. A colleague says: 'So the sensors are fine.' Right?",
            ("yes", "no: a code comes only below −40 °C or above 85 °C", "no: codes are for the compressor only"), right=1,
            explanation="Between those limits K0 believes anything. Ten degrees of lie set no code.",
        ),
        number(
            f"The bunk has {warm} °C. The plug of B2 has {extra / 1e3:.0f} kΩ of corrosion in it. The bead itself has "
            f"{ohms('5k', warm) / 1e3:.2f} kΩ. Which temperature does K0 believe?",
            right=believed, unit="°C", tolerance=1.5,
            explanation=f"{ohms('5k', warm) / 1e3:.2f} + {extra / 1e3:.0f} = {(ohms('5k', warm) + extra) / 1e3:.2f} kΩ, and that is "
            f"{believed:.1f} °C by the 5 kΩ curve. It stops cooling while you sweat.",
        ),
        choice(
            "B1 in the evaporator reads 12 °C too warm. What does K0 do?",
            ("stops the compressor too early", "lets frost grow on the evaporator", "nothing changes"), right=1,
            explanation="It waits for 1.5 °C at B1 before it stops the compressor. The fins are far below freezing by then, and frost "
            "grows where the air should pass. Nothing else guards them.",
        ),
    )  # fmt: skip
