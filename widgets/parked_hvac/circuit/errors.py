"""What can be wrong with a network, each in one sentence that names the culprit."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches


class CircuitError(ValueError):
    """A network that cannot be built, solved or read as asked."""


class SingularNetwork(CircuitError):
    """A network without a definite solution; ``names`` are its floating nodes or its conflicting elements."""

    def __init__(self, sentence: str, names: Iterable[str]) -> None:
        super().__init__(sentence)
        self.names = tuple(names)


class NotConverged(CircuitError):
    """The equations of the nonlinear elements were not met to the tolerance."""


def unknown(kind: str, name: str, known: Iterable[str]) -> CircuitError:
    """The error for a name that the network does not have, with the nearest that it has."""
    near = get_close_matches(str(name), list(known), n=1, cutoff=0.5)
    hint = f"did you mean {near[0]!r}?" if near else "check the spelling."
    return CircuitError(f"This network has no {kind} {name!r}; {hint}")
