"""One file read, and a tree loaded with every file it uses.

A `Loader` keeps what it read: a procedure is read, built and checked once, however many trees
use it. Nothing raises for what a file holds; a file that cannot be opened is a problem, too.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from hashlib import sha256

from engine import collector
from engine.codes import problem
from engine.loader import schema
from engine.loader.build import Built, build, kind_of_file
from engine.loader.building import Building, Role, names
from engine.loader.check import check_file, check_walk
from engine.loader.check_vocabulary import check_vocabulary
from engine.loader.document import Document
from engine.loader.heads import head_of
from engine.loader.shelves import OWN_VOCABULARY, PROCEDURES, VOCABULARY, Found, Shelves
from engine.loader.surroundings import Surroundings
from engine.loader.text import read
from engine.problems import Problem, Severity, Span
from engine.tree import EachHead, Procedure, Step, Tree, UseHead, WalkTree
from engine.vocabulary import Vocabulary


@dataclass(frozen=True, slots=True)
class Loaded:
    """A tree as loaded: ready to walk, or with the problems that keep it from being walked."""

    walk: WalkTree | None
    problems: tuple[Problem, ...] = ()
    """Every problem of the tree and of what it uses, by file and line."""
    files: Mapping[str, bytes] = field(default_factory=dict)
    """The files it was made of, by their place on a shelf; a folder of them loads the same."""
    digest: str = ""
    path: str = ""
    alone: WalkTree | None = None
    """A procedure by itself, around it a tree of the one step that uses it: nobody walks it."""


@dataclass(frozen=True, slots=True)
class FileRead:
    """One file as read: its data, and what is wrong with its writing and its shape."""

    found: Found
    raw: bytes
    document: Document
    shape: tuple[Problem, ...]
    built: Built | None

    @property
    def has_steps(self) -> bool:
        """Whether the file is a tree or a procedure, and could be read."""
        return self.built is not None and isinstance(self.built.made, Tree | Procedure)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything known to be wrong with the file by now."""
        return (*self.shape, *(self.built.file.problems if self.built else ()))


class Loader:
    """Reads files from shelves and keeps what it read."""

    def __init__(self, shelves: Shelves) -> None:
        self._shelves = shelves
        self._files: dict[str, FileRead] = {}
        self._checked: set[str] = set()

    def load(self, found: Found) -> Loaded:
        """Return the tree of a file, ready to walk or with its problems."""
        with collector.paused():
            return self._load(found)

    def file(self, found: Found) -> FileRead:
        """Return a file as read, each once."""
        if found.path not in self._files:
            self._files[found.path] = read_file(found)
        return self._files[found.path]

    def vocabulary(self) -> Vocabulary:
        """Return all the words that trees share, those of every shelf together."""
        return self._vocabulary()[0]

    def check(self, found: Found) -> tuple[Problem, ...]:
        """Return every problem of a file of any kind, and of what it uses."""
        read_first = self.file(found)
        made = read_first.built.made if read_first.built else None
        if isinstance(made, Tree | Procedure):
            return self.load(found).problems
        if isinstance(made, Vocabulary):
            return self._ordered(one.problems for one in self._vocabulary(read_first)[1])
        return self._ordered([read_first.problems])

    def _load(self, found: Found) -> Loaded:
        first = self.file(found)
        if not first.has_steps:
            return Loaded(None, self._ordered([first.problems]), path=found.path)
        vocabulary, word_files = self._vocabulary()
        used = self._used(first)
        for one in used.values():
            if one.has_steps:
                self._check(one, vocabulary)
        here = self._check(first, vocabulary)
        every = [first, *used.values(), *word_files]
        files = _by_place(every)
        digest = _digest(files)
        shape = [problem for one in every for problem in one.shape]
        walk, found_in_walk = check_walk(here, shape, digest)
        problems = self._ordered([*(one.problems for one in every), found_in_walk])
        if any(one.severity is Severity.STOPS for one in problems):
            return Loaded(None, problems, files, digest, found.path)
        walked, alone = (walk, None) if here.tree else (None, walk)
        return Loaded(walked, problems, files, digest, found.path, alone)

    @staticmethod
    def _ordered(parts: Iterable[Iterable[Problem]]) -> tuple[Problem, ...]:
        return tuple(sorted({problem for part in parts for problem in part}))

    # --- what a file uses ---------------------------------------------------------------------

    @cached_property
    def _procedure_names(self) -> frozenset[str]:
        return frozenset(found.stem for found in self._shelves.procedures())

    def _tree_names(self, file: Building) -> list[str]:
        """Return every tree that there is, if a file hands over to one."""
        if not any(mention.role is Role.TREE for mention in file.mentions):
            return []
        heads = (head_of(found) for found in self._shelves.trees())
        return [head.name for head in heads if head]

    def _vocabulary(self, *more: FileRead) -> tuple[Vocabulary, list[FileRead]]:
        """Return all shared words together, and the files they stand in."""
        lying = [self.file(one) for one in self._shelves.vocabularies()]
        files = list({one.found.path: one for one in (*more, *lying)}.values())
        built = {one.found.path: one.built for one in files if one.built}
        made = [one.made for one in built.values() if isinstance(one.made, Vocabulary)]
        merged = _merged(made)
        for path, one in built.items():
            if path not in self._checked:
                self._checked.add(path)
                check_vocabulary(one.file, merged)
        return merged, files

    def _used(self, first: FileRead) -> dict[str, FileRead]:
        """Return the file of every procedure that is used, also by the procedures themselves."""
        used: dict[str, FileRead] = {}
        waiting = [first]
        while waiting:
            built = waiting.pop().built
            for name in uses_of(built.made) if built else ():
                if name not in used and (one := self._procedure(name, first)):
                    used[name] = one
                    waiting.append(one)
        return dict(sorted(used.items()))

    def _procedure(self, name: str, first: FileRead) -> FileRead | None:
        """Return the file of a procedure; the one that is being loaded may use itself."""
        made = first.built.made if first.built else None
        if isinstance(made, Procedure) and made.name == name:
            return first
        found = self._shelves.procedure(name)
        return self.file(found) if found else None

    def _check(self, one: FileRead, vocabulary: Vocabulary) -> Surroundings:
        """Hold one file against its surroundings, once; return them."""
        assert one.built is not None
        assert not isinstance(one.built.made, Vocabulary)
        used = self._used(one)
        built = {name: file.built for name, file in used.items() if file.built}
        here = Surroundings(
            file=one.built.file,
            made=one.built.made,
            vocabulary=vocabulary,
            used={n: b.made for n, b in built.items() if isinstance(b.made, Procedure)},
            used_files={n: b.file for n, b in built.items()},
            unread=[name for name, file in used.items() if not file.built],
            procedure_names=self._procedure_names,
            tree_names=self._tree_names(one.built.file),
        )
        if one.found.path not in self._checked:
            self._checked.add(one.found.path)
            check_file(here, one.shape)
            _file_name(one)
        return here


