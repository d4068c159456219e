"""The trees a job was walked in, as they were, and what has changed in them since."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from engine.entries import EntryKind
from engine.job.chain import JobError
from engine.job.kept import Changes, changes_since, difference, kept_tree, passages
from engine.job.store import Job, open_job
from engine.loader.library import load, load_kept
from tests.typed_jobs import SHELF, TREE, loaded, new_job, visit, walked

GOES_ON = "The job goes on with the tree as it was."


@pytest.fixture
def job(tmp_path: Path) -> Job:
    return walked(tmp_path / "jobs", ["1", "2"])


@pytest.fixture
def begun(tmp_path: Path, shop: Path) -> Job:
    """Return a job begun in the shop's own tree."""
    tree = load(TREE, shop)
    job = new_job(tmp_path / "jobs", tree=tree)
    visit(job, tree=tree)
    return job


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """Return a home whose own trees are those of the shelf."""
    shutil.copytree(SHELF, tmp_path / "home" / "trees")
    return tmp_path / "home"


def change(shop: Path, old: str, new: str, file: str = f"{TREE}.yaml") -> None:
    path = shop / "trees" / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8", newline="\n")


def test_the_kept_tree_is_the_tree(job: Job) -> None:
    [passage] = passages(job)
    assert (passage.tree, passage.digest) == (TREE, loaded().digest)
    kept = kept_tree(job, passage)
    now = loaded().walk
    assert now is not None
    assert difference(kept, now) == Changes(TREE, (3, 3))


def test_the_entries_of_a_walk_are_those_of_its_tree_since_it_began(job: Job) -> None:
    again = open_job(job.folder)
    going = visit(again)
    going.enter("n the hatch sticks")
    [passage] = passages(again)
    kinds = [one.kind for one in passage.entries]
    assert kinds[0] is EntryKind.WALK
    assert kinds[-2:] == [EntryKind.RESUME, EntryKind.NOTE]
    assert passages(new_job(job.folder.parent)) == ()


def test_nothing_is_said_while_nothing_has_changed(begun: Job, shop: Path) -> None:
    [passage] = passages(begun)
    assert changes_since(begun, passage, shop) == ()


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (
            lambda shop: change(shop, "revision: 3", "revision: 4"),
            (
                "fan-stopped has changed since this job was begun (revision 3 then, 4 now).",
                "Only what a walk does not show is different.",
            ),
        ),
        (
            lambda shop: change(shop, "title: Stand by and listen", "title: Listen first"),
            (
                "fan-stopped has changed since this job was begun (still revision 3).",
                "Changed: listen.",
            ),
        ),
        (
            lambda shop: change(shop, "5 V", "4 V", "procedures/off-and-proven.yaml"),
            (
                "fan-stopped has changed since this job was begun (still revision 3).",
                "Changed: enter unit dead/bleed.",
            ),
        ),
        (
            lambda shop: change(shop, "listen", "hark"),
            (
                "fan-stopped has changed since this job was begun (still revision 3).",
                "New steps: hark.",
                "Gone: listen.",
                "Changed: supply.",
            ),
        ),
        (
            lambda shop: change(shop, "{weight: 6 of 10}", "{weight: 5 of 10}"),
            (
                "fan-stopped has changed since this job was begun (still revision 3).",
                "Its nameplate questions, causes, findings or stages are not the same.",
            ),
        ),
        (
            lambda shop: change(shop, "format: 1\n", "# a word to the reader\nformat: 1\n"),
            (
                "fan-stopped has changed since this job was begun (still revision 3).",
                "Only what a walk does not show is different.",
            ),
        ),
    ],
)
def test_what_has_changed_is_said_by_name(
    begun: Job, shop: Path, edit: Callable[[Path], None], says: tuple[str, ...]
) -> None:
    edit(shop)
    [passage] = passages(begun)
    found = changes_since(begun, passage, shop)
    assert found[-1] == GOES_ON
    assert [line for line in found[:-1] if line not in says] == []
    assert set(says) <= set(found)


def test_of_many_changes_some_are_named_and_the_rest_counted() -> None:
    names = tuple(f"step-{n}" for n in range(9))
    [_, line, _] = Changes(TREE, (1, 2), changed=names).sentences()
    assert line == "Changed: step-0, step-1, step-2, step-3, step-4, step-5 and 3 more."


def test_a_tree_that_is_gone_or_broken_now_is_said(begun: Job, shop: Path, tmp_path: Path) -> None:
    [passage] = passages(begun)
    gone = changes_since(begun, passage, tmp_path / "nowhere")
    assert gone == ("There is no tree called fan-stopped here any more.", GOES_ON)
    change(shop, "start: size-up", "start: nowhere")
    [first, last] = changes_since(begun, passage, shop)
    assert first == (
        "fan-stopped as it is now can't be walked; halfsplit check fan-stopped says why."
    )
    assert last == GOES_ON


def test_kept_files_that_are_missing_or_changed_are_told(job: Job) -> None:
    [passage] = passages(job)
    folder = job.kept_tree(passage.digest)
    file = folder / "procedures" / "cover-on.yaml"
    raw = file.read_bytes()
    file.write_bytes(raw + b"# more\n")
    with pytest.raises(JobError, match="are not as they were kept"):
        kept_tree(job, passage)
    file.unlink()
    with pytest.raises(JobError, match="are not as they were kept"):
        kept_tree(job, passage)
    shutil.rmtree(folder)
    with pytest.raises(JobError, match="that this job was walked by are missing"):
        kept_tree(job, passage)


def test_a_folder_of_kept_files_loads_by_itself(job: Job) -> None:
    [passage] = passages(job)
    found = load_kept(TREE, job.kept_tree(passage.digest))
    assert found.files == loaded().files
