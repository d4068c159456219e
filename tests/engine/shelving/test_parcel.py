"""A tree as one file: what is in it, and files that only look like one."""

from __future__ import annotations

import stat
import zipfile
from pathlib import Path

import pytest

from engine.job.chain import JobError
from engine.loader.library import load
from engine.shelving import parcel
from engine.shelving.parcel import open_parcel, pack

SHELF = Path(__file__).parents[2] / "data" / "shelf"
FAN = SHELF / "fan-stopped.yaml"
TREE = FAN.read_bytes()


@pytest.fixture
def sent(tmp_path: Path) -> Path:
    file = tmp_path / "fan.zip"
    pack(load(str(FAN)), file)
    return file


def test_what_the_shop_wrote_is_in_it_as_it_lies_on_the_shelf(sent: Path) -> None:
    opened = open_parcel(sent)
    assert (opened.name, opened.title, opened.revision) == (
        "fan-stopped",
        "Outdoor fan does not turn",
        "3",
    )
    procedures = {f"procedures/{path.name}" for path in (SHELF / "procedures").iterdir()}
    # The one that came with the program, word for word, lies apart.
    assert set(opened.shipped) == {"procedures/withdraw.yaml"}
    assert set(opened.files) | set(opened.shipped) == {
        "fan-stopped.yaml",
        "vocabulary.yaml",
        *procedures,
    }
    assert opened.files[opened.place] == TREE


def test_a_shipped_tree_brings_its_cases_and_its_procedures_apart(tmp_path: Path) -> None:
    pack(load("blank-thermostat"), tmp_path / "sent.zip")
    opened = open_parcel(tmp_path / "sent.zip")
    assert set(opened.files) == {
        "thermostat/blank-thermostat.yaml",
        "thermostat/blank-thermostat.cases.yaml",
    }
    assert "procedures/withdraw.yaml" in opened.shipped


def test_the_same_tree_gives_the_same_bytes(tmp_path: Path, sent: Path) -> None:
    pack(load(str(FAN)), tmp_path / "again.zip")
    assert (tmp_path / "again.zip").read_bytes() == sent.read_bytes()


def test_a_file_that_is_there_is_not_written_over(sent: Path) -> None:
    before = sent.read_bytes()
    with pytest.raises(JobError, match="is there already; nothing was written"):
        pack(load(str(FAN)), sent)
    assert sent.read_bytes() == before


# --- hostile files --------------------------------------------------------------------------------


def zipped(file: Path, *members: tuple[str, bytes]) -> Path:
    """Return a packed tree with these members and no others."""
    with zipfile.ZipFile(file, "w") as packed:
        for name, raw in members:
            packed.writestr(zipfile.ZipInfo(name), raw)
    return file


GOOD = ("fan-stopped/fan-stopped.yaml", TREE)


@pytest.mark.parametrize(
    "name",
    [
        "../outside.yaml",
        "fan-stopped/../../outside.yaml",
        "/outside.yaml",
        "fan-stopped//outside.yaml",
        "C:/outside.yaml",
        "fan-stopped/..\\outside.yaml",
        "fan-stopped/con.yaml",
        "fan-stopped/run.py",
        "fan-stopped/procedures/run.sh",
        "fan-stopped/procedures/deep/withdraw.yaml",
        "fan-stopped/procedures/Withdraw.yaml",
        "fan-stopped/a/b/c.yaml",
        "fan-stopped/.hidden.yaml",
        "fan-stopped/shipped/fan-stopped.yaml",
        "fan-stopped/settings.json",
        "fan-stopped/one.readings.yaml",
        "fan-stopped/other.cases.yaml",
        "fan-stopped/glossary.yaml",
        "fan-stopped/FAN-STOPPED.yaml",
        "another/vocabulary.yaml",
    ],
)
def test_a_name_that_is_no_part_of_a_tree_is_refused(tmp_path: Path, name: str) -> None:
    file = zipped(tmp_path / "bad.zip", GOOD, (name, b"x: y\n"))
    with pytest.raises(JobError, match=r"bad\.zip was not taken in: "):
        open_parcel(file)
    assert [path.name for path in tmp_path.iterdir()] == ["bad.zip"]


def test_one_tree_is_wanted(tmp_path: Path) -> None:
    none = zipped(tmp_path / "none.zip", ("fan/vocabulary.yaml", b"format: 1\n"))
    with pytest.raises(JobError, match="it has no tree"):
        open_parcel(none)
    two = zipped(tmp_path / "two.zip", GOOD, ("fan-stopped/second.yaml", TREE))
    with pytest.raises(JobError, match="several trees"):
        open_parcel(two)


@pytest.mark.parametrize("name", ["../fan", "Fan", "con/x", ""])
def test_a_tree_whose_name_can_not_be_a_files_is_refused(tmp_path: Path, name: str) -> None:
    raw = TREE.replace(b"tree: fan-stopped", f"tree: {name!r}".encode())
    file = zipped(tmp_path / "bad.zip", ("fan-stopped/fan-stopped.yaml", raw))
    with pytest.raises(JobError, match="no name that can be kept"):
        open_parcel(file)


def test_a_link_in_it_is_refused(tmp_path: Path) -> None:
    link = zipfile.ZipInfo("fan-stopped/vocabulary.yaml")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    with zipfile.ZipFile(tmp_path / "bad.zip", "w") as packed:
        packed.writestr(*GOOD)
        packed.writestr(link, "/etc/passwd")
    with pytest.raises(JobError, match="can't be kept here"):
        open_parcel(tmp_path / "bad.zip")


def test_one_that_would_fill_the_machine_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(parcel, "LARGEST", 2**20)
    file = tmp_path / "bomb.zip"
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr(*GOOD)
        packed.writestr("fan-stopped/vocabulary.yaml", b"\0" * 2**21)
    assert file.stat().st_size < 2**16
    with pytest.raises(JobError, match="more than 1 MB"):
        open_parcel(file)


@pytest.mark.parametrize("raw", [b"", b"PK", b"not a zip file", TREE])
def test_what_is_no_packed_tree_is_told(tmp_path: Path, raw: bytes) -> None:
    (tmp_path / "bad.zip").write_bytes(raw)
    with pytest.raises(JobError, match="is no packed tree that can be read"):
        open_parcel(tmp_path / "bad.zip")
    with pytest.raises(JobError, match="No such file"):
        open_parcel(tmp_path / "nowhere.zip")


def test_a_damaged_one_is_told_or_read_as_it_was(tmp_path: Path, sent: Path) -> None:
    whole, raw = open_parcel(sent), sent.read_bytes()
    file = tmp_path / "bad.zip"
    for at in range(0, len(raw), 41):
        file.write_bytes(raw[:at] + bytes([raw[at] ^ 0x5A]) + raw[at + 1 :])
        try:
            opened = open_parcel(file)
        except JobError:
            continue
        assert opened.files[opened.place] == whole.files[whole.place]
