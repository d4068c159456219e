"""Reports byte for byte. ``python -m tests.golden.make`` writes them anew, for a diff to review."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.golden.make import HERE, JOBS, reports

FILES = [f"{name}.{ending}" for name in JOBS for ending in ("md", "html")]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return dict(reports(tmp_path_factory.mktemp("jobs")))


@pytest.mark.parametrize("name", FILES)
def test_a_report_is_the_golden_one_byte_for_byte(made: dict[str, bytes], name: str) -> None:
    golden = (HERE / name).read_bytes()
    # Compared as text first: the difference can then be read.
    assert made[name].decode("utf-8") == golden.decode("utf-8")
    assert made[name] == golden


def test_the_same_job_gives_the_same_bytes(made: dict[str, bytes], tmp_path: Path) -> None:
    assert dict(reports(tmp_path)) == made
