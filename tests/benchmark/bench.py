"""Print how fast the course answers, beside plain numpy and ngspice on the same network.

    python tests/benchmark/bench.py             the kernel's part
    python tests/benchmark/bench.py --browser   the browser's part too, in a real JupyterLab
    python tests/benchmark/bench.py --truck     how fast the truck goes through time, alone and among many

Times depend on the machine and on what else it does, those of ``--truck`` less, being the processor's; ratios least.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

import numpy as np

REPOSITORY = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(REPOSITORY), str(REPOSITORY / "widgets")]

import parked_hvac  # noqa: E402  the path above comes first
from tests.benchmark import kernel  # noqa: E402

ORDER = "first-look"
LEADS = (("F6.1", "X0"), ("F6.2", "X0"), ("F6.1", "F6.2"))  # nothing needs to be opened for these
NUMPY = "numpy.linalg.solve, same network"
NGSPICE = "ngspice, one operating point, same network"
NIGHT_LIMIT_S, READING_LIMIT_MS, DRAWS = 0.5, 5.0, 1000
Row = tuple[str, float, float, float | None]


def main() -> None:
    """Measure and print one table."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--repeat", type=int, default=200, metavar="N", help="calls of each kind (200)")
    parser.add_argument("--browser", action="store_true", help="measure click to reading in Chromium too")
    parser.add_argument("--truck", action="store_true", help="only how fast the truck goes through time")
    chosen = parser.parse_args()
    if chosen.truck:
        print_truck(chosen.repeat)
        return
    rows = kernel_rows(chosen.repeat)
    if chosen.browser:
        from tests.benchmark import page

        rows += page.rows(ORDER, max(20, chosen.repeat // 4))
    print_table(rows)


def kernel_rows(repeat: int) -> list[Row]:
    """Name, median and 95th percentile in ms, and the limit where one is set."""
    rows: list[Row] = [row("import parked_hvac, fresh Python", kernel.import_ms(10), limit_ms=500)]
    first = kernel.first_reading_ms(ORDER)
    rows.append(("fresh Python to first figure on the meter", first, first, None))
    with tempfile.TemporaryDirectory() as folder:
        attempt = parked_hvac.start(ORDER, learner="bench", path=Path(folder) / "attempt.jsonl")
        truck = kernel.at_work(attempt)
        nodes, matrix, pushed = kernel.nodal(truck)
        network = kernel.as_network(nodes, truck, pushed)
        here = np.array([float(truck.now.voltages[node][0]) for node in nodes])
        print(f"{len(nodes)} nodes, {len(network.elements)} elements, one truck under load")
        agreement = np.abs(np.linalg.solve(matrix, pushed) - here).max()
        print(f"numpy.linalg.solve finds the truck's voltages within {agreement:.1e} V")

        # The meter's figure: every lead move, control or passing minute makes it solve again.
        def move_lead(number: int) -> None:
            attempt.peek("dc_volts", *LEADS[number % len(LEADS)])

        def write_down(number: int) -> None:
            attempt.do("measure", function="dc_volts", red=LEADS[0][0], black=LEADS[0][1])

        rows.append(row("a figure on the meter, lead moved", kernel.times_ms(move_lead, repeat), limit_ms=10))
        rows.append(row("a reading written down, its minute passing", kernel.times_ms(write_down, 20)))
    solve = kernel.times_ms(lambda number: np.linalg.solve(matrix, pushed), repeat)
    rows.append(row(NUMPY, solve))
    rows.append(
        row("the general solver (floor 0), same network", kernel.times_ms(lambda n: network.solve(), 20))
    )
    if program := shutil.which("ngspice"):
        rows.append(row(NGSPICE, kernel.ngspice_ms(program, network, 20)))
    else:
        print("ngspice is not here: apt-get install ngspice")
    return rows


def print_truck(repeat: int) -> None:
    """A night, a reading, and an hour of one truck beside that of many, each with the limit it is held to."""
    night = kernel.night_s(5)
    held = "held" if night <= NIGHT_LIMIT_S else "MISSED"
    print(f"eight parked hours, one truck: {night:.3f} s; limit {NIGHT_LIMIT_S} s: {held}")
    reading = float(np.percentile(kernel.reading_ms(repeat), 95))
    held = "held" if reading <= READING_LIMIT_MS else "MISSED"
    print(f"one reading in the kernel, p95: {reading:.2f} ms; limit {READING_LIMIT_MS} ms: {held}")
    each = kernel.hour_per_draw_s(DRAWS)
    print(f"one parked hour, {DRAWS} draws of all faults, seconds per draw and share of a single run:")
    for name in ("one in plain Python", "one compiled", "a batch"):
        shares = [f"{each[name] / each[other]:.3f} of {other}" for other in each if other != name]
        print(f"  {name:20} {each[name]:.5f} s   {', '.join(shares)}")
    held = "held" if each["a batch"] <= each["one in plain Python"] / 100 else "MISSED"
    print(f"  a batch against one in plain Python: a hundredth {held}")


def row(name: str, taken_ms: Sequence[float] | np.ndarray, limit_ms: float | None = None) -> Row:
    """A line of the table from the milliseconds of many calls."""
    return name, float(np.median(taken_ms)), float(np.percentile(taken_ms, 95)), limit_ms


def print_table(rows: list[Row]) -> None:
    """Times, the limit held or not, and how many times numpy's and ngspice's way each takes."""
    beside = {name: median for name, median, _, _ in rows if name in (NUMPY, NGSPICE)}
    print(f"\n{'':45}{'p50 ms':>10}{'p95 ms':>10}{'limit':>12}{'x numpy':>10}{'x ngspice':>10}")
    for name, median, high, limit in rows:
        held = "" if limit is None else f"{limit:g} {'held' if high <= limit else 'MISSED'}"
        ratios = [f"{median / beside[other]:.2g}" if other in beside else "-" for other in (NUMPY, NGSPICE)]
        print(f"{name:45}{median:10.3g}{high:10.3g}{held:>12}{ratios[0]:>10}{ratios[1]:>10}")


if __name__ == "__main__":
    main()
