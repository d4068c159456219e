"""A file that is being checked, with everything that its words may name."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cached_property

from engine.layouts import LAYOUTS, Layout
from engine.loader.building import TOP, Building, Mention, Role
from engine.tree import Finding, Procedure, Row, Tree
from engine.unit.showing import DISPLAY
from engine.vocabulary import Field, Vocabulary

GROUND = "ground"
"""A place for a lead that every unit has."""
_PARTS = frozenset({DISPLAY, "fan_relay", "blower_contactor", "compressor.overload"})
"""Parts that are seen or heard to do something and have no point, or not under that name."""


@dataclass(frozen=True)
class Surroundings:
    """One file, the words that all trees share, and the procedures that can be used."""

    file: Building
    made: Tree | Procedure
    vocabulary: Vocabulary
    used: Mapping[str, Procedure]
    """The procedures that it uses."""
    used_files: Mapping[str, Building]
    """Their files."""
    unread: Collection[str] = ()
    """Procedures that are there and could not be read: what is wrong is said in their files."""
    procedure_names: Collection[str] = ()
    """Every procedure that there is, to offer the nearest."""
    tree_names: Collection[str] = ()
    """Every tree that there is, if the file names one."""

    @cached_property
    def tree(self) -> Tree | None:
        """The tree, if the file is one."""
        return self.made if isinstance(self.made, Tree) else None

    @property
    def takes(self) -> Mapping[str, str]:
        """The parameters; a tree has none."""
        return self.made.takes if isinstance(self.made, Procedure) else {}

    @property
    def findings(self) -> Mapping[str, Finding]:
        """The findings; a procedure has none."""
        return self.tree.findings if self.tree else {}

    @property
    def lists(self) -> Mapping[str, Mapping[str, Row]]:
        """The lists; a procedure has none of its own."""
        return self.tree.lists if self.tree else {}

    @cached_property
    def layout(self) -> Layout | None:
        """The layout that the tree names, if there is one."""
        return LAYOUTS.get(self.tree.layout) if self.tree else None

    @cached_property
    def fields(self) -> Mapping[str, Field]:
        """Every nameplate field, the tree's own first."""
        own = self.tree.nameplate if self.tree else {}
        return {**self.vocabulary.fields, **own}

    @cached_property
    def points(self) -> frozenset[str]:
        """Every point and every set of points."""
        return frozenset((*self.vocabulary.points, *self.vocabulary.sets, GROUND))

    @cached_property
    def parts(self) -> frozenset[str]:
        """Every part of a unit that can be seen or heard to do something."""
        return _PARTS | {point.partition(".")[0] for point in self.vocabulary.points}

    @cached_property
    def by_role(self) -> Mapping[Role, Collection[str]]:
        """The names of each role that don't hang on where they stand."""
        return {
            Role.FINDING: self.findings,
            Role.SUSPECT: self.tree.suspects if self.tree else (),
            Role.SIGN: self.vocabulary.signs,
            Role.PART: self.parts,
            Role.STAGE: self.tree.stages if self.tree else (),
            Role.LIST: self.lists,
            Role.RETURN: self.made.returns if isinstance(self.made, Procedure) else (),
            Role.POINT: self.points,
            Role.SET: self.vocabulary.sets,
            Role.PROCEDURE: {*self.used, *self.unread},
            Role.FIELD: self.fields,
            Role.SORTED: self.fields,
            Role.TREE: self.tree_names,
        }

    def steps_at(self, mention: Mention) -> list[str]:
        """Return every step that can be named where a mention stands."""
        return [name for steps in self.file.steps_here(mention.step or TOP) for name in steps]
