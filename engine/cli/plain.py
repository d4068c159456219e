"""The line by line walk: for a dumb terminal, a screen reader, or a thumb on a small keyboard.

Everything is said in whole lines, top to bottom as on the screen: what is live, one thing to do,
then the entry line. The same `Visit` answers here and there.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from typing import TextIO

from engine.guide.prompt import Now, Prompt
from engine.guide.visit import Visit
from engine.job.chain import JobError

WIDTH = 78

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


def walk_by_lines(visit: Visit, ask: Ask, out: TextIO) -> bool:
    """Walk until the end, or until it is left; return True at the end.

    When the input ends the walk is left as it is: everything entered is in the record already.
    """
    say(out, visit.begin())
    shown: tuple[str, str] = ("", "")
    while True:
        now = visit.prompt()
        if now.now is Now.ENDED:
            return True
        place = (now.step, now.field.name if now.field else str(now.now))
        if place != shown and not visit.talk.mode:
            out.write("\n")
            say(out, page(now, visit.clock()))
            shown = place
        if visit.talk.working:
            # Many lines lie between by the time a figure is worked out: the step is said again.
            shown = ("", "")
        try:
            text = ask(visit.asks)
        except EOFError:
            out.write("\nLeft as it is; all that was entered is kept.\n")
            return False
        if not enter(visit, text, out):
            return False


def enter(visit: Visit, text: str, out: TextIO) -> bool:
    """Take one typed line and say what it came to; return False when the walk is left."""
    try:
        done = visit.enter(text)
    except JobError as error:
        out.write(f"Not kept: {error}\n")
        return True
    for line in done.refused:
        out.write(f"  {line}\n")
    say(out, done.lines)
    return not done.leave


def page(prompt: Prompt, now: datetime) -> tuple[str, ...]:
    """Return a prompt as lines from top to bottom."""
    lines = [" · ".join(f"{one.zone.upper()} {one.words}" for one in prompt.zones)]
    lines.append(f"{now:%H:%M}  {prompt.number}  {prompt.title}")
    lines += [str(one) for one in prompt.cautions]
    lines += [f"Not yet. {one}" for one in prompt.refusals]
    if prompt.who:
        lines.append(f"Who: {prompt.who}")
    lines += [line for line in (prompt.box, prompt.do, prompt.meter) if line]
    lines += [f"  {line}" for line in prompt.window]
    lines += [line for line in (prompt.allowed, prompt.before, prompt.last) if line]
    if prompt.wait_left:
        minutes, seconds = divmod(prompt.wait_left, 60)
        lines.append(f"Wait {minutes}:{seconds:02} more.")
    lines += [f"  {one.number} {one.words}".rstrip() for one in prompt.choices]
    if prompt.enter:
        lines.append(f"Enter = {prompt.enter}")
    return tuple(lines)


def say(out: TextIO, lines: Iterable[str]) -> None:
    """Write lines, the long ones folded at `WIDTH` with what belongs together kept together."""
    for line in lines:
        indent = len(line) - len(line.lstrip())
        folded = textwrap.wrap(
            line, WIDTH, subsequent_indent=" " * (indent + 2), break_on_hyphens=False
        )
        for part in folded or [""]:
            out.write(f"{part}\n")
