"""Current of the blower at its five steps, on a sound truck and on two that are not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from parked_hvac.bench.plots import INK, MARKERS, SERIES, Plot, finished, sentence, sheet
from parked_hvac.rig.parameters import Parameters, join
from parked_hvac.rig.truck import Truck

STEPS = (1, 2, 3, 4, 5)
_AWAKE_S = 6.0  # the controller wakes in three seconds; the compressor has hardly begun


def running(parameters: Parameters, step: int) -> Truck:
    """A truck whose blower has just come up at a step, parked and asked to cool."""
    truck = Truck(parameters)
    truck.set_key("on")
    truck.turn_temperature(16.0)
    truck.turn_blower(step)
    truck.press_parked_cooling(True)
    truck.advance(_AWAKE_S)
    return truck


def currents_A(trucks: Sequence[Parameters]) -> list[list[float]]:
    """Current through fuse F11 at each step, one list per truck; they run side by side."""
    batch = join(trucks)
    by_step = [running(batch, step).current_A("F11") for step in STEPS]
    return [[float(amperes[index]) for amperes in by_step] for index in range(len(trucks))]


def blower_plot(cases: Mapping[str, Sequence[float]], title: str = "Blower current at each step") -> Plot:
    """One line per case over the five steps, in A."""
    figure, axes = sheet(7.4, 3.2)
    for index, (name, amperes) in enumerate(cases.items()):
        axes.plot(STEPS, amperes, label=name, color=SERIES[index], marker=MARKERS[index])
        axes.annotate(
            f"{amperes[-1]:.1f}",
            (STEPS[-1], amperes[-1]),
            xytext=(6, -3),
            textcoords="offset points",
            fontsize=8,
            color=INK,
        )
    axes.set_xticks(STEPS)
    axes.set_xlabel("step of the knob")
    axes.set_ylabel("A")
    axes.set_ylim(bottom=0)
    told = "; ".join(
        f"{name}: "
        + ", ".join(f"{amperes_at:.1f} A at {step}" for step, amperes_at in zip(STEPS, amperes, strict=True))
        for name, amperes in cases.items()
    )
    return finished(figure, axes, title, f"{title}. {sentence(told)}.")
