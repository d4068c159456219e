"""The customer's page: what they told us, what was wrong, what was done, what was left.

At most 150 words with its title, so that it is read; what does not fit is on the second page and
said to be. What the customer said is cut first, what was left and what we recommend last.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from engine.entries import Entry
from engine.guide.customer import person
from engine.job.store import Header
from engine.power import Act
from engine.report.leaving import for_people, hazards, open_findings, stop_words
from engine.report.model import Section
from engine.report.plain_words import PlainWords
from engine.report.walked import WalkDone
from engine.report.when import clock
from engine.session.state import Found

MOST_WORDS = 150
MORE = "More is on the second page."
_TOLD, _WRONG, _DID, _RUNS, _LEFT, _NEXT, _WHO = (
    "You told us",
    "What was wrong",
    "What we did",
    "Is it running?",
    "What was left",
    "What we recommend",
    "Who was told",
)
_CUT_FIRST = (_TOLD, _DID, _WRONG, _WHO, _RUNS, _NEXT, _LEFT)
"""Whose sentences go first when the page is too long."""
_A_LINE, _FEWEST = 14, 6
"""Words that are left of what the customer said, and of a sentence that has to be cut."""


def customer_page(
    header: Header, walks: Sequence[WalkDone], title: str, words: PlainWords
) -> tuple[Section, ...]:
    """Return the sections of the customer's page; with ``title`` they have at most `MOST_WORDS`."""
    last = walks[-1] if walks else None
    sections = (
        Section(_TOLD, (_told_us(header, walks),)),
        Section(_WRONG, tuple(_wrong(walks))),
        Section(_DID, (_did(walks),)),
        Section(_RUNS, (_running(last),)),
        Section(_LEFT, tuple(_left(walks))),
        Section(_NEXT, tuple(_recommend(walks))),
        Section(_WHO, (_told(walks),)),
    )
    return shortened(_in_plain_words(sections, words), MOST_WORDS - count_words(title))


def count_words(text: str) -> int:
    """Return how many words a text has, however one counts: ``10:42`` and ``3/4`` are two."""
    return sum(max(1, len(re.findall(r"\w+", word))) for word in text.split())


def _in_plain_words(sections: Sequence[Section], words: PlainWords) -> tuple[Section, ...]:
    """Return the sections with words of the trade explained; the customer's own stay as said."""
    done: frozenset[str] = frozenset()
    plain = [sections[0]]
    for one in sections[1:]:
        sentences = []
        for text in one.sentences:
            sentences.append(words.explained(text, done))
            done |= frozenset(words.trade_words(text))
        plain.append(replace(one, sentences=tuple(sentences)))
    return tuple(plain)


# --- at most so many words ------------------------------------------------------------------------


def shortened(sections: Sequence[Section], most: int) -> tuple[Section, ...]:
    """Return the sections cut to ``most`` words, headings included.

    First what the customer said is cut to a line, then every section is brought down to one
    sentence, then sentences are cut short; what matters least to what happens next goes first.
    """
    kept = {one.heading: list(one.sentences) for one in sections}
    if _count(kept) > most:
        kept[sections[-1].heading].append(MORE)
        _cut(kept, sections[0].heading, most, _A_LINE)
        _drop_sentences(kept, most)
        for heading in _in_order(kept):
            _cut(kept, heading, most, _FEWEST)
    return tuple(Section(heading, tuple(texts)) for heading, texts in kept.items())


def _count(kept: dict[str, list[str]]) -> int:
    return sum(count_words(" ".join((heading, *texts))) for heading, texts in kept.items())


def _drop_sentences(kept: dict[str, list[str]], most: int) -> None:
    for heading in _in_order(kept):
        texts = kept[heading]
        own = len(texts) - (texts[-1] == MORE)
        while own > 1 and _count(kept) > most:
            own -= 1
            del texts[own]


def _cut(kept: dict[str, list[str]], heading: str, most: int, fewest: int) -> None:
    """Cut a section's first sentence as far as it takes, to no fewer than so many words."""
    over = _count(kept) - most
    whole = kept[heading][0]
    if over <= 0 or count_words(whole) <= fewest:
        return
    allowed = max(fewest, count_words(whole) - over)
    text = " ".join(whole.split()[:allowed])
    if count_words(text) > allowed:
        # Words without spaces between them: cut letters.
        text = text[: 8 * allowed]
    while count_words(text) > allowed:
        text = text[:-1]
    kept[heading][0] = text.rstrip(".,;:( ") + "…"


