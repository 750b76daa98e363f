"""Find the state in which every element obeys its law: Newton, and a slow sure way where that fails."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from parked_hvac.circuit.elements import CurrentSource, Element
from parked_hvac.circuit.errors import NotConverged, SingularNetwork
from parked_hvac.circuit.nonlinear import NonlinearElement
from parked_hvac.circuit.tableau import Tableau

Floats = NDArray[np.float64]

_CLOSE = 1e-9  # V and relative; Newton squares the error, so the true one is far below
_ROUNDS = 60
_STIFF_S = 1e4  # conductance of the first capacitor step; above the slope of any load of the truck's size
_LOOSE_S = 1e-9
_STEPS = 400


def settle(elements: Sequence[Element], nodes: Sequence[str]) -> tuple[dict[str, float], dict[str, float]]:
    """Voltages by node (ground is the first node) and currents by element name; raises NotConverged."""
    tableau = Tableau(elements, nodes)
    curved = {n: element for n, element in enumerate(elements) if isinstance(element, NonlinearElement)}
    state = _newton(tableau, curved) if curved else tableau.solve()
    if state is None:
        state = _settle_slowly(tableau, curved)
    voltages, across, currents = state
    for number, element in enumerate(elements):
        # Where a law gives the current outright, the rounding of the equations stays out of it.
        if isinstance(element, NonlinearElement):
            currents[number] = element.law_A(float(across[number]))
        elif isinstance(element, CurrentSource):
            currents[number] = element.current_A
        elif not element.conducts:
            currents[number] = 0.0
    by_node = dict(zip(nodes, [0.0, *voltages.tolist()], strict=True))
    return by_node, dict(zip((element.name for element in elements), currents.tolist(), strict=True))


State = tuple[Floats, Floats, Floats]


def _newton(
    tableau: Tableau,
    curved: dict[int, NonlinearElement],
    anchors: dict[int, float] | None = None,
    anchor_S: float = 0.0,
) -> State | None:
    """Newton's method, from rest or from the anchors, which also pull with anchor_S; None if it wanders."""
    anchors = anchors or {}
    present: dict[int, float] = dict(anchors)
    for _ in range(_ROUNDS):
        for number, element in curved.items():
            slope, offset = _tangent(element, present.get(number))
            pull = anchor_S * anchors.get(number, 0.0)
            tableau.set_tangent(number, slope + anchor_S, offset - pull)
        try:
            state = tableau.solve()
        except SingularNetwork:
            return None  # falling loads can meet a singular tangent on the way
        across = state[1]
        close = True
        for number, element in curved.items():
            proposed = float(across[number])
            if not np.isfinite(proposed):
                return None
            before = present.get(number)
            close = close and before is not None and abs(proposed - before) <= _CLOSE * (1.0 + abs(proposed))
            present[number] = element.limited_V(proposed, 0.0 if before is None else before)
        if close:
            return state
    return None


def _tangent(element: NonlinearElement, voltage_V: float | None) -> tuple[float, float]:
    if voltage_V is None:
        return element.resting_S, 0.0
    slope = element.slope_S(voltage_V)
    return slope, element.law_A(voltage_V) - slope * voltage_V


def _settle_slowly(tableau: Tableau, curved: dict[int, NonlinearElement]) -> State:
    """Charge a capacitor across each nonlinear element until nothing moves.

    A network of two-terminal elements with capacitors alone runs downhill on its co-content and comes to
    rest (W. Millar, Phil. Mag. 42, 1951; R. K. Brayton and J. Moser, Q. Appl. Math. 22, 1964). A time step of
    backward Euler is a Newton solve with a conductance C/dt to the voltage before; the steps grow while
    they succeed, and at the end the conductance is gone.
    """
    anchors = _unloaded(tableau, curved)
    conductance = _STIFF_S
    for _ in range(_STEPS):
        state = _newton(tableau, curved, anchors, conductance)
        if state is None:
            conductance *= 8.0
            continue
        anchors = {number: float(state[1][number]) for number in curved}
        conductance *= 0.5
        if conductance < _LOOSE_S:
            final = _newton(tableau, curved, anchors)
            if final is not None:
                return final
            conductance *= 64.0
    names = ", ".join(repr(element.name) for element in curved.values())
    raise NotConverged(f"No steady state was found for the nonlinear elements {names}; check their values.")


def _unloaded(tableau: Tableau, curved: dict[int, NonlinearElement]) -> dict[int, float]:
    for number, element in curved.items():
        tableau.set_tangent(number, element.resting_S, 0.0)
    across = tableau.solve()[1]
    return {number: element.limited_V(float(across[number]), 0.0) for number, element in curved.items()}
