"""Lesson 11: one fault, two, or none; what one cause leaves over, and what clears a truck."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.asked import SUMMER_NIGHT
from parked_hvac.bench.lessons.reader import fresh, own_truck
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.bench.plots import HATCHES, INK, SERIES, Plot, finished, sentence, sheet
from parked_hvac.diagnosis.candidates import candidates, together
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.faults import apply_fault
from parked_hvac.rig.truck import Truck

LUG, HOLDER = "lug_corroded_unit_ground", "holder_f1_corroded"
STATES: dict[str, tuple[str, ...]] = {
    "sound": (),
    "ground lug corroded": (LUG,),
    "holder of F1 corroded": (HOLDER,),
    "both": (LUG, HOLDER),
}
_SEVERITY = 0.25
"""How bad each is, 0 to 1 of its range: bad enough to see, not so bad that the unit cuts out."""
_LOAD_S = 45.0
"""After this time the compressor pulls hard, and nothing has cut out yet."""
SECTIONS = (
    ("G2+ to F1.1", "G2+", "F1.1"),
    ("F1.1 to F1.2", "F1.1", "F1.2"),
    ("F1.2 to T1.+", "F1.2", "T1.+"),
    ("T1.− to W14.2", "T1.-", "W14.2"),
    ("W14.2 to X4", "W14.2", "X4"),
    ("X4 to G2−", "X4", "G2-"),
)
"""The drive's way there and back, without a gap."""
_TRUCKS = 100_000


@lru_cache(maxsize=8)
def losses_V(state: str) -> dict[str, float]:
    """What each section loses on the reader's own truck while the compressor pulls, in volts."""
    truck = _loaded(state)
    return {name: float(truck.voltage_V(red, black)[0]) for name, red, black in SECTIONS}


def losses_plot(state: str = "sound") -> Plot:
    """A bar for each section of the drive's way there and back, a sound truck's beside it."""
    cases = {"your truck, sound": losses_V("sound"), f"your truck, {state}": losses_V(state)}
    figure, axes = sheet(7.4, 3.0)
    for index, (case, losses) in enumerate(cases.items()):
        at = [place + (index - (len(cases) - 1) / 2) * 0.4 for place in range(len(losses))]
        bars = axes.bar(
            at, list(losses.values()), 0.37, label=case, color=SERIES[index], hatch=HATCHES[index], edgecolor=INK, linewidth=0.6
        )  # fmt: skip
        axes.bar_label(bars, fmt="%.2f", fontsize=8, color=INK, padding=1)
    axes.set_xticks(range(len(SECTIONS)), [name for name, _, _ in SECTIONS], fontsize=8)
    axes.set_ylabel("V lost")
    # The same height for every choice, so that what grows is seen to grow.
    axes.set_ylim(0, 1.25 * max(losses_V("both").values()))
    words = "; ".join(
        f"{case}: " + ", ".join(f"{name} {volts:.2f} V" for name, volts in losses.items()) + f", together {sum(losses.values()):.2f} V"
        for case, losses in cases.items()
    )  # fmt: skip
    title = "Volts lost between the bank and the drive, compressor running"
    return finished(figure, axes, title, f"{title}. {sentence(words)}.")


def where_it_goes() -> Any:
    """The plot with a list to choose what is wrong."""
    import ipywidgets

    pick = ipywidgets.Dropdown(
        options=list(STATES),
        value="sound",
        description="The truck is:",
        style={"description_width": "initial"},
    )
    picture = ipywidgets.HTML(value=losses_plot("sound")._repr_html_())

    def show(change: dict[str, Any]) -> None:
        picture.value = losses_plot(str(change["new"]))._repr_html_()

    pick.observe(show, names="value")
    return ipywidgets.VBox([pick, picture])


