"""Writes the reliability table and its plot for the instructor's guide.

``python -m parked_hvac.diagnosis.calibrate [--orders 1000] [--into solutions]``
"""

from __future__ import annotations

from pathlib import Path

import click

from parked_hvac.diagnosis.calibration import ORDERS, Played, play
from parked_hvac.diagnosis.reliability import draw_plot
from parked_hvac.diagnosis.walk import DRAWS
from parked_hvac.job.order import Order, orders

MOST_ERROR = 0.03
"""Expected calibration error that is allowed."""
_NAMED = ("night-call", "first-look", "two-feeds", "hot-afternoon", "heat-that-stays")


def chosen_orders() -> tuple[Order, ...]:
    """Orders of several lessons, from one fault to two and none."""
    known = orders()
    return tuple(known[name] for name in _NAMED if name in known)


def page(played: Played, count: int) -> str:
    """The result as a page in Markdown."""
    each, end = played.after_each(), played.at_the_end()
    return "\n".join(
        [
            "# How far the judge's probabilities can be trusted",
            "",
            f"Made by `python -m parked_hvac.diagnosis.calibrate`: {count} simulated orders, {DRAWS} trucks for each cause,",
            "hidden causes drawn as probable as the judge holds them, checks at random. Not edited by hand.",
            "",
            "A cause called 90 % probable should be right 90 % of the time. 'Said' is the probability of the likeliest cause.",
            "",
            "![Probability said against share that was right](reliability.svg)",
            "",
            "## After each reading",
            "",
            each.table(),
            "",
            f"Expected calibration error {each.error:.3f} (limit {MOST_ERROR}); by chance alone {each.chance_error:.3f}.",
            "",
            "## After the last reading of each order",
            "",
            end.table(),
            "",
            f"Expected calibration error {end.error:.3f}; by chance alone {end.chance_error:.3f}.",
            "",
        ]
    )


@click.command()
@click.option("--orders", "count", type=click.IntRange(40), default=ORDERS, help="Simulated orders (1000).")
@click.option("--into", type=click.Path(path_type=Path, file_okay=False), default=Path("solutions"))
def main(count: int, into: Path) -> None:
    """Play simulated orders and write reliability.md and reliability.svg. Ends with 1 where the error is too large."""
    with click.progressbar(length=count, label="Simulated orders") as bar:
        played = play(chosen_orders(), count, tell=bar.update)
    into.mkdir(parents=True, exist_ok=True)
    (into / "reliability.md").write_text(page(played, count), encoding="utf-8")
    draw_plot(played.after_each(), into / "reliability.svg")
    error = played.after_each().error
    click.echo(f"Expected calibration error {error:.3f} (limit {MOST_ERROR}); see {into / 'reliability.md'}")
    raise SystemExit(0 if error <= MOST_ERROR else 1)


if __name__ == "__main__":
    main()
