"""Names in the braces of texts: each is something whose value can be put there."""

from __future__ import annotations

from collections.abc import Iterator

from engine.loader.building import offer
from engine.loader.document import Path
from engine.loader.kinds import KnownNames
from engine.loader.origin import Origins
from engine.loader.texts import BRACES, texts_of, texts_of_finding
from engine.loader.wording import shown
from engine.tree import Step, UseHead, WalkTree

_OTHERWISE = "Braces hold a reading, a work-out or a nameplate field."


def check_walk_texts(walk: WalkTree, names: KnownNames, origins: Origins) -> None:
    """Keep a problem for every name in braces that means nothing."""
    for step in walk.steps.values():
        for below, text in (*texts_of(step), *_handed_on(step)):
            if "{" in text:
                _text(names, origins, step, below, text)
    for finding in walk.tree.findings.values():
        for below, text in texts_of_finding(finding):
            for column, name in _unknown(names, "", text):
                sentence, fix = _said(names, "", name)
                path = ("findings", finding.name, *below)
                origins.say_in_tree("unknown-name", path, sentence, fix, column)


def _handed_on(step: Step) -> Iterator[tuple[Path, str]]:
    """Yield the texts that a step gives to a procedure."""
    if isinstance(step.head, UseHead):
        for name, given in step.head.with_.items():
            if isinstance(given, str):
                yield ("with", name), given


def _text(names: KnownNames, origins: Origins, step: Step, below: Path, text: str) -> None:
    """Look at the names that the file itself has there, not at what a parameter brought."""
    written = origins.written(step, below)
    columns = {
        one.group(1): one.start(1)
        for one in BRACES.finditer(written if isinstance(written, str) else "")
    }
    for _, name in _unknown(names, step.name, text):
        short = name.rsplit("/", 1)[-1]
        if short in columns:
            sentence, fix = _said(names, step.name, name)
            origins.say("unknown-name", step, sentence, fix, below, columns[short])


def _unknown(names: KnownNames, step: str, text: str) -> Iterator[tuple[int, str]]:
    """Yield where each name in braces that means nothing begins, and the name."""
    known = names.at(step)
    for braces in BRACES.finditer(text):
        if known.get(braces.group(1)) is None:
            yield braces.start(1), braces.group(1)


def _said(names: KnownNames, step: str, name: str) -> tuple[str, str]:
    written = name.rsplit("/", 1)[-1]
    sentence = f"Nothing is called {shown(written)} here."
    return sentence, offer(written, list(names.at(step)), _OTHERWISE)
