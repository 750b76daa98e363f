"""Writes which faults no check of the list can tell apart, in none of several orders.

``python -m parked_hvac.diagnosis.groups [--into solutions]``
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import click
import numpy as np

from parked_hvac.diagnosis.checks import checks
from parked_hvac.diagnosis.classes import APART_BITS, telling_apart_bits
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.outlook import DRAWS, outlook
from parked_hvac.job.order import orders
from parked_hvac.rig.faults import fault, faults

PAGE = "alike.md"
_NAMED = ("night-call", "hot-afternoon", "half-the-night")
"""Orders of other weather and charge: what hides on a mild night may show on a hot day."""


@cache
def groups() -> dict[tuple[str, ...], float]:
    """Groups of faults that no check tells apart, each with the most that any check adds to a bet in it, in bits."""
    names, bits = tuple(faults()), _bits()
    near = bits < APART_BITS
    found: dict[tuple[str, ...], float] = {}
    for first in range(len(names)):
        reached = {first}
        while True:
            more = {int(other) for one in reached for other in np.flatnonzero(near[one])} | reached
            if more == reached:
                break
            reached = more
        if len(reached) > 1 and first == min(reached):
            members = sorted(reached)
            found[tuple(names[one] for one in members)] = float(bits[np.ix_(members, members)].max())
    return found


def page() -> str:
    """The groups as a page in Markdown."""
    rows = [
        f"| {'<br>'.join(f'{fault(name).title} (`{name}`)' for name in group)} | {most:.2f} |"
        for group, most in groups().items()
    ]
    return "\n".join(
        [
            "# Causes that no check can tell apart",
            "",
            f"Made by `python -m parked_hvac.diagnosis.groups` from {len(faults())} faults, {DRAWS} trucks of each, and the",
            f"{len(checks())} checks of the list in {len(_NAMED)} orders ({', '.join(_NAMED)}). Not edited by hand.",
            "",
            "Two causes stand together where no check, in none of the orders, adds as much as "
            f"{APART_BITS:g} bits to an even bet between them.",
            "",
            "| causes | most that a check adds, bits |",
            "| --- | --- |",
            *rows,
            "",
            f"All other {len(faults()) - sum(len(group) for group in groups())} causes differ from each other in a check.",
            "",
            "The list reads in set states of the truck: one step of the blower, cooling asked for or not. What else a fault",
            "moves, `pytest tests/rig/test_faults.py -s` prints for each of them.",
            "",
        ]
    )


def _bits() -> Floats:
    """Most that any check adds to an even bet between two faults, in the best of the orders, (faults, faults)."""
    names = tuple(faults())
    best = np.zeros((len(names), len(names)))
    for order in _NAMED:
        foretold = outlook(orders()[order])
        place = [foretold.cast.names.index(name) for name in names]
        for row, name in enumerate(names):
            found = telling_apart_bits(foretold.table, foretold.cast.names.index(name))
            best[row] = np.maximum(best[row], found[place])
    np.fill_diagonal(best, 0.0)
    return np.asarray(best)


@click.command()
@click.option("--into", type=click.Path(path_type=Path, file_okay=False), default=Path("solutions"))
def main(into: Path) -> None:
    """Find the groups and write their page."""
    into.mkdir(parents=True, exist_ok=True)
    (into / PAGE).write_text(page(), encoding="utf-8")
    click.echo(f"{len(groups())} groups; see {into / PAGE}")


if __name__ == "__main__":
    main()