def worked_example() -> Told:
    """How many trucks have one cause and how many two, before and after a reading, from the judge's own priors."""
    counts = trucks()
    lug, both = round(counts["lug"]), round(counts["both"])
    return told(
        f"Of {_TRUCKS:,} trucks with a complaint".replace(",", " "),
        [
            ("the ground lug is corroded, and nothing else", f"{lug}"),
            ("the ground lug and the holder of F1 are corroded", f"{both}"),
            ("a reading across the lug is out of spec: left are both kinds", f"{lug + both}"),
            ("share of them with a second fault", f"{100 * both / (lug + both):.0f} %"),
            ("now F1.1 to F1.2 is out of spec too: left are", f"{both}"),
            ("share of them with a second fault", "100 %"),
        ],
        "One cause is far more likely, until a reading comes that it cannot explain. Left out: salt that eats one joint "
        "eats the next. On an old truck the second fault is less rare than this.",
    )


def trucks() -> dict[str, float]:
    """How many of 100 000 trucks have a corroded lug alone, and both faults, by the judge's priors."""
    pair = together(tuple(sorted((LUG, HOLDER))))
    known = {candidate.name: candidate.prior for candidate in candidates([pair.faults])}
    whole = sum(known.values())
    return {"lug": known[LUG] / whole * _TRUCKS, "both": known[pair.name] / whole * _TRUCKS}


def your_turn() -> Any:
    """What does one fault leave unexplained? Figures of the reader's own truck with both."""
    sound, bad = losses_V("sound"), losses_V("both")
    # Worked with what the reader sees, so that the sum on paper comes out to the last digit.
    lost, lug, whole = (
        round(volts, 2) for volts in (sum(bad.values()), bad["W14.2 to X4"], sum(sound.values()))
    )
    left = lost - lug - whole
    return items(
        number(
            f"Compressor running, your truck. Bank to drive and back, {lost:.2f} V are lost in all. Across the ground "
            f"lug, W14.2 to X4, you find {lug:.2f} V. Sound, your truck loses {whole:.2f} V in all. How many volts are "
            "lost that neither the lug nor a sound truck explains?",
            right=left,
            unit="V",
            tolerance=0.06,
            explanation=f"{lost:.2f} − {lug:.2f} − {whole:.2f} leaves {left:.2f} V. The lug is bad, and it is "
            f"not all. F1.1 to F1.2 shows {bad['F1.1 to F1.2']:.2f} V: there is the second fault.",
        )
    )


def what_clears() -> Told:
    """What the reader's own sound truck shows in the readings that together clear it, beside the spec sheet."""
    rest, run = Truck(own_truck(), SUMMER_NIGHT), _loaded("sound")
    rows = []
    for truck, line, state in (
        (rest, "rest_banks", "at rest"),
        (run, "load_aux", "compressor running"),
        (run, "drop_drive", "compressor running"),
        (run, "drop_ground", "compressor running"),
        (run, "enable", "cooling asked for"),
        (run, "fan_supply", "cooling asked for"),
    ):
        entry = catalogue().spec_sheet[line]
        assert entry.red is not None
        assert entry.black is not None
        assert entry.low is not None
        shown = float(truck.voltage_V(entry.red, entry.black)[0])
        points = f"{entry.red} to {entry.black}, {state}".replace("-", "−")
        limits = f"{entry.high:g} V or less" if entry.low < 0 else f"{entry.low:g} V or more"
        rows.append((f"{points} (sheet: {limits})", f"{shown:.2f} V"))
    return told(
        "Your own truck with nothing wrong",
        rows,
        "To these come your hand at the vent, the codes, what the sensors say beside a thermometer, the settings, the curtain, and each battery's conductance.",
    )


