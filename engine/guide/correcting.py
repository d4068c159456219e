"""The trail: what was entered, taking the last entry back, and putting any entry right."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from engine.entries import Entry, EntryKind
from engine.guide import answering, pages
from engine.guide.prompt import Prompt, prompt_at, question
from engine.guide.talk import Mode, Reply, Talk, View
from engine.session.folding import in_force
from engine.tree import DONE

TAKEN_BACK = frozenset(
    {
        EntryKind.ANSWER,
        EntryKind.REPAIR,
        EntryKind.CANNOT,
        EntryKind.NAMEPLATE,
        EntryKind.KNOWN,
        EntryKind.SKIP,
    }
)
"""Kinds of entry that *take back* takes back."""

READ_AGAIN = "read again"


def live_entries(view: View) -> list[Entry]:
    """Return the entries of this walk that count and can be taken back, in the walk's order."""
    return [one for one in in_force(view.mine) if one.kind in TAKEN_BACK]


def correctable(view: View) -> list[Entry]:
    """Return the entries that the trail lists by number: those that lie on the way."""
    astray = set(view.state.astray)
    live = [one for one in live_entries(view) if one.kind is not EntryKind.SKIP]
    return [one for one in live if one.n not in astray]


def undo(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    """Take back the last entry; where that was a correction, what it corrected counts again."""
    last = _last(view)
    if last is None:
        return Reply(lines=("Nothing to take back.",))
    entry = view.draft(EntryKind.STRIKE, now, of=last.n, step=last.step)
    title = last.title or last.outcome
    return Reply((entry,), lines=(f"Taken back: {title}. It stays in the record.",))


def again(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    """Take back the last entry if it was a reading, so that it is read again."""
    last = _last(view)
    if last is None or not last.said or last.kind is not EntryKind.ANSWER:
        return Reply(lines=("The last entry was not a reading; t lists them all.",))
    entry = view.draft(EntryKind.STRIKE, now, of=last.n, step=last.step, outcome=READ_AGAIN)
    return Reply((entry,), lines=("Read again. The first reading is kept in the record.",))


def _last(view: View) -> Entry | None:
    return max(live_entries(view), key=lambda one: one.n, default=None)


def trail(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    """List what was entered, or pick the entry whose number was typed with the letter."""
    entries = correctable(view)
    lines = pages.trail(view, entries)
    if not entries:
        return Reply(lines=lines)
    talk = Talk(Mode.TRAIL, listed=tuple(str(one.n) for one in entries))
    if talk.pick(rest):
        return pick(view, talk, rest, now)
    return Reply(talk=talk, lines=lines, asks=_WHICH)


_WHICH = "correct which?"
_NOW = "now?"


def pick(view: View, talk: Talk, text: str, now: datetime) -> Reply:
    """Return the question for the right answer of the entry picked from the trail."""
    number = talk.pick(text)
    if not number:
        return Reply.refuse(text, f"1 to {len(talk.listed)}.", talk, _WHICH)
    entry = entry_of(view, int(number))
    held = Talk(Mode.CORRECT, entry.step, of=entry.n, known=entry.kind is EntryKind.KNOWN)
    shown = asked_before(view, entry.n, now)
    was = entry.verdict if entry.kind is EntryKind.CANNOT else entry.typed or entry.outcome
    options = tuple(f"{one.number} {one.words}".rstrip() for one in shown.choices)
    about = shown.do if shown.field else shown.title
    lines = (about, f"It was {was}. Enter alone leaves it so.", *options)
    return Reply(talk=held, lines=lines, asks=shown.wanted or _NOW)


def entry_of(view: View, n: int) -> Entry:
    """Return the entry of that number; raises StopIteration where there is none."""
    return next(one for one in view.entries if one.n == n)


def asked_before(view: View, n: int, now: datetime) -> Prompt:
    """Return what was asked when an entry was given."""
    entry = entry_of(view, n)
    if entry.kind is EntryKind.KNOWN:
        return prompt_at(view.walk, view.state, entry.step, now)
    state = view.before(entry.n)._replace(waited=True)
    if entry.kind is EntryKind.NAMEPLATE:
        state = state._replace(needs=entry.outcome)
    return question(view.walk, state, now)


def correct(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return the right answer in the place of an earlier one."""
    entry = entry_of(view, talk.of)
    asks = shown.wanted or _NOW
    if not shown.asked and not shown.choices and not shown.field and text != DONE:
        return Reply.refuse(text, "It is only done, or c if it could not be done.", talk, asks)
    take = answering.read if talk.known else answering.answer
    reply = take(view, shown, talk, text, now)
    if not reply.taken:
        return replace(reply, talk=talk, asks=asks)
    given = sum(len(one.said) for one in reply.entries)
    if reply.entries and shown.asked and given < len(entry.said):
        sentence = f"All {len(entry.said)} are wanted, as in the entry that is put right."
        return Reply.refuse(text, sentence, talk, asks)
    return reply