def _file_name(one: FileRead) -> None:
    """Hold that a procedure lies in a file of its own name, by which it is looked for."""
    made = one.built.made if one.built else None
    looked_for = one.found.place.startswith(f"{PROCEDURES}/")
    if one.built and isinstance(made, Procedure) and looked_for and made.name != one.found.stem:
        sentence = f"The procedure {made.name} lies in a file called {one.found.name}."
        fix = f"Call the file {made.name}.yaml: a procedure is looked for by its file's name."
        one.built.file.say("file-name", ("procedure",), sentence, fix)


def read_file(found: Found) -> FileRead:
    """Return a file as read; one that cannot be opened is a problem like any other."""
    try:
        raw = found.read()
    except OSError as error:
        reason = error.strerror or "it cannot be read"
        sentence = f"The file can't be opened: {reason}."
        span = Span(found.path)
        shut = problem("not-opened", span, sentence, "Look at its name and who may read it.")
        return FileRead(found, b"", Document(found.path, None, {(): span}), (shut,), None)
    document = read(found.path, raw)
    kind = kind_of_file(names(document.data))
    if document.data is None:
        return FileRead(found, raw, document, document.problems, None)
    if kind is None or kind not in schema.SCHEMAS:
        shape = (*document.problems, schema.unknown_kind(document))
        return FileRead(found, raw, document, shape, None)
    shape = (*document.problems, *schema.check(document, kind))
    return FileRead(found, raw, document, shape, build(document, raw))


def uses_of(made: Tree | Procedure | Vocabulary) -> Iterator[str]:
    """Yield the name of every procedure that is used."""
    if isinstance(made, Vocabulary):
        return
    for step in made.steps.values():
        yield from _uses_of_step(step)
    if isinstance(made, Tree):
        for stage in made.stages.values():
            for use in (stage.enter, stage.leave):
                if use:
                    yield use.procedure


def _uses_of_step(step: Step) -> Iterator[str]:
    if isinstance(step.head, UseHead):
        yield step.head.procedure
    elif isinstance(step.head, EachHead):
        for inner in step.head.steps.values():
            yield from _uses_of_step(inner)


def _merged(several: Iterable[Vocabulary]) -> Vocabulary:
    """Return all words together; where a name is there twice, the first vocabulary's counts."""
    merged = Vocabulary({}, {}, {}, {}, {})
    for one in reversed(list(several)):
        merged = Vocabulary(
            points={**merged.points, **one.points},
            sets={**merged.sets, **one.sets},
            fields={**merged.fields, **one.fields},
            suspects={**merged.suspects, **one.suspects},
            signs={**merged.signs, **one.signs},
        )
    return merged


def _by_place(files: Iterable[FileRead]) -> dict[str, bytes]:
    """Return the files by their place on a shelf, so that a folder of them loads the same."""
    placed: dict[str, bytes] = {}
    for one in reversed(list(files)):
        place = one.found.place
        placed[OWN_VOCABULARY if place == VOCABULARY and place in placed else place] = one.raw
    return placed


def _digest(files: Mapping[str, bytes]) -> str:
    digest = sha256()
    for place in sorted(files):
        digest.update(place.encode("utf-8") + b"\0" + sha256(files[place]).digest())
    return digest.hexdigest()
