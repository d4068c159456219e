"""What the letters of the entry line do. Each returns a `Reply`; none changes anything itself."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime

from engine.entries import Entry, EntryKind
from engine.guide import answering, pages
from engine.guide.line import MENU, WORDS, Action
from engine.guide.prompt import Now, Prompt, prompt
from engine.guide.talk import STOP_WORDS, Mode, Reply, Talk, View
from engine.power import Act
from engine.safe_words import STOP_FIRST
from engine.session.known import spots_of
from engine.session.state import ReadingKey
from engine.session.steps import step_named
from engine.tree import STUCK_REASONS, ActHead, Step

REASONS = STUCK_REASONS[:5]
"""Why a check can't be done, as numbered on the screen; a nameplate has its own."""
REASON_WORDS = ("can't reach it", "can't tell which", "no meter for it", "not there", "not now")

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

Act_ = Callable[[View, Prompt, str, datetime], Reply]


def act(view: View, shown: Prompt, action: Action, rest: str, now: datetime) -> Reply:
    """Return what an action's letter does here, with the words typed after it."""
    return _ACTIONS[action](view, shown, rest, now)


def live_entries(view: View) -> list[Entry]:
    """Return the entries of this walk that have not been taken back or replaced."""
    gone = {one.of for one in view.entries if one.of}
    mine = _of_this_walk(view)
    return [one for one in mine if one.kind in TAKEN_BACK and one.n not in gone]


def _of_this_walk(view: View) -> list[Entry]:
    """Return the entries since this walk began: a job may hold an earlier one, in another tree."""
    mine = [one for one in view.entries if one.tree == view.walk.tree.name]
    begun = [place for place, one in enumerate(mine) if one.kind is EntryKind.WALK]
    return mine[begun[-1] :] if begun else mine


def correctable(view: View) -> list[Entry]:
    """Return the entries that the trail lists by number, oldest first."""
    return [one for one in live_entries(view) if one.kind is not EntryKind.SKIP]


