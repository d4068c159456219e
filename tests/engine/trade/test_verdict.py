"""Low, good, high, too close to call: at the limits, beside them, and with doubt."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.figure import FigureError
from engine.trade.verdict import GOOD, HIGH, LOW, TOO_CLOSE, VERDICTS, judge, judge_span


@pytest.mark.parametrize(
    ("value", "verdict"),
    [(20.3999, LOW), (20.4, GOOD), (24.0, GOOD), (26.4, GOOD), (26.4001, HIGH)],
)
def test_limits_themselves_are_good(value: float, verdict: str) -> None:
    assert judge(value, 0.85 * 24, 1.1 * 24) == verdict


@pytest.mark.parametrize(
    ("value", "accuracy", "resolution", "verdict"),
    [
        (103.0, 2.0, 0.0, GOOD),
        (102.0, 2.0, 0.0, TOO_CLOSE),
        (99.0, 0.0, 1.0, TOO_CLOSE),
        (98.9, 0.0, 1.0, LOW),
        (99.0, 0.0, 0.0, LOW),
        (150.0, 40.0, 0.0, TOO_CLOSE),
    ],
)
def test_a_limit_inside_the_doubt_is_too_close(
    value: float, accuracy: float, resolution: float, verdict: str
) -> None:
    assert judge(value, 100.0, 200.0, accuracy=accuracy, resolution=resolution) == verdict


def test_one_side_may_have_no_limit() -> None:
    assert judge(1e6, 100.0, None) == GOOD
    assert judge(0.0, None, 2.0) == GOOD
    assert judge(-5.0, None, None) == GOOD


@pytest.mark.parametrize("key", ["accuracy", "resolution"])
@pytest.mark.parametrize("bad", [-0.1, float("nan"), float("inf")])
def test_doubt_is_never_negative(key: str, bad: float) -> None:
    with pytest.raises(FigureError) as caught:
        judge(1.0, 0.0, 2.0, **{key: bad})
    assert caught.value.key == key


_VOLTS = st.floats(0, 600)


@given(value=_VOLTS, low=_VOLTS, width=_VOLTS, half=st.floats(0, 50))
def test_a_verdict_with_doubt_holds_anywhere_within_it(
    value: float, low: float, width: float, half: float
) -> None:
    high = low + width
    verdict = judge(value, low, high, resolution=half)
    assert verdict in VERDICTS
    if verdict != TOO_CLOSE:
        inside = (value - half, value, value + half)
        assert {judge_span(one, one, low, high) for one in inside} == {verdict}
