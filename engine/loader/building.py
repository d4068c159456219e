"""One file while the model is built from it: its data by key, what it names, what is wrong.

The shapes are the schema's to judge, so everything here takes what it can use and passes over
the rest in silence; what is judged here is what a text *says*: a quantity, a formula, a
condition, a number. A name of something else is kept as a `Mention` and judged by `check`, which
knows more than one file.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from engine.bands import Bands, Misfit, read_bands
from engine.codes import problem
from engine.formula import Formula, FormulaError, parse
from engine.loader.document import Data, Document, Path
from engine.loader.wording import in_quotes, nearest, shown
from engine.problems import Problem, Span
from engine.quantity import Kind, Quantity, literal
from engine.trade.catalogue import FIGURES
from engine.tree import THE, Step
from engine.vocabulary import Comparison, Condition, Relation

Names = Mapping[str, Data]
"""What stands under a key that has names below it."""

NO_NAMES: Names = {}
TOP: Path = ("steps", "")
"""What is said outside of any step can name the steps of the file, like any of them."""


class Role(StrEnum):
    """What a mentioned word is the name of, as a sentence calls it."""

    STEP = "step"
    FINDING = "finding"
    SUSPECT = "suspect"
    SIGN = "sign"
    PART = "part of a unit"
    POINT = "point or point set"
    SET = "point set"
    NAME = "reading, work-out or nameplate field"
    SORTED = "step, reading or nameplate field"
    FIELD = "nameplate field"
    WORD = "word of a nameplate field"
    ONE_OF_SEVERAL = "one of several words of a nameplate field"
    TREE = "tree"
    TARGET = "way on"
    """``next one`` and ``carry on``, which lead somewhere only where they belong."""
    STAGE = "stage"
    LIST = "list"
    PROCEDURE = "procedure"
    PARAMETER = "parameter"
    RETURN = "return word"


@dataclass(frozen=True, slots=True)
class Mention:
    """A word of a file that must be the name of something."""

    role: Role
    word: str
    path: Path
    """Where its value stands."""
    column: int = 0
    """Characters from there to the word."""
    step: Path = ()
    """The step it stands in."""
    of: str = ""
    """The nameplate field whose word it is."""


def names(data: Data | None) -> Names:
    """Return data that has names below it; empty where it is something else."""
    return data if isinstance(data, dict) else NO_NAMES


def text(data: Names, key: str) -> str:
    """Return the text of a key; empty where there is none.

    The line end that a text written below ``|`` has is no part of it.
    """
    value = data.get(key)
    return value.rstrip("\n") if isinstance(value, str) else ""


def texts(data: Names, key: str) -> tuple[str, ...]:
    """Return the texts of a key, which may be a list or one text."""
    value = data.get(key)
    if isinstance(value, str):
        return (value,)
    return tuple(one for one in value if isinstance(one, str)) if isinstance(value, list) else ()


@lru_cache(maxsize=4096)
def _parsed(words: str) -> Formula | FormulaError:
    """Return a formula, or what is wrong with it; the same text is read once."""
    try:
        return parse(words, FIGURES)
    except FormulaError as error:
        return error


@lru_cache(maxsize=4096)
def _bands(keys: tuple[str, ...]) -> tuple[Bands, tuple[Misfit, ...]]:
    return read_bands(keys, FIGURES)


_BRACES = re.compile(r"\{([^{}]+)\}")
_COMPARISON = re.compile(r"(?P<name>.+?) (?P<how>is not|is one of|is|has) (?P<words>.+)")
_WEIGHT = re.compile(r"(?P<some>\d+(?:\.\d+)?) of (?P<all>\d+(?:\.\d+)?)")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")


def offer(word: str, known: Collection[str], otherwise: str = "") -> str:
    """Return the advice to write the known name that is most like a word, if one is like it."""
    near = nearest(word, known)
    return f"Did you mean {near}?" if near else otherwise


class Building:
    """One file while the model is built from it."""

    def __init__(self, document: Document, raw: bytes = b"") -> None:
        self.document = document
        self._raw = raw
        self.problems: list[Problem] = []
        self.mentions: list[Mention] = []
        self.steps: dict[Path, Step] = {}
        """Every step, also those of lists, by its path."""
        self.scopes: dict[Path, Names] = {}
        """The steps that stand together, as data, by the path above them."""
        self.step: Path = ()
        """The step being built now."""

    # --- saying what is wrong -----------------------------------------------------------------

    def say(self, code: str, path: Path, sentence: str, fix: str = "", column: int = 0) -> None:
        """Keep a problem with the value at a path."""
        self.problems.append(problem(code, self.place(path, column), sentence, fix))

    def say_key(self, code: str, path: Path, sentence: str, fix: str = "", column: int = 0) -> None:
        """Keep a problem with the name at a path."""
        self.problems.append(problem(code, self.place(path, column, True), sentence, fix))

    def unknown(self, what: str, word: str, known: Collection[str], path: Path) -> None:
        """Keep that a word names nothing, with the nearest name offered."""
        self.say(f"unknown-{what}", path, f"There is no {what} {shown(word)}.", offer(word, known))

    def unknown_key(self, what: str, word: str, known: Collection[str], path: Path) -> None:
        """Keep that a name which must be the name of something else is not."""
        sentence = f"There is no {what} {shown(word)}."
        self.say_key(f"unknown-{what}", path, sentence, offer(word, known))

    def place(self, path: Path, column: int = 0, is_key: bool = False) -> Span:
        """Return the place of a value (or name), so many characters into what it says."""
        span = self.document.key(*path) if is_key else self.document.at(*path)
        return Span(span.path, span.line, span.column + self._into(span, column))

    def _into(self, span: Span, column: int) -> int:
        """Return how far behind its place a text's character stands, if it is on the same line."""
        if not column or not self._raw:
            return column
        written = self._raw.decode("utf-8", "replace").removeprefix("\ufeff").splitlines()
        rest = written[span.line - 1][span.column - 1 :]
        if rest[:1] in ("|", ">"):
            return 0
        column += rest[:1] in ("'", '"')
        return column if column < len(rest) else 0

    def place_of(self, mention: Mention) -> Span:
        """Return the place of a mentioned word."""
        return self.place(mention.path, mention.column)

    @contextmanager
    def quietly(self) -> Iterator[None]:
        """Keep nothing of what is found meanwhile: it was found once already."""
        kept = len(self.problems), len(self.mentions)
        yield
        del self.problems[kept[0] :], self.mentions[kept[1] :]

    @contextmanager
    def apart(self) -> Iterator[list[Problem]]:
        """Keep the problems that are found meanwhile in a list of their own."""
        kept, self.problems = self.problems, []
        try:
            yield self.problems
        finally:
            self.problems = kept

    def steps_here(self, step: Path) -> Iterator[Names]:
        """Yield the steps that can be named at a step: beside it, then those around its list."""
        for length in range(len(step) - 1, 0, -2):
            yield self.scopes[step[:length]]

    def is_step_at(self, word: str, step: Path) -> bool:
        """Return whether the word names a step, at a step or outside of any."""
        return any(word in steps for steps in self.steps_here(step or TOP))

    # --- words --------------------------------------------------------------------------------

    def mention(self, role: Role, word: str, path: Path, column: int = 0) -> None:
        """Keep that a word names something."""
        role = Role.PARAMETER if word.startswith(THE) else role
        self.mentions.append(Mention(role, word, path, column, self.step))

    def word(self, data: Names, path: Path, key: str, role: Role) -> str:
        """Return the text of a key that names something."""
        word = text(data, key)
        if word:
            self.mention(role, word, (*path, key))
        return word

    def words(self, data: Names, path: Path, key: str, role: Role) -> tuple[str, ...]:
        """Return the texts of a key that each name something."""
        found = texts(data, key)
        listed = isinstance(data.get(key), list)
        for at, word in enumerate(found):
            self.mention(role, word, (*path, key, at) if listed else (*path, key))
        return found

    def plain(self, data: Names, path: Path, key: str) -> str:
        """Return a text that may be a parameter."""
        word = text(data, key)
        if word.startswith(THE):
            self.mention(Role.PARAMETER, word, (*path, key))
        return word

    def sentence(self, data: Names, path: Path, key: str) -> str:
        """Return a text for people; what it names in braces is kept."""
        words = text(data, key)
        if "{" in words:
            for braces in _BRACES.finditer(words):
                self.mention(Role.NAME, braces.group(1), (*path, key), braces.start(1))
        return words

    def sentences(self, data: Names, path: Path, key: str) -> tuple[str, ...]:
        """Return the texts for people of a key."""
        found = texts(data, key)
        for at, words in enumerate(found):
            for braces in _BRACES.finditer(words):
                self.mention(Role.NAME, braces.group(1), (*path, key, at), braces.start(1))
        return found

    # --- numbers ------------------------------------------------------------------------------

    def quantity(
        self, data: Names, path: Path, key: str | int, kind: Kind | None
    ) -> Quantity | None:
        """Return a number with its unit; a problem where it is neither, or of another kind."""
        words = data.get(key) if isinstance(key, str) else None
        return self.quantity_of(words, (*path, key), kind) if isinstance(words, str) else None

    def quantity_of(self, words: str, path: Path, kind: Kind | None) -> Quantity | None:
        """Return the quantity that a text says."""
        try:
            found = literal(words)
        except ValueError as error:
            self.say("bad-quantity", path, str(error))
            return None
        if kind is not None and found.kind is not kind:
            fix = f"Give it in a unit of {kind}."
            self.say("wrong-kind", path, f"{words} is a {found.kind}, not a {kind}.", fix)
            return None
        return found

    def number(self, data: Names, path: Path, key: str, otherwise: float = 0.0) -> float:
        """Return a plain number."""
        words = text(data, key)
        if not words:
            return otherwise
        if not _NUMBER.fullmatch(words):
            self.say("bad-number", (*path, key), f"{words!r} is not a number.", "Write 5, or 2.5.")
            return otherwise
        return float(words)

    def weight(self, data: Names, path: Path, key: str) -> float:
        """Return a weight: a plain number, or the share of ``3 of 10``."""
        share = _WEIGHT.fullmatch(text(data, key))
        if share is None:
            return self.number(data, path, key, 1.0)
        some, every = float(share["some"]), float(share["all"])
        if not 0 < some <= every:
            sentence = f"{share.group()} is not a share: {share['all']} is all of the calls."
            self.say("bad-number", (*path, key), sentence, "Write for example 3 of 10.")
            return 1.0
        return some / every

    # --- formulas and conditions --------------------------------------------------------------

    def formula(
        self, words: str, path: Path, column: int = 0, is_key: bool = False
    ) -> Formula | None:
        """Return a formula; its names are kept as mentions by `check`, which knows their kinds."""
        found = _parsed(words)
        if isinstance(found, Formula):
            return found
        say = self.say_key if is_key else self.say
        say("bad-formula", path, found.sentence, found.fix, column + found.column - 1)
        return None

    def bands(self, keys: Sequence[str], path: Path) -> Bands:
        """Return the bands that the keys below a path say."""
        bands, misfits = _bands(tuple(keys))
        for misfit in misfits:
            code = "bad-formula" if misfit.column > 1 else "bad-band"
            where = (*path, misfit.key) if misfit.key else path
            self.say_key(code, where, misfit.sentence, misfit.fix, misfit.column - 1)
        return bands

    def condition(self, data: Names, path: Path, key: str = "if") -> Condition:
        """Return the comparisons of a key, one text or a list of them."""
        listed = isinstance(data.get(key), list)
        return tuple(
            test
            for at, words in enumerate(texts(data, key))
            for test in self._comparison(words, (*path, key, at) if listed else (*path, key))
        )

    def _comparison(self, words: str, path: Path) -> Iterator[Comparison]:
        found = _COMPARISON.fullmatch(words)
        if found is None:
            self.say(
                "bad-condition",
                path,
                f"{in_quotes(words)} compares nothing.",
                "Write NAME is WORD, NAME is not WORD, NAME has WORD or NAME is one of A, B.",
            )
            return
        self.mention(Role.FIELD, found["name"], path)
        relation = Relation(found["how"])
        several = relation is Relation.ONE_OF
        allowed = tuple(found["words"].split(", ")) if several else (found["words"],)
        column = found.start("words")
        role = Role.ONE_OF_SEVERAL if relation is Relation.HAS else Role.WORD
        for word in allowed:
            self.mentions.append(Mention(role, word, path, column, self.step, found["name"]))
            column += len(word) + len(", ")
        yield Comparison(found["name"], relation, allowed)
