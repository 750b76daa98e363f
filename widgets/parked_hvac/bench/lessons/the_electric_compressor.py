"""Lesson 08: thermal switch, windings, insulation, and a terminal that is switched thousands of times a second."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.asked import asked_to_cool
from parked_hvac.bench.lessons.reader import fresh, own_truck
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.bench.plots import INK, SERIES, Plot, finished, over_time, sheet
from parked_hvac.bench.slider import Slider
from parked_hvac.instruments import meter
from parked_hvac.job.spoken import percent
from parked_hvac.physics.waveform import PulseTrain
from parked_hvac.rig.truck import Truck

_PHASES = ("U", "V", "W")
_FUNCTIONS = (("dc_volts", "DC volts"), ("ac_volts", "AC volts"), ("hertz", "hertz"))
_STATES = (
    ("all three legs alive, plug X30 seated", ("nothing_wrong", ())),
    ("one leg dead, plug X30 seated", ("t1_leg_dead", ())),
    ("one leg dead, plug X30 parted", ("t1_leg_dead", ("X30",))),
)
_SHOWN_S = 420e-6  # three periods at 7 kHz


def pulses(high_share: float = 0.5) -> Plot:
    """The wave of one terminal that stands at the supply for a share of the time, and what the meter makes of it."""
    truck = asked_to_cool()
    supply = float(truck.voltage_V("T1.+", "T1.-")[0])
    rate = float(truck.parameters["drive.frequency_Hz"][0])
    wave = PulseTrain(0.0, supply, high_share, rate)
    mean, ac = float(wave.mean_V), float(wave.ac_rms_V)
    return _wave_plot(
        wave,
        f"{percent(high_share)} high",
        f"A terminal that is high for {percent(high_share)} of the time",
        mean,
        ac,
    )


def turn_the_share() -> Any:
    """The plot of one terminal with a slider for the share of the time it is high."""
    import ipywidgets

    slide = Slider("High for %", 50, 5, 95, 5)
    picture = ipywidgets.HTML(value=pulses(0.5)._repr_html_())

    def show(change: dict[str, Any]) -> None:
        picture.value = pulses(change["new"] / 100)._repr_html_()

    slide.observe(show, names="value")
    return ipywidgets.VBox([slide, picture])


def worked_example() -> Told:
    """Mean and true RMS of a terminal at half the time, step by step, and the meter on the reader's own truck."""
    truck = asked_to_cool()
    supply = float(truck.voltage_V("T1.+", "T1.-")[0])
    wave = PulseTrain(0.0, supply, 0.5, float(truck.parameters["drive.frequency_Hz"][0]))
    return told(
        f"Terminal T1.U against T1.−, supply {supply:.2f} V, high for half of the time",
        [
            ("DC volts = mean = 0.5 × supply", f"{float(wave.mean_V):.2f} V"),
            (
                "AC volts = true RMS of what swings around the mean: half up, half down",
                f"{float(wave.ac_rms_V):.2f} V",
            ),
            ("hertz counts the switching", f"{float(np.asarray(wave.frequency_Hz)) / 1000:.2f} kHz"),
            ("a cheap meter that averages would show on AC", f"{float(wave.ac_average_responding_V):.2f} V"),
            ("your meter on your truck: DC volts", _shown(truck, "dc_volts", "U")),
            ("your meter on your truck: AC volts", _shown(truck, "ac_volts", "U")),
            ("your meter on your truck: hertz", _shown(truck, "hertz", "U")),
        ],
        "Left out: the share swings up and down with every turn of the motor. Over a whole turn it averages to a half.",
    )


def three_terminals(state: int = 0) -> Any:
    """What each meter function shows on the three terminals, in one of three states of drive and plug."""
    name, (fault, parted) = _STATES[state]
    truck = asked_to_cool(fault, parted=parted)
    rows = [
        (
            f"T1.{phase} to T1.−",
            ", ".join(f"{words} {_shown(truck, function, phase)}" for function, words in _FUNCTIONS),
        )
        for phase in _PHASES
    ]
    rows.append(("you hear", str(truck.senses("unit_outside")["compressor sound"][0])))
    return told(f"Your truck, asked to cool: {name}", rows)


