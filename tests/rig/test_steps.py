"""Would steps in time half as long show other readings?

On a truck whose readings are written down no reading of the meter, the clamp or the thermometer may change by more than
its accuracy. With usual steps the same holds where nothing switches again and again. Where it does, the moments drift
apart by seconds in an hour, as they do between two trucks of one line; the number of starts and the time that the
compressor runs are compared, and the extremes that each reading takes: peaks of a moment, so twice the accuracy. So
much is allowed to the judge's coarse steps, too.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pytest

import parked_hvac.rig.kernel.compiled  # noqa: F401  thousands of steps: machine code from the first of them on
from parked_hvac.instruments import meter
from parked_hvac.instruments.specification import tools
from parked_hvac.rig import parameters
from parked_hvac.rig.catalogue import catalogue
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.faults import apply_fault
from parked_hvac.rig.senses import POINTS
from parked_hvac.rig.truck import COARSE, FINE, USUAL, Truck

Hands = Callable[[Truck], None]
HALF = 0.5
PAIRS = [(name, "X0") for name in catalogue().terminals] + [("G1+", "G1-"), ("G2+", "G2-"), ("G2+", "T1.+")]


def truck(step_scale: float, *faults: str, severity: float = 0.5, **conditions: object) -> Truck:
    figures = parameters.nominal()
    for fault in faults:
        apply_fault(figures, fault, np.array([severity]), np.array([0.9]))
    return Truck(figures, Conditions(**conditions), step_scale=step_scale)  # type: ignore[arg-type]


def readings(made: Truck) -> np.ndarray:
    """All that instruments can show now: volts, amperes, degrees."""
    shown = [made.voltage_V(red, black)[0] for red, black in PAIRS]
    shown += [made.current_A(cable)[0] for cable in catalogue().cables]
    return np.array(shown + [made.temperature_C(point)[0] for point in POINTS])


def names() -> list[str]:
    return [f"{red} to {black}" for red, black in PAIRS] + [*catalogue().cables, *POINTS]


def accuracy(values: np.ndarray) -> np.ndarray:
    """What the instruments leave open at these readings, in their units."""
    volts = meter.show("dc_volts", values[: len(PAIRS)], np.zeros(len(PAIRS)))
    clamp, amperes = tools().clamp, values[len(PAIRS) : -len(POINTS)]
    open_A = np.abs(amperes) * clamp.percent.value / 100.0 + clamp.absolute_A.value
    return np.concatenate(
        [2.0 * volts.sigma, open_A, np.full(len(POINTS), tools().thermometer.absolute_C.value)]
    )


def assert_alike(coarse: np.ndarray, fine: np.ndarray, where: str, most: float = 1.0) -> None:
    share = np.abs(coarse - fine) / accuracy(fine)
    worst = int(np.argmax(share))
    assert share[worst] <= most, f"{where}, {names()[worst]}: {coarse[worst]:.4f} and {fine[worst]:.4f}"


def cools(blower: int = 4, celsius: float = 16.0) -> Hands:
    def use(made: Truck) -> None:
        made.turn_blower(blower)
        made.turn_temperature(celsius)
        made.press_parked_cooling(True)

    return use


def drives(made: Truck) -> None:
    made.set_key("engine")


def has_driven(made: Truck) -> None:
    made.set_key("engine")
    made.advance(1800.0)
    made.set_key("off")


@dataclass(frozen=True)
class Scene:
    """A truck, what hands do with it, and after how many seconds it is read."""

    faults: tuple[str, ...]
    conditions: dict[str, object]
    hands: Hands
    read_s: tuple[float, ...]
    peaks: float = 2.0  # accuracies by which extremes may differ
    severity: float = 0.5


STEADY = {
    "an hour of pulling down a hot bunk": Scene(
        (), {"outside_C": 38.0, "bunk_C": 45.0}, cools(5, 20.0), (30, 60, 120, 300, 600, 1200, 1800)
    ),
    "an hour of charging empty banks": Scene(
        (), {"aux_charge": 0.5, "start_charge": 0.7}, drives, (2, 4, 60, 300, 900, 3600)
    ),
    # Surface charge rises evenly until the regulator takes over from the alternator's limit, within a minute or two.
    "nearly full banks as the engine starts": Scene(
        (), {"aux_charge": 0.9, "start_charge": 0.95}, drives, (30, 45, 60, 75, 90, 120, 150)
    ),
    "surface charge that bleeds off": Scene((), {"aux_charge": 0.8}, has_driven, (30, 60, 300, 900, 10800)),
    "surface charge under the compressor": Scene(
        ("aux_bank_surface_charge",), {}, cools(), (10, 30, 60, 180)
    ),
    "a shorted cell in a resting bank": Scene(
        ("aux_battery_cell_shorted",), {}, lambda made: None, (60, 600, 3600)
    ),
    "a dead condenser fan on a hot day": Scene(
        ("m3_open",),
        {"outside_C": 38.0, "bunk_C": 38.0, "relative_humidity": 0.3},
        cools(),
        (60, 120, 300, 900),
    ),
    "the first cut-out behind a corroded lug": Scene(
        ("lug_corroded_g2_negative",), {}, cools(), (5, 10, 20, 30, 60)
    ),
}


@pytest.mark.parametrize("name", STEADY)
def test_do_half_of_usual_steps_show_the_same_readings_while_nothing_switches(name: str) -> None:
    assert_reads_alike(STEADY[name], USUAL, HALF * USUAL, STEADY[name].read_s)


@pytest.mark.parametrize("name", STEADY)
def test_do_coarse_steps_show_nearly_the_same_readings_while_nothing_switches(name: str) -> None:
    assert_reads_alike(STEADY[name], COARSE, FINE, STEADY[name].read_s, most=2.0)


def assert_reads_alike(
    scene: Scene, one: float, other: float, read_s: tuple[float, ...], most: float = 1.0
) -> None:
    coarse, fine = (
        truck(steps, *scene.faults, severity=scene.severity, **scene.conditions) for steps in (one, other)
    )
    for made in (coarse, fine):
        scene.hands(made)
    for before_s, now_s in itertools.pairwise((0.0, *read_s)):
        for made in (coarse, fine):
            made.advance(now_s - before_s)
        assert_alike(readings(coarse), readings(fine), f"after {now_s} s", most)


def test_does_surface_charge_not_swing_while_banks_charge_in_coarse_steps() -> None:
    scene = STEADY["an hour of charging empty banks"]
    made, held_V = truck(COARSE, **scene.conditions), []
    scene.hands(made)
    made.advance(1800.0, watch=lambda now: held_V.append(now._load.cells["surface_V"][0].copy()))
    moves_V = np.diff(held_V, axis=0)
    for battery in moves_V.T:
        turns = np.count_nonzero(np.diff(np.sign(battery[np.abs(battery) > 1e-4])))
        # Up and down once: the start bank gives to the auxiliary one when the isolator closes.
        assert turns <= 2


@dataclass(frozen=True)
class Watched:
    """How a truck went: extremes of all readings in the second half, starts, share of the time it ran."""

    least: np.ndarray
    most: np.ndarray
    starts: int
    ran: float


def watched(made: Truck, hands: Hands, seconds: float) -> Watched:
    moments: list[tuple[float, bool]] = []
    shown: list[np.ndarray] = []

    def look(now: Truck) -> None:
        moments.append((now.time_s, bool(now.compressor.driving[0])))
        if now.time_s >= seconds / 2:
            shown.append(readings(now))

    hands(made)
    made.advance(seconds, watch=look)
    pairs = list(itertools.pairwise(moments))
    starts = sum(now and not before for (_, before), (_, now) in pairs)
    ran = sum(later - at for (at, on), (later, _) in pairs if on) / seconds
    return Watched(np.min(shown, axis=0), np.max(shown, axis=0), starts, ran)


SWITCHING = {
    "an hour against the frost switch": Scene((), {}, cools(), (3600,)),
    "a mild night by the thermostat": Scene(
        (), {"outside_C": 24.0, "bunk_C": 27.0, "sun_hour": 22.0}, cools(3, 22.0), (3600,)
    ),
    # Its supply falls by 25 mV in each second until it stops: extremes differ by the moment of the stop.
    "a unit that starts and stops": Scene(
        ("lug_corroded_g2_negative",), {}, cools(), (300,), 5.0, severity=0.6
    ),
    "a sulphated bank": Scene(("aux_bank_sulphated",), {}, cools(), (3600,)),
    "cooling while the engine runs": Scene(
        (), {"aux_charge": 0.5}, lambda made: (cools()(made), drives(made))[0], (1800,)
    ),
}


@pytest.mark.parametrize("name", STEADY | SWITCHING)
def test_do_half_of_fine_steps_show_the_same_readings(name: str) -> None:
    scene = (STEADY | SWITCHING)[name]
    # A learner reads at any moment: every two minutes of the hour, or wherever the scene says more.
    read_s = np.union1d(scene.read_s, np.arange(120.0, scene.read_s[-1], 120.0))
    assert_reads_alike(scene, FINE, HALF * FINE, tuple(read_s.tolist()))


@pytest.mark.parametrize("name", SWITCHING)
def test_do_half_steps_switch_as_often_and_reach_the_same_extremes(name: str) -> None:
    scene = SWITCHING[name]
    coarse, fine = (
        watched(
            truck(scale, *scene.faults, severity=scene.severity, **scene.conditions),
            scene.hands,
            scene.read_s[0],
        )
        for scale in (USUAL, HALF * USUAL)
    )
    # A start more or less at the end, and a hundredth of the time: less than a technician can tell.
    assert abs(coarse.starts - fine.starts) <= 1
    assert coarse.ran == pytest.approx(fine.ran, abs=0.01)
    assert_alike(coarse.least, fine.least, "lowest", scene.peaks)
    assert_alike(coarse.most, fine.most, "highest", scene.peaks)


def test_are_coarse_steps_seen() -> None:
    scene = STEADY["an hour of charging empty banks"]
    coarse, fine = (truck(scale, **scene.conditions) for scale in (32.0, 8.0))
    for made in (coarse, fine):
        scene.hands(made)
        made.advance(60.0)
    with pytest.raises(AssertionError, match="after a minute"):
        assert_alike(readings(coarse), readings(fine), "after a minute")
