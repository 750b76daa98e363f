"""Lesson 02: what a voltage at rest tells, what it hides, and how one bad battery is found in a bank."""

from __future__ import annotations

from typing import Any

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.bank_runs import OUTSIDE_C, SOUND, four_batteries, load_run, resting_V
from parked_hvac.bench.lessons.charge_curve import charge_of, charge_plot
from parked_hvac.bench.lessons.reader import fresh, own_truck
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.bench.plots import Plot, over_time, voltage_along
from parked_hvac.instruments.specification import tools
from parked_hvac.job.spoken import percent
from parked_hvac.physics import battery
from parked_hvac.rig.catalogue import catalogue

REST_LIMIT_V, LOAD_LIMIT_V = 12.4, 11.9
"""Lines 'rest_banks' and 'load_aux' of data/rig/spec-sheet.toml."""
COLD_C = (-18.0, 0.0, 25.0, 40.0)
BANKS = (
    ("sound", SOUND),
    ("one battery weak", "aux_battery_weak"),
    ("one battery with a shorted cell", "aux_battery_cell_shorted"),
    ("all four sulphated", "aux_bank_sulphated"),
    ("low under a surface charge", "aux_bank_surface_charge"),
)
_AFTER_STOP_H = (0.0, 0.05, 0.1, 0.17, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0)
_FULL, _LOW = 0.95, 0.4


def your_reading() -> Any:
    """The curves with a field for a reading and a list of temperatures."""
    import ipywidgets

    wide = {"description_width": "initial"}
    reading = ipywidgets.BoundedFloatText(
        value=round(resting_V(0.7, 10.0), 2),
        min=10.0,
        max=14.0,
        step=0.01,
        description="Your reading, V:",
        style=wide,
    )
    warm = ipywidgets.Dropdown(
        options=[(f"{celsius:.0f} °C", celsius) for celsius in COLD_C],
        value=25.0,
        description="Battery at:",
        style=wide,
    )
    picture = ipywidgets.HTML(value=charge_plot(reading.value, warm.value)._repr_html_())

    def show(_change: dict[str, Any]) -> None:
        picture.value = charge_plot(reading.value, warm.value)._repr_html_()

    reading.observe(show, names="value")
    warm.observe(show, names="value")
    return ipywidgets.VBox([ipywidgets.HBox([reading, warm]), picture])


def what_cold_does() -> Told:
    """Capacity and resistance of an AGM battery by temperature, by the same functions as the truck."""
    sound = battery.typical("agm", 100.0)
    rows = []
    for celsius in COLD_C:
        share = float(battery.usable_fraction(5.0, sound, celsius))
        full = battery.BatteryState(1.0, celsius)
        times = float(battery.ohmic_ohm(full, sound) / battery.ohmic_ohm(battery.BatteryState(1.0), sound))
        volts = float(battery.open_circuit_voltage_V(0.8, celsius, "agm"))
        rows.append(
            (
                f"{celsius:.0f} °C".replace("-", "−"),
                f"{volts:.2f} V at rest, gives {percent(share)}, resistance × {times:.1f}",
            )
        )
    return told(
        "An AGM battery, 80 % full, by its temperature",
        rows,
        "Cold hardly moves the voltage at rest. It takes capacity and adds resistance, and that shows only under load.",
    )


def surface_charge() -> Plot:
    """Two banks after the engine stops: one full, one low."""
    minutes = [60.0 * hours for hours in _AFTER_STOP_H]
    series = {
        f"{percent(charge)} full": [resting_V(charge, hours) for hours in _AFTER_STOP_H]
        for charge in (_FULL, _LOW)
    }
    return over_time(minutes, series, "V", "Your bank G2 after the engine stops", limit=REST_LIMIT_V)


def load_plot(fault: str, state: str) -> Plot:
    """The bank before and after the unit starts, sound and in a chosen state."""
    sound, chosen = load_run(SOUND), load_run(fault)
    series = {"sound": sound.voltage_V}
    if fault != SOUND:
        series[state] = chosen.voltage_V
    return over_time(sound.minutes, series, "V", "Unit on after two minutes", limit=LOAD_LIMIT_V)


def under_load() -> Any:
    """The plot with a list of banks."""
    import ipywidgets

    pick = ipywidgets.Dropdown(
        options=[(name, fault) for name, fault in BANKS],
        value=SOUND,
        description="Bank G2:",
        style={"description_width": "initial"},
        layout={"width": "max-content"},
    )
    picture = ipywidgets.HTML(value=load_plot(SOUND, "sound")._repr_html_())

    def show(change: dict[str, Any]) -> None:
        state = next(name for name, fault in BANKS if fault == change["new"])
        picture.value = load_plot(change["new"], state)._repr_html_()

    pick.observe(show, names="value")
    return ipywidgets.VBox([pick, picture])