def dead_leg_plot(state: int = 0) -> Plot:
    """The wave of the terminal whose leg dies in the faulty states, on the reader's own truck."""
    name, (fault, parted) = _STATES[state]
    truck = asked_to_cool(fault, parted=parted)
    phase = dead_leg(asked_to_cool("t1_leg_dead"))
    wave = truck.waveform(f"T1.{phase}", "T1.-")
    assert wave is not None
    one = PulseTrain(
        *(float(np.ravel(part)[0]) for part in (wave.low_V, wave.high_V, wave.duty, wave.frequency_Hz))
    )
    return _wave_plot(one, f"T1.{phase}", f"T1.{phase}, {name}", float(one.mean_V), float(one.ac_rms_V))


def three_states() -> Any:
    """Plot and table with a list to choose the state of leg and plug."""
    import ipywidgets

    pick = ipywidgets.Dropdown(
        options=[(name, index) for index, (name, _) in enumerate(_STATES)],
        value=0,
        description="State:",
        layout={"width": "28em", "max_width": "100%"},
    )

    def both(state: int) -> str:
        return str(dead_leg_plot(state)._repr_html_() + three_terminals(state)._repr_html_())

    picture = ipywidgets.HTML(value=both(0))

    def show(change: dict[str, Any]) -> None:
        picture.value = both(int(change["new"]))

    pick.observe(show, names="value")
    return ipywidgets.VBox([pick, picture])


def dead_leg(truck: Truck) -> str:
    """The letter of the leg that is dead on a truck with that fault."""
    return next(phase for phase in _PHASES if truck.parameters[f"drive.leg_{phase.lower()}"][0] < 0.5)


def charge_that_stays() -> Plot:
    """The drive's capacitors after fuse F1 is pulled: left alone, and with the discharge tool after five minutes."""
    minutes = [0, 5, *range(5, 61, 5)]  # before and after the tool
    series: dict[str, list[float]] = {}
    for name, with_tool in (("left alone", False), ("discharged after 5 minutes", True)):
        truck = Truck(own_truck())
        truck.pull_fuse("F1")
        seen = [_left_V(truck)]
        for before, minute in pairwise(minutes):
            if minute > before:
                truck.advance(60.0 * (minute - before))
            elif with_tool:
                truck.discharge_capacitors()
            seen.append(_left_V(truck))
            if seen[-1] == 0.0:
                break  # empty it stays empty
        series[name] = seen + [seen[-1]] * (len(minutes) - len(seen))
    return over_time(minutes, series, "V", "T1.+ to T1.− after F1 is pulled", limit=2.0)


def _left_V(truck: Truck) -> float:
    return max(0.0, round(float(truck.voltage_V("T1.+", "T1.-")[0]), 3))


def _left_after_V(minutes: int) -> float:
    truck = Truck(own_truck())
    truck.pull_fuse("F1")
    truck.advance(60.0 * minutes)
    return _left_V(truck)


def ohms_tell() -> Told:
    """Windings and insulation as the meter shows them on the reader's truck: sound, open, shorted, and with the plug left in."""
    rows = []
    for words, fault, parted in (
        ("sound, X30 parted", "nothing_wrong", ("X30",)),
        ("one winding open, X30 parted", "m1_winding_open", ("X30",)),
        ("shorted to the case, X30 parted", "m1_shorted_to_case", ("X30",)),
        ("sound, but X30 left in", "nothing_wrong", ()),
    ):
        truck = _made_dead(fault, parted)
        windings = " · ".join(
            f"{a}{b} {meter.read(truck, 'ohms', f'M1.{a}', f'M1.{b}').shown()}" for a, b in ("UV", "VW", "UW")
        )
        rows.append((words, f"{windings} · U to case {meter.read(truck, 'ohms', 'M1.U', 'M1.C').shown()}"))
    return told(
        "Your truck, F1 out, capacitors discharged",
        rows,
        "OL means: more than the meter can show. With the plug left in, the drive's own inside lies across the "
        "windings, and the insulation looks a thousand times worse than it is.",
    )


