"""One file to send a job in; and files that only look like one."""

from __future__ import annotations

import stat
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from engine.job import packing
from engine.job.chain import JobError
from engine.job.packing import pack, unpack
from engine.job.store import RECORD, TORN, Job, read_job
from tests.engine.job.made import HEADER, job_with, raw_of

NAME = "2026-03-14-elm-street-library-rtu-2"


@pytest.fixture
def job(tmp_path: Path) -> Job:
    job = job_with(tmp_path / "here", 4)
    picture = tmp_path / "plate.jpg"
    picture.write_bytes(b"\xff\xd8 a plate")
    job.keep_photo(picture, 5)
    job.keep_tree("ab" * 32, {"fan.yaml": b"tree: fan\n", "procedures/off.yaml": b"procedure\n"})
    (job.folder / TORN).write_bytes(b"torn\n")
    return job


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_a_job_arrives_as_it_was_sent(tmp_path: Path, job: Job) -> None:
    pack(job.folder, tmp_path / "sent.zip")
    folder = unpack(tmp_path / "sent.zip", tmp_path / "there")
    assert folder == tmp_path / "there" / NAME
    assert files(folder) == files(job.folder)
    assert read_job(folder).entries == job.entries
    assert [path.name for path in (tmp_path / "there").iterdir()] == [NAME]


def test_the_same_job_gives_the_same_bytes(tmp_path: Path, job: Job) -> None:
    for name in ("a.zip", "b.zip"):
        pack(job.folder, tmp_path / name)
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()


def test_only_the_jobs_own_files_are_packed(tmp_path: Path, job: Job) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("of another", encoding="utf-8")
    (job.folder / "photos" / ".half.part").write_bytes(b"half")
    try:
        (job.folder / "photos" / "link.jpg").symlink_to(secret)
        (job.folder / "elsewhere").symlink_to(tmp_path, target_is_directory=True)
    except OSError:
        pytest.skip("this system lets no links be made")
    pack(job.folder, tmp_path / "sent.zip")
    with zipfile.ZipFile(tmp_path / "sent.zip") as packed:
        names = packed.namelist()
    assert f"{NAME}/{RECORD}" in names
    assert not [name for name in names if "link" in name or "elsewhere" in name or "half" in name]


def test_a_file_that_is_there_is_not_written_over(tmp_path: Path, job: Job) -> None:
    target = tmp_path / "letter.doc"
    target.write_bytes(b"a letter")
    with pytest.raises(JobError, match="is there already; nothing was written"):
        pack(job.folder, target)
    assert target.read_bytes() == b"a letter"


def test_packing_into_the_job_itself_or_nowhere(tmp_path: Path, job: Job) -> None:
    pack(job.folder, job.folder / "inside.zip")
    assert unpack(job.folder / "inside.zip", tmp_path / "there").name == NAME
    with pytest.raises(JobError, match="can't be written"):
        pack(job.folder, tmp_path / "nowhere" / "sent.zip")
    with pytest.raises(JobError, match="holds no job"):
        pack(tmp_path / "nowhere", tmp_path / "sent.zip")


def test_a_job_that_is_here_is_not_written_over(tmp_path: Path, job: Job) -> None:
    pack(job.folder, tmp_path / "sent.zip")
    before = files(job.folder)
    with pytest.raises(JobError, match="is here already; nothing was changed"):
        unpack(tmp_path / "sent.zip", tmp_path / "here")
    assert files(job.folder) == before


# --- hostile files --------------------------------------------------------------------------------


def packed_with(file: Path, raw: bytes, name: str, content: bytes = b"x") -> Path:
    """Return a packed job with one more member of any name."""
    with zipfile.ZipFile(file, "w") as packed:
        packed.writestr(f"job/{RECORD}", raw)
        packed.writestr(zipfile.ZipInfo(name), content)
    return file


@pytest.mark.parametrize(
    "name",
    [
        "../outside.txt",
        "job/../../outside.txt",
        "/outside.txt",
        "job//outside.txt",
        "C:/outside.txt",
        "job/C:outside.txt",
        "job/..\\..\\outside.txt",
        "job\\outside.txt",
        "job/nul",
        "job/photos/COM1.jpg",
        "job/a\u202etxt.exe",
        "job/a:stream",
        "job/trailing.",
        "job/" + "deep/" * 20 + "x",
        "job/" + "long" * 100,
        "job/RECORD.JSONL",
        "another/record.jsonl",
        "outside.txt",
    ],
)
def test_a_name_that_would_leave_or_cover_is_refused(tmp_path: Path, job: Job, name: str) -> None:
    file = packed_with(tmp_path / "bad.zip", raw_of(job), name)
    before = files(tmp_path)
    with pytest.raises(JobError, match=r"bad\.zip was not taken in: "):
        unpack(file, tmp_path / "there")
    assert files(tmp_path) == before
    assert not list((tmp_path / "there").glob("*"))


@pytest.mark.parametrize("top", [".", "..", ".git", "~root/..", ""])
def test_the_folder_itself_can_not_be_anything(tmp_path: Path, job: Job, top: str) -> None:
    with zipfile.ZipFile(tmp_path / "bad.zip", "w") as packed:
        packed.writestr(f"{top}/{RECORD}", raw_of(job))
    with pytest.raises(JobError, match="was not taken in"):
        unpack(tmp_path / "bad.zip", tmp_path / "there")
    assert not list((tmp_path / "there").glob("*"))


