"""Nights that the reader's truck lives through on the rig, minute by minute, once the reader has said what to expect."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from parked_hvac.bench.lessons.asked import switched_on
from parked_hvac.bench.lessons.energy import Night
from parked_hvac.bench.lessons.progress import shown
from parked_hvac.bench.lessons.reserve import BATTERIES
from parked_hvac.bench.plots import MARKERS, SERIES, Plot, finished, sheets
from parked_hvac.rig.controller import codes
from parked_hvac.rig.truck import Truck

NIGHT_H = 8
_PER_HOUR = 6


@dataclass(frozen=True)
class Lived:
    """A night at so many hours: ampere-hours taken out of the bank, °C in the bunk; and when low voltage stopped it first."""

    at_h: tuple[float, ...]
    taken_Ah: tuple[float, ...]
    bunk_C: tuple[float, ...]
    stopped_h: float


def nights_lived(named: Sequence[tuple[str, Night]]) -> Any:
    """A button that lets each night pass, with a bar, and the picture of them all in its place."""
    import ipywidgets

    go = ipywidgets.Button(
        description="Let the nights pass", layout={"width": "auto", "align_self": "flex-start"}
    )
    whole = ipywidgets.VBox([go])

    def run(button: Any) -> None:
        button.disabled = True

        def place(bar: Any) -> None:
            whole.children = (bar,)

        made = {name: lived(night, name, place) for name, night in named}
        whole.children = (ipywidgets.HTML(value=nights_plot(made)._repr_html_()),)

    go.on_click(run)
    return whole


def lived(night: Night, name: str, place: Callable[[Any], None]) -> Lived:
    """Eight hours on the rig; ``place`` is given the bar that shows how far they are."""
    # The whole night at once first: so long a job has the rig compiled, and the night in slices is quick.
    _asked(night).advance(NIGHT_H * 3600.0)
    truck = _asked(night)
    low_voltage = codes()["low_voltage"].spn
    taken_Ah, since_s, ampere = 0.0, 0.0, 0.0

    def count(now: Truck) -> None:
        nonlocal taken_Ah, since_s, ampere
        taken_Ah += ampere * (now.time_s - since_s) / 3600.0
        since_s = now.time_s
        ampere = -sum(float(now.current_A(battery)[0]) for battery in BATTERIES)

    at, taken, bunk, stopped = [], [], [], math.inf
    for step in shown(range(_PER_HOUR * NIGHT_H + 1), name, place):
        at.append(step / _PER_HOUR)
        taken.append(taken_Ah)
        bunk.append(float(truck.climate.bunk_C[0]))
        truck.advance(3600.0 / _PER_HOUR, count)
        if math.isinf(stopped) and any(spn == low_voltage for spn, _, _ in (truck.codes() or [[]])[0]):
            stopped = (step + 1) / _PER_HOUR
    return Lived(tuple(at), tuple(taken), tuple(bunk), stopped)


def nights_plot(made: dict[str, Lived]) -> Plot:
    """What left the bank, and the temperature of the bunk."""
    figure, (above, below) = sheets(7.4, 2.2, 2)
    told = []
    for index, (name, one) in enumerate(made.items()):
        for axes, values in ((above, one.taken_Ah), (below, one.bunk_C)):
            axes.plot(
                one.at_h, values, label=name, color=SERIES[index], marker=MARKERS[index], markersize=4,
                markevery=_PER_HOUR,
            )  # fmt: skip
        end = (
            f"still running after {NIGHT_H} h"
            if math.isinf(one.stopped_h)
            else f"stopped after {one.stopped_h:.1f} h while the blower went on"
        )
        told.append(
            f"{name}: {end}, {one.taken_Ah[-1]:.0f} Ah taken, bunk {one.bunk_C[-1]:.0f} °C at the end"
        )
    above.set_ylabel("Ah taken")
    below.set_ylabel("bunk, °C")
    below.set_xlabel("hours")
    words = f"34 °C outside all night, one person, your truck. {'; '.join(told)}."
    return finished(figure, above, "Two nights on the rig", words)


def _asked(night: Night) -> Truck:
    truck = switched_on(conditions=night.conditions(), set_C=night.set_C)
    truck.turn_blower(night.blower_step)
    return truck
