"""A packed tree put on a shop's shelf: tried first, nothing of the shop's lost."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from engine.job.chain import JobError
from engine.loader.library import heads, load
from engine.revision.comparing import compare
from engine.shelving.adding import add, planned, spoiled, tried
from engine.shelving.parcel import Parcel, open_parcel, pack

SHELF = Path(__file__).parents[2] / "data" / "shelf"
FAN = SHELF / "fan-stopped.yaml"
WITHDRAW = "procedures/withdraw.yaml"


@pytest.fixture
def fan(tmp_path: Path) -> Parcel:
    pack(load(str(FAN)), tmp_path / "fan.zip")
    return open_parcel(tmp_path / "fan.zip")


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "home"


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def changed(parcel: Parcel, old: str, new: str, place: str = "fan-stopped.yaml") -> Parcel:
    """Return a packed tree with words of one of its files exchanged."""
    raw = parcel.files[place]
    assert old.encode() in raw
    return replace(parcel, files={**parcel.files, place: raw.replace(old.encode(), new.encode())})


def test_a_tree_added_to_an_empty_home_is_the_one_that_was_sent(fan: Parcel, home: Path) -> None:
    assert add(planned(fan, home)) is None
    sent, here = load(str(FAN)).walk, load("fan-stopped", home).walk
    assert sent is not None
    assert here is not None
    assert compare(sent, here).same
    # What came with this program stays with it.
    assert set(files(home / "trees")) == set(fan.files)


def test_a_shipped_tree_needs_nothing_beside_it(tmp_path: Path, home: Path) -> None:
    pack(load("blank-thermostat"), tmp_path / "sent.zip")
    add(planned(open_parcel(tmp_path / "sent.zip"), home))
    assert set(files(home / "trees")) == {
        "thermostat/blank-thermostat.yaml",
        "thermostat/blank-thermostat.cases.yaml",
    }


def test_planning_and_trying_write_nothing(fan: Parcel, home: Path) -> None:
    home.mkdir()
    addition = planned(fan, home)
    with tried(addition) as trial:
        assert load("fan-stopped", trial).walk is not None
        assert trial.is_dir()
    assert not trial.exists()
    assert files(home) == {}


def test_the_same_tree_again_has_nothing_to_write(fan: Parcel, home: Path) -> None:
    add(planned(fan, home))
    assert not planned(fan, home).writes


def test_what_is_written_over_is_kept_and_is_not_on_the_shelf(fan: Parcel, home: Path) -> None:
    add(planned(fan, home))
    cases = home / "trees" / "fan-stopped.cases.yaml"
    cases.write_text("cases for: fan-stopped\n", encoding="utf-8")
    before = files(home / "trees")
    newer = changed(fan, "revision: 3", "revision: 4")
    kept = add(planned(newer, home))
    assert kept == home / "trees" / "old" / "fan-stopped-r3"
    assert files(kept) == {name: before[name] for name in ("fan-stopped.yaml", cases.name)}
    own = [head for head in heads(home) if not head.shipped]
    assert [(head.name, head.revision) for head in own] == [("fan-stopped", "4")]
    again = add(planned(changed(newer, "Outdoor fan", "The fan"), home))
    assert again == home / "trees" / "old" / "fan-stopped-r4"
    once_more = add(planned(changed(newer, "Outdoor fan", "A fan"), home))
    assert once_more == home / "trees" / "old" / "fan-stopped-r4-2"


def test_a_tree_stays_where_the_shop_keeps_it(fan: Parcel, home: Path) -> None:
    add(planned(fan, home))
    shelf = home / "trees"
    (shelf / "fans").mkdir()
    (shelf / "fan-stopped.yaml").rename(shelf / "fans" / "outdoor.yaml")
    addition = planned(changed(fan, "revision: 3", "revision: 4"), home)
    assert list(addition.writes) == ["fans/outdoor.yaml"]


def test_another_trees_file_is_not_covered(fan: Parcel, home: Path) -> None:
    shelf = home / "trees"
    shelf.mkdir(parents=True)
    other = FAN.read_text(encoding="utf-8").replace("tree: fan-stopped", "tree: fan-hums")
    (shelf / "fan-stopped.yaml").write_text(other, encoding="utf-8")
    with pytest.raises(JobError, match="is there already, and it is not fan-stopped"):
        planned(fan, home)


def test_a_procedure_of_the_program_is_not_exchanged_for_the_senders(
    fan: Parcel, home: Path
) -> None:
    older = replace(fan, shipped={WITHDRAW: fan.shipped[WITHDRAW] + b"# an older one\n"})
    addition = planned(older, home)
    assert WITHDRAW not in addition.writes
    assert addition.notes == (
        "The procedure withdraw is not the same here; the one that is here is used.",
    )


def test_words_that_the_tree_needs_come_with_it_unless_the_shop_has_its_own(
    fan: Parcel, home: Path
) -> None:
    assert "vocabulary.yaml" in planned(fan, home).writes
    own = home / "trees" / "vocabulary.yaml"
    own.parent.mkdir(parents=True)
    own.write_text("format: 1\nvocabulary: Ours\n", encoding="utf-8")
    addition = planned(fan, home)
    assert "vocabulary.yaml" not in addition.writes
    assert addition.notes == (
        "Your own vocabulary.yaml is kept; the sender's has words that this tree needs.",
    )


def test_a_tree_that_a_procedure_would_spoil_is_named(
    fan: Parcel, home: Path, tmp_path: Path
) -> None:
    add(planned(fan, home))
    shelf = home / "trees"
    other = FAN.read_text(encoding="utf-8").replace("tree: fan-stopped", "tree: fan-hums")
    (shelf / "fan-hums.yaml").write_text(other, encoding="utf-8")
    place = "procedures/cover-off.yaml"
    text = fan.files[place].decode("utf-8")
    assert "not available" in text
    newer = changed(fan, "not available", "no key", place)
    addition = planned(newer, home)
    with tried(addition) as trial:
        assert spoiled(addition, trial) == ("fan-hums",)
    with tried(planned(fan, home)) as trial:
        assert spoiled(planned(fan, home), trial) == ()
