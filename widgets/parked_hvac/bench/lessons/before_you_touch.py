"""Lesson 01: safety, the order, operating the unit, codes, and whether it is a fault or a limit."""

from __future__ import annotations

from typing import Any

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.hot_bunk import PROMISE_K, PROMISE_MINUTE, afternoon
from parked_hvac.bench.lessons.reader import fresh
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.bench.plots import HATCHES, INK, MARKERS, SERIES, Plot, finished, sheet
from parked_hvac.job.labour import labour
from parked_hvac.job.spoken import percent
from parked_hvac.rig.controller import codes

OUTSIDE_C = 38.0
WISH_C = 18.0
"""What the driver of the story asks for."""
DIRT = 0.62
"""Share of the condenser that is blocked: the least of fault 'condenser_blocked' in data/faults; more trips the unit on this day."""
_STATES: tuple[tuple[str, tuple[str, float]], ...] = (
    ("open", ("open", 0.0)),
    ("closed", ("closed", 0.0)),
    ("open, condenser dirty", ("open", DIRT)),
)


def first_round() -> Plot:
    """What the steps before a cover comes off cost, beside the lid itself; minutes of data/rig/labour.toml."""
    paid, prepare, lid = labour().verbs, labour().prepare, labour().covers["unit_lid"]
    operate = ("switch_key", "set_temperature", "set_blower", "switch_parked_cooling")
    steps = {
        "wheels chocked, brake set": prepare["chock_wheels"],
        "eye protection on, rings off": prepare["eye_protection"] + prepare["rings_off"],
        "meter proved": paid["prove_meter"],
        "unit on as the driver does": sum(paid[verb] for verb in operate),
        "hand at the vent, a look": paid["feel"] + paid["look"],
        "codes read": paid["read_codes"],
        "bunk air and vent air": 2 * paid["thermometer"],
    }
    bars = {**steps, "all of it": sum(steps.values()), "lid of the unit, off and on": lid.open + lid.close}
    figure, axes = sheet(7.4, 3.2)
    places = range(len(bars))
    colours = [SERIES[0]] * len(steps) + [SERIES[2], SERIES[1]]
    drawn = axes.barh(places, list(bars.values()), color=colours, edgecolor=INK, linewidth=0.6)
    for bar, hatch in zip(drawn, [HATCHES[0]] * len(steps) + [HATCHES[2], HATCHES[1]], strict=True):
        bar.set_hatch(hatch)
    axes.bar_label(drawn, fmt="%.1f", fontsize=8, color=INK, padding=2)
    axes.set_yticks(places, list(bars))
    axes.invert_yaxis()
    axes.set_xlabel("minutes")
    spoken = ", ".join(f"{what} {minutes:.1f} min" for what, minutes in bars.items())
    return finished(
        figure, axes, "The first round, in this order", f"The first round, in this order: {spoken}."
    )


def what_can_be_checked() -> Any:
    """Three sentences of orders, sorted by what they are good for."""
    kinds = ("can be checked at the truck", "a hint where to look", "an opinion about the cause")
    return items(
        choice(
            "Driver: 'No cold with the engine off; with the engine on it is fine.'", kinds, right=0,
            explanation="Two modes, one good and one bad: operate both, and half of the truck is cleared or suspected.",
        ),
        choice(
            "History: 'Came in dusty, after two weeks of harvest work.'", kinds, right=1,
            explanation="Dust sits on the condenser. Look there early, but do not write it down before you saw it.",
        ),
        choice(
            "Driver: 'The compressor is dead, my neighbour says.'", kinds, right=2,
            explanation="Write down what he felt, not what he thinks. Then find out by yourself.",
        ),
    )  # fmt: skip


