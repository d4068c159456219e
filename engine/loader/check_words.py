"""What is written for people: verbs of another act, what is never said, sources, weights, cautions.

A verb of another act stops a tree: the model of safe work would take the step for something that
it is not. What else is found here misleads nobody's hands, and is to be mended.
"""

from __future__ import annotations

import re
from collections import Counter
from functools import lru_cache

from engine.loader.building import Building, names, text
from engine.loader.document import Path
from engine.loader.kinds import judgements_of
from engine.loader.surroundings import Surroundings
from engine.loader.texts import outcomes_of, texts_of, texts_of_finding
from engine.loader.wording import listed, shown
from engine.power import Act
from engine.safe_words import ACT_VERBS, MOST, Said, foreign_verbs, never_said
from engine.tree import ActHead, Finding, Step

SOURCES = ("code", "standard", "nameplate", "physics", "practice", "judgement")
"""What a source begins with, so that reports and checks can count."""

MOST_REPEATED = 5
"""Steps that may show the same caution before nobody reads it any more."""

_FIRST_WORD = re.compile(r"[a-z]+")
_VERBS = sorted({verb for verbs in ACT_VERBS.values() for verb in verbs}, key=len, reverse=True)
_ANY_VERB = re.compile(rf"\b(?:{'|'.join(_VERBS)})\b".replace(" ", r"\s+"), re.IGNORECASE)
_TOLD = ("title", "do", "wait")
"""The texts that tell a technician to do something."""
_BY_STAGES = (
    Act.OPEN_UP,
    Act.CLOSE_UP,
    Act.SWITCH_OFF,
    Act.LOCK_OUT,
    Act.PROVE_DEAD,
    Act.DISCHARGE,
    Act.UNLOCK,
)
"""What it takes to come into a stage and out again."""
_LIVE = (Act.READ_LIVE, Act.RUN, Act.SWITCH_ON, Act.VERIFY)


def check_words(here: Surroundings) -> None:
    """Keep a problem for everything that is not to be written as it is."""
    for path, step in here.file.steps.items():
        if not step.again:
            _source(here.file, path, step)
        _step_texts(here.file, path, step)
    if here.tree:
        for finding in here.tree.findings.values():
            _finding_texts(here.file, ("findings", finding.name), finding)
        _weights(here.file)
    _cautions(here.file)


# --- texts ----------------------------------------------------------------------------------------


def _step_texts(file: Building, path: Path, step: Step) -> None:
    head = step.head
    act = head.act if isinstance(head, ActHead) else None
    for below, words in texts_of(step):
        if not words:
            continue
        if act and below[0] in _TOLD:
            _verbs(file, (*path, *below), act, words)
        _never(file, (*path, *below), words, live=act in _LIVE)


def _finding_texts(file: Building, path: Path, finding: Finding) -> None:
    for below, words in texts_of_finding(finding):
        if words and below == ("repair",) and not finding.kind:
            _verbs(file, (*path, *below), finding.act, words)
        if words:
            _never(file, (*path, *below), words, live=False)


def _verbs(file: Building, path: Path, act: Act, words: str) -> None:
    if path not in file.document.marks or not _ANY_VERB.search(words):
        return
    for verb, belongs in _foreign(act, words):
        sentence = (
            f"{shown(verb).capitalize()} is the work of another step, one with act: {belongs}."
        )
        fix = f"This step is {act}. Make a step of its own for it, before or after this one."
        if belongs in _BY_STAGES:
            fix = f"{fix} Where a stage does it by itself, leave it out."
        file.say("verb-of-another-act", path, sentence, fix)


@lru_cache(maxsize=4096)
def _foreign(act: Act, words: str) -> tuple[tuple[str, Act], ...]:
    return foreign_verbs(act, words)


def _never(file: Building, path: Path, words: str, *, live: bool) -> None:
    for said in _said(words, live):
        if path not in file.document.marks:
            return
        sentence = f"`{shown(said.words)}` {said.never.name}."
        file.say("never-said", path, sentence, said.never.instead, said.column - 1)


@lru_cache(maxsize=4096)
def _said(words: str, live: bool) -> tuple[Said, ...]:
    return never_said(words, live=live)


# --- sources, weights, cautions -------------------------------------------------------------------


def _source(file: Building, path: Path, step: Step) -> None:
    """Hold that every threshold has a source, and what every source begins with."""
    _begins_with_kind(file, (*path, "source"), step.source)
    for below, outcome in outcomes_of(step):
        _begins_with_kind(file, (*path, *below, "source"), outcome.source)
    if step.source:
        return
    for at, judgement in enumerate(several := judgements_of(step)):
        cuts = judgement.bands.cuts if judgement.bands else ()
        if all(judgement.answers[cut.key].source for cut in cuts):
            continue
        where = (*path, "judge in turn", at, "bands") if len(several) > 1 else (*path, "bands")
        sentence = f"Nothing says where {shown(cuts[0].key)} comes from."
        fix = f"Add a source that begins with {listed(SOURCES)}."
        file.say_key("no-source", where, sentence, fix)
        return


def _begins_with_kind(file: Building, path: Path, source: str) -> None:
    if not source or path not in file.document.marks:
        return
    first = _FIRST_WORD.match(source)
    if not first or first.group() not in SOURCES:
        sentence = f"A source begins with {listed(SOURCES)}."
        file.say("bad-source", path, sentence, "Put the word first, then a colon and the rest.")


def _weights(file: Building) -> None:
    """Hold that all weights are shares or all are plain numbers."""
    written = names(names(file.document.data).get("suspects"))
    weights = {name: text(names(one), "weight") for name, one in written.items()}
    shares = [name for name, weight in weights.items() if " of " in weight]
    plain = [name for name, weight in weights.items() if weight and " of " not in weight]
    if shares and plain:
        odd = min(plain, shares, key=len)[0]
        sentence = "Some weights are shares like 3 of 10, and some are plain numbers."
        file.say("mixed-weights", ("suspects", odd, "weight"), sentence, "Write all alike.")


def _cautions(file: Building) -> None:
    """Hold that no step has too many cautions, and that none is worn out by repeating it."""
    seen: Counter[str] = Counter()
    for path, step in file.steps.items():
        if step.again or not step.cautions:
            continue
        if len(step.cautions) > MOST:
            sentence = f"{len(step.cautions)} cautions on one step: nobody reads the last."
            file.say_key("many-cautions", (*path, "caution"), sentence, f"Keep the worst {MOST}.")
        for word, words in step.cautions:
            seen[words] += 1
            if seen[words] == MOST_REPEATED + 1:
                sentence = f"The same caution stands on more than {MOST_REPEATED} steps."
                fix = "Keep it where it matters most; the acts show their own cautions."
                file.say("worn-caution", (*path, "caution", word), sentence, fix)
