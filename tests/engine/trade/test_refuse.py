"""Refusals name the input and say what can't be right."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from engine.figure import FigureError
from engine.trade.refuse import (
    unless_above_zero,
    unless_between,
    unless_whole,
    unless_zero_or_more,
)


@pytest.mark.parametrize(
    ("check", "bad"),
    [
        (lambda value: unless_above_zero(amps=value), (0.0, -1.0, float("nan"), float("inf"))),
        (lambda value: unless_zero_or_more(amps=value), (-0.1, float("nan"), float("inf"))),
        (lambda value: unless_whole(1, amps=value), (0.0, 1.5, -3.0, float("nan"))),
        (lambda value: unless_between(1, 5, "A", amps=value), (0.9, 5.1, float("nan"))),
    ],
)
def test_bad_values_are_refused_by_name(
    check: Callable[[float], None], bad: tuple[float, ...]
) -> None:
    for value in bad:
        with pytest.raises(FigureError, match="amps") as refused:
            check(value)
        assert refused.value.key == "amps"


def test_good_values_pass_their_limits_included() -> None:
    unless_above_zero(a=1e-9, b=5)
    unless_zero_or_more(a=0, b=5)
    unless_whole(0, a=0, b=7)
    unless_between(1, 5, "A", a=1, b=5)
