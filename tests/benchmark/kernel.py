"""What a reading costs in the kernel, beside two other ways to solve the same network."""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from parked_hvac.circuit import CurrentSource, Network, Resistor
from parked_hvac.circuit.spice import netlist
from parked_hvac.instruments import meter
from parked_hvac.job.attempt import Attempt
from parked_hvac.rig import parameters
from parked_hvac.rig.conditions import Conditions
from parked_hvac.rig.faults import draw_parameters, faults
from parked_hvac.rig.harness import GROUND, harness
from parked_hvac.rig.kernel import engine, plain
from parked_hvac.rig.truck import COARSE, FINE, Truck

OPEN_S = 1e-12  # below this a branch counts as open; the same leak to ground keeps every node defined


def times_ms(
    call: Callable[[int], object], repeat: int, clock: Callable[[], float] = time.perf_counter
) -> NDArray[np.float64]:
    """Milliseconds of each call; the first one, which fills caches, is left out."""
    call(0)
    taken = []
    for number in range(1, repeat + 1):
        begun = clock()
        call(number)
        taken.append((clock() - begun) * 1e3)
    return np.array(taken)


def import_ms(repeat: int) -> NDArray[np.float64]:
    """Milliseconds that `import parked_hvac` takes in a fresh Python, its own start left out."""
    code = "import time; t = time.perf_counter(); import parked_hvac; print((time.perf_counter() - t) * 1e3)"
    return np.array([_printed(code) for _ in range(repeat)])


def first_reading_ms(order: str) -> float:
    """Milliseconds from a fresh Python to the first figure on the meter."""
    with tempfile.TemporaryDirectory() as folder:
        path = str(Path(folder) / "attempt.jsonl")
        return _printed(
            "import time; t = time.perf_counter(); import parked_hvac; "
            f"attempt = parked_hvac.start({order!r}, learner='bench', path={path!r}); "
            "attempt.peek('dc_volts', 'F6.1', 'X0'); print((time.perf_counter() - t) * 1e3)"
        )


def nodal(truck: Truck) -> tuple[list[str], NDArray[np.float64], NDArray[np.float64]]:
    """The truck's wiring at this moment as one linear network: nodes, conductance matrix, currents pushed in.

    Sources and loads are the currents that they carry now, so all three ways find the same voltages.
    """
    layout, now = harness(), truck.now
    nodes = [node for node in now.voltages if node != GROUND]
    place = {node: i for i, node in enumerate(nodes)}
    matrix = np.zeros((len(nodes), len(nodes)))
    for (a, b), conductance in zip(layout.ends, now.conductance_S[:, 0], strict=True):
        for one, other in ((a, b), (b, a)):
            if one != GROUND:
                matrix[place[one], place[one]] += conductance
                if other != GROUND:
                    matrix[place[one], place[other]] -= conductance
    matrix += np.eye(len(nodes)) * OPEN_S
    voltages = np.array([float(now.voltages[node][0]) for node in nodes])
    return nodes, matrix, matrix @ voltages


def as_network(nodes: list[str], truck: Truck, pushed_A: NDArray[np.float64]) -> Network:
    """The same for the general solver and for ngspice."""
    layout, now = harness(), truck.now
    network = Network(ground=GROUND)
    for name, (a, b), conductance in zip(layout.names, layout.ends, now.conductance_S[:, 0], strict=True):
        if conductance > OPEN_S:
            network.add(Resistor(name, a, b, resistance_ohm=1.0 / float(conductance)))
    for node, current in zip(nodes, pushed_A, strict=True):
        network.add(Resistor(f"leak {node}", node, GROUND, resistance_ohm=1.0 / OPEN_S))
        if abs(current) > OPEN_S:
            network.add(CurrentSource(f"into {node}", GROUND, node, current_A=float(current)))
    return network


