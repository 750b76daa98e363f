"""Lesson 03: two banks, one alternator, and the isolator between them."""

from __future__ import annotations

from typing import Any

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons import engine_start
from parked_hvac.bench.lessons.engine_start import FUSE_S, QUIET_S, SOUND, charging, volts
from parked_hvac.bench.lessons.reader import fresh
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.bench.plots import Plot, voltage_along
from parked_hvac.rig.catalogue import catalogue

DIFFERENCE_V, LOW_V, HIGH_V = 0.5, 13.4, 14.4
"""Lines 'bank_difference' and 'charging_aux' of data/rig/spec-sheet.toml."""
STARTS = (
    ("sound", SOUND),
    ("contacts stuck open", "isolator_stuck_open"),
    ("contacts stuck closed", "isolator_stuck_closed"),
    ("contacts burnt", "isolator_burnt"),
    ("alternator without output", "alternator_no_output"),
)
PULLS = (("sound", SOUND), ("contacts stuck closed", "isolator_stuck_closed"))
LEADS = (
    ("sound", SOUND),
    ("fuse F7 blown", "isolator_sense_fuse_blown"),
    ("holder of F7 corroded", "isolator_sense_holder_corroded"),
    ("sense lead W20 open", "isolator_sense_lead_open"),
    ("ground lead W21 open", "isolator_ground_lead_open"),
    ("ground lead W21 corroded", "isolator_ground_lead_corroded"),
    ("status lead W22 open", "isolator_status_lead_open"),
)
_AT_LEADS = (("G1+", "Q1.S"), ("F7.1", "F7.2"), ("Q1.G", "X0"), ("Q1.L", "X0"), ("Q1.1", "Q1.2"))
_WAY = ("G3+", "X1", "Q1.1", "Q1.2", "X3", "G2+")
_OPENS_WITHIN_S, _LOOK_S = 4 * 3600.0, 240.0


def start_plot(fault: str, state: str) -> Plot:
    """Both banks while the engine starts."""
    run = engine_start.engine_starts(fault)
    events = {QUIET_S: "engine starts"}
    closes = run.closes_s()
    if closes is not None and closes > QUIET_S:
        events[closes] = "isolator closes"
    return engine_start.both_plot(run, f"Your two banks, {state}", events)


def the_engine_starts() -> Any:
    """The plot with a list of states."""
    return _chosen("Isolator and alternator:", STARTS, start_plot)


def pull_plot(fault: str, state: str) -> Plot:
    """Both banks while the sense fuse is out."""
    run = engine_start.sense_fuse_pulled(fault)
    events = {QUIET_S: "F7 pulled", QUIET_S + FUSE_S: "F7 back"}
    return engine_start.both_plot(run, f"Engine running, {state}", events)


def the_fuse_comes_out() -> Any:
    """The plot with a list of states."""
    return _chosen("Contacts of Q1:", PULLS, pull_plot)


def worked_example() -> Told:
    """The way from X1 to X3, part by part, two minutes after the start; by the rig itself."""
    truck = charging()
    current = float(truck.current_A("W6")[0])
    parts = (
        ("cable W5, X1 to Q1.1", "X1", "Q1.1"),
        ("contacts, Q1.1 to Q1.2", "Q1.1", "Q1.2"),
        ("cable W6, Q1.2 to X3", "Q1.2", "X3"),
    )
    rows = [(name, f"{volts(truck, red, black):.2f} V") for name, red, black in parts]
    together = volts(truck, "X1", "X3")
    return told(
        f"Your truck, engine two minutes on, {current:.0f} A into bank G2",
        [
            *rows,
            ("together, X1 to X3", f"{together:.2f} V"),
            (f"the spec sheet allows {DIFFERENCE_V} V", "met" if together <= DIFFERENCE_V else "not met"),
            (
                "resistance of the contacts = drop ÷ current",
                f"{volts(truck, 'Q1.1', 'Q1.2') / current * 1e3:.2f} mΩ",
            ),
        ],
        "Left out: as the bank fills, the current falls, and with it every drop on this way. Read early.",
    )


def way_plot(fault: str, state: str) -> Plot:
    """The voltage along the way from the alternator to bank G2."""
    cases = {"sound": _along(SOUND)}
    if fault != SOUND:
        cases[state] = _along(fault)
    return voltage_along(list(_WAY), cases, "Two minutes after the start, against the frame")