def check_yourself() -> Any:
    """Ten short items; other figures each time the cell is run."""
    chance = fresh()
    sound = sum(losses_V("sound").values())
    lug, extra = chance.uniform(0.6, 1.1), chance.uniform(0.4, 0.9)
    total = round(sound, 2) + round(lug, 2) + round(extra, 2)
    alone, two = chance.randrange(60, 140), chance.randrange(3, 12)
    good, weak = chance.randrange(720, 770), chance.randrange(560, 640)
    bunk = chance.randrange(36, 42)
    vent = bunk - round(chance.uniform(11.0, 15.0), 1)
    ground, feed = chance.uniform(0.12, 0.2), chance.uniform(0.7, 1.2)
    return items(
        number(
            f"Bank to drive and back {total:.2f} V are lost. Sound, your truck loses {sound:.2f} V. The ground lug takes {lug:.2f} V more than a "
            "sound one. How many volts has nobody explained yet?",
            right=round(extra, 2), unit="V", tolerance=0.021,
            explanation=f"{total:.2f} − {sound:.2f} − {lug:.2f} = {round(extra, 2):.2f} V. Take away what a sound truck loses, then what the fault you "
            "found takes. What is left over has another cause.",
        ),
        number(
            f"Of the trucks that fit your reading, {alone} have one fault and {two} have a second one as well. How many percent have two?",
            right=100 * two / (alone + two), unit="%", tolerance=0.6,
            explanation=f"{two} of {alone + two} is {100 * two / (alone + two):.1f} %. Few, yet enough to take the one reading that only the second fault changes.",
        ),
        choice(
            "You have proved a corroded ground lug. Which reading tells whether there is a second fault?",
            ("the lug again, to be sure", "one that the lug cannot change", "the codes again"), right=1,
            explanation="What the first fault explains anyway cannot show a second one.",
        ),
        choice(
            f"Conductance of four equal batteries: {good} S, {good + 12} S, {weak} S, {good - 9} S. And X22 to G2− is out of spec under load. Can "
            "a bad ground explain both?",
            ("yes, a bad ground lowers everything", "no, the tester clips to the posts of one battery"), right=1,
            explanation="The tester sends its own current through one battery. The ground of the unit is not in that circuit. So there are two faults.",
        ),
        verdict(
            "G2+ to T1.+, the unit has just cut out, the compressor stands: 0.00 V. Your verdict on the feed?", right="tells_nothing",
            explanation="No current, no drop. Start it again and read within the first minute.",
        ),
        choice(
            f"The lug is renewed. You run it again: X22 to G2− {ground:.2f} V, G2+ to T1.+ {feed:.2f} V. Is the job done?",
            ("yes, the ground is in spec now", "no, the feed loses too much"), right=1,
            explanation="The sheet allows 0.45 V on the feed. The run after a repair is also the test for a second fault.",
        ),
        number(
            f"A hot day, full cold for ten minutes. Bunk air {bunk:.0f} °C, air from the vent {vent:.1f} °C. How many degrees colder is the vent?",
            right=bunk - vent, unit="°C", tolerance=0.06,
            explanation=f"{bunk - vent:.1f} °C. The sheet asks for 10 °C or more. The cooling is as it should be, however hot the bunk is.",
        ),
        verdict(
            f"Vent air {bunk - vent:.1f} °C below the bunk air after ten minutes at full cold. Your verdict?", right="in_spec",
            explanation="The sheet speaks of the difference, not of a temperature in the bunk. The rest is sun, curtain and size of the bunk.",
        ),
        choice(
            "When may you write 'nothing wrong'?",
            (
                "when no code is stored",
                "when each section was read in spec, under load, and the unit ran as it should",
                "when you can find nothing more",
            ), right=1,
            explanation="A code is stored for few faults. Sound is what was read sound, in the state in which it carries its load.",
        ),
        choice(
            "Your readings leave one fault at six to one against two. What now?",
            ("name the one, it is likely", "name both, to be safe", "take the one reading that decides"), right=2,
            explanation="Six to one is 86 %. The judge asks for 90 %, and a driver on the road for more. Naming one too many earns half.",
        ),
    )  # fmt: skip


@lru_cache(maxsize=8)
def _loaded(state: str) -> Truck:
    """The reader's own truck in one of the states, its compressor pulling hard. Kept: read it, change nothing."""
    figures = own_truck().copy()
    for fault in STATES[state]:
        apply_fault(figures, fault, np.array([_SEVERITY]), np.array([0.5]))
    truck = Truck(figures, SUMMER_NIGHT)
    truck.set_key("on")
    truck.turn_temperature(16.0)
    truck.turn_blower(5)
    truck.press_parked_cooling(True)
    truck.advance(_LOAD_S)
    return truck