def worked_example() -> Told:
    """Charge at rest, and the resistance of the whole bank from a drop and a current; by the rig itself."""
    run = load_run(SOUND)
    charge = charge_of(run.rest_V, "agm", OUTSIDE_C)
    capacity_Ah = sum(
        float(own_truck()[f"G2.{i}.capacity_Ah"][0] * own_truck()[f"G2.{i}.capacity_factor"][0])
        for i in range(1, 5)
    )
    return told(
        "Your bank G2, four AGM batteries in parallel, rested ten hours",
        [
            ("at rest, G2+ to G2−", f"{run.rest_V:.2f} V"),
            ("on the AGM curve", f"{percent(charge)} full"),
            (f"of {capacity_Ah:.0f} Ah that the four still hold", f"{charge * capacity_Ah:.0f} Ah"),
            ("five minutes after the unit started", f"{run.loaded_V:.2f} V at {run.current_A:.0f} A"),
            ("drop", f"{run.rest_V - run.loaded_V:.2f} V"),
            ("resistance = drop ÷ current", f"{run.resistance_ohm * 1e3:.1f} mΩ"),
        ],
        "Left out: some of the drop is charge already used, and after a short rest the curve reads a little high.",
    )


def your_turn() -> Any:
    """Two predictions for the reader's own bank: its charge, and its voltage with the compressor on."""
    run = load_run(SOUND)
    charge = charge_of(run.rest_V - 0.2, "agm", 25.0)
    bad = load_run("aux_battery_weak")
    return items(
        number(
            f"Another night, the same bank, rested: {run.rest_V - 0.2:.2f} V at 25 °C. How full is it? Use the AGM curve above.",
            right=charge * 100, unit="%", tolerance=6.0,
            explanation=f"The AGM curve says {percent(charge)}. A flooded battery at that voltage would be fuller: "
            f"{percent(charge_of(run.rest_V - 0.2, 'flooded', 25.0))}.",
        ),
        number(
            f"One battery of the four is weak; the bank now has {bad.resistance_ohm * 1e3:.1f} mΩ. It rests at {bad.rest_V:.2f} V. "
            f"What does it show while the unit draws {bad.current_A:.0f} A?",
            right=bad.loaded_V, unit="V", tolerance=0.03,
            explanation=f"{bad.current_A:.0f} A × {bad.resistance_ohm * 1e3:.1f} mΩ = {bad.rest_V - bad.loaded_V:.2f} V less: {bad.loaded_V:.2f} V. "
            f"The spec sheet asks for {LOAD_LIMIT_V} V. In spec, and still one battery is bad.",
        ),
    )  # fmt: skip


def one_bad_of_four() -> Any:
    """The load tester at each battery, in the bank and alone."""
    import ipywidgets

    pick = ipywidgets.Dropdown(
        options=[(name, fault) for name, fault in BANKS[:3]], value="aux_battery_weak", description="Bank G2:",
        style={"description_width": "initial"}, layout={"width": "max-content"},
    )  # fmt: skip
    picture = ipywidgets.HTML(value=four_plot("aux_battery_weak")._repr_html_())

    def show(change: dict[str, Any]) -> None:
        picture.value = four_plot(change["new"])._repr_html_()

    pick.observe(show, names="value")
    return ipywidgets.VBox([pick, picture])


def four_plot(fault: str) -> Plot:
    """Volts under the load tester, battery by battery."""
    cases = {
        "in the bank": four_batteries(fault, False, "load"),
        "lug off, alone": four_batteries(fault, True, "load"),
    }
    return voltage_along([f"G2.{i}" for i in range(1, 5)], cases, "Under the load tester")


def tester_says() -> Told:
    """Conductance of one sound battery and of the whole bank, by the tester's own figures."""
    alone, banked = four_batteries(SOUND, True, "conductance"), four_batteries(SOUND, False, "conductance")
    weak, hidden = (four_batteries("aux_battery_weak", apart, "conductance") for apart in (True, False))
    return told(
        "The conductance tester, on your own four",
        [
            ("sound, negative lug off", f"{min(alone):.0f} to {max(alone):.0f} S"),
            ("the weak one, negative lug off", f"{min(weak):.0f} S"),
            ("any of them, all lugs on", f"{min(banked):.0f} S and more"),
            ("the weak one, all lugs on", f"{min(hidden):.0f} S"),
        ],
        f"It sends {tools().battery_tester.test_current_A.value:.0f} A and looks at the ripple: siemens is current per volt, more is better. "
        f"With the lugs on, all four answer. {catalogue().spec_sheet['tester_joined'].text}.",
    )


