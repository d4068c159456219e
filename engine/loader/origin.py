"""From a step of a tree as walked back to the file and the place it was written in."""

from __future__ import annotations

from collections.abc import Sequence

from engine.codes import problem
from engine.loader.building import Building
from engine.loader.document import Data, Path
from engine.problems import Problem, Span
from engine.tree import Step


class Origins:
    """Where the steps of a tree as walked were written, and the problems found with them.

    A step of a procedure comes out once for every use of it; what is wrong with it is said once.
    """

    def __init__(self, files: Sequence[Building]) -> None:
        """``files`` are those that the tree was written out from, its own first."""
        self._files = files
        self._paths: dict[Span, tuple[Building, Path]] = {}
        self._found: dict[Problem, None] = {}

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Every problem once, in the order found."""
        return tuple(self._found)

    def of(self, step: Step) -> tuple[Building, Path] | None:
        """Return the file of a step and its path there; None for a step that no file has."""
        if not self._paths:
            for file in self._files:
                for path in file.steps:
                    self._paths[file.document.key(*path)] = file, path
        return self._paths.get(step.span)

    def written(self, step: Step, below: Path) -> Data:
        """Return what the file says below a step; empty where it says nothing."""
        origin = self.of(step)
        if origin is None:
            return ""
        file, path = origin
        found = file.document.data
        for part in (*path, *below):
            found = found.get(str(part)) if isinstance(found, dict) else None
        return found or ""

    def say(
        self, code: str, step: Step, sentence: str, fix: str = "", below: Path = (), column: int = 0
    ) -> None:
        """Keep a problem with the value below a step."""
        self._say(code, step, sentence, fix, below, column, is_key=False)

    def say_key(
        self, code: str, step: Step, sentence: str, fix: str = "", below: Path = (), column: int = 0
    ) -> None:
        """Keep a problem with the name below a step."""
        self._say(code, step, sentence, fix, below, column, is_key=True)

    def say_in_tree(
        self, code: str, path: Path, sentence: str, fix: str = "", column: int = 0
    ) -> None:
        """Keep a problem with a value of the tree's own file."""
        self.say_at(code, self._files[0].place(path, column), sentence, fix)

    def say_at(self, code: str, span: Span, sentence: str, fix: str = "") -> None:
        """Keep a problem with what stands at a place."""
        self._found[problem(code, span, sentence, fix)] = None

    def _say(
        self,
        code: str,
        step: Step,
        sentence: str,
        fix: str,
        below: Path,
        column: int,
        *,
        is_key: bool,
    ) -> None:
        origin = self.of(step)
        if origin is None:
            span = step.span
        else:
            file, path = origin
            whole = (*path, *below)
            if step.again and whole not in file.document.marks:
                return  # the step that it is like says it already
            span = file.place(whole, column, is_key or not below)
        self.say_at(code, span, sentence, fix)
