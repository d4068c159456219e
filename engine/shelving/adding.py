"""A packed tree put on the shop's own shelf: what would be written, tried, then written.

Nothing of the shop's is lost: what is written over is kept under ``old``. A procedure that comes
with the program is never exchanged for a sender's copy of it; one that the sender's shop wrote is
put beside the shop's own, and takes the place of one of that name.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from shutil import copytree, ignore_patterns
from tempfile import TemporaryDirectory

from engine.job import disk
from engine.job.chain import JobError
from engine.loader.heads import Head, head_of, heads
from engine.loader.library import load
from engine.loader.shelves import (
    CASES,
    ENDING,
    FOLDERS_WITHOUT_TREES,
    OLD,
    PROCEDURES,
    VOCABULARY,
    Shelf,
)
from engine.shelving.parcel import Parcel, is_procedure
from engine.shipped import data

TREES = "trees"


@dataclass(frozen=True, slots=True)
class Addition:
    """What adding a packed tree would write on the shop's shelf."""

    parcel: Parcel
    home: Path
    writes: Mapping[str, bytes]
    """The files that are not there yet, or not the same, by place on the shelf; the tree last."""
    before: Head | None
    """The shop's own tree of that name, if there is one."""
    notes: tuple[str, ...] = ()
    """What is left as it is here, in sentences."""

    @property
    def replaces(self) -> tuple[str, ...]:
        """Return the shop's own files that would be written over."""
        shelf = self.home / TREES
        return tuple(place for place in self.writes if (shelf / place).exists())


def planned(parcel: Parcel, home: Path) -> Addition:
    """Return what adding a packed tree would write; nothing is written.

    Raises JobError where its file would cover another tree's.
    """
    shelf = home / TREES
    before = _own(shelf, parcel.name)
    place = _place(parcel, before, shelf)
    writes, notes = _procedures(parcel, shelf)
    cases = parcel.files.get(parcel.place.removesuffix(ENDING) + CASES)
    if cases is not None:
        writes[place.removesuffix(ENDING) + CASES] = cases
    writes[place] = parcel.files[parcel.place]
    different = {name: raw for name, raw in writes.items() if _read(shelf / name) != raw}
    return _with_words(Addition(parcel, home, different, before, notes))


def _procedures(parcel: Parcel, shelf: Path) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """Return the procedures to be written, and a sentence for each that is another one here."""
    writes: dict[str, bytes] = {}
    notes: list[str] = []
    for place, raw in sorted({**parcel.shipped, **parcel.files}.items()):
        here = _here(shelf, place) if is_procedure(place) else raw
        if here is not None and here != raw and place in parcel.shipped:
            notes.append(f"{_called(place)} is not the same here; the one that is here is used.")
        elif here != raw:
            writes[place] = raw
    return writes, tuple(notes)


def _called(place: str) -> str:
    return f"The procedure {place.removeprefix(f'{PROCEDURES}/').removesuffix(ENDING)}"


def _own(shelf: Path, name: str) -> Head | None:
    found = (head_of(one) for one in Shelf(shelf).trees())
    return next((head for head in found if head and head.name == name), None)


def _place(parcel: Parcel, before: Head | None, shelf: Path) -> str:
    """Return where the tree's file goes: where the one of its name is, else where it was."""
    if before:
        return Path(before.path).relative_to(shelf).as_posix()
    family = parcel.place.rpartition("/")[0]
    place = f"{parcel.name}{ENDING}" if family in FOLDERS_WITHOUT_TREES else parcel.place
    if (shelf / place).exists():
        raise JobError(f"{shelf / place} is there already, and it is not {parcel.name}.")
    return place


def _here(shelf: Path, place: str) -> bytes | None:
    """Return a procedure as it is used here: the shop's own, else the shipped one."""
    own = _read(shelf / place)
    return _read(data(TREES) / place) if own is None else own


def _read(path: Path) -> bytes | None:
    try:
        return path.read_bytes() if path.is_file() else None
    except OSError as error:
        raise JobError(f"{path} can't be read: {disk.reason(error)}.") from error


def _with_words(addition: Addition) -> Addition:
    """Return the addition with the sender's own words, where the tree needs them.

    A shop that has words of its own keeps them; then those that are missing have to be added to
    them first.
    """
    words = addition.parcel.files.get(VOCABULARY)
    here = _read(addition.home / TREES / VOCABULARY)
    if words in (None, here):
        return addition
    with tried(addition) as home:
        if load(addition.parcel.name, home).walk is not None:
            return addition
    assert words is not None
    if here is None:
        return replace(addition, writes={VOCABULARY: words, **addition.writes})
    kept = f"Your own {VOCABULARY} is kept; the sender's has words that this tree needs."
    return replace(addition, notes=(*addition.notes, kept))


# --- trying and doing -----------------------------------------------------------------------------


@contextmanager
def tried(addition: Addition) -> Iterator[Path]:
    """Give a home, gone afterwards, in which the tree is added and nothing else is different."""
    with TemporaryDirectory() as folder:
        home = Path(folder)
        shelf = addition.home / TREES
        try:
            if shelf.is_dir():
                copytree(shelf, home / TREES, ignore=ignore_patterns(OLD, ".*"))
        except OSError as error:
            raise JobError(f"{shelf} can't be read: {disk.reason(error)}.") from error
        for place, raw in addition.writes.items():
            disk.write(home / TREES / place, raw)
        yield home


def spoiled(addition: Addition, trial: Path) -> tuple[str, ...]:
    """Return the other trees that could be walked before, and could not any more afterwards."""
    shared = [place for place in addition.writes if is_procedure(place)]
    if not shared and VOCABULARY not in addition.writes:
        return ()
    names = dict.fromkeys(head.name for head in heads(addition.home))
    return tuple(
        name
        for name in names
        if name != addition.parcel.name
        and load(name, addition.home).walk
        and not load(name, trial).walk
    )


def add(addition: Addition) -> Path | None:
    """Write the tree on the shop's shelf; return the folder of what was there before, if any.

    The tree's own file comes last: before it nothing is used that was not there. Raises JobError.
    """
    shelf = addition.home / TREES
    kept = _keep(addition, shelf) if addition.replaces else None
    for place, raw in addition.writes.items():
        disk.write(shelf / place, raw)
    return kept


def _keep(addition: Addition, shelf: Path) -> Path:
    """Copy what will be written over, and the whole of the tree as it was, into a folder."""
    before = addition.before
    name = addition.parcel.name + (f"-r{before.revision}" if before and before.revision else "")
    folder, number = shelf / OLD / name, 1
    while folder.exists():
        number += 1
        folder = shelf / OLD / f"{name}-{number}"
    tree = Path(before.path).relative_to(shelf).as_posix() if before else ""
    whole = (tree, tree.removesuffix(ENDING) + CASES) if before else ()
    for place in dict.fromkeys((*addition.replaces, *whole)):
        raw = _read(shelf / place)
        if raw is not None:
            disk.write(folder / place, raw)
    return folder
