"""What the letters of the entry line do. Each returns a `Reply`; none changes anything itself."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime

from engine.entries import EntryKind
from engine.guide import answering, correcting, from_walk, measured, pages, wordbook
from engine.guide.line import MENU, WORDS, Action
from engine.guide.prompt import Now, Prompt, prompt
from engine.guide.talk import QUIET, STOP_WORDS, Mode, Reply, Talk, View
from engine.safe_words import STOP_FIRST
from engine.session.moving import DEFAULT
from engine.tree import STUCK_REASONS

REASONS = STUCK_REASONS[:5]
"""Why a check can't be done, as numbered on the screen; a nameplate has its own."""
NO_NAMEPLATE = STUCK_REASONS[5]
REASON_WORDS = ("can't reach it", "can't tell which", "no meter for it", "not there", "not now")
_WORDS = dict(zip(STUCK_REASONS, (*REASON_WORDS, "can't be read"), strict=True))
"""Reason → what the record says."""

Act_ = Callable[[View, Prompt, str, datetime], Reply]


def act(view: View, action: Action, rest: str, now: datetime) -> Reply:
    """Return what an action's letter does here, with the words typed after it.

    A letter that stands alone is refused with words after it: they were meant as something else.
    """
    if rest and action not in TAKE_WORDS:
        sentence = f"{action.value} alone is {WORDS[action]}; n begins a note."
        return Reply.refuse(f"{action.value} {rest}", sentence)
    return _ACTIONS[action](view, prompt(view.walk, view.state, now), rest, now)


TAKE_WORDS = frozenset(
    {
        Action.STOP,
        Action.CANNOT,
        Action.TRAIL,
        Action.KNOWN,
        Action.WORD,
        Action.FIGURES,
        Action.NOTE,
        Action.PHOTO,
        Action.FAULTY_STEP,
    }
)
"""Letters that may have words after them: a number of their list, a note, a word to look up."""


