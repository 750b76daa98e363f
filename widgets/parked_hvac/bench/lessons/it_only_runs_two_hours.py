"""Lesson 10: the energy of a night. A fault, or a promise nobody made?"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.drawn import lines, stacked
from parked_hvac.bench.lessons.energy import Night, budget, hours
from parked_hvac.bench.lessons.nights import NIGHT_H, nights_lived
from parked_hvac.bench.lessons.reader import fresh, own_truck
from parked_hvac.bench.lessons.reserve import aged
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.bench.plots import Plot
from parked_hvac.bench.slider import Slider

AS_HE_LIKES = Night(outside_C=34.0, set_C=16.0, curtains="open", occupants=1, blower_step=5)
CURTAIN_SHUT = Night(outside_C=34.0, set_C=16.0, curtains="closed", occupants=1, blower_step=5)
GENTLE = Night(outside_C=34.0, set_C=22.0, curtains="closed", occupants=1, blower_step=3)
NIGHTS = (
    ("curtain open, 16 °C, blower 5", AS_HE_LIKES),
    ("curtain closed, 16 °C, blower 5", CURTAIN_SHUT),
    ("curtain closed, 22 °C, blower 3", GENTLE),
)
_OUTSIDE_C = tuple(range(20, 41, 4))


def heat_of_a_night() -> Plot:
    """Heat that has to leave the bunk in three nights of the same weather, and how long the bank lasts."""
    made = {name: budget(night) for name, night in NIGHTS}
    # One bank, one weather: all three currents in one go.
    amperes = [one.total_A for one in made.values()]
    last = dict(zip(made, hours(own_truck(), amperes, GENTLE.charge, GENTLE.outside_C), strict=True))
    rows = {name: one.heat_W for name, one in made.items()}
    remarks = [f"{made[name].total_A:.0f} A, {last[name]:.1f} h" for name in rows]
    words = "34 °C outside, one person, on your truck: " + "; ".join(
        f"{name}: {one.total_W:.0f} W, {one.total_A:.0f} A, {last[name]:.1f} hours, {one.bunk_C:.0f} °C in the bunk"
        for name, one in made.items()
    )
    return stacked(rows, "W", "Heat to carry out of the bunk", f"{words}.", remarks)


@lru_cache(maxsize=256)
def lasts(night: Night, capacity: float = 1.0) -> float:
    """Hours that the reader's bank lasts in a night; ``capacity`` is what age has left of it."""
    truck = own_truck() if capacity >= 1.0 else aged(own_truck(), capacity, 1.0 / capacity)
    return float(hours(truck, [budget(night).total_A], night.charge, night.outside_C)[0])


def worked_example() -> Told:
    """One night from heat to hours, step by step, on the reader's own truck."""
    night = GENTLE
    made = budget(night)
    last = lasts(night)
    drive_W = made.current_A["compressor"] * 12.2
    rows = [
        (f"{name}, {night.outside_C - made.bunk_C:.0f} °C warmer outside", f"{watt:.0f} W")
        if name != "people"
        else ("one person asleep", f"{watt:.0f} W")
        for name, watt in made.heat_W.items()
        if watt
    ]
    rows += [
        ("heat to carry out", f"{made.total_W:.0f} W"),
        ("the compressor takes for that, on average", f"{drive_W:.0f} W"),
        ("so each watt from the bank carries out", f"{made.total_W / drive_W:.1f} W of heat"),
        *((f"current: {name}", f"{ampere:.1f} A") for name, ampere in made.current_A.items()),
        ("current out of the bank", f"{made.total_A:.1f} A"),
        ("what the bank gives at that current", f"{last * made.total_A:.0f} Ah"),
        ("hours = ampere-hours ÷ amperes", f"{last:.1f} h"),
    ]
    return told(
        "34 °C outside, 22 °C in the bunk, curtain closed, blower 3",
        rows,
        "Left out: the water in the air, the first hour in which bed and walls are still warm, and the cool of the morning.",
    )