def bunk_plot(curtains: str = "open", dirt: float = 0.0, state: str = "open") -> Plot:
    """Bunk and vent over an hour of full cold on the reader's own truck."""
    hour = afternoon(OUTSIDE_C, curtains, dirt)
    figure, axes = sheet(7.4, 3.2)
    for index, (name, values) in enumerate((("bunk air", hour.bunk_C), ("vent air", hour.vent_C))):
        axes.plot(
            hour.minutes,
            values,
            label=name,
            color=SERIES[index],
            marker=MARKERS[index],
            markevery=5,
            markersize=4,
        )
    axes.axhline(WISH_C, color=INK, linestyle="--", linewidth=1, label=f"the driver's wish, {WISH_C:.0f} °C")
    # The same frame for every state, so that the eye compares.
    axes.set_ylim(5.0, OUTSIDE_C + 5.0)
    axes.set_xlabel("minutes")
    axes.set_ylabel("°C")
    title = f"Curtain {state}"
    return finished(
        figure,
        axes,
        title,
        f"{title}, {OUTSIDE_C:.0f} °C outside. After ten minutes bunk {hour.bunk_C[10]:.1f} °C, vent {hour.vent_C[10]:.1f} °C; "
        f"after an hour bunk {hour.bunk_C[-1]:.1f} °C, vent {hour.vent_C[-1]:.1f} °C.",
    )


def an_hour_of_cold() -> Any:
    """The plot with a list to choose curtain and condenser."""
    import ipywidgets

    pick = ipywidgets.Dropdown(
        options=[(name, name) for name, _ in _STATES],
        value="open",
        description="Curtain to the cab:",
        style={"description_width": "initial"},
        layout={"width": "max-content"},
    )
    picture = ipywidgets.HTML(value=bunk_plot()._repr_html_())

    def show(change: dict[str, Any]) -> None:
        curtains, dirt = dict(_STATES)[change["new"]]
        picture.value = bunk_plot(curtains, dirt, change["new"])._repr_html_()

    pick.observe(show, names="value")
    return ipywidgets.VBox([pick, picture])


def worked_example() -> Told:
    """Ten minutes after the start, and where the heat goes; by the rig itself."""
    hour = afternoon(OUTSIDE_C, "open")
    below = hour.below_K(PROMISE_MINUTE)
    share = hour.curtain_W / hour.cooling_W
    return told(
        f"Your truck, {OUTSIDE_C:.0f} °C outside, curtain open, full cold",
        [
            (f"bunk air after {PROMISE_MINUTE} minutes", f"{hour.bunk_C[PROMISE_MINUTE]:.1f} °C"),
            (f"vent air after {PROMISE_MINUTE} minutes", f"{hour.vent_C[PROMISE_MINUTE]:.1f} °C"),
            ("the vent is colder by", f"{below:.1f} °C"),
            (
                f"the spec sheet asks for {PROMISE_K:.0f} °C or more",
                "met" if below >= PROMISE_K else "not met",
            ),
            ("bunk air after an hour", f"{hour.bunk_C[-1]:.1f} °C"),
            ("heat the unit takes out by then", f"{hour.cooling_W:.0f} W"),
            (
                "heat that comes in through the open curtain",
                f"{hour.curtain_W:.0f} W, {percent(share)} of it",
            ),
        ],
        "Left out: sun, walls, people and the water in the air bring in the rest.",
    )


def your_turn() -> Any:
    """Two sums and a decision on the reader's own truck, on a still hotter day."""
    hour = afternoon(42.0, "open")
    bunk, vent, minute = hour.bunk_C[PROMISE_MINUTE], hour.vent_C[PROMISE_MINUTE], PROMISE_MINUTE
    return items(
        number(
            f"42 °C outside, curtain open, full cold for {minute} minutes. Bunk {bunk:.1f} °C, vent {vent:.1f} °C. "
            "By how much is the vent colder?",
            right=bunk - vent, unit="°C", tolerance=0.11,
            explanation=f"{bunk:.1f} − {vent:.1f} = {bunk - vent:.1f} °C. The sheet asks for 10 or more, so this unit cools as it should.",
        ),
        choice(
            f"After an hour the bunk is at {hour.bunk_C[-1]:.0f} °C and the driver wants 18 °C. What is it?",
            ("a fault: it does not reach what the knob says", "a limit: the unit gives all it can, the heat comes in faster"),
            right=1,
            explanation=f"The unit takes out {hour.cooling_W:.0f} W, the curtain alone lets {hour.curtain_W:.0f} W in. "
            "No part you change will alter that. The curtain will.",
        ),
    )  # fmt: skip


def what_a_code_says() -> Told:
    """The codes of this truck's controller, from data/rig/codes.toml."""
    return told(
        "Codes of this controller",
        [(code.text, f"SPN {code.spn} FMI {code.fmi}") for code in codes().values()],
        "'×3' behind a code: it came three times. 'No answer': the controller sleeps, or the data link is broken.",
    )


