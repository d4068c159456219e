"""A job's folder: made, appended to, opened again after anything, never rewritten."""

from __future__ import annotations

import errno
import os
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from engine.entries import Entry, EntryKind
from engine.job import disk
from engine.job.chain import JobError, sealed
from engine.job.store import RECORD, TORN, Header, create, open_job, read_header, read_job
from tests.engine.job.made import AT_NINE, HEADER, job_with, note, raw_of, reading, rewrite


def test_what_was_entered_is_there_when_the_job_is_opened_again(tmp_path: Path) -> None:
    job = job_with(tmp_path, 4)
    again = open_job(job.folder)
    assert again.entries == job.entries == [note(1), reading(2), note(3), note(4)]
    assert again.header == replace(HEADER, id="2026-03-14-elm-street-library-rtu-2")
    assert (again.last_hash, again.size) == (job.last_hash, len(raw_of(job)))
    again.append(reading(5))
    assert read_job(job.folder).unsound == ()
    assert read_header(job.folder) == again.header


def test_a_line_is_on_the_disk_when_append_returns(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = job_with(tmp_path, 1)
    synced: list[bytes] = []
    monkeypatch.setattr(os, "fsync", lambda number: synced.append(raw_of(job)))
    job.append(note(2, "the last word"))
    assert synced[-1].endswith(b"\n")
    assert b"the last word" in synced[-1]


def test_ids_are_unique_and_good_as_folders_everywhere(tmp_path: Path) -> None:
    odd = Header("", AT_NINE, "Dana", site="Bücherei / Kinder: «Süd»", unit="COM1 " * 30)
    names = [create(tmp_path, odd).folder.name for _ in range(3)]
    assert len(set(names)) == 3
    assert all(set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789-") for name in names)
    assert create(tmp_path, Header("", "", "")).folder.parent == tmp_path
    assert create(tmp_path, Header("", "../../x", "")).folder.parent == tmp_path


def test_an_entry_out_of_order_is_refused(tmp_path: Path) -> None:
    job = job_with(tmp_path, 2)
    for n in (0, 2, 4):
        with pytest.raises(JobError, match="out of order"):
            job.append(note(n))


def test_a_second_window_is_noticed_and_nothing_is_mixed(tmp_path: Path) -> None:
    job = job_with(tmp_path, 2)
    other = open_job(job.folder)
    other.append(note(3, "from the other window"))
    with pytest.raises(JobError, match="Another window"):
        job.append(note(3, "from this one"))
    assert read_job(job.folder).entries == other.entries
    assert read_job(job.folder).unsound == ()


def test_what_could_not_be_read_back_is_never_written(tmp_path: Path) -> None:
    job = job_with(tmp_path, 1)
    before = raw_of(job)
    with pytest.raises(JobError, match="is none with an offset from UTC"):
        job.append(note(2, time="2026-03-14T09:00:00"))
    with pytest.raises(JobError, match="can't be kept"):
        job.append(note(2, time="nine"))
    assert raw_of(job) == before


def test_text_of_another_encoding_is_kept_as_far_as_it_can_be(tmp_path: Path) -> None:
    job = create(tmp_path, replace(HEADER, by="D\udce4na"))
    job.append(note(1, "B\udcfccherei"))
    assert open_job(job.folder).entries == job.entries
    assert job.entries[0].typed == "B?cherei"


# --- torn, changed, newer -------------------------------------------------------------------------


def test_a_torn_line_is_set_aside_byte_for_byte_and_said(tmp_path: Path) -> None:
    job = job_with(tmp_path, 3)
    whole = raw_of(job)
    torn = b'{"by":"Dana","n":4,"typed":"24 \xc2'
    rewrite(job, whole + torn)
    assert read_job(job.folder).torn.startswith('{"by":"Dana","n":4,"typed":"24 ')
    assert raw_of(job) == whole + torn, "reading changes nothing"
    again = open_job(job.folder)
    assert "24 " in again.torn
    assert raw_of(job) == whole
    assert (job.folder / TORN).read_bytes() == torn + b"\n"
    again.append(note(4))
    assert open_job(job.folder).torn == ""


def test_a_second_torn_line_goes_behind_the_first(tmp_path: Path) -> None:
    job = job_with(tmp_path, 1)
    for torn in (b"first", b"second"):
        rewrite(job, raw_of(job) + torn)
        open_job(job.folder)
    assert (job.folder / TORN).read_bytes() == b"first\nsecond\n"


def test_a_whole_line_without_its_newline_is_kept(tmp_path: Path) -> None:
    job = job_with(tmp_path, 3)
    whole = raw_of(job)
    rewrite(job, whole[:-1])
    again = open_job(job.folder)
    assert again.entries == job.entries
    assert again.torn == ""
    assert raw_of(job) == whole
    again.append(note(4))
    assert read_job(job.folder).unsound == ()


def test_what_is_shown_of_a_torn_line_can_not_write_on_the_terminal(tmp_path: Path) -> None:
    job = job_with(tmp_path, 1)
    rewrite(job, raw_of(job) + b"\x1b[2J\x07" + b"x" * 5000)
    torn = open_job(job.folder).torn
    assert torn.isprintable()
    assert len(torn) <= 80


@pytest.mark.parametrize("raw", [b"", b"\n", b'{"record":"halfsplit jo', b"\0" * 100])
def test_a_record_without_a_whole_first_line_is_told(tmp_path: Path, raw: bytes) -> None:
    job = job_with(tmp_path, 0)
    rewrite(job, raw)
    for read in (open_job, read_job, read_header):
        with pytest.raises(JobError, match=r"cut off before|does not begin"):
            read(job.folder)


def test_a_folder_without_a_record_is_told(tmp_path: Path) -> None:
    with pytest.raises(JobError, match="holds no job that can be read"):
        open_job(tmp_path / "nowhere")
    (tmp_path / RECORD).mkdir()
    with pytest.raises(JobError, match="holds no job that can be read"):
        read_job(tmp_path)


def test_a_record_changed_by_hand_is_read_and_never_added_to(tmp_path: Path) -> None:
    job = job_with(tmp_path, 3)
    rewrite(job, raw_of(job).replace(b"note 1", b"note 9"))
    changed = read_job(job.folder)
    assert changed.entries[0].typed.startswith("note 9")
    assert changed.unsound == ("Line 2 is not as it was written, or a line before it is missing.",)
    with pytest.raises(JobError, match="can't be gone on with: Line 2"):
        open_job(job.folder)
    with pytest.raises(JobError, match="Nothing is added to a record that was changed"):
        changed.append(note(4))


def test_entries_that_are_not_numbered_on_are_told(tmp_path: Path) -> None:
    job = job_with(tmp_path, 1)
    line, _ = sealed(job.last_hash, note(3).as_json())
    rewrite(job, raw_of(job) + line)
    assert read_job(job.folder).unsound == ("Entry 3 stands where entry 2 should.",)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ({"n": 1, "time": AT_NINE, "by": "", "kind": "weld"}, "a newer one wrote it"),
        ({"n": 1, "time": AT_NINE, "by": "", "kind": "note", "weight": 3}, "a newer one wrote it"),
        ({"n": "1", "time": AT_NINE, "by": "", "kind": "note"}, "is not a whole number"),
        ({"n": True, "time": AT_NINE, "by": "", "kind": "note"}, "is not a whole number"),
        ({"n": 1, "time": 9, "by": "", "kind": "note"}, "is not a text"),
        (
            {"n": 1, "time": "soon", "by": "", "kind": "note"},
            "its time, soon, is none with an offset from UTC",
        ),
        ({"n": 1, "by": "", "kind": "note"}, "no number, time or name"),
        ({"n": 1, "time": AT_NINE, "by": "", "kind": "note", "window": "wide"}, "is not a list"),
        ({"n": 1, "time": AT_NINE, "by": "", "kind": "note", "said": [3]}, "form of a record"),
        ({"kind": "note"}, "no number, time or name"),
        ({}, "a newer one wrote it"),
    ],
)
def test_a_line_that_is_no_entry_is_told_in_a_sentence(
    tmp_path: Path, content: dict[str, object], says: str
) -> None:
    job = job_with(tmp_path, 0)
    line, _ = sealed(job.last_hash, content)
    rewrite(job, raw_of(job) + line)
    with pytest.raises(JobError, match=r"^Line 2 of this record can't be understood: ") as error:
        read_job(job.folder)
    assert says in str(error.value)


