"""What the work of a learner says about each skill, and how sure that is.

A beta-binomial model with Jeffreys' prior: each piece of evidence is a trial of one skill that came out well by some share
of 0 to 1 and counts with some weight; the posterior of the skill is Beta(1/2 + good, 1/2 + bad), told by its mean and its
90 % equal-tailed interval (H. Jeffreys, Proc. R. Soc. A 186, 1946; L. D. Brown, T. T. Cai, A. DasGupta, Statistical Science 16,
2001, from memory). A share between 0 and 1 splits its trial. The model knows no learning and no forgetting: early and late
work count alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from parked_hvac.assessment.beta import below, quantile
from parked_hvac.assessment.card_verdicts import Judged
from parked_hvac.assessment.score import Score
from parked_hvac.job.actions import AND
from parked_hvac.job.order import Order, order_named, orders
from parked_hvac.job.skills import skills
from parked_hvac.rig.faults import faults

SURE = 0.8
"""A skill at or above this share counts as held; invented for this course."""
BRUSH_UP = 0.9
"""A skill that lies below ``SURE`` with more than this probability is one to brush up; invented for this course."""
ENOUGH = 2.0
"""Pieces of work below which nothing is said of a skill: one slip is no weakness, one success no mastery."""
_TAIL = 0.05
_PRIOR = 0.5
_HABITS = {
    "safe": "safe_work",
    "complaint": "confirm_complaint",
    "technique": "meter_proving",
    "repair": "write_up",
}
"""Part of the score → the habit of work that it shows, whatever the order is about."""


@dataclass(frozen=True)
class Evidence:
    """One trial of a skill: how well it came out, 0 to 1, and how much it counts."""

    skill: str
    share: float
    weight: float
    source: str
    """Where it is from, for people."""

    def plain(self) -> dict[str, Any]:
        """As plain data, for reports."""
        return {"skill": self.skill, "share": self.share, "weight": self.weight, "source": self.source}


@dataclass(frozen=True)
class Level:
    """What is known of one skill."""

    skill: str
    good: float
    bad: float

    @property
    def trials(self) -> float:
        """How much evidence there is."""
        return self.good + self.bad

    @property
    def share(self) -> float:
        """The share to expect: mean of the posterior."""
        return (self.good + _PRIOR) / (self.trials + 2 * _PRIOR)

    @property
    def interval(self) -> tuple[float, float]:
        """The share lies in between with a probability of 90 %."""
        alpha, beta = self.good + _PRIOR, self.bad + _PRIOR
        return quantile(_TAIL, alpha, beta), quantile(1.0 - _TAIL, alpha, beta)

    @property
    def doubt(self) -> float:
        """Probability that the skill is not held, that is, lies below ``SURE``."""
        return below(SURE, self.good + _PRIOR, self.bad + _PRIOR)

    @property
    def words(self) -> str:
        """In words: 'no evidence yet', 'too early to tell', 'brush up', 'not sure yet', 'likely held' or 'held'."""
        if not self.trials:
            return "no evidence yet"
        if self.trials < ENOUGH:
            return "too early to tell"
        if self.doubt > BRUSH_UP:
            return "brush up"
        if self.doubt > 0.5:
            return "not sure yet"
        return "held" if self.doubt < 0.1 else "likely held"

    @property
    def held(self) -> bool:
        """Whether the work so far speaks more for the skill than against it, and is enough to say so."""
        return self.words in ("held", "likely held")


def profile(evidence: Iterable[Evidence]) -> dict[str, Level]:
    """Every skill of the course with what is known of it, in the course's order. Raises KeyError for an unknown one."""
    good, bad = dict.fromkeys(skills(), 0.0), dict.fromkeys(skills(), 0.0)
    for one in evidence:
        good[one.skill] += one.weight * one.share
        bad[one.skill] += one.weight * (1.0 - one.share)
    return {name: Level(name, good[name], bad[name]) for name in skills()}


def of_job(score: Score) -> tuple[Evidence, ...]:
    """What a scored attempt says.

    Four parts show habits of work. How readings were understood speaks for the other skills that the order is about, all together
    one trial; how the conclusion was carried speaks for the skill of each cause. Economy shows no skill of its own.
    """
    shares = {part.name: part.points / part.maximum for part in score.parts}
    order = order_named(score.order)
    found = [Evidence(skill, shares[part], 1.0, f"{order.title}: {part}") for part, skill in _HABITS.items()]
    found += _shared(order, shares["understanding"], f"{order.title}: readings understood")
    named = set((score.named or "").split(AND))
    for cause in score.cause.split(AND):
        alone = cause in named and not score.case.named_right and shares["conclusion"] > 0.4
        share = 1.0 if alone else shares["conclusion"] if cause in named or score.case.named_right else 0.0
        found.append(Evidence(faults()[cause].skill, share, 1.0, f"{order.title}: conclusion"))
    return tuple(found)


def of_card(order: str, judged: Iterable[Judged]) -> tuple[Evidence, ...]:
    """What the verdicts on a colleague's card say: one trial each, of the skill that its line of the spec sheet belongs to."""
    about = {section: name for name, skill in skills().items() for section in skill.sheet}
    found: list[Evidence] = []
    for one in judged:
        share, source = float(one.earned), f"{order_named(order).title}: {one.label}"
        skill = next((about[section] for section in one.sections if section in about), None)
        if skill is None:
            found += _shared(order_named(order), share, source)
        else:
            found.append(Evidence(skill, share, 1.0, source))
    return tuple(found)


def of_plain(rows: Iterable[Mapping[str, Any]]) -> tuple[Evidence, ...]:
    """Evidence from the plain data of reports; rows about skills that the course no longer has are left out."""
    return tuple(
        Evidence(str(row["skill"]), float(row["share"]), float(row["weight"]), str(row["source"]))
        for row in rows
        if row["skill"] in skills()
    )


def lessons_for(levels: Iterable[Level]) -> list[tuple[str, str]]:
    """Title of each skill to brush up, most in doubt first, and the lessons whose orders are about it."""
    taught: dict[str, set[str]] = {}
    for order in orders().values():
        for name in order.skills if order.lesson.isdecimal() else ():
            taught.setdefault(name, set()).add(order.lesson)
    weak = sorted((one for one in levels if one.words == "brush up"), key=lambda one: -one.doubt)
    return [(skills()[one.skill].title, _lessons(taught.get(one.skill, set()))) for one in weak]


def _lessons(numbers: set[str]) -> str:
    if not numbers:
        return "take another order of the refresher"
    listed = sorted(numbers)[:3]
    return f"lesson{'s' if len(listed) > 1 else ''} {', '.join(listed)}"


def _shared(order: Order, share: float, source: str) -> list[Evidence]:
    """One trial spread over the skills that an order is about, habits of work apart."""
    about = [name for name in order.skills if name not in _HABITS.values()]
    return [Evidence(name, share, 1.0 / len(about), source) for name in about]