def _undo(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    live = live_entries(view)
    if not live:
        return Reply(lines=("Nothing to take back.",))
    last = live[-1]
    entry = view.draft(EntryKind.STRIKE, now, of=last.n, step=last.step)
    title = last.title or last.outcome
    return Reply((entry,), lines=(f"Taken back: {title}. It stays in the record.",))


def _again(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    live = live_entries(view)
    if not live or not live[-1].said or live[-1].kind is EntryKind.NAMEPLATE:
        return Reply(lines=("The last entry was not a reading; t lists them all.",))
    entry = view.draft(EntryKind.STRIKE, now, of=live[-1].n, step=live[-1].step, outcome=READ_AGAIN)
    return Reply((entry,), lines=("Read again. The first reading is kept in the record.",))


def _cannot(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    if shown.now is Now.NAMEPLATE:
        return _no_nameplate(view, shown, now)
    if not shown.stuck:
        return Reply(lines=("Nothing is asked here.",))
    if rest:
        return cannot(view, shown, rest, now)
    lines = ["Why not?", *(f"{n} {words}" for n, words in enumerate(REASON_WORDS, 1))]
    return Reply(talk=Talk(Mode.CANNOT, shown.step), lines=tuple(lines), asks="1 to 5?")


def cannot(view: View, shown: Prompt, text: str, now: datetime) -> Reply:
    """Return what the reason for *can't* comes to."""
    if text not in ("1", "2", "3", "4", "5"):
        return Reply(
            talk=Talk(Mode.CANNOT, shown.step), refused=(text, "^", "1 to 5."), asks="1 to 5?"
        )
    reason = REASONS[int(text) - 1]
    entry = view.draft(
        EntryKind.CANNOT, now, step=shown.step, title=shown.title, outcome=reason, typed=text
    )
    return Reply((entry,))


def _no_nameplate(view: View, shown: Prompt, now: datetime) -> Reply:
    field = shown.field
    assert field is not None
    if field.default and field.if_unreadable in ("", "default"):
        reply = answering.field_answer(view, field, field.default, now)
        return replace(reply, lines=(f"Taken as {field.default}, and said so in the report.",))
    entry = view.draft(
        EntryKind.CANNOT, now, step=shown.step, title=field.ask, outcome="no nameplate"
    )
    return Reply((entry,))


# Already measured


def _known(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    steps = open_readings(view)
    if not steps:
        return Reply(lines=("Every reading of this tree has been taken.",))
    titles = [step_named(view.walk, name).title for name in steps]
    lines = ["Already measured which?", *(f"{n} {title}" for n, title in enumerate(titles, 1))]
    talk = Talk(Mode.KNOWN_STEP, listed=steps)
    return (
        known_step(view, talk, rest, now)
        if rest
        else Reply(talk=talk, lines=tuple(lines), asks="which?")
    )


def open_readings(view: View) -> tuple[str, ...]:
    """Return the steps of the tree that take plain readings of which one is not known yet."""
    fresh = {key for key, took in view.state.taken.items() if not took.stale}

    def is_open(step: Step) -> bool:
        head = step.head
        if not isinstance(head, ActHead) or head.act not in (Act.READ_LIVE, Act.READ_DEAD):
            return False
        wanted = spots_of(view.walk, view.state, step)
        known = all(ReadingKey.of(spot, head.leads_off) in fresh for spot in wanted)
        return bool(wanted) and not step.again and not known

    return tuple(name for name, step in view.walk.steps.items() if is_open(step))


def known_step(view: View, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what the choice of an already measured reading comes to."""
    name = _listed(talk, text)
    if not name:
        return Reply(talk=talk, refused=(text, "^", f"1 to {len(talk.listed)}."), asks="which?")
    shown = prompt_at(view, name, now)
    if shown.now is Now.NAMEPLATE:
        return Reply(lines=(f"The nameplate comes first: {shown.do}",))
    held = Talk(Mode.KNOWN_READING, name, known=True)
    return Reply(talk=held, lines=(shown.title, shown.do), asks=shown.wanted)


def prompt_at(view: View, name: str, now: datetime) -> Prompt:
    """Return the prompt of a step as if the walk stood there with nothing read yet."""
    state = replace(view.state, step=name, needs="", gathered={}, waited=True)
    return prompt(view.walk, state, now)


def _listed(talk: Talk, text: str) -> str:
    if text.isdigit() and 1 <= int(text) <= len(talk.listed):
        return talk.listed[int(text) - 1]
    return ""


# The trail, and correcting


def _trail(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    entries = correctable(view)
    talk = Talk(Mode.TRAIL, listed=tuple(str(one.n) for one in entries))
    if rest:
        return trail_pick(view, talk, rest, now)
    return Reply(talk=talk, lines=pages.trail(view, entries), asks="correct which?")


def trail_pick(view: View, talk: Talk, text: str, now: datetime) -> Reply:
    """Return the question for the right answer of the entry picked from the trail."""
    number = _listed(talk, text)
    if not number:
        return Reply(
            talk=talk, refused=(text, "^", f"1 to {len(talk.listed)}."), asks="correct which?"
        )
    entry = next(one for one in view.entries if one.n == int(number))
    held = Talk(Mode.CORRECT, entry.step, of=entry.n)
    if entry.kind is EntryKind.NAMEPLATE:
        field = view.walk.fields[entry.outcome]
        return Reply(talk=held, lines=(field.ask, f"It was {entry.typed}."), asks="now?")
    shown = prompt_at(view, entry.step, now)
    options = tuple(f"{one.number} {one.words}" for one in shown.choices)
    was = f"It was {entry.typed or entry.outcome}."
    return Reply(talk=held, lines=(shown.title, was, *options), asks=shown.wanted or "now?")


def correct(view: View, talk: Talk, text: str, now: datetime) -> Reply:
    """Return the right answer in the place of an earlier one."""
    entry = next(one for one in view.entries if one.n == talk.of)
    if entry.kind is EntryKind.NAMEPLATE:
        reply = answering.field_answer(view, view.walk.fields[entry.outcome], text, now)
        marked = tuple(replace(one, of=talk.of) for one in reply.entries)
        return replace(reply, entries=marked) if marked else _still(reply, talk)
    shown = replace(prompt_at(view, entry.step, now), now=Now.STEP)
    reply = answering.answer(view, shown, talk, text, now)
    return reply if reply.taken else _still(reply, talk)


def _still(reply: Reply, talk: Talk) -> Reply:
    """Return the reply with the correction still being asked for."""
    return replace(reply, talk=talk, asks="now?")


# What is only shown


def _page(make: Callable[[View, Prompt], tuple[str, ...]]) -> Act_:
    return lambda view, shown, rest, now: Reply(lines=make(view, shown))


def _everything(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    lines = [f"{n:2} {one.value}  {WORDS[one]}" for n, one in enumerate(MENU, 1)]
    talk = Talk(Mode.MENU, listed=tuple(one.value for one in MENU))
    return Reply(talk=talk, lines=tuple(lines), asks="which?")


def menu(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what the number of an action does."""
    letter = _listed(talk, text)
    if not letter:
        return Reply(talk=talk, refused=(text, "^", f"1 to {len(MENU)}."), asks="which?")
    return act(view, shown, Action(letter), "", now)


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
    if rest:
        return stop(view, talk, rest, now)
    return Reply(talk=talk, lines=("STOP. What is it?", *lines), asks="which?")


def stop(view: View, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what to do at once, and the entry that says why the work stopped."""
    reason = _listed(talk, text)
    if not reason:
        return Reply(talk=talk, refused=(text, "^", f"1 to {len(talk.listed)}."), asks="which?")
    words = STOP_WORDS[reason]
    entry = view.draft(EntryKind.STOP, now, step=talk.step, outcome=reason, typed=words)
    return Reply((entry,), lines=(STOP_FIRST[reason],))


_ACTIONS: Mapping[Action, Act_] = {
    Action.AGAIN: _again,
    Action.UNDO: _undo,
    Action.TRAIL: _trail,
    Action.CANNOT: _cannot,
    Action.KNOWN: _known,
    Action.WHY: _page(pages.why),
    Action.POSSIBLE: _page(pages.possible),
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
