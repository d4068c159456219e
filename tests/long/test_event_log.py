"""10,000 random walks before the judge who knows only the log."""

from __future__ import annotations

from tests.property.test_event_log import HANDS, judged


def test_the_judge_agrees_over_ten_thousand_walks() -> None:
    counted = judged(0, 10_000)
    assert sum(counted[act] for act in HANDS) > 25_000