@pytest.mark.parametrize(
    "said",
    [
        {"value": "1/0", "kind": "voltage"},
        {"value": "1e999999999", "kind": "voltage"},
        {"value": "24", "kind": "length of a day"},
        {"value": "24", "kind": "voltage", "unit": "ohm"},
        {"value": "24", "kind": "voltage", "unit": "furlong"},
        {"value": "24", "kind": "voltage", "half_width": "wide"},
        {"value": "dunno", "kind": ""},
        {"value": 24, "kind": "voltage"},
        {"kind": "voltage"},
    ],
)
def test_a_reading_changed_by_hand_to_what_can_not_be_one_is_told(
    tmp_path: Path, said: dict[str, object]
) -> None:
    job = job_with(tmp_path, 0)
    content = {**note(1).as_json(), "said": [{"name": "rc", "spot": "", **said}]}
    line, _ = sealed(job.last_hash, content)
    rewrite(job, raw_of(job) + line)
    with pytest.raises(JobError, match="Line 2 of this record can't be understood"):
        read_job(job.folder)


# --- disks that refuse ----------------------------------------------------------------------------


def _refuse(*given: object, **more: object) -> int:
    raise OSError(errno.ENOSPC, "No space left on device")


def test_a_full_disk_takes_nothing_and_the_job_goes_on_when_there_is_room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = job_with(tmp_path, 2)
    before = raw_of(job)
    with monkeypatch.context() as full:
        full.setattr(os, "fsync", _refuse)
        with pytest.raises(JobError, match=r"can't be written: No space left on device\."):
            job.append(note(3))
    assert raw_of(job) == before
    assert len(job.entries) == 2
    job.append(note(3))
    assert open_job(job.folder).entries == job.entries


