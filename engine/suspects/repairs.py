"""In which order to try repairs, where nothing tells the suspects left apart any more.

After each repair the complaint is tried again, which costs nothing here. A repair is paid for if
none before it has helped, so that an order costs the sum of minutes × chance not fixed before.
Where each repair mends suspects of its own and never fails, the order by chance over minutes is
the best one (Kadane and Simon, 1977; Heckerman, Breese and Rommelse, *Troubleshooting under
uncertainty*, 1995: both from memory). Where repairs overlap it is not, and every order of every
subset is searched.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import inf

from engine.matrix import Repair

MOST_REPAIRS = 12
"""Repairs up to which every order and subset is searched."""
MOST_WORK = 10_000_000
"""Repairs × suspects × orders that are looked at beyond: about a second."""
NEAR = 1e-12
"""A chance that counts as none."""


class Searched(StrEnum):
    """How an order was found."""

    EXACT = "exact"
    HEURISTIC = "heuristic"


@dataclass(frozen=True, slots=True)
class RepairOrder:
    """Repairs in order, until each suspect is dealt with."""

    order: tuple[str, ...]
    minutes: float
    """Expected minutes, the last repair included."""
    method: Searched


def repair_order(suspects: Mapping[str, float], repairs: Sequence[Repair]) -> RepairOrder:
    """Return the best order found; what the suspects weigh together is taken as certain.

    The order ends when no suspect is left that another repair could mend; those without a chance
    come last, where they cost nothing. Up to `MOST_REPAIRS` it is the best there is; of equal
    ones the cheaper repair comes first, then by name.
    """
    whole = sum(suspects.values())
    chances = {name: weight / whole for name, weight in suspects.items() if weight}
    ranked = sorted(repairs, key=lambda one: (one.minutes, one.name))
    exact = len(ranked) <= MOST_REPAIRS
    if separate(ranked, chances):
        order = _by_rate(ranked, chances)
    else:
        order = (
            _searched(ranked, chances) if exact else _improved(_by_rate(ranked, chances), chances)
        )
    order += _for_the_rest(order, ranked, suspects)
    minutes = cost(order, chances)
    names = tuple(one.name for one in order)
    return RepairOrder(names, minutes, Searched.EXACT if exact else Searched.HEURISTIC)


def _for_the_rest(
    order: Sequence[Repair], ranked: Sequence[Repair], suspects: Mapping[str, float]
) -> list[Repair]:
    """Return repairs for the suspects that an order does nothing for, since they weigh nothing."""
    left = set(suspects).difference(*(one.fixes for one in order))
    more = list[Repair]()
    while useful := [one for one in ranked if left & set(one.fixes)]:
        more.append(max(useful, key=lambda one: len(left & set(one.fixes))))
        left -= set(more[-1].fixes)
    return more


def separate(repairs: Sequence[Repair], chances: Mapping[str, float]) -> bool:
    """Return whether each repair mends suspects of its own, and never fails."""
    mended = [name for one in repairs for name in one.fixes if chances.get(name)]
    sure = all(chance == 1.0 for one in repairs for chance in one.fixes.values())
    return sure and len(mended) == len(set(mended))


def cost(order: Sequence[Repair], chances: Mapping[str, float]) -> float:
    """Return the expected minutes of an order."""
    left, minutes = dict(chances), 0.0
    for repair in order:
        minutes += repair.minutes * sum(left.values())
        left = _left(repair, left)
    return minutes


def _left(repair: Repair, chances: Mapping[str, float]) -> dict[str, float]:
    """Return the chances that each suspect is there and not mended by a repair either."""
    return {name: one * (1.0 - repair.fixes.get(name, 0.0)) for name, one in chances.items()}


def _by_rate(repairs: Sequence[Repair], chances: Mapping[str, float]) -> list[Repair]:
    """Return repairs by what each mends for its minutes, given that those before have failed."""
    left, waiting, order = dict(chances), list(repairs), list[Repair]()
    while True:
        rates = [_rate(one, left) for one in waiting]
        best = max(rates, default=0.0)
        if best <= 0.0:
            return order
        at = next(at for at, one in enumerate(rates) if one >= best * (1 - 1e-9))
        left = _left(waiting[at], left)
        order.append(waiting.pop(at))


def _rate(repair: Repair, left: Mapping[str, float]) -> float:
    mends = sum(left.get(name, 0.0) * chance for name, chance in repair.fixes.items())
    if mends <= NEAR:
        return 0.0
    return mends / repair.minutes if repair.minutes else inf


def _searched(repairs: Sequence[Repair], chances: Mapping[str, float]) -> list[Repair]:
    """Return the best order by dynamic programming over the repairs done."""
    every = (1 << len(repairs)) - 1
    left = [dict(chances)]
    for done in range(1, every + 1):
        at = done.bit_length() - 1
        left.append(_left(repairs[at], left[done & ~(1 << at)]))
    values = [0.0] * (every + 1)
    first = [-1] * (every + 1)
    for done in range(every, -1, -1):
        best, charge = inf, sum(left[done].values())
        for at, repair in enumerate(repairs):
            after = done | 1 << at
            if after == done or charge - sum(left[after].values()) <= NEAR:
                continue
            value = repair.minutes * charge + values[after]
            if value < best * (1 - 1e-9):
                best, first[done] = value, at
        values[done] = best if first[done] >= 0 else 0.0
    order, done = list[Repair](), 0
    while first[done] >= 0:
        order.append(repairs[first[done]])
        done |= 1 << first[done]
    return order


def _improved(order: list[Repair], chances: Mapping[str, float]) -> list[Repair]:
    """Return an order in which no repair is better left out or done at another time.

    Of very many repairs it is as good as it came to after `MOST_WORK`.
    """
    least = cost(order, chances)
    tries = MOST_WORK // (len(order) * len(chances) or 1)
    better = True
    while better:
        better = False
        for other in _neighbours(order, chances):
            tries -= 1
            if tries < 0:
                return order
            minutes = cost(other, chances)
            if minutes < least * (1 - 1e-9):
                order, least, better = other, minutes, True
                break
    return order


def _neighbours(order: list[Repair], chances: Mapping[str, float]) -> Iterator[list[Repair]]:
    """Yield orders that mend as much, with one repair left out or moved."""
    for at, repair in enumerate(order):
        without = order[:at] + order[at + 1 :]
        if _unmended(without, chances) <= _unmended(order, chances) + NEAR:
            yield without
        for place in range(len(order)):
            if place != at:
                yield [*without[:place], repair, *without[place:]]


def _unmended(order: Sequence[Repair], chances: Mapping[str, float]) -> float:
    left = dict(chances)
    for repair in order:
        left = _left(repair, left)
    return sum(left.values())
