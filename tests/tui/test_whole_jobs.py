"""Whole jobs on the screen, as somebody new would walk them: every size and both trees.

Each is walked at one size here; ``tests/long`` walks each at every size.
"""

from __future__ import annotations

import pytest

from tests.stories import STORIES
from tests.tui.site import SIZES
from tests.tui.whole_jobs import walk_at

AT = [(name, SIZES[number % len(SIZES)]) for number, name in enumerate(STORIES)]


@pytest.mark.parametrize(("name", "size"), AT, ids=str)
async def test_a_job_comes_to_what_its_story_says(name: str, size: tuple[int, int]) -> None:
    await walk_at(STORIES[name], size)
