"""The linear equations of a network: modified nodal analysis with every current kept as an unknown.

For each node but ground the currents that leave it sum to zero; for each element ``pull * (v_a - v_b) -
drop * i = source`` (C.-W. Ho, A. E. Ruehli, P. A. Brennan, "The modified nodal approach to network
analysis", IEEE Trans. CAS 22, 1975). Keeping the currents costs a larger matrix and avoids adding a
1e4 S cable to a 1e-9 S leak in one number, which would lose the leak.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from parked_hvac.circuit.elements import CurrentSource, Element, Resistor, Switch, VoltageSource
from parked_hvac.circuit.errors import SingularNetwork

Floats = NDArray[np.float64]


class Tableau:
    """The equations of some elements; nonlinear ones enter through their tangents."""

    def __init__(self, elements: Sequence[Element], nodes: Sequence[str]) -> None:
        self._n, self._m = len(nodes) - 1, len(elements)
        place = {node: index - 1 for index, node in enumerate(nodes)}  # ground, the first, gets -1
        size = self._n + self._m
        self._matrix, self._right = np.zeros((size, size)), np.zeros(size)
        self._ends = [(place[element.a], place[element.b]) for element in elements]
        for number, (element, ends) in enumerate(zip(elements, self._ends, strict=True)):
            for end, sign in zip(ends, (1.0, -1.0), strict=True):
                if end >= 0:
                    self._matrix[end, self._n + number] = sign
            self._fill(number, *_row(element))

    def set_tangent(self, number: int, slope_S: float, offset_A: float) -> None:
        """Let element ``number`` carry slope_S * v + offset_A."""
        scale = max(1.0, abs(slope_S))
        self._fill(number, slope_S / scale, 1.0 / scale, -offset_A / scale)

    def solve(self) -> tuple[Floats, Floats, Floats]:
        """Node voltages (ground left out), element voltages and element currents."""
        with np.errstate(all="ignore"):  # what overflows is refused below
            try:
                unknowns = np.linalg.solve(self._matrix, self._right).astype(np.float64)
                # One correction makes the rounding small in every unknown by its own measure (R. D. Skeel,
                # Math. Comp. 35, 1980); without it a 1e-9 S leak beside 1e4 S was off by 3e-5.
                rest = self._right - self._matrix @ unknowns
                unknowns += np.linalg.solve(self._matrix, rest)
            except np.linalg.LinAlgError:
                raise _indefinite() from None
        if not np.isfinite(unknowns).all():
            raise _indefinite()
        voltages = unknowns[: self._n]
        grounded = np.append(voltages, 0.0)  # index -1 reads the ground
        a, b = np.asarray(self._ends, dtype=np.intp).reshape(self._m, 2).T
        return voltages, grounded[a] - grounded[b], unknowns[self._n :]

    def _fill(self, number: int, pull: float, drop: float, source: float) -> None:
        row = self._n + number
        for end, sign in zip(self._ends[number], (1.0, -1.0), strict=True):
            if end >= 0:
                self._matrix[row, end] = sign * pull
        self._matrix[row, row] = -drop
        self._right[row] = source


def _indefinite() -> SingularNetwork:
    return SingularNetwork("The equations of this network have no definite solution; check its values.", ())


def _row(element: Element) -> tuple[float, float, float]:
    """The coefficients pull, drop and source, scaled so that the greatest of pull and drop is 1."""
    match element:
        case VoltageSource():
            return 1.0, 0.0, element.voltage_V
        case CurrentSource():
            return 0.0, 1.0, -element.current_A
        case Switch(closed=False):
            return 0.0, 1.0, 0.0
        case Resistor() | Switch():
            scale = max(1.0, element.resistance_ohm)
            return 1.0 / scale, element.resistance_ohm / scale, 0.0
        case _:
            return 0.0, 1.0, 0.0
