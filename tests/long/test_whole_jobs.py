"""Every whole job on the screen, at every size."""

from __future__ import annotations

import pytest

from tests.stories import STORIES
from tests.tui.site import SIZES
from tests.tui.whole_jobs import walk_at


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("name", STORIES)
async def test_a_job_comes_to_what_its_story_says(name: str, size: tuple[int, int]) -> None:
    await walk_at(STORIES[name], size)
