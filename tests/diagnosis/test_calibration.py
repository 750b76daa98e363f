from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from parked_hvac.diagnosis.calibration import LATE, MANY, play
from parked_hvac.diagnosis.reliability import draw_plot, reliability
from parked_hvac.job.order import order_named


def test_is_a_table_right_about_statements_that_are_as_probable_as_said() -> None:
    generator = np.random.default_rng(2)
    said = generator.random(20_000)
    honest = reliability(said, generator.random(said.size) < said)
    # 2000 statements a bin: the share that is right scatters by 0.01.
    assert honest.error < 0.02
    assert honest.error == pytest.approx(honest.chance_error, abs=0.01)
    boastful = reliability(said, generator.random(said.size) < said**2)
    # Mean of s - s² over evenly spread statements is 1/6.
    assert boastful.error == pytest.approx(1 / 6, abs=0.015)
    assert [one.count for one in honest.bins] == pytest.approx([2000] * 10, abs=200)


def test_does_the_table_and_plot_show_every_bin(tmp_path: Path) -> None:
    found = reliability(np.array([0.05, 0.95, 0.95, 1.0]), [False, True, True, False])
    assert len(found.table().splitlines()) == 12
    assert found.bins[9].count == 3
    assert found.bins[9].right == pytest.approx(2 / 3)
    for name in ("plot.svg", "plot.png"):
        draw_plot(found, tmp_path / name)
        assert (tmp_path / name).stat().st_size > 1000


@pytest.mark.slow
def test_are_the_judges_probabilities_right_as_often_as_they_say() -> None:
    """A subset of ``parked-hvac judge calibrate``, whose three thousand orders keep within 0.03."""
    played = play([order_named("night-call"), order_named("first-look")], count=160, group=40)
    each = played.after_each()
    # 160 orders: their readings hang together, so that chance alone makes about 0.04 of error.
    assert each.error < 0.09
    top = each.bins[-1]
    assert top.count > 50
    assert top.right > 0.85


@pytest.mark.slow
def test_does_a_whole_list_ticked_off_not_make_the_judge_too_sure() -> None:
    """Readings of one truck hang together: counted at three quarters each to the end, they made a wrong cause certain."""
    late = play([order_named("night-call")], count=24, group=24, checks_each=MANY).late()
    assert late.count > 24 * (MANY[0] - LATE) / 2
    top = late.bins[-1]
    assert top.count > 100
    # 0.92 of some four hundred statements on 24 trucks; 0.83 with three quarters.
    assert top.right > 0.88