def along_the_way() -> Any:
    """The bars with a list of states."""
    return _chosen("The way to G2:", STARTS[:4], way_plot)


def your_turn() -> Any:
    """The drop of one cable, and what a burnt contact does, on the reader's own truck."""
    truck, burnt = charging(), charging("isolator_burnt")
    current, bad_A = (float(one.current_A("W6")[0]) for one in (truck, burnt))
    ohm = volts(truck, "Q1.2", "X3") / current
    lost = volts(burnt, "Q1.1", "Q1.2")
    return items(
        number(
            f"Cable W6 of your truck has {ohm * 1e3:.2f} mΩ with its lugs. {current:.0f} A flow through it. How many volts does it lose?",
            right=ohm * current, unit="V", tolerance=0.01,
            explanation=f"{current:.0f} A × {ohm * 1e3:.2f} mΩ = {ohm * current:.2f} V. The meter from Q1.2 to X3 shows that.",
        ),
        number(
            f"Another truck, contacts burnt: Q1.1 to Q1.2 shows {lost:.2f} V at {bad_A:.0f} A. What resistance have the contacts?",
            right=lost / bad_A * 1e3, unit="mΩ", tolerance=lost / bad_A * 1e3 * 0.05,
            explanation=f"{lost:.2f} V ÷ {bad_A:.0f} A = {lost / bad_A * 1e3:.0f} mΩ. The sheet allows 0.15 V across closed contacts. "
            "They click and light the lamp like sound ones.",
        ),
    )  # fmt: skip


def delays() -> Told:
    """When the isolator of the reader's truck closes and opens, by the rig itself."""
    closes = engine_start.engine_starts().closes_s()
    truck = engine_start.in_the_morning()
    truck.set_key("engine")
    truck.advance(600.0)
    truck.set_key("off")
    opens_min = 0.0
    while engine_start.joined(truck) and opens_min < _OPENS_WITHIN_S / 60.0:
        truck.advance(_LOOK_S)
        opens_min += _LOOK_S / 60.0
    return told(
        "The isolator of your truck",
        [
            ("closes after the engine started", f"{0.0 if closes is None else closes - QUIET_S:.0f} s"),
            ("opens after ten minutes of engine, then off and nothing drawn", f"about {opens_min:.0f} min"),
        ],
        catalogue().spec_sheet["isolator_times"].text + ".",
    )


def lead_table(fault: str, state: str) -> Told:
    """What a meter shows at the three thin leads of Q1, two minutes after the start."""
    truck = charging(fault)
    lamp = str(truck.senses("cab")["isolator lamp"][0])
    contacts = str(truck.senses("feed_panel")["isolator contacts sound"][0])
    rows = [
        (f"{red} to {black}", f"{volts(truck, red, black):.2f} V".replace("-", "−"))
        for red, black in _AT_LEADS
    ]
    return told(
        f"Engine two minutes on, {state}", [*rows, ("lamp on the dash", lamp), ("contacts, by ear", contacts)]
    )


def three_leads() -> Any:
    """The table with a list of states."""
    return _chosen("Leads of Q1:", LEADS, lead_table)


