"""Do plots follow the theme, hold what they are given, and tell it in words?"""

from __future__ import annotations

import re
import subprocess
import sys
from xml.etree import ElementTree

import pytest

from parked_hvac.bench.plots import Plot, candidates_left, over_time, voltage_along

POINTS = ("G2+", "F2.2", "X20")


def drawn() -> list[Plot]:
    return [
        voltage_along(POINTS, {"no load": (12.6, 12.6, 12.6), "18 A <&>": (12.4, 12.3, 11.7)}),
        over_time((0.0, 1.0, 2.0), {"G2+": (12.6, 12.2, 12.1)}, "V", "Under load", limit=11.9),
        candidates_left([(0, 13), (3, 5)], [(0, 13), (2, 1)]),
    ]


@pytest.mark.parametrize("index", range(3))
def test_a_plot_is_a_picture_with_a_name_that_takes_its_colours_from_the_page(index: int) -> None:
    plot = drawn()[index]
    root = ElementTree.fromstring(plot.svg)
    assert root.get("role") == "img"
    assert root.get("aria-label")
    assert "currentColor" in plot.svg
    assert "#010203" not in plot.svg
    assert "white" not in plot.svg


@pytest.mark.parametrize("index", range(3))
def test_the_same_figures_give_the_same_picture(index: int) -> None:
    assert drawn()[index].svg == drawn()[index].svg


def test_do_two_plots_on_a_page_share_no_names() -> None:
    """A hatch is looked up by its name in the whole page: of two with one name, the second would use the first's."""
    other = voltage_along(POINTS, {"no load": (12.6, 12.6, 12.6), "20 A": (12.4, 12.2, 11.5)})
    hatches = [set(re.findall(r'<pattern id="(\w+)"', plot.svg)) for plot in (drawn()[0], other)]
    assert all(hatches)
    assert not hatches[0] & hatches[1]


def test_do_many_figures_stand_upright_so_that_they_do_not_meet() -> None:
    many = [f"F{i}" for i in range(9)]
    crowded = voltage_along(many, {"no load": [12.6] * 9, "18 A": [12.1] * 9})
    assert crowded.svg.count("rotate(-90") >= 18
    assert drawn()[0].svg.count("rotate(-90") <= 1  # the name of the axis


def test_every_voltage_is_told_in_words_and_stands_on_its_bar() -> None:
    plot = drawn()[0]
    assert "18 A <&>: G2+ 12.40 V, F2.2 12.30 V, X20 11.70 V" in plot.words
    for value in ("12.60", "12.40", "12.30", "11.70"):
        assert value in plot.svg
    assert "<&>" not in plot._repr_html_()


def test_candidates_are_told_for_both_paths() -> None:
    words = drawn()[2].words
    assert "Your path: 13 left at minute 0, 5 left at minute 3." in words
    assert "Best path found: 13 left at minute 0, 1 left at minute 2." in words


def test_a_path_is_told_by_what_changes() -> None:
    words = candidates_left([(0, 13), (3, 5), (4, 5), (6, 5), (9, 1)], []).words
    assert words.endswith("Your path: 13 left at minute 0, 5 left at minute 3, 1 left at minute 9.")


def test_a_case_with_a_value_missing_is_refused() -> None:
    with pytest.raises(ValueError, match="Case 'no load' has 2 values for 3 points"):
        voltage_along(POINTS, {"no load": (12.6, 12.6)})


def test_opening_the_bench_does_not_wait_for_the_plotting_library() -> None:
    program = "import sys, parked_hvac.bench; print([name for name in sys.modules if 'matplotlib' in name])"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert "matplotlib.pyplot" not in done.stdout
    assert "matplotlib.figure" not in done.stdout