def test_a_link_in_it_is_refused(tmp_path: Path, job: Job) -> None:
    link = zipfile.ZipInfo("job/photos/link.jpg")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    with zipfile.ZipFile(tmp_path / "bad.zip", "w") as packed:
        packed.writestr(f"job/{RECORD}", raw_of(job))
        packed.writestr(link, "/etc/passwd")
    with pytest.raises(JobError, match="holds a file that can't be kept here"):
        unpack(tmp_path / "bad.zip", tmp_path / "there")


def test_one_that_would_fill_the_disk_is_refused_before_anything_is_written(
    tmp_path: Path, job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(packing, "LARGEST", 2**20)
    file = packed_with(tmp_path / "bomb.zip", raw_of(job), "job/zeros", b"\0" * 2**21)
    with zipfile.ZipFile(file) as packed:
        assert packed.getinfo("job/zeros").file_size == 2**21
    with pytest.raises(JobError, match="would unpack to more than 1 MB"):
        unpack(file, tmp_path / "there")
    monkeypatch.setattr(packing, "MOST", 1)
    with pytest.raises(JobError, match="or 1 files"):
        unpack(packed_with(tmp_path / "two.zip", raw_of(job), "job/x"), tmp_path / "there")
    assert not (tmp_path / "there").exists()


def test_a_size_that_lies_can_not_fill_the_disk(tmp_path: Path, job: Job) -> None:
    file = packed_with(tmp_path / "liar.zip", raw_of(job), "job/zeros", b"\0" * 100_000)
    raw = file.read_bytes()
    lie = (1000).to_bytes(4, "little")
    file.write_bytes(raw.replace((100_000).to_bytes(4, "little"), lie))
    with pytest.raises(JobError):
        unpack(file, tmp_path / "there")
    assert not list((tmp_path / "there").glob("*"))


def _no_record(raw: bytes) -> bytes:
    return b"not a record\n"


def _newer(raw: bytes) -> bytes:
    return raw.replace(b'"format":1', b'"format":2')


@pytest.mark.parametrize("change", [_no_record, _newer, lambda raw: b""])
def test_a_packed_job_without_a_record_that_can_be_read_is_refused(
    tmp_path: Path, job: Job, change: Callable[[bytes], bytes]
) -> None:
    file = packed_with(tmp_path / "bad.zip", change(raw_of(job)), "job/x")
    with pytest.raises(JobError, match="was not taken in"):
        unpack(file, tmp_path / "there")
    assert not list((tmp_path / "there").glob("*"))


@pytest.mark.parametrize("raw", [b"", b"PK", b"not a zip file", b"PK\x05\x06" + b"\0" * 18])
def test_what_is_no_packed_job_is_told(tmp_path: Path, raw: bytes) -> None:
    file = tmp_path / "bad.zip"
    file.write_bytes(raw)
    with pytest.raises(JobError, match=r"bad\.zip"):
        unpack(file, tmp_path / "there")
    with pytest.raises(JobError, match="No such file"):
        unpack(tmp_path / "nowhere.zip", tmp_path / "there")


def test_a_damaged_packed_job_is_told_wherever_it_is_damaged(tmp_path: Path, job: Job) -> None:
    pack(job.folder, tmp_path / "sent.zip")
    raw = (tmp_path / "sent.zip").read_bytes()
    file = tmp_path / "bad.zip"
    for at in range(0, len(raw), 23):
        file.write_bytes(raw[:at] + bytes([raw[at] ^ 0x5A]) + raw[at + 1 :])
        try:
            folder = unpack(file, tmp_path / f"there-{at}")
        except JobError:
            assert not list((tmp_path / f"there-{at}").glob("*"))
        else:
            assert read_job(folder).entries == job.entries
    for at in range(0, len(raw), 97):
        file.write_bytes(raw[:at])
        with pytest.raises(JobError):
            unpack(file, tmp_path / "cut")


def test_one_with_a_password_or_of_another_kind_is_told(tmp_path: Path, job: Job) -> None:
    file = packed_with(tmp_path / "locked.zip", raw_of(job), "job/x")
    raw = bytearray(file.read_bytes())
    for mark, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        raw[raw.rindex(mark) + flags] |= 1
    file.write_bytes(bytes(raw))
    with pytest.raises(JobError, match="password"):
        unpack(file, tmp_path / "there")
    with zipfile.ZipFile(tmp_path / "other.zip", "w", zipfile.ZIP_LZMA) as packed:
        packed.writestr(f"job/{RECORD}", raw_of(job))
    with pytest.raises(JobError, match="can't be kept here"):
        unpack(tmp_path / "other.zip", tmp_path / "there")


def test_what_is_left_of_an_unpacking_that_was_killed_does_no_harm(
    tmp_path: Path, job: Job
) -> None:
    pack(job.folder, tmp_path / "sent.zip")
    half = tmp_path / "there" / f".{NAME}.part"
    half.mkdir(parents=True)
    (half / "left.txt").write_bytes(b"left")
    folder = unpack(tmp_path / "sent.zip", tmp_path / "there")
    assert files(folder) == files(job.folder)


def test_a_zip_file_in_it_is_a_file_like_any_other(tmp_path: Path, job: Job) -> None:
    inner = packed_with(tmp_path / "inner.zip", raw_of(job), "job/x").read_bytes()
    file = packed_with(tmp_path / "outer.zip", raw_of(job), "job/inner.zip", inner)
    folder = unpack(file, tmp_path / "there")
    assert (folder / "inner.zip").read_bytes() == inner


def test_another_header_makes_another_name(tmp_path: Path) -> None:
    other = job_with(tmp_path / "here", 1, replace(HEADER, site="Oak Hall"))
    pack(other.folder, tmp_path / "sent.zip")
    assert unpack(tmp_path / "sent.zip", tmp_path / "there").name == "2026-03-14-oak-hall-rtu-2"
