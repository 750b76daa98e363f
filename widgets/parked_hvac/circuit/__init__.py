"""Floor 0: electric networks in general; knows nothing of trucks."""

from parked_hvac.circuit.reduced import Reduced
from parked_hvac.circuit.reduction import LEAK_S, Reduction

__all__ = ["LEAK_S", "Reduced", "Reduction"]
