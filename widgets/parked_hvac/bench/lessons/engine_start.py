"""Both banks of the reader's truck while the engine starts, runs and stops: what lesson 03 plots and counts."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from parked_hvac.bench.lessons.reader import own_truck
from parked_hvac.bench.plots import INK, MARKERS, SERIES, Plot, finished, sentence, sheet
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.truck import Truck

SOUND = "nothing_wrong"
QUIET_S, RUN_S = 20.0, 180.0
_SLICE_S = 2.0
FUSE_S = 60.0
"""How long the sense fuse stays out."""
_MORNING = Conditions(outside_C=20.0, bunk_C=20.0, sun_hour=8.0, engine_off_h=8.0, aux_charge=0.8)


@dataclass(frozen=True)
class BothBanks:
    """Volts of both banks over seconds, as often as the rig solved them."""

    seconds: tuple[float, ...]
    start_V: tuple[float, ...]
    aux_V: tuple[float, ...]
    closed: tuple[bool, ...]
    """Whether the isolator's contacts were joined."""

    def closes_s(self) -> float | None:
        """When the contacts first joined; None if they never did."""
        return next((at for at, joined in zip(self.seconds, self.closed, strict=True) if joined), None)


class _Record:
    """Notes both banks at each solve."""

    def __init__(self) -> None:
        self.rows: list[tuple[float, float, float, bool]] = []
        self.began_s: float | None = None

    def __call__(self, truck: Truck) -> None:
        start, aux = (float(truck.voltage_V(f"{bank}+", f"{bank}-")[0]) for bank in ("G1", "G2"))
        self.began_s = truck.time_s if self.began_s is None else self.began_s
        self.rows.append((truck.time_s - self.began_s, start, aux, joined(truck)))

    def follow(self, truck: Truck, seconds: float) -> None:
        """Let time pass in slices short enough for a plot."""
        for _ in range(round(seconds / _SLICE_S)):
            truck.advance(_SLICE_S, self)

    def done(self) -> BothBanks:
        seconds, start, aux, closed = zip(*self.rows, strict=True)
        return BothBanks(seconds, start, aux, closed)


def in_the_morning(fault: str = SOUND) -> Truck:
    """The reader's truck after a night, everything off."""
    return Truck(own_truck(fault=fault), _MORNING)


@lru_cache(maxsize=16)
def engine_starts(fault: str = SOUND) -> BothBanks:
    """A quiet moment, then the engine runs."""
    truck, record = in_the_morning(fault), _Record()
    record.follow(truck, QUIET_S)
    truck.set_key("engine")
    record.follow(truck, RUN_S)
    return record.done()


@lru_cache(maxsize=16)
def sense_fuse_pulled(fault: str = SOUND) -> BothBanks:
    """The engine has run five minutes; then fuse F7 comes out and goes back."""
    truck, record = in_the_morning(fault), _Record()
    truck.set_key("engine")
    truck.advance(300.0)
    record.follow(truck, QUIET_S)
    truck.pull_fuse("F7")
    record.follow(truck, FUSE_S)
    truck.fit_fuse("F7")
    record.follow(truck, FUSE_S)
    return record.done()


@lru_cache(maxsize=16)
def charging(fault: str = SOUND, seconds: float = 120.0) -> Truck:
    """The truck with its engine running so long. Look at it only: it is shared."""
    truck = in_the_morning(fault)
    truck.set_key("engine")
    truck.advance(seconds)
    return truck


def volts(truck: Truck, red: str, black: str) -> float:
    """Between two terminals, no meter connected."""
    return float(truck.voltage_V(red, black)[0])


def joined(truck: Truck) -> bool:
    """Whether the isolator's contacts are closed, by ear."""
    return str(truck.senses("feed_panel")["isolator contacts sound"][0]) == "pulled in"


def both_plot(run: BothBanks, title: str, events: dict[float, str]) -> Plot:
    """Two lines over seconds; ``events``: what happens when."""
    figure, axes = sheet(7.4, 3.2)
    told = []
    for index, (name, values) in enumerate(
        (("start bank G1", run.start_V), ("auxiliary bank G2", run.aux_V))
    ):
        axes.plot(
            run.seconds, values, label=name, color=SERIES[index], marker=MARKERS[index],
            markevery=max(1, len(values) // 12), markersize=4,
        )  # fmt: skip
        told.append(
            f"{name} from {values[0]:.2f} to {values[-1]:.2f} V, lowest {min(values):.2f}, highest {max(values):.2f}"
        )
    low, high = axes.get_ylim()
    axes.set_ylim(low - 0.2 * (high - low), high)
    axes.set_xlim(left=-QUIET_S)
    for row, (at, what) in enumerate(events.items()):
        axes.axvline(at, color=INK, linestyle=":", linewidth=1)
        # The first before its line, the second behind: what follows within seconds would stand on the same spot.
        axes.annotate(
            what,
            (at, axes.get_ylim()[0]),
            (4 if row else -4, 4),
            textcoords="offset points",
            ha="left" if row else "right",
            color=INK,
            fontsize=9,
        )
    axes.set_xlabel("seconds")
    axes.set_ylabel("V")
    happened = ", ".join(f"{what} at {at:.0f} s" for at, what in events.items())
    return finished(figure, axes, title, f"{title}: {'; '.join(told)}. {sentence(happened)}.")
