"""The line by line walk: for a dumb terminal, a screen reader, or a thumb on a small keyboard.

Everything is said in whole lines, top to bottom as on the screen: what is live, one thing to do,
then the entry line. The same `Visit` answers here and there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from typing import TextIO

from engine.cli.width import say
from engine.guide.prompt import Now, Prompt
from engine.guide.visit import Visit
from engine.job.chain import JobError

Ask = Callable[[str], str]
"""Shows what is wanted and returns the line typed; raises EOFError when there is no more input."""


def asker(out: TextIO, lines: Iterable[str]) -> Ask:
    """Return a way of asking that writes to ``out`` and reads the lines given."""
    source: Iterator[str] = iter(lines)

    def ask(wanted: str) -> str:
        out.write(f"{wanted} > " if wanted else "> ")
        out.flush()
        line = next(source, None)
        if line is None:
            raise EOFError
        return line.rstrip("\r\n")

    return ask


HINT = "w why · c can't · u take back · t trail · l leave · x STOP · m everything else"

Place = tuple[str, str, int]
"""Where a walk stands: when it changes, what is to be done is said."""


def walk_by_lines(visit: Visit, ask: Ask, out: TextIO) -> bool:
    """Walk until the end, or until it is left; return True at the end.

    When the input ends the walk is left as it is: everything entered is in the record already.
    """
    say(out, (*visit.begin(), HINT))
    shown: Place | None = None
    while True:
        now = visit.prompt()
        if now.now is Now.ENDED:
            return True
        if place(now) != shown and not visit.talk.mode:
            out.write("\n")
            say(out, page(now, visit.clock()))
            shown = place(now)
        if visit.talk.working:
            # Many lines lie between by the time a figure is worked out: the step is said again.
            shown = None
        try:
            text = ask(visit.asks)
        except EOFError:
            out.write("\nLeft as it is; all that was entered is kept.\n")
            return False
        waited = now.now is Now.WAIT and visit.prompt().now is not Now.WAIT
        if waited and not text.strip():
            continue
        if not enter(visit, text, out):
            return False


def place(prompt: Prompt) -> Place:
    """Return where a walk stands."""
    return (prompt.step, prompt.field.name if prompt.field else str(prompt.now), prompt.number)


def enter(visit: Visit, text: str, out: TextIO) -> bool:
    """Take one typed line and say what it came to; return False when the walk is left."""
    before = visit.prompt()
    try:
        done = visit.enter(text)
    except JobError as error:
        out.write(f"Not kept: {error}\n")
        return True
    if text.strip():
        out.writelines(f"  {line}\n" for line in done.refused[:2])
    say(out, (*(f"  {line}" for line in done.refused[2:]), *done.lines))
    if done.leave:
        return False
    now = visit.prompt()
    if place(now) == place(before) and not visit.talk.mode:
        say(out, _still(before, now, len(done.lines)))
    return True


def _still(before: Prompt, now: Prompt, lines: int) -> tuple[str, ...]:
    """Return what to say at the step that is still asked: what was read so far, or its title."""
    if now.last != before.last:
        return (now.last,) if now.last else ()
    return (f"{now.number}  {now.title}",) if lines > _LONG else ()


_LONG = 3
"""Lines after which it is said again which step is asked."""


def page(prompt: Prompt, now: datetime) -> tuple[str, ...]:
    """Return a prompt as lines from top to bottom."""
    lines = [" · ".join(f"{one.zone.upper()} {one.words}" for one in prompt.zones)]
    lines.append(f"{now:%H:%M}  {prompt.number}  {prompt.title}")
    if prompt.towards:
        lines.append(f"For: {prompt.towards}")
    lines += [str(one) for one in prompt.cautions]
    if prompt.now is Now.REFUSED:
        lines += [f"Not yet. {one}" for one in prompt.refusals]
        return (*lines, "c goes on without it, w says why, x stops the work.")
    lines += list(_to_do(prompt))
    if prompt.wait_left:
        minutes, seconds = divmod(prompt.wait_left, 60)
        lines += [prompt.meanwhile, f"Wait {minutes}:{seconds:02} more; 1 if it has passed."]
    lines += [f"  {one.number} {one.words}".rstrip() for one in prompt.choices]
    if prompt.enter:
        lines.append(f"Enter = {prompt.enter}")
    return tuple(line for line in lines if line)


def _to_do(prompt: Prompt) -> Iterator[str]:
    """Yield what is to be done, with what, and what it should read."""
    if prompt.who:
        yield f"Who: {prompt.who}"
    yield from (prompt.box, prompt.leads_off, prompt.do, prompt.reminder)
    yield from (f"Say: {one}" for one in prompt.say)
    for word, things in (("Tools", prompt.tools), ("Parts", prompt.parts)):
        if things:
            yield f"{word}: {'; '.join(things)}"
    if prompt.photo:
        yield f"Photo: {prompt.photo} (p and the file's name)"
    yield prompt.meter
    if prompt.order:
        yield f"{len(prompt.asked)} readings, one by one or several on a line:"
        yield from (f"  {line}" for line in prompt.order)
    yield from (f"  {line}" for line in prompt.window)
    yield from (prompt.allowed, prompt.before, prompt.last)