def run_time() -> Plot:
    """Hours by outside temperature for three wanted temperatures, and for an old bank."""
    amperes = {
        set_C: [budget(Night(outside_C=float(c), set_C=set_C)).total_A for c in _OUTSIDE_C]
        for set_C in (24.0, 20.0, 16.0)
    }
    new = hours(own_truck(), [one for row in amperes.values() for one in row], 0.92)
    rows = new.reshape(len(amperes), -1).tolist()
    series: dict[str, list[float]] = {
        **{f"set {set_C:.0f} °C": row for set_C, row in zip(amperes, rows, strict=True)},
        "set 20 °C, old bank": hours(aged(own_truck()), amperes[20.0], 0.92).tolist(),
    }
    words = (
        "Hours until the low-voltage limit, curtain closed, blower 3, one person; the old bank has 60 % of its capacity left: "
        + "; ".join(
            f"{name}: {values[_OUTSIDE_C.index(28)]:.0f} h at 28 °C, {values[_OUTSIDE_C.index(36)]:.1f} h at 36 °C outside"
            for name, values in series.items()
        )
    )
    return lines(
        list(_OUTSIDE_C),
        series,
        ("°C outside", "hours (24: a day and more)"),
        "Run time",
        f"{words}.",
        (float(NIGHT_H), "a night of eight hours"),
    )


def your_night() -> Any:
    """Weather, settings and age of the bank by slider, and what follows."""
    import ipywidgets

    outside, wanted = Slider("outside °C", 32, 20, 40), Slider("set °C", 20, 16, 28)
    capacity = Slider("bank has left %", 100, 40, 100, 10)
    curtain = ipywidgets.Dropdown(
        options=["closed", "open"], value="closed", description="curtain", style={"description_width": "10em"}
    )
    picture = ipywidgets.HTML()

    def show(_: Any = None) -> None:
        night = Night(float(outside.value), float(wanted.value), str(curtain.value))
        picture.value = _night_told(night, capacity.value / 100)._repr_html_()

    for control in (outside, wanted, capacity, curtain):
        control.observe(show, names="value")
    show()
    return ipywidgets.VBox([outside, wanted, curtain, capacity, picture])


def _night_told(night: Night, capacity: float) -> Told:
    made = budget(night)
    last = lasts(night, capacity)
    length = "a day and more" if last >= 24.0 else f"{last:.1f} h"
    return told(
        "What your truck can do in such a night",
        [
            ("heat to carry out", f"{made.total_W:.0f} W"),
            ("temperature the bunk comes to", f"{made.bunk_C:.0f} °C"),
            ("current out of the bank", f"{made.total_A:.0f} A"),
            ("run time", length),
        ],
        "The unit runs at its limit: the bunk stays warmer than asked for."
        if made.bunk_C > night.set_C + 0.5
        else "",
    )


def two_nights() -> Any:
    """The rig's own night, as the driver likes it and gently, when asked for."""
    return nights_lived((("curtain open, 16 °C", AS_HE_LIKES), ("curtain closed, 22 °C", GENTLE)))


def your_turn() -> Any:
    """Predict the hours of a night from a clamp reading and the bank's ampere-hours."""
    made = budget(CURTAIN_SHUT)
    last = lasts(CURTAIN_SHUT)
    given = round(last * made.total_A)
    return items(
        number(
            f"34 °C outside, curtain closed, 16 °C, blower 5. Averaged over the night {made.total_A:.1f} A flow out of your bank. At that "
            f"current it gives {given} Ah. How many hours is that?",
            right=last,
            unit="h",
            tolerance=max(0.25, 0.06 * last),
            explanation=f"{given} Ah ÷ {made.total_A:.1f} A = {given / made.total_A:.1f} h. The sticker says 400 Ah: at such a current, and down "
            "to the low-voltage limit only, the bank gives less.",
        )
    )


