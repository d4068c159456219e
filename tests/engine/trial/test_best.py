"""The best order's minutes are those of its checks and of the ways between them."""

from __future__ import annotations

from engine.trial.belonging import belongs
from engine.trial.best import best_minutes
from engine.trial.walking import walk_all
from engine.unit.faults import Row
from tests.engine.trial.trees import HIGH_LEG, tree, unit


def test_the_best_order_comes_to_most_faults_and_is_quicker_for_all_together() -> None:
    walk, of = tree("blank-thermostat"), unit(HIGH_LEG)
    walked = walk_all(walk, of, [Row((of.faults[name],)) for name in belongs(walk, of)])
    best = best_minutes(walk, of, walked)
    reached = [one for one in walked if one.faults[0] in best]
    assert len(reached) > 2 / 3 * len(walked)
    # Judged together: for one fault the author's order may well be the quicker.
    assert sum(best.values()) < sum(one.minutes for one in reached)


def test_a_burnt_disconnect_takes_a_look_from_outside_and_the_way_to_it() -> None:
    walk, of = tree("blank-thermostat"), unit(HIGH_LEG)
    walked = walk_all(walk, of, [Row((of.faults[name],)) for name in belongs(walk, of)])
    best = best_minutes(walk, of, walked)
    look = walk.steps["handle"].minutes
    assert best["disconnect burnt open"] >= look