def _cannot(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    if shown.now is Now.NAMEPLATE:
        return _no_nameplate(view, shown, now)
    if not shown.stuck:
        return Reply(lines=("Nothing can be left out here; l leaves for now.",))
    talk = Talk(Mode.CANNOT, shown.step)
    return _reason(view, shown, talk, rest, now)


_WHY_NOT = f"1 to {len(REASONS)}?"


def corrected_cannot(view: View, shown: Prompt, talk: Talk, rest: str, now: datetime) -> Reply:
    """Return *can't* in the place of an earlier answer."""
    if shown.field:
        return cannot_entry(view, shown, NO_NAMEPLATE, talk.of, now)
    held = replace(talk, mode=Mode.CANNOT)
    return _reason(view, shown, held, rest, now)


def _reason(view: View, shown: Prompt, talk: Talk, rest: str, now: datetime) -> Reply:
    """Return what a reason typed with the letter comes to; the list of them for any other words."""
    if rest and (reply := cannot(view, shown, talk, rest, now)).taken:
        return reply
    return Reply(talk=talk, lines=_reasons(), asks=_WHY_NOT)


def _reasons() -> tuple[str, ...]:
    return ("Why not?", *(f"{n} {words}" for n, words in enumerate(REASON_WORDS, 1)))


def cannot(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what the reason for *can't* comes to: its number, or the words of it."""
    said = text.casefold().removeprefix("can't ").removeprefix("cannot ")
    for number, (reason, words) in enumerate(zip(REASONS, REASON_WORDS, strict=True), 1):
        if said in (str(number), reason, words.removeprefix("can't ")):
            return cannot_entry(view, shown, reason, talk.of, now)
    return Reply.refuse(text, f"The reasons are 1 to {len(REASONS)}.", talk, _WHY_NOT)


def cannot_entry(view: View, shown: Prompt, reason: str, of: int, now: datetime) -> Reply:
    """Return the entry that says why a step, or a nameplate question, can't be answered."""
    about = shown.do if shown.field else shown.title
    return Reply(
        (
            view.draft(
                EntryKind.CANNOT,
                now,
                step=shown.step,
                title=about,
                outcome=reason,
                verdict=_WORDS[reason],
                of=of,
            ),
        )
    )


def _no_nameplate(view: View, shown: Prompt, now: datetime) -> Reply:
    field = shown.field
    assert field is not None
    if not field.default or field.if_unreadable not in ("", DEFAULT):
        return cannot_entry(view, shown, NO_NAMEPLATE, 0, now)
    reply = answering.answer(view, shown, QUIET, field.default, now)
    return replace(reply, lines=(f"Taken as {field.default}, and said so in the report.",))


# What is only shown


def _page(make: Callable[[View, Prompt], tuple[str, ...]]) -> Act_:
    return lambda view, shown, rest, now: Reply(lines=make(view, shown))


def _everything(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    lines = [f"{n:2} {one.value}  {WORDS[one]}" for n, one in enumerate(MENU, 1)]
    talk = Talk(Mode.MENU, listed=tuple(one.value for one in MENU))
    return Reply(talk=talk, lines=tuple(lines), asks="which?")


def menu(view: View, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what the number of an action does."""
    letter = talk.pick(text) or (text if text in talk.listed else "")
    if not letter:
        return Reply.refuse(text, f"1 to {len(MENU)}.", talk, "which?")
    return act(view, Action(letter), "", now)


# Notes, photos, remarks, sun, leaving, stopping


def _asking(mode: Mode, question: str) -> Act_:
    def ask(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
        talk = Talk(mode, shown.step)
        return noted(view, talk, rest, now) if rest else Reply(talk=talk, asks=question)

    return ask


_NOTED = {
    Mode.NOTE: EntryKind.NOTE,
    Mode.PHOTO: EntryKind.PHOTO,
    Mode.REMARK: EntryKind.REMARK,
}


def noted(view: View, talk: Talk, text: str, now: datetime) -> Reply:
    """Return the note, photo or remark that was typed."""
    entry = view.draft(_NOTED[talk.mode], now, step=talk.step, typed=text)
    photo = text if talk.mode is Mode.PHOTO else ""
    said = {Mode.NOTE: "Noted.", Mode.REMARK: "Kept for the author."}.get(talk.mode, "")
    return Reply((entry,), lines=(said,) if said else (), photo=photo)


def _sun(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    return Reply(sun=True)


def _leave(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    entry = view.draft(EntryKind.LEAVE, now, step=shown.step)
    return Reply((entry,), lines=pages.leaving(view), leave=True)


def _stop(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    lines = [f"{n} {words}" for n, words in enumerate(STOP_WORDS.values(), 1)]
    talk = Talk(Mode.STOP, shown.step, listed=tuple(STOP_WORDS))
    if talk.pick(rest):
        return stop(view, talk, rest, now)
    return Reply(talk=talk, lines=("STOP. What is it?", *lines), asks="which?")


def stop(view: View, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what to do at once, and the entry that says why the work stopped."""
    reason = talk.pick(text)
    if not reason:
        return Reply.refuse(text, f"1 to {len(talk.listed)}.", talk, "which?")
    words = STOP_WORDS[reason]
    entry = view.draft(EntryKind.STOP, now, step=talk.step, outcome=reason, typed=words)
    return Reply((entry,), lines=(STOP_FIRST[reason],))


_ACTIONS: Mapping[Action, Act_] = {
    Action.AGAIN: correcting.again,
    Action.UNDO: correcting.undo,
    Action.TRAIL: correcting.trail,
    Action.CANNOT: _cannot,
    Action.KNOWN: measured.known,
    Action.WHY: _page(pages.why),
    Action.WORD: lambda view, shown, rest, now: wordbook.look_up(view, shown, rest),
    Action.POSSIBLE: _page(pages.possible),
    Action.FIGURES: lambda view, shown, rest, now: from_walk.work_out(view, rest),
    Action.ZONES: _page(pages.zones),
    Action.NOTE: _asking(Mode.NOTE, "note?"),
    Action.PHOTO: _asking(Mode.PHOTO, "picture file?"),
    Action.CUSTOMER: _page(pages.customer),
    Action.FAULTY_STEP: _asking(Mode.REMARK, "what is wrong?"),
    Action.SUN: _sun,
    Action.LEAVE: _leave,
    Action.STOP: _stop,
    Action.EVERYTHING: _everything,
}