def check_yourself() -> Any:
    """Ten short items, each from a reading; other figures each time the cell is run."""
    chance = fresh()
    ampere = chance.randint(24, 60)
    charge_Ah = chance.choice((220, 240, 260, 280))
    leads_W, warmer = chance.choice((30, 34, 38)), chance.randint(8, 14)
    carried, drive_A = chance.randint(11, 16) * 100, chance.randint(32, 44)
    rest, load = round(chance.uniform(12.6, 12.9), 2), round(chance.uniform(12.4, 12.7), 2)
    strong, worn, hiding = chance.randint(930, 1010), chance.randint(120, 170), chance.randint(740, 810)
    sag = round(chance.uniform(11.4, 11.8), 2)
    empty = round(chance.uniform(11.9, 12.2), 2)
    left = chance.choice((50, 60, 70))
    full_h = chance.randint(8, 12)
    out = chance.randint(34, 38)
    whole_A = chance.randint(70, 82)
    verdicts = (
        "the bank is worn: high resistance, little left",
        "the bank is sound and full; the current explains the hours",
        "the bank was never filled: look at charging and isolator",
    )
    return items(
        number(
            f"The clamp shows {ampere} A on average. At that current the bank gives {charge_Ah} Ah. How many hours?",
            right=charge_Ah / ampere, unit="h", tolerance=0.15,
            explanation=f"{charge_Ah} Ah ÷ {ampere} A = {charge_Ah / ampere:.1f} h.",
        ),
        number(
            f"Each degree between outside and bunk lets {leads_W} W in. It is {warmer} °C warmer outside. One sleeper adds 80 W. How much heat "
            "has to leave the bunk?",
            right=leads_W * warmer + 80, unit="W", tolerance=6,
            explanation=f"{leads_W} × {warmer} + 80 = {leads_W * warmer + 80} W.",
        ),
        number(
            f"The unit carries out {carried} W. The drive takes {drive_A} A at 12.2 V. How many watts of heat leave for each watt from the bank?",
            right=carried / (drive_A * 12.2), unit="", tolerance=0.15,
            explanation=f"{drive_A} A × 12.2 V = {drive_A * 12.2:.0f} W, and {carried} ÷ {drive_A * 12.2:.0f} = {carried / (drive_A * 12.2):.1f}. "
            "More than one: it moves heat, it does not make it.",
        ),
        choice(
            f"'It only runs two hours.' {out} °C outside, curtain open, 16 °C. Bank at rest {rest:.2f} V, tester {strong} S, load tester {load:.2f} V, "
            f"clamp on W14 {whole_A} A. What fits?",
            verdicts, right=1,
            explanation=f"Some 200 Ah at {whole_A} A are gone in less than three hours. Nothing is broken. Show the driver the figures.",
        ),
        choice(
            f"'It only runs two hours.' Bank at rest {rest:.2f} V, tester {worn} S where 600 S and more belong, load tester {sag:.2f} V. What fits?",
            verdicts, right=0,
            explanation="Full by its voltage at rest, weak as soon as current flows. Age takes capacity and raises resistance.",
        ),
        choice(
            f"'It only runs two hours.' After a day on the road the bank rests at {empty:.2f} V, tester {hiding} S. What fits?",
            verdicts, right=2,
            explanation="It went into the night half empty. Nobody can spend what was not put in.",
        ),
        verdict(
            f"Tester on G2.1, all four joined: {hiding} S. Verdict by the spec sheet?", right="in_spec",
            explanation="600 S or more is in spec. But a weak battery may hide among three good ones: that needs its own lug parted.",
        ),
        verdict(
            f"Compressor running, bank well filled. G2+ to G2−: {sag:.2f} V. Your verdict?", right="out_of_spec",
            explanation="The spec sheet wants 11.9 V or more with the compressor running while the bank is more than half full.",
        ),
        number(
            f"New, the bank lasted {full_h} h in such a night. Age left it {left} % of its capacity. How many hours at best now?",
            right=full_h * left / 100, unit="h", tolerance=0.35,
            explanation=f"{full_h} h × {left} % = {full_h * left / 100:.1f} h, and a little less, because its resistance rose as well.",
        ),
        choice(
            "A driver wants to get through the night. 34 °C outside, curtain open, 16 °C, blower 5. What helps most?",
            ("a new bank", "closing the curtain and asking for 22 °C", "blower 4"), right=1,
            explanation=f"By the budget of your truck: {lasts(AS_HE_LIKES):.1f} h become {lasts(GENTLE):.1f} h. It costs nothing.",
        ),
    )  # fmt: skip
