"""What a unit with the complaint shows: whether limits and what is judged are of one kind."""

from __future__ import annotations

from collections.abc import Mapping

from engine.formula import Formula, FormulaError, Known, Several, kind_of
from engine.loader.building import Building, names, offer
from engine.loader.document import Data, Path
from engine.loader.kinds import of_field
from engine.loader.surroundings import Surroundings
from engine.loader.wording import shown
from engine.quantity import Kind
from engine.reading import FUNCTION_KIND
from engine.trade.catalogue import FIGURES
from engine.unit.symptom import READ, AllOf, AnyOf, Beyond, Over, Symptom


def check_complaint(here: Surroundings) -> None:
    """Keep a problem for every limit that is of another kind than what is judged."""
    symptom = here.tree.complaint.shows if here.tree else None
    if symptom is None or here.tree is None:
        return
    data = names(here.file.document.data).get("complaint")
    where: Path = ("complaint", "shows")
    if not here.file.problems:
        # Where something in it could not be read, what was read no longer stands in its place.
        _Check(here).symptom(symptom, names(data).get("shows"), where)


class _Check:
    """Holds the ``shows`` of one tree against what there is."""

    def __init__(self, here: Surroundings) -> None:
        self._file: Building = here.file
        self._fields: Mapping[str, Known] = {
            name: of_field(field) for name, field in here.fields.items()
        }

    def symptom(self, symptom: Symptom, data: Data | None, path: Path) -> None:
        """Keep the problems of one symptom and of those in it."""
        if isinstance(symptom, AnyOf):
            data, path = names(data).get("any of"), (*path, "any of")
        if isinstance(symptom, AllOf | AnyOf):
            listed = data if isinstance(data, list) else []
            for at, (part, one) in enumerate(zip(symptom.parts, listed, strict=True)):
                self.symptom(part, one, (*path, at))
        elif isinstance(symptom, Beyond):
            self._beyond(symptom, path)

    def _beyond(self, beyond: Beyond, path: Path) -> None:
        read = FUNCTION_KIND[beyond.function]
        several = beyond.over is not Over.POINTS
        known = {**self._fields, READ: Several(read) if several else read}
        judged = self._kind(beyond.judge, known, (*path, "judge")) if beyond.judge else read
        key = "below" if beyond.below else "above"
        limit = self._kind(beyond.limit, self._fields, (*path, key))
        if judged is not None and limit is not None and judged is not limit:
            sentence = f"What is judged is a {judged}, and this is a {limit}."
            self._file.say("wrong-kind", (*path, key), sentence, f"Write a {judged}.")

    def _kind(self, formula: Formula, known: Mapping[str, Known], path: Path) -> Kind | None:
        for name in formula.names():
            if name not in known:
                fix = offer(name, known, "It must be a nameplate field, or read.")
                self._file.say("unknown-name", path, f"Nothing is called {shown(name)} here.", fix)
                return None
        try:
            found = kind_of(formula, known, FIGURES)
        except FormulaError as error:
            self._file.say("wrong-kind", path, error.sentence, error.fix, error.column - 1)
            return None
        if isinstance(found, Kind):
            return found
        self._file.say("wrong-kind", path, "A number is asked here, not a word.", "Take another.")
        return None
