"""One run of the made-up learners: goes on where an earlier one stopped, and writes table and curve."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import msgspec

from parked_hvac.assessment.trial import (
    LEAST_AREA,
    Result,
    area_under_roc,
    results,
    standings,
)
from parked_hvac.assessment.trial_report import write_report
from parked_hvac.job.order import order_named
from parked_hvac.job.order import orders as all_orders


@dataclass(frozen=True)
class Told:
    """What a run found."""

    rows: list[dict[str, Any]]
    area: float

    @property
    def kept(self) -> bool:
        """Whether every limit is kept."""
        return self.area >= LEAST_AREA and all(row["kept"] for row in self.rows if "kept" in row)

    def line(self, row: dict[str, Any]) -> str:
        """A row for people."""
        if "area" in row:
            return f"area under the ROC curve {row['area']:.4f}, at least {LEAST_AREA:g}"
        verdict = "" if row["kept"] else "  NOT KEPT"
        return f"{row['learner']:26}{row['mean']:6.1f}  {row['limit']:12}{row['lowest']:6.1f} to {row['highest']:5.1f}{verdict}"


def run_trial(
    orders: Sequence[str],
    variants: int,
    say: Callable[[int, int, str], None],
    out: Path | None = None,
    keep: Path | None = None,
) -> Told:
    """Play orders (all, if none is named) on so many variants each. Raises OrderError for an unknown order.

    ``keep`` names a file of results, one line of JSON each: what it holds is not played again, what is played is added.
    """
    chosen = [order_named(name).id for name in orders] or list(all_orders())
    known = _kept(keep)
    done = {(one.order, one.variant, one.learner) for one in known}
    for one in results(chosen, variants, say, done=done):
        known.append(one)
        if keep is not None:
            with keep.open("ab") as file:
                file.write(msgspec.json.encode(one) + b"\n")
    if out is not None:
        write_report(known, out)
    area = area_under_roc(known)
    rows: list[dict[str, Any]] = [asdict(one) for one in standings(known)]
    return Told([*rows, {"area": area}], area)


def _kept(keep: Path | None) -> list[Result]:
    if keep is None or not keep.exists():
        return []
    return list(msgspec.json.Decoder(Result).decode_lines(keep.read_bytes()))