def _in_order(kept: dict[str, list[str]]) -> list[str]:
    return sorted(kept, key=lambda heading: _CUT_FIRST.index(heading))


# --- what is said ---------------------------------------------------------------------------------


def _sentence(text: str) -> str:
    """Return a text as a sentence: a capital at its beginning, a stop at its end."""
    text = " ".join(text.split())
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "!", "?", "…")) else f"{text}."


def _first_sentence(text: str) -> str:
    """Return the first sentence; in *tell customer* it says what was wrong, the rest the work."""
    return re.split(r"(?<=[.!?])\s", text.strip(), maxsplit=1)[0]


def _told_us(header: Header, walks: Sequence[WalkDone]) -> str:
    complaint = walks[0].walk.tree.complaint.said_as[:1] if walks else ()
    return _sentence(header.said or "".join(complaint) or "Nothing was written down")


def _wrong(walks: Sequence[WalkDone]) -> Iterator[str]:
    """Yield what was wrong; of what is not mended only that, not the work that would mend it."""
    none = True
    for done in walks:
        for found in done.causes:
            none = False
            finding = done.finding(found)
            text = done.text(finding.tell_customer or finding.title)
            whole = done.mended(found) or bool(finding.who)
            yield _sentence(text if whole else _first_sentence(text))
    if none:
        yield "The cause is not found yet."


def _did(walks: Sequence[WalkDone]) -> str:
    how = "by measuring" if any(one.said for done in walks for one in done.live) else "step by step"
    found = [done.mended(one) for done in walks for one in done.causes]
    if not found:
        return f"We looked {how} and ruled out what could be ruled out today."
    if not any(found):
        return f"We found the cause {how}. It is not repaired yet."
    if not all(found):
        return f"We found {len(found)} causes {how} and put {sum(found)} right."
    if walks[-1].state.end != "in service":
        return f"We searched {how} and put right what we found."
    return f"We found the cause {how} and put it right."


def _running(done: WalkDone | None) -> str:
    """Return whether it runs and how that was proved, as it was reported."""
    end = done.state.end if done else ""
    if done and (end == "withdrawn" or done.stopped):
        return "No. We had to stop to protect people. Nothing should be switched on."
    if done is None or not end:
        return "The work is not finished."
    if end == "made safe":
        return f"No. It was left switched off and tagged{_by(done.entries[-1])}."
    verified = done.reported(Act.VERIFY)
    if not verified:
        return f"Yes{_by(done.entries[-1])}."
    proof = (
        "and what we measured then was as it should be" if verified[-1].said else "while we watched"
    )
    return f"Yes. It ran on a call {proof}{_by(verified[-1])}."


def _by(entry: Entry) -> str:
    who = f" by {entry.by}" if entry.by else ""
    return f", reported{who} at {clock(entry)}"


def _left(walks: Sequence[WalkDone]) -> Iterator[str]:
    """Yield what was left and what happens if it stays so, hazards first."""
    left = [text for done in walks for text in (*hazards(done), *_noted(done)) if text]
    yield from dict.fromkeys(_sentence(text) for text in left)
    if not left:
        in_service = bool(walks) and walks[-1].state.end == "in service"
        yield "Nothing that we know of." if in_service else "The unit stays as it is."


def _noted(done: WalkDone) -> Iterator[str]:
    for found in open_findings(done):
        finding = done.finding(found)
        if not for_people(done, found):
            yield done.text(finding.tell_customer or finding.title)
            yield done.text(finding.left)


def _recommend(walks: Sequence[WalkDone]) -> Iterator[str]:
    """Yield who has to do what next: the repair, then what was only noted."""
    said = [
        f"Have this dealt with before anything is switched on: {stop_words(done)}."
        for done in walks
        if done.stopped
    ]
    said += [_next(done, found) for done in walks for found in open_findings(done)]
    yield from dict.fromkeys(said)
    if not said:
        in_service = bool(walks) and walks[-1].state.end == "in service"
        yield "Nothing more now." if in_service else "Another visit."


def _next(done: WalkDone, found: Found) -> str:
    finding = done.finding(found)
    who = f"Have {person(finding.who)} see to it" if finding.who else ""
    if finding.kind:
        return f"{who or 'Have what we noted seen to'}."
    return f"{who or 'Have the repair done'} before the unit is used again."


def _told(walks: Sequence[WalkDone]) -> str:
    told = [one for done in walks for one in done.reported(Act.TELL)]
    if not told:
        return "Nobody yet."
    return f"You, or the person in charge{_by(told[-1])}."
