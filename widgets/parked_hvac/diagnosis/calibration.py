"""Plays simulated orders with hidden causes, and asks how often the judge's likeliest cause was the true one.

Causes are drawn as probable as the judge holds them, trucks as a learner's are, checks at random from the list with more
weight on those that tell more per minute. Orders are played by groups that take the same steps on trucks of their own, as
a class would.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from parked_hvac.diagnosis.analysis import weigh
from parked_hvac.diagnosis.candidates import prior
from parked_hvac.diagnosis.cast import cast_of
from parked_hvac.diagnosis.checks import Check, checks
from parked_hvac.diagnosis.information import bits_of_tables
from parked_hvac.diagnosis.kernel import Floats
from parked_hvac.diagnosis.labour_time import minutes_of
from parked_hvac.diagnosis.outlook import outlook
from parked_hvac.diagnosis.path import BEFORE, opening
from parked_hvac.diagnosis.predictions import Step, observed
from parked_hvac.diagnosis.reliability import Reliability, reliability
from parked_hvac.diagnosis.states import STATES, Action, Stand
from parked_hvac.diagnosis.walk import DRAWS, Walk
from parked_hvac.job.order import Order
from parked_hvac.job.session import Session
from parked_hvac.rig.faults import draw_parameters
from parked_hvac.rig.parameters import join

ORDERS = 3000
"""Simulated orders: of a thousand, the error at the end of an order is 0.028 by chance alone, which is nearly the limit."""
GROUP = 40
"""Simulated orders that share their steps."""
FEW, MANY = (2, 12), (30, 60)
"""Least and most checks of an order: of one that is thought through, and of one where a whole list is ticked off."""
LATE = 20
"""Readings of an order after which those that follow are looked at by themselves where many are taken."""
_OPENING_SHARE = 0.8
_SEED = 6
"""Shares to which readings count were chosen on seeds 4 and 5."""


@dataclass(frozen=True)
class Played:
    """Simulated orders: after each reading, what was said of the likeliest cause and whether it was the true one."""

    said: Floats
    right: Floats
    last: Floats
    """Whether it was the last reading of its order."""
    number: Floats
    """Which reading of its order it was, from 1."""

    def after_each(self) -> Reliability:
        """Reliability over all readings."""
        return reliability(self.said, self.right)

    def at_the_end(self) -> Reliability:
        """Reliability over the last reading of each order."""
        end = self.last > 0
        return reliability(self.said[end], self.right[end])

    def late(self) -> Reliability:
        """Reliability over the readings after the first ``LATE`` of each order."""
        late = self.number > LATE
        return reliability(self.said[late], self.right[late])


def play(
    orders: Sequence[Order],
    count: int = ORDERS,
    group: int = GROUP,
    draws: int = DRAWS,
    tell: Callable[[int], None] | None = None,
    checks_each: tuple[int, int] = FEW,
) -> Played:
    """Play ``count`` simulated orders by groups, the given orders in turn; tell: called with how many were played.

    checks_each: least and most checks of an order.
    """
    generator = np.random.default_rng(_SEED)
    weight = _weight(orders[0])
    parts: list[tuple[Floats, ...]] = []
    for start in range(0, count, group):
        order = orders[(start // group) % len(orders)]
        size = min(group, count - start)
        steps = steps_at_random(weight, generator, checks_each)
        parts.append(_group(order, size, draws, steps, generator))
        if tell is not None:
            tell(size)
    return Played(*(np.concatenate(part) for part in zip(*parts, strict=True)))


def steps_at_random(
    weight: Floats, generator: np.random.Generator, checks_each: tuple[int, int] = FEW
) -> list[Step]:
    """Steps of a sensible order: the complaint confirmed, then some checks, state by state; weight (M,)."""
    first = [check for check in opening() if generator.random() < _OPENING_SHARE]
    least, most = checks_each
    many = int(generator.integers(least, most + 1))
    chosen = [
        checks()[m] for m in generator.choice(weight.size, size=many, replace=False, p=weight / weight.sum())
    ]
    states = generator.permutation(list(STATES)).tolist()
    chosen.sort(key=lambda check: (states.index(check.state), check.plugs, check.covers))
    return [Step(n, verb, arguments) for n, (verb, arguments) in enumerate(_actions([*first, *chosen]), 1)]


def _actions(taken: Sequence[Check]) -> list[Action]:
    stand = Stand(prepared=frozenset({"chock_wheels"}), actions=BEFORE)
    for check in taken:
        stand = check.after(stand)
    return list(stand.actions)


def _weight(order: Order) -> Floats:
    """How likely each check is to be chosen: by what it tells per minute before anything is known, none left out."""
    found = outlook(order)
    minutes = np.array([minutes_of(check.verb, check.arguments) for check in checks()])
    return np.asarray((bits_of_tables(found.table, found.cast.prior) + 0.02) / (minutes + 1.0))


def _group(
    order: Order, size: int, draws: int, steps: Sequence[Step], generator: np.random.Generator
) -> tuple[Floats, ...]:
    cast = cast_of(order, draws)
    hidden = generator.choice(len(cast.among), size=size, p=prior(cast.among))
    trucks = join([draw_parameters(cast.among[index].faults, 1, generator) for index in hidden])
    told = Walk(order, cast).foretell(steps)
    session = Session(order, trucks, context=False)
    shown = {}
    for step in steps:
        event = session.apply(step.verb, step.arguments)
        if event.reading is not None:
            shown[step.n] = event.reading
    said, right, last, number = [], [], [], []
    for truck, index in enumerate(hidden):
        seen = {n: observed(outcome, truck) for n, outcome in shown.items()}
        for nth, one in enumerate(weigh(cast, told, seen), 1):
            posterior = one.after.posterior
            said.append(posterior.max())
            right.append(float(posterior.argmax() == index))
            last.append(float(one.n == max(told)))
            number.append(float(nth))
    return np.array(said), np.array(right), np.array(last), np.array(number)