def check_yourself() -> Any:
    """Ten short items; other figures each time the cell is run."""
    chance = fresh()
    bunk = round(chance.uniform(27, 36), 1)
    below = round(chance.choice((chance.uniform(5.0, 8.0), chance.uniform(10.6, 12.5))), 1)
    out_W, in_W = 10 * chance.randint(140, 210), 10 * chance.randint(40, 90)
    rest_V = round(chance.choice((chance.uniform(11.7, 12.3), chance.uniform(12.45, 12.8))), 2)
    lid, lost = labour().covers["unit_lid"], chance.randint(5, 15)
    known = list(codes().values())
    asked = chance.choice([code for code in known if code.fmi in (3, 4)])
    texts = [asked.text, *chance.sample([code.text for code in known if code is not asked], 2)]
    chance.shuffle(texts)
    early = round(chance.uniform(4.0, 7.0), 1)
    return items(
        number(
            f"Full cold for ten minutes. Bunk air {bunk:.1f} °C, vent air {bunk - below:.1f} °C. By how much is the vent colder?",
            right=below, unit="°C", tolerance=0.06,
            explanation=f"{bunk:.1f} − {bunk - below:.1f} = {below:.1f} °C. Always measure both: the vent alone follows the bunk down.",
        ),
        choice(
            f"So the vent is {below:.1f} °C below the bunk, ten minutes after the start. What does the spec sheet say?",
            ("cools as it should", "cools too little"), right=0 if below >= PROMISE_K else 1,
            explanation=f"Line 'Cooling' asks for 10 °C or more, ten minutes after the start, at full cold. {below:.1f} °C is "
            f"{'enough' if below >= PROMISE_K else 'too little'}.",
        ),
        verdict(
            f"Two minutes after the start the vent is {early:.1f} °C below the bunk. Your verdict by that line?", right="tells_nothing",
            explanation="The line speaks of ten minutes. Too early is another state of the truck. Wait, then read again.",
        ),
        number(
            f"The unit takes {out_W} W out of the bunk; {in_W} W come in by the open curtain. What share is that?",
            right=in_W / out_W * 100, unit="%", tolerance=1.0,
            explanation=f"{in_W} ÷ {out_W} = {percent(in_W / out_W)}. That much of the cold is spent on the cab.",
        ),
        choice(
            f"The reader shows SPN {asked.spn} FMI {asked.fmi}. What did the controller see?", texts, right=texts.index(asked.text),
            explanation="SPN says which thing, FMI says how it failed. It names a circuit, not a guilty part: sensor, plug or wire.",
        ),
        choice(
            "Key off, unit off. The reader shows 'no answer'. What does that tell you?",
            ("the controller is dead", "nothing yet: it has no power in this state", "there are no codes"), right=1,
            explanation="Wake it first: key on, unit on. If there is still no answer, then it tells something.",
        ),
        verdict(
            f"G2+ to G2−, rested, everything off: {rest_V:.2f} V. Your verdict?",
            right="in_spec" if rest_V >= 12.4 else "out_of_spec",
            explanation=f"The sheet wants 12.4 V or more at rest; {rest_V:.2f} V is "
            f"{'enough to go on' if rest_V >= 12.4 else 'less: charge first, go on after'}.",
        ),
        choice(
            "The engine has to run in the shop. What comes first?",
            ("open the door a little", "put the hose on the exhaust and chock the wheels", "read the codes"), right=1,
            explanation="Exhaust gas kills indoors, and you cannot smell the worst of it. Skip the hose and the judge caps your whole job.",
        ),
        number(
            f"You take the lid of the unit off, look for {lost} minutes, find nothing, and put it back. How many minutes are gone?",
            right=lid.open + lid.close + lost, unit="min", tolerance=0.1,
            explanation=f"{lid.open:.0f} off, {lid.close:.0f} on, {lost} in between: {lid.open + lid.close + lost:.0f} min. The whole first round costs less.",
        ),
        choice(
            "Nothing stops the unit, no code is stored, the vent is 11 °C below the bunk. The driver wants more. What do you do?",
            ("change the refrigerant", "explain the limit, close the curtain, write down what you measured", "change the controller"),
            right=1,
            explanation="'Nothing wrong' is a finding too. It needs its readings like any other. Leave the circuit shut: only a "
            "certified person may open it.",
        ),
    )  # fmt: skip
