"""Give a law for one draw array arguments: it is asked once for each element.

The rig never comes this way (its kernel calls the laws in physics/scalar directly); lessons, plots and
tests do.
"""

from __future__ import annotations

from collections import namedtuple
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

import numpy as np


def each(law: Callable[..., Any], *arguments: Any) -> Any:
    """``law`` for every element of the broadcast arguments.

    An argument is a number, an array, or a mapping from field name to either, which the law gets as an
    object with those fields. A law that returns a tuple gives a tuple of arrays; a number for numbers.
    """
    leaves: list[Any] = []
    kinds: list[tuple[Any, int, int]] = []
    for argument in arguments:
        begin = len(leaves)
        if isinstance(argument, Mapping):
            leaves += argument.values()
            kinds.append((_record(tuple(argument)), begin, len(leaves)))
        else:
            leaves.append(argument)
            kinds.append((None, begin, begin))
    if all(type(leaf) in (float, int) for leaf in leaves):  # spares a single draw the way through numpy
        numbers = [float(leaf) for leaf in leaves]
        found = law(*(numbers[b] if kind is None else kind(*numbers[b:e]) for kind, b, e in kinds))
        return tuple(map(np.float64, found)) if isinstance(found, tuple) else np.float64(found)
    arrays = [np.asarray(leaf, dtype=np.float64) for leaf in leaves]
    shape = np.broadcast_shapes(*(array.shape for array in arrays))
    rows = zip(*(np.broadcast_to(array, shape).ravel().tolist() for array in arrays), strict=True)
    all_found = [
        law(*(row[begin] if kind is None else kind(*row[begin:end]) for kind, begin, end in kinds))
        for row in rows
    ]
    if all_found and isinstance(all_found[0], tuple):
        return tuple(_shaped(column, shape) for column in zip(*all_found, strict=True))
    return _shaped(all_found, shape)


def _shaped(values: Any, shape: tuple[int, ...]) -> Any:
    return np.array(values, dtype=np.float64).reshape(shape)[()]


@cache
def _record(names: tuple[str, ...]) -> Any:
    return namedtuple("_record", names)