def test_half_a_line_on_a_full_disk_is_taken_off_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = job_with(tmp_path, 2)
    before = raw_of(job)
    write = os.write
    room = [20]

    def until_full(number: int, raw: bytes) -> int:
        if not room[0]:
            _refuse()
        taken = min(room[0], len(raw))
        room[0] -= taken
        return write(number, raw[:taken])

    with monkeypatch.context() as full:
        full.setattr(os, "write", until_full)
        with pytest.raises(JobError, match="No space left"):
            job.append(note(3))
    assert raw_of(job) == before


@pytest.mark.skipif(sys.platform == "win32", reason="a limit on the size of files is POSIX's")
def test_a_disk_that_really_is_full(tmp_path: Path) -> None:
    import resource
    import signal

    job = job_with(tmp_path, 2)
    before = raw_of(job)
    old = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    try:
        resource.setrlimit(resource.RLIMIT_FSIZE, (len(before) + 30, old[1]))
        with pytest.raises(JobError, match="can't be written"):
            job.append(note(3))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, old)
        signal.signal(signal.SIGXFSZ, handler)
    assert raw_of(job) == before
    job.append(note(3))
    assert len(open_job(job.folder).entries) == 3


def test_a_folder_that_may_only_be_read_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = job_with(tmp_path, 2)
    rewrite(job, raw_of(job) + b"torn")

    def only_reading(self: Path, mode: str = "r", *rest: object, **more: object) -> object:
        if mode not in ("r", "rb"):
            raise PermissionError(errno.EACCES, "Permission denied")
        return opened(self, mode, *rest, **more)  # type: ignore[call-overload]

    opened = Path.open
    monkeypatch.setattr(Path, "open", only_reading)
    monkeypatch.setattr(Path, "mkdir", _refuse)
    assert len(read_job(job.folder).entries) == 2
    with pytest.raises(JobError, match=r"can't be set aside: Permission denied\."):
        open_job(job.folder)
    with pytest.raises(JobError, match=r"can't be written: Permission denied\."):
        job.append(note(3))
    with pytest.raises(JobError, match="No job can be kept in"):
        create(tmp_path, HEADER)


