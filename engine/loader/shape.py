"""What a schema's error means to the author of a file.

One problem for each error, at the name it is about, in words of the file and not of the schema.
Imported only once a file is known to have such a problem: the library behind it is slow to load.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from jsonschema import Draft202012Validator, ValidationError
from referencing import Registry, Resource

from engine.codes import problem
from engine.loader.document import Document, Path
from engine.loader.wording import in_quotes, listed, nearest, shown
from engine.problems import Problem, Span

HEADS = ("act", "use", "sort", "for each", "hand over", "like")
"""The names of which a step has exactly one; it tells what kind of step it is."""

_WAYS_ON = {"then", "finds"}
_ANSWERS = {"bands", "choices", "judge in turn"}
_MOST_LISTED = 12
_STEP_KINDS = {
    "act": "a step with an act",
    "use": "a step that uses a procedure",
    "sort": "a step that sorts",
    "for each": "a step that goes through a list",
    "hand over": "a step that hands over to another tree",
    "like": "a step that is like another",
}
_SHAPES = {"string": "a text", "array": "a list", "object": "names with what belongs to them"}


def explained(document: Document, schemas: Mapping[str, Any], name: str) -> Iterator[Problem]:
    """Yield a problem for every error of a document against a schema; some may be yielded twice."""
    resources = [(one["$id"], Resource.from_contents(one)) for one in schemas.values()]
    registry: Registry[Any] = Registry().with_resources(resources)
    validator = Draft202012Validator(schemas[name], registry=registry)
    names = _Names(schemas)
    for error in validator.iter_errors(document.data):
        yield from _Found(document, error, names).problems()


class _Names:
    """The names that files know."""

    def __init__(self, schemas: Mapping[str, Any]) -> None:
        self.of_a_step: Mapping[str, Any] = schemas["steps"]["$defs"]["step"]["properties"]
        self._all = set(_properties(schemas))

    def misspells(self, written: Iterable[str], name: str) -> bool:
        """Tell whether a name that no file knows is one that is missing, written wrongly."""
        return any(nearest(one, [name]) for one in written if one not in self._all)


def _properties(schema: Any) -> Iterator[str]:
    if isinstance(schema, list):
        for one in schema:
            yield from _properties(one)
    if isinstance(schema, dict):
        yield from schema.get("properties", {})
        for one in schema.values():
            yield from _properties(one)


class _Found:
    """One error with the document it was found in."""

    def __init__(self, document: Document, error: ValidationError, names: _Names) -> None:
        self._document = document
        self._names = names
        self._error = error
        self._path: Path = tuple(error.absolute_path)
        self._value: Any = error.instance
        self._rule: Any = error.validator_value
        schema: Any = error.schema
        self._schema: Mapping[str, Any] = schema if isinstance(schema, dict) else {}

    def problems(self) -> Iterator[Problem]:
        """Yield what the error means."""
        if "propertyNames" in self._error.absolute_schema_path:
            yield from self._name()
            return
        rule = str(self._error.validator)
        yield from EXPLAINED[rule](self)

    def _say(self, code: str, span: Span, sentence: str, fix: str = "") -> Problem:
        return problem(code, span, sentence, fix)

    def _here(self) -> Span:
        return self._document.at(*self._path)

    def _key(self, *more: str) -> Span:
        return self._document.key(*self._path, *more)

    def _called(self) -> str:
        """Return what the file calls the value: its own name, or a row of a list's name."""
        names = [part for part in self._path if isinstance(part, str)]
        if not names:
            return "The file"
        row = " (one row)" if isinstance(self._path[-1], int) else ""
        return f"`{shown(names[-1])}`{row}"

    # --- names --------------------------------------------------------------------------------

    def _unknown(self) -> Iterator[Problem]:
        allowed = list(self._schema.get("properties", {}))
        for name in self._value:
            if name not in allowed:
                sentence = f"`{shown(name)}` does not belong here."
                yield self._say("unknown-key", self._key(name), sentence, _offer(name, allowed))

    def _not_here(self) -> Iterator[Problem]:
        """Explain a name that belongs to steps, but not to one with this act."""
        name = self._path[-1]
        act = self._step(self._path[:-1]).get("act", "")
        if act in self._names.of_a_step["act"]["enum"]:
            sentence = f"`{name}` does not belong to a step with act: {act}."
            yield self._say("unknown-key", self._key(), sentence, f"Take `{name}` out.")

    def _name(self) -> Iterator[Problem]:
        """Explain a name that cannot stand here, or is not written as such a name must be."""
        name = str(self._value)
        span = self._key(name)
        if self._error.validator != "enum":
            sentence = f"The name `{shown(name)}` is not written as it must be."
            yield self._say("wrong-form", span, sentence, f"Write {self._form()}.")
            return
        heads = [head for head in self._step(self._path) if head in HEADS]
        if len(heads) > 1:
            both = listed([f"`{head}`" for head in heads], "and")
            sentence, fix = f"This step has {both}; a step does one thing.", "Make a step of each."
            yield self._say("two-heads", self._key(heads[1]), sentence, fix)
        elif name in self._names.of_a_step:
            sentence = f"`{name}` does not belong to {_STEP_KINDS[heads[0]]}."
            yield self._say("unknown-key", span, sentence, f"Take `{name}` out.")

    def _step(self, path: Path) -> dict[str, Any]:
        step: Any = self._document.data
        for part in path:
            step = step[part]
        return step if isinstance(step, dict) else {}

    def _missing(self) -> Iterator[Problem]:
        for name in self._rule:
            if name not in self._value and not self._names.misspells(self._value, name):
                sentence = f"{self._called()} has no `{name}`."
                yield self._say("missing-key", self._key(), sentence, self._tell(name))

    def _missing_partner(self) -> Iterator[Problem]:
        for name, partners in self._rule.items():
            for partner in partners:
                if name in self._value and partner not in self._value:
                    sentence = f"{self._called()} has `{name}` and no `{partner}`."
                    yield self._say("missing-key", self._key(name), sentence, self._tell(partner))

    def _tell(self, name: str) -> str:
        """Return what belongs under a missing name, as the schema describes it."""
        about = self._schema.get("properties", {}).get(name, {}).get("description", "")
        return f"Add `{name}:` - {about[:1].lower()}{about[1:]}" if about else f"Add `{name}:`."

    def _none_of(self) -> Iterator[Problem]:
        names = [name for one in self._rule for name in one["required"]]
        if any(self._names.misspells(self._value, name) for name in names):
            return
        if set(names) == set(HEADS):
            sentence = f"{self._called()} does not say what kind of step it is."
            yield self._say("no-head", self._key(), sentence, f"It needs one of {listed(names)}.")
        elif set(names) == _WAYS_ON:
            sentence = f"The answer {self._called()} leads nowhere."
            fix = "Add `then:` with a step, or `finds:` with a finding."
            yield self._say("no-way-on", self._key(), sentence, fix)
        else:
            sentence = f"{self._called()} needs one of {listed(names)}."
            yield self._say("missing-key", self._key(), sentence)

    def _too_much(self) -> Iterator[Problem]:
        if not self._rule:
            yield from self._not_here()
        if not self._rule or not isinstance(self._value, dict):
            return
        if set(self._value) >= _WAYS_ON:
            sentence = f"The answer {self._called()} leads to a step and to a finding."
            fix = "Keep `finds:` and put the step behind `if still wrong:`, or keep `then:`."
            yield self._say("two-ways-on", self._key("then"), sentence, fix)
            return
        both = [name for name in self._value if name in _ANSWERS]
        sentence = f"{self._called()} has {listed(both, 'and')}; one of them can answer."
        fix = "Several judgements of one step go below `judge in turn:`."
        yield self._say("two-answers", self._key(both[1]), sentence, fix)

    # --- values -------------------------------------------------------------------------------

    def _shape(self) -> Iterator[Problem]:
        yield from self._other_than([self._rule] if isinstance(self._rule, str) else self._rule)

    def _other_than(self, wanted: Sequence[str]) -> Iterator[Problem]:
        needs = listed([_SHAPES[one] for one in wanted])
        is_now = _SHAPES["array" if isinstance(self._value, list) else "object"]
        if isinstance(self._value, str):
            is_now = f"the text {in_quotes(shown(self._value))}"
        fix = ""
        if "string" in wanted:
            fix = "If it is one text, put it in quotes."
        elif list(wanted) == ["array"]:
            fix = "Put it in brackets, or each in a row of its own that begins with `-`."
        sentence = f"{self._called()} has {is_now} where {needs} must be."
        yield self._say("wrong-shape", self._here(), sentence, fix)

    def _word(self) -> Iterator[Problem]:
        if not isinstance(self._value, str):
            yield from self._other_than(["string"])
            return
        words = [self._rule] if isinstance(self._rule, str) else self._rule
        sentence = f"{self._called()} cannot be {in_quotes(shown(self._value))}."
        yield self._say("wrong-word", self._here(), sentence, _offer(self._value, words))

    def _written(self) -> Iterator[Problem]:
        sentence = f"{self._called()} is not written as it must be: {shown(self._value)}."
        yield self._say("wrong-form", self._here(), sentence, f"Write {self._form()}.")

    def _form(self) -> str:
        return str(self._schema.get("$comment", "it as the other files do"))

    def _length(self) -> Iterator[Problem]:
        sentence = f"{self._called()} is {len(self._value)} characters long."
        fix = f"Shorten it to {self._rule}."
        if not self._value:
            sentence, fix = f"{self._called()} is an empty text.", "Write what belongs there."
        yield self._say("wrong-form", self._here(), sentence, fix)

    def _count(self) -> Iterator[Problem]:
        least = self._schema.get("minItems", self._schema.get("minProperties", 0))
        most = self._schema.get("maxItems")
        needs = f"exactly {least}" if least == most else f"at least {least}"
        sentence = f"{self._called()} holds {len(self._value)}, and must hold {needs}."
        yield self._say("wrong-count", self._here(), sentence)


def _offer(word: str, allowed: Sequence[str]) -> str:
    like = nearest(word, allowed)
    if like:
        return f"Did you mean `{like}`?"
    if len(allowed) <= _MOST_LISTED:
        return f"What can stand here: {listed(allowed)}."
    return "Take it out, or put it where it belongs."


EXPLAINED: Mapping[str, Callable[[_Found], Iterator[Problem]]] = {
    "additionalProperties": _Found._unknown,
    "required": _Found._missing,
    "dependentRequired": _Found._missing_partner,
    "anyOf": _Found._none_of,
    "not": _Found._too_much,
    "type": _Found._shape,
    "enum": _Found._word,
    "const": _Found._word,
    "pattern": _Found._written,
    "minLength": _Found._length,
    "maxLength": _Found._length,
    "minItems": _Found._count,
    "maxItems": _Found._count,
    "minProperties": _Found._count,
}
"""Rule of a schema → what it means that it is broken; a test holds it against the schemas."""
