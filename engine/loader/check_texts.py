"""Names in the braces of texts: each is something whose value can be put there."""

from __future__ import annotations

from collections.abc import Iterator

from engine.loader.building import offer
from engine.loader.document import Path
from engine.loader.kinds import KnownNames
from engine.loader.origin import Origins
from engine.loader.texts import BRACES, texts_of, texts_of_finding
from engine.loader.wording import shown
from engine.tree import Step, WalkTree

_OTHERWISE = "Braces hold a reading, a work-out or a nameplate field."


def check_walk_texts(walk: WalkTree, names: KnownNames, origins: Origins) -> None:
    """Keep a problem for every name in braces that means nothing."""
    for step in walk.steps.values():
        for below, text in texts_of(step):
            if "{" in text:
                _text(names, origins, step, below, text)
    for finding in walk.tree.findings.values():
        for below, text in texts_of_finding(finding):
            for _, column, name in _unknown(names, "", text):
                sentence, fix = _said(names, "", name)
                path = ("findings", finding.name, *below)
                origins.say_in_tree("unknown-name", path, sentence, fix, column)


def _text(names: KnownNames, origins: Origins, step: Step, below: Path, text: str) -> None:
    written = origins.written(step, below)
    columns = [one.start(1) for one in BRACES.finditer(written if isinstance(written, str) else "")]
    for number, _, name in _unknown(names, step.name, text):
        sentence, fix = _said(names, step.name, name)
        column = columns[number] if number < len(columns) else 0
        origins.say("unknown-name", step, sentence, fix, below, column)


def _unknown(names: KnownNames, step: str, text: str) -> Iterator[tuple[int, int, str]]:
    """Yield which pair of braces, where the name in it begins, and the name."""
    known = names.at(step)
    for number, braces in enumerate(BRACES.finditer(text)):
        if known.get(braces.group(1)) is None:
            yield number, braces.start(1), braces.group(1)


def _said(names: KnownNames, step: str, name: str) -> tuple[str, str]:
    written = name.rsplit("/", 1)[-1]
    sentence = f"Nothing is called {shown(written)} here."
    return sentence, offer(written, list(names.at(step)), _OTHERWISE)
