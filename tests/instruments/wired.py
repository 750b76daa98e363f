"""A truck made of a handful of parts, so that what a meter does to a circuit can be checked by hand.

It is solved by the general solver of floor 0, one network per draw, with the instrument in the network.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from parked_hvac.circuit import CurrentSource, Network, Resistor
from parked_hvac.circuit.elements import Element
from parked_hvac.physics.waveform import PulseTrain

LEAK_OHM = 1e12


class WiredTruck:
    """One network per draw; nodes named in ``floating`` are held by a leak of 1 Tohm, as in the rig."""

    def __init__(
        self,
        *draws: Sequence[Element],
        gain_error: Sequence[float] | float = 0.0,
        floating: Sequence[str] = (),
        wave: PulseTrain | None = None,
        clamp_zero_A: float = 0.0,
    ) -> None:
        self._draws = [list(elements) for elements in draws]
        self._leaks = [Resistor(f"leak {node}", node, "0", LEAK_OHM) for node in floating]
        self.batch = len(draws)
        self.parameters = {
            "meter.gain_error": np.broadcast_to(np.asarray(gain_error, dtype=np.float64), (self.batch,)),
            "clamp.zero_A": np.full(self.batch, clamp_zero_A),
        }
        self._wave = wave
        self.probes = 0

    def _solved(self, draw: int, *more: Element):
        return Network().add(*self._draws[draw], *self._leaks, *more).solve()

    def voltage_V(self, red: str, black: str) -> np.ndarray:
        return np.array([self._solved(i).voltage_V(red, black) for i in range(self.batch)])

    def probe(self, red: str, black: str, conductance_S: float = 1e-7, current_A: float = 0.0) -> np.ndarray:
        self.probes += 1
        instrument: list[Element] = [CurrentSource("instrument push", black, red, current_A)]
        if conductance_S > 0:
            instrument.append(Resistor("instrument", red, black, 1.0 / conductance_S))
        return np.array([self._solved(i, *instrument).voltage_V(red, black) for i in range(self.batch)])

    def current_A(self, name: str) -> np.ndarray:
        return np.array([self._solved(i).current_A(name) for i in range(self.batch)])

    def waveform(self, red: str, black: str) -> PulseTrain | None:
        return self._wave

    def replace(self, change: Callable[[list[Element]], list[Element]]) -> None:
        """Change the parts of every draw."""
        self._draws = [change(elements) for elements in self._draws]
