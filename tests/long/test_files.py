"""Many more files: drawn without a slip, and damaged ones."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings

from engine.loader import library
from engine.problems import Severity
from tests.property.test_damaged_files import damaged
from tests.property.test_expansion_laws import loose_ends
from tests.property.trees import Desk, Written, trees


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a folder for the files."""
    return tmp_path_factory.mktemp("files")


@pytest.fixture(scope="module")
def desk(folder: Path) -> Desk:
    """Make a folder to write drawn trees in."""
    return Desk(folder)


@settings(max_examples=1000, deadline=None)
@given(written=trees(most=12))
def test_trees_without_slips_load_and_lead_everywhere(desk: Desk, written: Written) -> None:
    result = desk.load(written)
    assert [str(one) for one in result.problems if one.severity is not Severity.NOTE] == []
    assert result.walk is not None
    assert loose_ends(result.walk) == []


@settings(max_examples=1500, deadline=None)
@given(text=damaged())
def test_damaged_files_have_problems_or_are_whole_trees(folder: Path, text: str) -> None:
    place = folder / "damaged.yaml"
    place.write_text(text, encoding="utf-8", newline="\n")
    library.check(place)
    loaded = library.load(str(place))
    assert loaded.walk is None or loose_ends(loaded.walk) == []
