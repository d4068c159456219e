"""No test of the screens touches the user's own folder."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep jobs and settings in a folder of the test's own."""
    folder = tmp_path / "home"
    monkeypatch.setenv("HALFSPLIT_HOME", str(folder))
    return folder