def your_turn() -> Any:
    """Predict what the meter shows between two winding ends, then see it measured."""
    truck = _made_dead("nothing_wrong", ("X30",))
    one = float(own_truck()["compressor.phase_u_ohm"][0])
    other = float(own_truck()["compressor.phase_v_ohm"][0])
    leads = float(meter.touching("ohms", 1)[0])
    seen = meter.read(truck, "ohms", "M1.U", "M1.V").shown()
    return items(
        number(
            f"The three windings meet at a star point. On your truck winding U has {one * 1e3:.1f} mΩ and V {other * 1e3:.1f} mΩ. "
            f"Your leads add {leads:.2f} Ω. How many ohms lie between the probes at M1.U and M1.V?",
            right=one + other + leads,
            unit="Ω",
            tolerance=0.045,
            explanation=f"Two windings in a row and the leads: {one + other + leads:.2f} Ω. The meter rounds to tenths and shows {seen}. "
            f"{100 * leads / (one + other + leads):.0f} % of that are your leads, so touch them together first. This reading finds an open winding, "
            "not a few shorted turns.",
        )
    )


def check_yourself() -> Any:
    """Ten short items, each from a reading; other figures each time the cell is run."""
    chance = fresh()
    supply = round(chance.uniform(11.8, 12.8), 1)
    share = chance.choice((0.25, 0.3, 0.4, 0.6, 0.7))
    rate = round(chance.uniform(7.05, 7.35), 2)
    since_min = chance.randint(3, 40)
    left_V = _left_after_V(since_min)
    hot_C = chance.randint(85, 100)
    pull_V = round(chance.uniform(4.8, 5.0), 2)
    half = round(supply / 2, 2)
    # What the rig shows with the plug left in, see ``ohms_tell``, a tenth less or more.
    bad_kohm = round(_through_the_drive_kohm() * chance.uniform(0.9, 1.1), 1)
    dead, sound = chance.sample(_PHASES, 2)
    third = next(phase for phase in _PHASES if phase not in (dead, sound))
    return items(
        number(
            f"A terminal switches between 0 V and {supply:.1f} V and is high for {percent(share)} of the time. What does the meter "
            "show on DC volts?",
            right=supply * share, unit="V", tolerance=0.06,
            explanation=f"DC volts shows the mean: {share:g} × {supply:.1f} V = {supply * share:.2f} V.",
        ),
        choice(
            f"T1.U to T1.− on DC volts: {half:.2f} V, with {supply:.1f} V at T1.+. An apprentice says: 'Half the voltage is lost "
            "in the drive.' What do you say?",
            (
                "He is right, the drive is bad",
                "The mean of a terminal that is high half of the time is half the supply",
                "The bank is half empty",
            ), right=1,
            explanation="Nothing is lost. The terminal is at full voltage half of the time and at zero the other half. The meter "
            "on DC volts shows the mean.",
        ),
        verdict(
            f"The drive is asked to run. T1.{sound} to T1.−, hertz: {rate:.2f} kHz. Your verdict?", right="in_spec",
            explanation="The spec sheet wants 7.0 to 7.4 kHz. This leg switches. It does not say that the motor turns.",
        ),
        choice(
            f"X30 is parted, the drive is asked to run. AC volts to T1.−: T1.{sound} {half:.2f} V, T1.{third} {half:.2f} V, "
            f"T1.{dead} 0.00 V. What is wrong?",
            ("a winding of the motor", f"leg {dead} of the drive", "the command from the controller"), right=1,
            explanation="The motor is unplugged, so it cannot be to blame. Two legs switch, so command, enable and feed are there. "
            f"Leg {dead} is dead.",
        ),
        choice(
            f"The same reading with X30 seated: T1.{dead} shows {half * 0.92:.2f} V instead of 0. Why?",
            ("the leg came back", "the other two legs feed it through the motor's windings", "the meter is wrong"), right=1,
            explanation="Through the windings a dead leg follows the other two. On DC volts it even shows the same. Part X30, and "
            "it can no longer hide.",
        ),
        verdict(
            f"F1 was pulled {since_min} minutes ago. T1.+ to T1.−: {left_V:.1f} V. You want ohms at M1.U. Your verdict on this reading?",
            right="out_of_spec",
            explanation="The spec sheet wants less than 2 V before a hand or an ohmmeter goes there. Use the discharge tool and "
            "read it again.",
        ),
        choice(
            f"F1 out, discharged, X30 parted. Ohms: M1.{sound} to M1.{third} 0.2 Ω, both others OL. Which winding is open?",
            tuple(f"winding {phase}" for phase in _PHASES), right=_PHASES.index(dead),
            explanation=f"The path that works uses {sound} and {third}. Both paths that fail have {dead} in common.",
        ),
        choice(
            f"Insulation, M1.U to the case with X30 still seated: {bad_kohm:.1f} kΩ. What now?",
            (
                "the compressor is shorted to its case",
                "part X30 and read again: the drive lies in parallel",
                "in spec",
            ), right=1,
            explanation="With the plug in, the meter sees the drive's inside as well. Only with X30 parted does it see the motor alone. "
            "Then the sheet wants more than 1 MΩ.",
        ),
        choice(
            f"Compressor body {hot_C} °C. K0.S to K0.−: {pull_V:.2f} V, unit asked to cool. A closed switch would hold it near 0 V. "
            "What follows?",
            (
                "S1 is open although the compressor is below 110 °C",
                "S1 did its work, let it cool down",
                "the drive is dead",
            ), right=0,
            explanation=f"S1 opens above 110 °C. At {hot_C} °C it must be closed. An open input is pulled up to 5 V, so the "
            "controller believes that the compressor is too hot and gives no command.",
        ),
        choice(
            "Fans run, compressor silent. T1.+ has battery voltage, T1.E 12.4 V, T1.C 0.0 V, no code stored. Where do you go next?",
            ("to the windings of the motor", "to the drive", "to what commands the drive: controller, settings, sensors"), right=2,
            explanation="The drive has feed and enable but nobody asks it to turn. Drive and motor are not yet under suspicion.",
        ),
    )  # fmt: skip


