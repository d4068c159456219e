"""A damaged job does not stand in the way of the next one."""

from __future__ import annotations

from pathlib import Path

from engine.cli.start import unfinished
from engine.job.store import RECORD
from tests.typed_jobs import TO_THE_CAPACITOR, loaded, walked


def test_a_walk_left_before_its_end_is_found(tmp_path: Path) -> None:
    job = walked(tmp_path, TO_THE_CAPACITOR)
    found = unfinished(tmp_path, loaded())
    assert found is not None
    assert found.folder == job.folder


def test_one_whose_record_was_changed_is_passed_over(tmp_path: Path) -> None:
    record = walked(tmp_path, TO_THE_CAPACITOR).folder / RECORD
    record.write_bytes(record.read_bytes().replace(b"208 209 207", b"208 209 270"))
    assert unfinished(tmp_path, loaded()) is None
    record.write_bytes(b"")
    assert unfinished(tmp_path, loaded()) is None
