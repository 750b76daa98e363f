"""Lesson 04: 12 volts on their way from the bank to the blower, in both modes."""

from __future__ import annotations

from typing import Any

from parked_hvac.bench.items import choice, items, number, verdict
from parked_hvac.bench.lessons.feed import BANK_V, SHOWN, feed, part_ohm
from parked_hvac.bench.lessons.reader import fresh, own_truck
from parked_hvac.bench.lessons.told import Told, told
from parked_hvac.bench.plots import Plot, voltage_along
from parked_hvac.circuit import Network, Resistor, VoltageSource
from parked_hvac.physics import wire
from parked_hvac.rig.catalogue import catalogue

LOAD_A = 18.0
_CORRODED_OHM = 0.06
_NO_LOAD, _LOADED = "no load", f"{LOAD_A:.0f} A"
_METER_OHM = 10e6  # data/instruments/meter.toml
_LAMP_OHM = 29.0  # a 5 W test lamp at 12 V; common practice, no source


def feed_plot(corroded: bool = False) -> Plot:
    """The voltage along the reader's own feed, without load and with 18 A; one holder corroded or not."""
    truck = own_truck()
    bad = {"F2": _CORRODED_OHM} if corroded else {}
    solved = {name: feed(truck, current, bad) for name, current in ((_NO_LOAD, 0.0), (_LOADED, LOAD_A))}
    cases = {name: [one.voltages[point] for point in SHOWN] for name, one in solved.items()}
    state = "holder of F2 corroded" if corroded else "all joints sound"
    return voltage_along(list(SHOWN), cases, f"Your feed against G2−, {state}")


def two_states() -> Any:
    """The plot with a list to choose the state of one holder."""
    import ipywidgets

    pick = ipywidgets.Dropdown(
        options=[("sound", False), ("corroded", True)], value=False, description="Holder of F2:",
        style={"description_width": "initial"},
    )  # fmt: skip
    picture = ipywidgets.HTML(value=feed_plot(False)._repr_html_())

    def show(change: dict[str, Any]) -> None:
        picture.value = feed_plot(bool(change["new"]))._repr_html_()

    pick.observe(show, names="value")
    return ipywidgets.VBox([pick, picture])


def worked_example(length_m: float = 4.0, area_mm2: float = 10.0, contact_ohm: float = 0.0008) -> Told:
    """18 A through a cable and two contacts, computed by the same functions as the truck."""
    copper = float(wire.resistance_ohm(length_m, area_mm2, 20.0))
    total = copper + 2 * contact_ohm
    return told(
        f"{LOAD_A:.0f} A through {length_m:g} m of {area_mm2:g} mm² and two contacts, at 20 °C",
        [
            ("cable, resistance of copper × length ÷ cross-section", f"{copper * 1e3:.2f} mΩ"),
            ("two sound contacts", f"{2 * contact_ohm * 1e3:.2f} mΩ"),
            ("together", f"{total * 1e3:.2f} mΩ"),
            (f"drop = {LOAD_A:.0f} A × {total * 1e3:.2f} mΩ", f"{LOAD_A * total:.3f} V"),
            ("drop without current", "0.000 V"),
        ],
        "Left out: a warm cable has more, about 0.4 % for each kelvin, and strands lie a little longer than the cable.",
    )


def your_turn() -> Any:
    """Predict the drop along one cable of the reader's own truck, then see it measured."""
    truck = own_truck()
    length = float(truck["cable.W11.length_m"][0])
    area = catalogue().cables["W11"].area_mm2
    drop = LOAD_A * part_ohm(truck, "W11")
    measured = feed(truck, LOAD_A).drop_V("F2.2", "X10.2")
    return items(
        number(
            f"Cable W11 on your truck is {length:.2f} m long and has {area:g} mm². The fans draw {LOAD_A:.0f} A "
            "through it. How many volts does it lose? (Copper: 0.0172 Ω for 1 m of 1 mm².)",
            right=drop,
            unit="V",
            tolerance=0.012,
            explanation=f"0.0172 × {length:.2f} ÷ {area:g} is {0.0172 * length / area * 1e3:.2f} mΩ; times {LOAD_A:.0f} A is "
            f"{LOAD_A * 0.0172 * length / area:.2f} V. The meter from F2.2 to X10.2 shows {measured:.2f} V.",
        )
    )