def check_yourself() -> Any:
    """Ten short items; other figures each time the cell is run."""
    chance = fresh()
    start = round(chance.uniform(13.7, 14.1), 2)
    apart = round(chance.choice((chance.uniform(0.1, 0.4), chance.uniform(0.7, 1.9))), 2)
    current, drop = chance.randint(40, 120), round(chance.uniform(0.2, 0.9), 2)
    low = round(chance.uniform(12.3, 12.8), 2)
    both = round(
        chance.choice((chance.uniform(12.7, 13.25), chance.uniform(13.5, 14.3), chance.uniform(14.7, 15.6))),
        2,
    )
    sense = round(chance.uniform(13.6, 14.1), 2)
    ground = round(chance.choice((chance.uniform(0.0, 0.05), chance.uniform(0.3, 9.0))), 2)
    pulled, stays = engine_start.sense_fuse_pulled(), round(chance.uniform(13.9, 14.2), 2)
    night = round(chance.uniform(11.9, 12.2), 2)
    good = LOW_V <= both <= HIGH_V
    return items(
        number(
            f"Engine running two minutes. X1 to frame {start:.2f} V, X3 to frame {start - apart:.2f} V. What does the meter show from X1 to X3?",
            right=apart, unit="V", tolerance=0.011,
            explanation=f"{start:.2f} − {start - apart:.2f} = {apart:.2f} V. One reading between the points shows it at once, and the meter's own error is out of it.",
        ),
        verdict(
            f"So X1 to X3 is {apart:.2f} V while charging. Your verdict?", right="in_spec" if apart <= DIFFERENCE_V else "out_of_spec",
            explanation=f"The sheet allows {DIFFERENCE_V} V between the banks while charging. {apart:.2f} V is "
            f"{'within it' if apart <= DIFFERENCE_V else 'more: look at cables and isolator'}.",
        ),
        verdict(
            f"Engine off since last night. X1 to X3: {apart:.2f} V. Verdict by that line?", right="tells_nothing",
            explanation="Not charging, the two banks stand apart as they like: each has its own charge and its own kind.",
        ),
        number(
            f"Q1.1 to Q1.2: {drop:.2f} V while {current} A flow. What resistance have the contacts?",
            right=drop / current * 1e3, unit="mΩ", tolerance=max(0.3, drop / current * 40),
            explanation=f"{drop:.2f} V ÷ {current} A = {drop / current * 1e3:.1f} mΩ. Sound contacts of this isolator have less than one.",
        ),
        verdict(
            f"Both banks, engine running two minutes: {both:.2f} V. Your verdict on the charging?", right="in_spec" if good else "out_of_spec",
            explanation=f"The sheet wants {LOW_V} V to {HIGH_V} V. {both:.2f} V is {'within' if good else 'outside'}. Both banks alike means: the isolator "
            f"joins them{'' if good else ', so too little or too much is the alternator and its regulator'}.",
        ),
        choice(
            f"Engine running: G1 {start:.2f} V, G2 {low:.2f} V. Which of these is possible?",
            ("the alternator gives nothing", "the isolator does not join the banks", "bank G1 is bad"), right=1,
            explanation="G1 is being charged, so the alternator works. G2 gets nothing of it: isolator, its leads, or a cable between.",
        ),
        choice(
            f"Engine running: G1+ to Q1.S {sense:.2f} V, F7.1 to F7.2 {sense:.2f} V. What is it?",
            ("fuse F7 is blown", "the ground lead is open", "the contacts are burnt"), right=0,
            explanation="Full voltage across a fuse: no current can pass, it is open. The isolator hears of no charging and stays open.",
        ),
        verdict(
            f"Q1.G to X0, engine running: {ground:.2f} V. Your verdict?", right="in_spec" if ground <= 0.1 else "out_of_spec",
            explanation=f"The sheet wants 0.1 V or less, and {ground:.2f} V is {'that' if ground <= 0.1 else 'more'}. A bad ground lifts the whole "
            "controller, so that it believes the voltage is low.",
        ),
        choice(
            f"Engine running, F7 pulled, one minute. X3 to frame: {stays:.2f} V, and it rises together with X1. What does it say?",
            ("sound: it is surface charge", "Q1 does not open: contacts stuck closed", "the sense lead is open"), right=1,
            explanation=f"With F7 out the isolator must open at once. Then the banks go apart: in that minute your own sound truck had "
            f"G2 sink from {pulled.aux_V[0]:.2f} to {min(pulled.aux_V):.2f} V while G1 rose. One that rises with G1 is still joined to it.",
        ),
        choice(
            f"A stuck isolator was open all day. G2 rests at {night:.2f} V. You renewed the isolator. What else belongs to the repair?",
            ("nothing, the next drive will do it", "charge G2 fully and test it", "renew all four batteries"), right=1,
            explanation="A bank that stood half empty needs a full charge, then a test. A battery left low for long sulphates.",
        ),
    )  # fmt: skip


def _along(fault: str) -> list[float]:
    return [volts(charging(fault), point, "X0") for point in _WAY]


def _chosen(label: str, states: tuple[tuple[str, str], ...], shown: Any) -> Any:
    """A list of states and what is shown for the one chosen; ``shown``: fault and words to a plot or table."""
    import ipywidgets

    words = {fault: name for name, fault in states}
    pick = ipywidgets.Dropdown(
        options=list(states),
        value=states[0][1],
        description=label,
        style={"description_width": "initial"},
        layout={"width": "max-content"},
    )
    picture = ipywidgets.HTML(value=shown(states[0][1], states[0][0])._repr_html_())

    def show(change: dict[str, Any]) -> None:
        picture.value = shown(change["new"], words[change["new"]])._repr_html_()

    pick.observe(show, names="value")
    return ipywidgets.VBox([pick, picture])
