"""No case of the tripping breaker leads to a third reset before something was mended.

That a third reset without a cause is never right is common practice, no source; that repetitive
reclosing is prohibited is 29 CFR 1910.334(b)(2).
"""

from __future__ import annotations

import pytest

from engine.cases import Case
from tests.oracle.test_breaker_facts import TREE, resets_without_a_cause, walked
from tests.stories import cases

BEFORE = {"not once": 0, "once": 1}
"""What the customer says → how often the breaker was put on before; 2 for anything else."""


@pytest.mark.parametrize("case", cases(TREE).values(), ids=lambda one: one.name)
def test_never_a_third_reset_without_a_cause(case: Case) -> None:
    before = BEFORE.get(str(case.answers.get("resets")), 2)
    resets = len(list(resets_without_a_cause(walked(case.name, {}, {}))))
    assert before + resets <= 2
    assert not (before == 2 and resets)
