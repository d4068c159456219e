"""From the data of a file to the model: what kind of file it is, and what it says.

`build` never raises and never stops at the first problem: what cannot be used is left out or
empty, and every problem is in the answer. What names something else is kept as mentions, which
`check` holds against the other files.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from engine.loader.build_tree import build_procedure, build_tree
from engine.loader.build_words import build_vocabulary
from engine.loader.building import Building, Names, names
from engine.loader.document import Document
from engine.tree import Procedure, Tree
from engine.vocabulary import Vocabulary


class FileKind(StrEnum):
    """What a file is, told by its first key (after an optional ``format``)."""

    TREE = "tree"
    PROCEDURE = "procedure"
    VOCABULARY = "vocabulary"
    GLOSSARY = "glossary"
    UNIT = "unit"
    ADDED_FAULTS = "adds to"
    CASES = "cases for"
    READINGS = "readings for"
    RANK = "suspects"


FORMAT = "format"

Made = Tree | Procedure | Vocabulary


@dataclass(frozen=True, slots=True)
class Built:
    """A file and what the model makes of it."""

    file: Building
    made: Made


def kind_of_file(data: Mapping[str, object]) -> FileKind | None:
    """Return what a file is; None where its first key does not tell."""
    first = next((key for key in data if key != FORMAT), "")
    return FileKind(first) if first in list(FileKind) else None


def build(document: Document, raw: bytes = b"") -> Built | None:
    """Return the tree, procedure or vocabulary of a file; None for a file of another kind.

    ``raw`` is what the file holds, for the places of words inside its texts.
    """
    data = names(document.data)
    file = Building(document, raw)
    made = _made(kind_of_file(data), file, data)
    return Built(file, made) if made else None


def _made(kind: FileKind | None, file: Building, data: Names) -> Made | None:
    match kind:
        case FileKind.TREE:
            return build_tree(file, data)
        case FileKind.PROCEDURE:
            return build_procedure(file, data)
        case FileKind.VOCABULARY:
            return build_vocabulary(file, data)
        case _:
            return None