def ngspice_ms(program: str, network: Network, repeat: int) -> NDArray[np.float64]:
    """Milliseconds of one operating point, the program's start among them: it has no other way in."""
    with tempfile.TemporaryDirectory() as folder:
        deck = Path(folder) / "deck.cir"
        deck.write_text(netlist(network, "the truck"), encoding="utf-8")

        def solve(number: int) -> None:
            subprocess.run([program, "-b", str(deck)], capture_output=True, check=True)

        return times_ms(solve, repeat)


def at_work(attempt: Attempt) -> Truck:
    """Bring the attempt's truck under load, as in most readings of the course."""
    attempt.do("switch_parked_cooling", on=True)
    attempt.do("set_blower", step=4)
    attempt.do("wait", seconds=60)
    return attempt._session.truck  # no learner sees inside the truck, so no public name gives it


def night_s(repeat: int, step_scale: float = FINE) -> float:
    """Processor seconds that eight parked hours take, the compressor cycling; the best of ``repeat``, machine code loaded."""
    return min(_seconds(lambda: _night(parameters.nominal(1), step_scale)) for _ in range(repeat + 1))


def reading_ms(repeat: int) -> NDArray[np.float64]:
    """Processor milliseconds of one reading of the meter on a truck at work, solve and display among them."""
    truck = Truck(parameters.nominal(1), Conditions())
    _cool(truck)
    truck.advance(60.0)
    leads = (("G2+", "G2-"), ("X20", "X22"), ("T1.+", "T1.-"), ("K0.B1", "K0.B0"))

    def read(number: int) -> None:
        assert meter.read(truck, "dc_volts", *leads[number % len(leads)]).display[0]

    return times_ms(read, repeat, time.process_time)


def hour_per_draw_s(draws: int) -> dict[str, float]:
    """Processor seconds per draw of one parked hour, by the way it is run; trucks of all faults side by side.

    A batch goes the judge's coarse steps, a single truck the fine ones of a learner's; in plain Python that is what an
    attempt runs until machine code is worth loading.
    """
    names = list(faults())
    generator = np.random.default_rng(7)
    made = parameters.join(
        [draw_parameters((names[number % len(names)],), 1, generator) for number in range(draws)]
    )
    singles = [made.taken([number]) for number in range(0, draws, max(1, draws // 20))]
    compiled = engine.run

    def batch() -> None:
        _hour(made, COARSE)

    def one_by_one() -> None:
        for single in singles:
            _hour(single, FINE)

    batch()  # machine code is loaded here
    found = {"a batch": _seconds(batch) / draws, "one compiled": _seconds(one_by_one) / len(singles)}
    engine.run = _plainly
    try:
        found["one in plain Python"] = _seconds(one_by_one) / len(singles)
    finally:
        engine.run = compiled
    return found


def _plainly(load: Any, job: int, seconds: float = 0.0, steps: int = 1_000_000_000, times: int = 1) -> None:
    load.job, load.seconds, load.steps, load.times = job, seconds, steps, times
    plain.run(load)


def _hour(made: parameters.Parameters, step_scale: float) -> None:
    truck = Truck(made, Conditions(), step_scale)
    _cool(truck)
    truck.advance(3600.0)


def _night(made: parameters.Parameters, step_scale: float) -> None:
    truck = Truck(made, Conditions(sun_hour=21.0, outside_C=28.0, bunk_C=29.0), step_scale=step_scale)
    truck.turn_temperature(20.0)
    truck.turn_blower(3)
    truck.press_parked_cooling(True)
    truck.advance(8 * 3600.0)


def _cool(truck: Truck) -> None:
    truck.turn_temperature(16.0)
    truck.turn_blower(4)
    truck.press_parked_cooling(True)


def _seconds(work: Callable[[], object]) -> float:
    """Seconds of one processor, so that what else the machine does counts little."""
    begun = time.process_time()
    work()
    return time.process_time() - begun


def _printed(code: str) -> float:
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return float(done.stdout)