def test_a_jobs_folder_that_is_a_file_says_so(tmp_path: Path) -> None:
    (tmp_path / "jobs").write_text("", encoding="utf-8")
    with pytest.raises(JobError, match="No job can be kept in"):
        create(tmp_path / "jobs", HEADER)


# --- photos and trees -----------------------------------------------------------------------------


def test_a_photo_is_copied_under_a_plain_name_and_sealed(tmp_path: Path) -> None:
    job = job_with(tmp_path / "jobs", 2)
    picture = tmp_path / "Schalter: offen?.JPG" if sys.platform != "win32" else tmp_path / "a.JPG"
    picture.write_bytes(b"\xff\xd8 a picture")
    kept = job.keep_photo(picture, 3)
    assert kept.name.startswith("photos/003-")
    assert kept.name.endswith(".jpg")
    assert (job.folder / kept.name).read_bytes() == picture.read_bytes()
    entry = Entry(3, AT_NINE, "Dana", EntryKind.PHOTO, typed=kept.name, files=(kept,))
    job.append(entry)
    assert open_job(job.folder).entries[-1] == entry


@pytest.mark.parametrize("picture", ["nowhere.jpg", ".", "a\0b.jpg"])
def test_a_picture_that_is_none_is_told(tmp_path: Path, picture: str) -> None:
    job = job_with(tmp_path, 0)
    with pytest.raises(JobError, match="can't be copied"):
        job.keep_photo(tmp_path / picture, 1)


def test_a_trees_files_are_kept_as_they_are_and_once(tmp_path: Path) -> None:
    job = job_with(tmp_path, 0)
    files = {"fan.yaml": b"tree: fan\n", "procedures/off.yaml": b"procedure: off\n"}
    job.keep_tree("ab" * 32, files)
    job.keep_tree("ab" * 32, {"fan.yaml": b"another"})
    folder = job.kept_tree("ab" * 32)
    found = {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }
    assert found == files


@pytest.mark.parametrize("name", ["../x.yaml", "/etc/x", "C:/x", "a/../b", "a\\b", "con.yaml", ""])
def test_a_trees_file_stays_in_its_folder(tmp_path: Path, name: str) -> None:
    job = job_with(tmp_path / "jobs", 0)
    with pytest.raises(JobError, match="can't be kept under the name"):
        job.keep_tree("ab" * 32, {name: b""})


def test_trees_that_can_not_be_kept_leave_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = job_with(tmp_path, 0)
    monkeypatch.setattr(os, "fsync", _refuse)
    with pytest.raises(JobError, match="can't be written: No space left"):
        job.keep_tree("ab" * 32, {"fan.yaml": b"tree: fan\n"})
    assert not job.kept_tree("ab" * 32).exists()


def test_a_file_is_written_whole_or_stays_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "report.md"
    disk.write(file, b"as it was")
    monkeypatch.setattr(os, "fsync", _refuse)
    with pytest.raises(JobError, match=r"report\.md can't be written"):
        disk.write(file, b"as it would be")
    assert file.read_bytes() == b"as it was"
    assert [path.name for path in tmp_path.iterdir()] == ["report.md"]
