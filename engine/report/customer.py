"""The customer's page: what they told us, what was wrong, what was done, what was left.

At most 150 words, so that it is read; what does not fit is on the second page and said to be.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.entries import Entry, EntryKind
from engine.guide.filling import fill
from engine.job.store import Header
from engine.power import Act
from engine.report.model import Section
from engine.session.state import State
from engine.session.steps import step_named
from engine.tree import DONE, ActHead, WalkTree

MOST_WORDS = 150
MORE = "More is on the second page."


def customer_page(
    header: Header, walk: WalkTree, state: State, live: Sequence[Entry]
) -> tuple[Section, ...]:
    """Return the sections of the customer's page, at most `MOST_WORDS` in all."""
    sections = (
        Section("You told us", (_sentence(header.said or walk.tree.complaint.said_as[0]),)),
        Section("What was wrong", tuple(_wrong(walk, state))),
        Section("What we did", tuple(_did(walk, state))),
        Section("Is it running?", (_running(walk, state, live),)),
        Section("What was left", tuple(_left(walk, state))),
        Section("What we recommend", tuple(_recommend(walk, state))),
        Section("Who was told", (_told(walk, live),)),
    )
    return shortened(sections)


def shortened(sections: Sequence[Section]) -> tuple[Section, ...]:
    """Return the sections cut to `MOST_WORDS`: the longest loses its last sentence first."""
    kept = [list(one.sentences) for one in sections]
    cut = False
    while _words(sections, kept) > MOST_WORDS - (len(MORE.split()) if cut else 0):
        longest = max(kept, key=lambda one: sum(len(text.split()) for text in one))
        cut = True
        if len(longest) > 1:
            longest.pop()
        else:
            longest[0] = " ".join(longest[0].split()[:-5]).rstrip(".,;") + " …"
    if cut:
        kept[-1].append(MORE)
    return tuple(
        Section(one.heading, tuple(texts)) for one, texts in zip(sections, kept, strict=True)
    )


def _words(sections: Sequence[Section], kept: Sequence[Sequence[str]]) -> int:
    headings = sum(len(one.heading.split()) for one in sections)
    return headings + sum(len(text.split()) for texts in kept for text in texts)


def _sentence(text: str) -> str:
    text = text.strip()
    return text if text.endswith((".", "!", "?", "…")) else f"{text[:1].upper()}{text[1:]}."


def _wrong(walk: WalkTree, state: State) -> Iterator[str]:
    found = [walk.tree.findings[one.finding] for one in state.found]
    causes = [one for one in found if not one.kind]
    for one in causes:
        yield _sentence(fill(walk, state, None, one.tell_customer))
    if not causes:
        yield "The cause is not found yet."


def _did(walk: WalkTree, state: State) -> Iterator[str]:
    mended = [
        walk.tree.findings[one.finding]
        for one in state.found
        if one.work == DONE or walk.tree.findings[one.finding].kind == "mended"
    ]
    if mended:
        count = "it" if len(mended) == 1 else f"all {len(mended)}"
        yield f"We found the cause by measuring and put {count} right."
    elif any(not walk.tree.findings[one.finding].kind for one in state.found):
        yield "We found the cause by measuring. It is not repaired yet."
    else:
        yield "We measured and ruled out what could be ruled out today."


def _running(walk: WalkTree, state: State, live: Sequence[Entry]) -> str:
    if state.end == "in service":
        verified = [one for one in live if _act(walk, one) is Act.VERIFY]
        at = f" at {verified[-1].time[11:16]}" if verified else ""
        return f"Yes. It was tried{at} and did what it was asked to do."
    if state.end == "withdrawn":
        return "No. We had to stop for everybody's protection; nothing should be switched on."
    if state.end == "made safe":
        return "No. It is switched off and tagged. Please leave it so."
    return "The work is not finished."


def _act(walk: WalkTree, entry: Entry) -> Act | None:
    try:
        head = step_named(walk, entry.step).head
    except (KeyError, ValueError):
        return None
    return head.act if isinstance(head, ActHead) else None


def _left(walk: WalkTree, state: State) -> Iterator[str]:
    said = False
    for one in state.found:
        finding = walk.tree.findings[one.finding]
        if one.work != DONE and finding.kind != "mended" and finding.left:
            said = True
            yield _sentence(fill(walk, state, None, finding.left))
    if not said:
        yield "Nothing that we know of." if state.end == "in service" else "The unit is left off."


def _recommend(walk: WalkTree, state: State) -> Iterator[str]:
    open_work = [one for one in state.found if one.work == "not now"]
    if open_work:
        yield "Have the repair done before the unit is used again."
    noted = [one for one in state.found if walk.tree.findings[one.finding].kind == "noted"]
    for one in noted:
        text = walk.tree.findings[one.finding].tell_customer
        if text:
            yield _sentence(fill(walk, state, None, text))
    if not open_work and not noted:
        yield "Nothing more now." if state.end == "in service" else "Another visit."


def _told(walk: WalkTree, live: Sequence[Entry]) -> str:
    for one in reversed(live):
        if one.kind is EntryKind.ANSWER and _act(walk, one) is Act.TELL:
            return f"You, or the person in charge, at {one.time[11:16]}, by {one.by or 'us'}."
    return "Nobody yet."