def check_yourself() -> Any:
    """Ten short items; other figures each time the cell is run."""
    chance = fresh()
    rest_V = round(chance.uniform(12.05, 12.75), 2)
    kind: battery.Chemistry = chance.choice(("agm", "flooded"))
    where, words = ("G2", "AGM") if kind == "agm" else ("G1", "flooded")
    charge = charge_of(rest_V, kind, 25.0)
    rested, running, current = (
        round(chance.uniform(12.5, 12.75), 2),
        round(chance.uniform(0.1, 0.35), 2),
        chance.randint(60, 95),
    )
    loaded = round(chance.choice((chance.uniform(11.5, 11.85), chance.uniform(11.95, 12.5))), 2)
    fresh_V = round(resting_V(0.4, 0.05) + chance.uniform(-0.05, 0.05), 2)
    sound_S = chance.randint(250, 320)
    weak_S = round(sound_S * chance.uniform(0.08, 0.2))
    place = chance.randint(1, 4)
    readings = ", ".join(
        f"G2.{i} {weak_S if i == place else sound_S + chance.randint(-18, 18)} S" for i in range(1, 5)
    )
    full_V = float(battery.open_circuit_voltage_V(round(chance.uniform(0.85, 0.97), 2), 25.0, "agm"))
    return items(
        number(
            f"Battery bank {where} ({words}), rested a day at 25 °C: {rest_V:.2f} V. How full is it? Use the curves above.",
            right=charge * 100, unit="%", tolerance=6.0,
            explanation=f"The {words} curve says {percent(charge)}. The other kind of battery would stand elsewhere at the same voltage.",
        ),
        verdict(
            f"{where}+ to {where}−, rested, everything off: {rest_V:.2f} V. Your verdict by the spec sheet?",
            right="in_spec" if rest_V >= REST_LIMIT_V else "out_of_spec",
            explanation=f"The sheet wants {REST_LIMIT_V} V or more, rested one hour, key off. {rest_V:.2f} V is "
            f"{'enough' if rest_V >= REST_LIMIT_V else 'less: charge it and test again before you blame anything'}.",
        ),
        choice(
            f"G2 shows {fresh_V:.2f} V three minutes after the engine stopped. How full is it?",
            ("read it off the curve", "cannot be told yet: surface charge", "empty"), right=1,
            explanation="Charging leaves a skin of voltage that bleeds off for hours. Rest an hour or more, or take it off with a load.",
        ),
        number(
            f"At rest {rested:.2f} V, with the unit running {rested - running:.2f} V at {current} A. What resistance has the bank?",
            right=running / current * 1e3, unit="mΩ", tolerance=max(0.2, running / current * 40),
            explanation=f"{running:.2f} V ÷ {current} A = {running / current * 1e3:.1f} mΩ. Your sound bank has {load_run(SOUND).resistance_ohm * 1e3:.1f}.",
        ),
        verdict(
            f"G2+ to G2− with the compressor running: {loaded:.2f} V. Your verdict?",
            right="in_spec" if loaded >= LOAD_LIMIT_V else "out_of_spec",
            explanation=f"The sheet wants {LOAD_LIMIT_V} V or more with the compressor running. {loaded:.2f} V is "
            f"{'enough' if loaded >= LOAD_LIMIT_V else 'less: the bank as a whole sags, too empty, too old, or bad'}.",
        ),
        verdict(
            f"G2+ to G2−, unit switched on, compressor still standing: {loaded:.2f} V. Verdict by the line for the running compressor?",
            right="tells_nothing", explanation="That line needs the compressor to run. No big load, no sag, no news.",
        ),
        choice(
            f"All lugs on, the tester shows about {four_batteries(SOUND, False, 'conductance')[0]:.0f} S at G2.2. What did it test?",
            ("battery G2.2", "the four batteries together, through posts and bars", "the cable W7"), right=1,
            explanation="Current takes every way there is. In a bank it finds four batteries. Take the negative lug off the one you ask.",
        ),
        choice(
            f"Negative lugs off, one after the other: {readings}. What is it?",
            ("all four are old", f"G2.{place} is weak, the others hide it", "the tester needs a new battery"), right=1,
            explanation="Three alike and one far below. Replace the one by the same kind and age, so that the four share alike.",
        ),
        choice(
            f"A battery alone, lug off, rested: {full_V - full_V / 6:.1f} V. Its neighbours: {full_V:.1f} V. Why about two volts less?",
            ("it is at 50 %", "one of its six cells is shorted", "its lug is corroded"), right=1,
            explanation=f"Six cells make {full_V:.1f} V, so one makes {full_V / 6:.1f} V. With one shorted, five are left. No charger brings it back.",
        ),
        choice(
            "Which lug comes off first at a bank, and which goes on last?",
            ("the negative, both times", "the positive, both times", "it makes no difference"), right=0,
            explanation="With the negative off, a wrench that slips from the positive to the frame closes no circuit.",
        ),
    )  # fmt: skip