def lamp_and_meter(joint_ohm: float = 220.0) -> Plot:
    """The same bad joint seen by a meter and by a test lamp."""
    shown: dict[str, list[float]] = {}
    for name, ohm in (("meter, 10 MΩ", _METER_OHM), ("test lamp, 5 W", _LAMP_OHM)):
        circuit = Network(ground="0")
        circuit.add(
            VoltageSource("bank", "before", "0", voltage_V=BANK_V),
            Resistor("joint", "before", "behind", resistance_ohm=joint_ohm),
            Resistor("instrument", "behind", "0", resistance_ohm=ohm),
        )
        solved = circuit.solve()
        shown[name] = [solved.voltage_V("before"), solved.voltage_V("behind")]
    return voltage_along(
        ["before the joint", "behind the joint"],
        shown,
        f"A joint of {joint_ohm:.0f} Ω, seen by two instruments",
    )


def check_yourself() -> Any:
    """Nine short items, each from a reading; other figures each time the cell is run."""
    chance = fresh()
    current = round(chance.uniform(12, 22), 1)
    ahead, behind = round(chance.uniform(0.25, 0.9), 2), round(chance.uniform(0.2, 0.7), 2)
    bank = round(chance.uniform(12.2, 12.7), 2)
    holder_V = round(chance.uniform(0.4, 1.6), 2)
    ground_V = round(chance.uniform(0.7, 1.6), 2)
    engine_V = round(chance.uniform(13.5, 14.1), 1)
    modes = ("K1, its coil or its wire, or F2", "K2, its coil or its wire, F3 or F6", "F13", "the bank G2")
    return items(
        number(
            f"G2+ to G2−: {bank:.2f} V. X20 to X22: {bank - ahead - behind:.2f} V. Both while the fans draw {current} A. "
            "How much is lost on the way, there and back together?",
            right=ahead + behind, unit="V", tolerance=0.011,
            explanation="The load gets what is left between its own two ends. What is missing was lost on the feed and on "
            "the way back by ground, together. A reading from each end of each half tells which.",
        ),
        number(
            f"Across the holder of F2 you read {holder_V:.2f} V while {current} A flow. What is its resistance?",
            right=holder_V / current * 1e3, unit="mΩ", tolerance=max(1.0, holder_V / current * 30),
            explanation=f"{holder_V:.2f} V ÷ {current} A = {holder_V / current * 1e3:.0f} mΩ. A sound holder has about one.",
        ),
        choice(
            "The unit is off. Across the same holder the meter shows 0.00 V. Is the holder sound?",
            ("Yes, nothing is lost in it", "Cannot be told without current", "No, it must show 12 V"), right=1,
            explanation="No current, no drop, however bad the joint. Read it again while the fans run.",
        ),
        verdict(
            "G2+ to T1.+, the compressor stands still: 0.00 V. Your verdict?", right="tells_nothing",
            explanation="Without current every joint reads 0.00 V, the bad one too. In this state the reading tells nothing.",
        ),
        verdict(
            f"X22 to G2−, the compressor runs: {ground_V:.2f} V. Your verdict?", right="out_of_spec",
            explanation="The spec sheet allows 0.45 V from X22 to G2− under load. The way back by ground loses too much.",
        ),
        choice(
            f"X20 to X22. Parked and asked to cool: 0.0 V. Engine running: {engine_V} V. Which of these is still possible?",
            modes, right=0,
            explanation="The bus is dead only when K1 feeds it. Everything behind the bus is proved by the other mode.",
        ),
        choice(
            f"X20 to X22. Parked and asked to cool: {bank:.1f} V. Engine running: 0.0 V. Which of these is still possible?",
            modes, right=1,
            explanation="Now the parked feed is proved and the engine feed is not: K2, the run signal through F6, or F3.",
        ),
        choice(
            f"Parked and asked to cool, all to X22: K1.30 {bank:.1f} V, K1.87 0.0 V, K1.86 {bank - 0.1:.1f} V, K1.85 0.0 V. "
            "What does it leave?",
            ("the control wire W36", "the relay itself: coil or contact", "fuse F2", "the panel's button"), right=1,
            explanation="The contact has its supply, the coil has its voltage, and still nothing comes out. What is left is "
            "inside the relay. Full voltage across a coil says that current is offered, not that it flows.",
        ),
        choice(
            f"Plug X35 of the blower is parted. The meter shows {bank - 0.1:.1f} V on the feed pin, a test lamp there stays dark. Why?",
            (
                "the lamp is too small",
                "a joint ahead lets the meter's millionth of an ampere pass, but not the lamp's",
                "the meter is wrong",
            ), right=1,
            explanation="The meter takes a millionth of an ampere, the lamp almost half of one. Prove the lamp on a good battery, "
            "then believe both: the joint is bad.",
        ),
    )  # fmt: skip
