"""Supply of the controller, second by second, while the compressor starts and the low-voltage cut-out acts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from parked_hvac.bench.plots import FAINT, INK, SERIES, Plot, finished, sheet
from parked_hvac.rig.controller import codes
from parked_hvac.rig.truck import Truck


@dataclass(frozen=True)
class Watched:
    """A run watched at each solve: seconds since the unit was asked, volts, whether the compressor turns."""

    seconds: tuple[float, ...]
    bank_V: tuple[float, ...]
    supply_V: tuple[float, ...]
    turning: tuple[bool, ...]
    codes: tuple[tuple[int, int, int], ...]
    cut_out_V: float
    restart_V: float
    locked: bool

    @property
    def stops_s(self) -> tuple[float, ...]:
        """When the compressor stopped."""
        pairs = zip(self.turning, self.turning[1:], self.seconds[1:], strict=False)
        return tuple(at for before, after, at in pairs if before and not after)


def watched(truck: Truck, seconds: float) -> Watched:
    """Ask for full cold, parked, at the highest blower step, and watch for so many seconds."""
    rows: list[tuple[float, float, float, bool]] = []

    def note(now: Truck) -> None:
        rows.append(
            (
                now.time_s,
                float(now.voltage_V("G2+", "G2-")[0]),
                float(now.voltage_V("K0.+", "K0.-")[0]),
                bool(now.compressor.rpm[0] > 1.0),
            )
        )

    truck.set_key("on")
    truck.turn_blower(5)
    truck.turn_temperature(16.0)
    truck.press_parked_cooling(True)
    # Ten seconds at a time: steps that grow without bound would hide a start.
    for _ in range(round(seconds / 10.0)):
        truck.advance(10.0, note)
    time, bank, supply, turning = zip(*rows, strict=True)
    listed = truck.codes()
    return Watched(
        time,
        bank,
        supply,
        turning,
        tuple(listed[0]) if listed else (),
        float(truck.parameters["controller.cut_out_V"][0]),
        float(truck.parameters["controller.restart_V"][0]),
        sum(count for spn, _, count in (listed[0] if listed else ()) if spn == codes()["low_voltage"].spn)
        >= float(truck.parameters["controller.lockout_starts"][0]),
    )


def cut_out_plot(run: Watched, title: str) -> Plot:
    """Bank and controller's supply over seconds; the compressor's turns as a grey ground."""
    figure, axes = sheet(7.4, 3.4)
    axes.plot(run.seconds, run.bank_V, label="bank, G2+ to G2−", color=SERIES[0], linestyle="--")
    axes.plot(run.seconds, run.supply_V, label="K0, its supply", color=SERIES[1])
    bottom = min(*run.supply_V, run.cut_out_V) - 0.2
    axes.fill_between(
        np.asarray(run.seconds),
        bottom,
        14.0,
        where=np.asarray(run.turning),
        color=FAINT,
        alpha=0.25,
        linewidth=0,
    )
    for limit, name in ((run.cut_out_V, "stops below"), (run.restart_V, "starts above")):
        axes.axhline(limit, color=INK, linestyle=":", linewidth=1)
        axes.annotate(
            f"{name} {limit:.1f} V", (run.seconds[-1], limit), ha="right", va="bottom", fontsize=8, color=INK
        )
    axes.set_ylim(bottom, max(run.bank_V) + 0.4)
    axes.set_xlabel("seconds; grey: the compressor turns")
    axes.set_ylabel("V")
    stops = ", ".join(f"{at:.0f} s" for at in run.stops_s)
    code = "; ".join(f"SPN {spn} FMI {fmi} ×{count}" for spn, fmi, count in run.codes) or "none"
    told = (
        f"{title}. Lowest at the bank {min(run.bank_V):.2f} V, at K0 {min(run.supply_V):.2f} V. "
        + (f"The compressor stopped at {stops}. " if stops else "The compressor did not stop. ")
        + f"Codes: {code}. "
        + ("K0 is locked until it is switched off." if run.locked else "")
    )
    return finished(figure, axes, title, told.strip())
