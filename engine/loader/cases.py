"""Cases beside a tree: from the data of a ``.cases.yaml`` file to `engine.cases.Cases`."""

from __future__ import annotations

from engine.cases import Answer, Case, Cases, Expected, Words
from engine.loader.building import Building, Names, names, text, texts
from engine.loader.document import Data, Path

_CASES: Path = ("cases",)
_DEEPEST = 8
"""How many cases may be like one another in a row."""


def build_cases(file: Building, data: Names) -> Cases:
    """Return the cases of a file, each with what it is like and what is usual put in."""
    written = names(data.get("cases"))
    beyond = names(data.get("beyond the rules"))
    return Cases(
        tree=text(data, "cases for"),
        cases={name: _case(file, name, written, data.get("as usual")) for name in written},
        beyond={step: text(beyond, step) for step in beyond},
        span=file.document.at(),
    )


def _case(file: Building, name: str, written: Names, usual: Data | None) -> Case:
    """Return a case: what is usual, then what it is like, then what it says itself."""
    chain = _chain(file, name, written)
    nameplate: dict[str, Words] = {}
    answers = build_answers(usual)
    for data in reversed(chain):
        nameplate |= build_nameplate(data.get("nameplate"))
        answers |= build_answers(data.get("answers"))
    expect = next((names(data["expect"]) for data in chain if "expect" in data), {})
    return Case(
        name=name,
        nameplate=nameplate,
        answers=answers,
        expect=_expected(expect),
        span=file.document.key(*_CASES, name),
    )


def _chain(file: Building, name: str, written: Names) -> list[Names]:
    """Return the data of a case and of those it is like, nearest first."""
    chain = [names(written[name])]
    while (like := text(chain[-1], "like")) and len(chain) <= _DEEPEST:
        if like not in written:
            if len(chain) == 1:
                file.unknown("case", like, written, (*_CASES, name, "like"))
            return chain
        chain.append(names(written[like]))
    if len(chain) > _DEEPEST:
        sentence = f"Cases are like one another more than {_DEEPEST} deep, or in a circle."
        file.say("like-of-like", (*_CASES, name, "like"), sentence, "Say what this case is itself.")
    return chain


def _expected(data: Names) -> Expected:
    verdicts = names(data.get("verdicts"))
    return Expected(
        findings=texts(data, "findings"),
        also=texts(data, "also"),
        end=text(data, "end"),
        path=texts(data, "path"),
        verdicts={step: text(verdicts, step) for step in verdicts},
    )


def build_nameplate(data: Data | None) -> dict[str, Words]:
    """Return nameplate answers: a text, or several."""
    given = names(data)
    return {
        name: what if isinstance(what, str) else texts(given, name) for name, what in given.items()
    }


def build_answers(data: Data | None) -> dict[str, Answer]:
    """Return answers by step."""
    return {step: _answer(what) for step, what in names(data).items()}


def _answer(what: Data) -> Answer:
    if isinstance(what, str):
        return what
    if isinstance(what, list):
        return tuple(_answer(one) for one in what)
    return {reading: typed for reading, typed in what.items() if isinstance(typed, str)}