def _through_the_drive_kohm() -> float:
    """Insulation of the reader's sound compressor as the meter shows it while plug X30 is seated."""
    seen = meter.read(_made_dead("nothing_wrong", ()), "ohms", "M1.U", "M1.C")
    return float(seen.values[0]) / 1000.0


def _made_dead(fault: str, parted: tuple[str, ...]) -> Truck:
    truck = Truck(own_truck(fault=fault))
    truck.pull_fuse("F1")
    truck.discharge_capacitors()
    for connector in parted:
        truck.part(connector)
    return truck


def _shown(truck: Truck, function: str, phase: str) -> str:
    return meter.read(truck, function, f"T1.{phase}", "T1.-").shown()


def _wave_plot(wave: PulseTrain, title: str, told_as: str, mean_V: float, ac_V: float) -> Plot:
    high, low, duty = (
        float(np.asarray(wave.high_V)),
        float(np.asarray(wave.low_V)),
        float(np.asarray(wave.duty)),
    )
    rate = float(np.asarray(wave.frequency_Hz))
    figure, axes = sheet(7.4, 3.0)
    if rate > 0:
        starts = np.arange(0.0, _SHOWN_S, 1.0 / rate)
        at = np.ravel([[start, start + duty / rate] for start in starts] + [[starts[-1] + 1.0 / rate] * 2])
        volts = np.ravel([[high, low]] * len(starts) + [[high, high]])
    else:
        at, volts = np.array([0.0, _SHOWN_S]), np.array([low, low])
    axes.step(at * 1e6, volts, where="post", color=INK, linewidth=1.2, label="the voltage itself")
    axes.axhline(mean_V, color=SERIES[0], linewidth=2.2, label=f"DC volts shows {mean_V:.2f} V")
    axes.axhline(ac_V, color=SERIES[1], linewidth=2.2, linestyle="--", label=f"AC volts shows {ac_V:.2f} V")
    axes.set_xlim(0.0, _SHOWN_S * 1e6)
    axes.set_ylim(-0.6, max(14.5, high * 1.1))
    axes.set_xlabel("millionths of a second")
    axes.set_ylabel("V to T1.−")
    told_rate = f"hertz {rate / 1000:.2f} kHz" if rate > 0 else "hertz 0"
    words = f"{told_as}. DC volts {mean_V:.2f} V, AC volts {ac_V:.2f} V, {told_rate}."
    return finished(figure, axes, title, words)
