"""What is that word: the words that stand on the present step, and what each of them means."""

from __future__ import annotations

from collections.abc import Iterator

from engine.glossary import Glossary, Term
from engine.guide.line import Action
from engine.guide.prompt import Prompt
from engine.guide.talk import Mode, Reply, Talk, View
from engine.reading import visible

ASKS = "which word?"
_LETTER = f"{Action.WORD} "


def look_up(view: View, shown: Prompt, rest: str) -> Reply:
    """Return what the word behind the letter means; without one, the words of the step to pick."""
    if rest:
        return explain(view.glossary, rest)
    words = words_here(view.glossary, shown)
    if not words:
        return Reply(lines=("No word of the glossary stands here. Type one behind the g.",))
    return _listed("Which word?", words)


def pick(view: View, talk: Talk, text: str) -> Reply:
    """Return what a number of the list, or a word typed instead of one, means."""
    if text[:1].isdigit() and not talk.pick(text):
        return Reply.refuse(text, f"1 to {len(talk.listed)}, or a word.", talk, ASKS)
    return explain(view.glossary, talk.pick(text) or text.removeprefix(_LETTER))


def explain(glossary: Glossary, word: str) -> Reply:
    """Return what a word means; for one that is not there, the nearest to pick from."""
    if term := glossary.find(word):
        return Reply(lines=explained(term))
    near = glossary.nearest(word)
    missing = f"The glossary has no word {visible(word)}."
    return _listed(f"{missing} Is it one of these?", near) if near else Reply(lines=(missing,))


def explained(term: Term) -> tuple[str, ...]:
    """Return what a word is, where it is on the unit, and what belongs to it, a line each."""
    lines = [f"{term.word}: {term.means}"]
    if term.where:
        lines.append(f"Where: {term.where}")
    if term.see:
        lines.append(f"See also: {', '.join(term.see)}")
    return tuple(lines)


def words_here(glossary: Glossary, shown: Prompt) -> tuple[str, ...]:
    """Return the words of the glossary that stand on a prompt, from top to bottom of the step."""
    return glossary.words_in(_texts(shown))


def _texts(shown: Prompt) -> Iterator[str]:
    """Yield what a prompt says; what is the same on every step comes last."""
    yield shown.title
    yield from (one.text for one in shown.cautions)
    yield from (shown.who, shown.box, shown.do, shown.meter, *shown.window, shown.allowed)
    yield from (shown.before, shown.last, shown.meanwhile, *shown.refusals)
    yield from (one.key for one in shown.choices)
    yield from (shown.why, shown.photo, *shown.tools, shown.wanted)
    for zone in shown.zones:
        yield zone.zone
        yield zone.words


def _listed(question: str, words: tuple[str, ...]) -> Reply:
    lines = (question, *(f"{number:2} {word}" for number, word in enumerate(words, 1)))
    return Reply(talk=Talk(Mode.WORD, listed=words), lines=lines, asks=ASKS)
