"""The walk: what is live on top, one thing to do in the middle, the entry line where the thumb is.

Made from `Visit.prompt()` and `Visit.enter()` and nothing else: which step comes, what may be
done and what a reading means is decided there. Nothing moves while a line is typed. After a
reading its verdict stays until the next key; only then comes the next thing to do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from time import monotonic
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.timer import Timer

from engine.guide.line import WORDS, Action, read_line
from engine.guide.prompt import Now, Prompt
from engine.guide.talk import Mode
from engine.guide.visit import Shown, Visit
from engine.guide.working_state import Working
from engine.job.chain import JobError
from tui.screens.entry_screen import BACK, EntryScreen
from tui.widgets.fitting import (
    Part,
    flowing,
    listed,
    paged,
    part,
    picking,
    wrapped,
)
from tui.widgets.one_line import OneLine
from tui.widgets.step_parts import parts_of
from tui.widgets.suspect_list import SuspectList
from tui.widgets.taps import DONE, Fields
from tui.widgets.trail import Trail

ECHO_ROWS = 2
"""What an answer says is shown below the entry line if it has room there on a phone."""

GOES_ON = "Enter goes on"

SHORT_WORDS: Fields = (
    ("r", "again"),
    ("u", "undo"),
    ("t", "trail"),
    ("c", "can't"),
    ("k", "known"),
    ("w", "why"),
    ("g", "word"),
    ("s", "possible"),
    ("v", "figure"),
    ("z", "zones"),
    ("n", "note"),
    ("p", "photo"),
    ("a", "customer"),
    ("f", "wrong"),
    ("b", "sun"),
    ("l", "leave"),
    ("x", "STOP"),
    ("m", "all"),
)


class WalkScreen(EntryScreen[bool]):
    """A visit on the screen; dismissed with True at the walk's end, False where it is left."""

    narrow_taps: ClassVar[Fields] = ((DONE, "DONE"), ("c", "CAN'T"), ("m", "MORE"))
    wide_taps: ClassVar[Fields] = SHORT_WORDS

    def __init__(self, visit: Visit, said: Sequence[str] = (), settle: float = 0) -> None:
        """Make the screen of a visit that has begun, with what there is to say before it goes on.

        For ``settle`` seconds a new step takes no Enter alone: that is a key that bounced.
        """
        super().__init__()
        self.visit = visit
        self._said = tuple(said)
        self._settle = settle
        self._shown: Prompt | None = None
        self._since = 0.0
        self.looking = False
        self._left = False
        self._tick: Timer | None = None
        self._page = ""
        self.power = OneLine()
        self.suspects = SuspectList()
        self.trail = Trail()

    def compose_above(self) -> ComposeResult:
        """Put the power lines on top, the side beside or below what is to be done."""
        yield self.power
        with Vertical(id="main"):
            yield self.sheet
            with Vertical(id="side"):
                yield self.suspects
                yield self.trail

    def on_mount(self) -> None:
        """Show what is to be done, or first how the job was left."""
        self.show()
        if self._said:
            self.read("As it was left", self._said)
        self._follow_clock()

    # --- showing ----------------------------------------------------------------------------------

    def show(self) -> None:
        """Show what is to be done now."""
        prompt = self.visit.prompt()
        if prompt.now is Now.ENDED:
            self.dismiss(True)
            return
        if self._shown is None or _place(prompt) != _place(self._shown):
            self._since = monotonic()
        self._shown = prompt
        self._show_prompt(prompt)
        self._beside(prompt)
        self._follow_wait(prompt)

    def _show_prompt(self, prompt: Prompt) -> None:
        self.lay(_title(prompt), partial(parts_of, prompt), _countdown(prompt))
        self._ask_of(prompt)

    def _ask_of(self, prompt: Prompt) -> None:
        self.ask(self.visit.asks, BACK if self.visit.talk.mode else prompt.enter)

    def _beside(self, prompt: Prompt) -> None:
        """Show what is live and the side; the verdict of a step changes them before the next."""
        self.power.show(prompt.zones, f"{self.visit.clock():%H:%M}")
        beside = self.visit.beside()
        self.suspects.show(beside.possible)
        self.trail.show(beside.trail)
        self._make_room()

    def _make_room(self) -> None:
        """Take away what is still possible while the work is stopped: nothing is beside STOP."""
        stopping = self.visit.talk.mode is Mode.STOP or bool(self.visit.state.stopped)
        self.set_class(stopping, "-stopped")

    # --- taking -----------------------------------------------------------------------------------

    def enter(self, text: str) -> None:
        """Go on from a verdict, leave after the list, or take the line as every screen does."""
        if self._left:
            if text or not self.turn():
                self.dismiss(False)
            return
        if self.looking:
            if not text and self.turn():
                return
            self.go_on()
            if not text:
                return
        if text and self._unseen():
            # What stood there was only to be read: nobody answers a step that was not yet shown.
            self.action_back()
            self.entry.fill(text)
            return
        super().enter(text)

    def _unseen(self) -> bool:
        """Return whether a page is being read while another step waits behind it."""
        if not self.reading or self.visit.talk.mode or self._shown is None:
            return False
        return _place(self.visit.prompt()) != _place(self._shown)

    def go_on(self) -> None:
        """Go on from a verdict to what is to be done next."""
        if self.looking:
            self.looking = False
            self.entry.end_wait()
            self.say()
            self.show()

    def take(self, text: str) -> None:
        """Give a line to the visit and show what it came to."""
        if not text and not self.visit.talk.mode and self._bounced():
            return
        try:
            shown = self.visit.enter(text)
        except JobError as error:
            self.refuse(text, ("", "^", f"Not kept. {error}"))
            return
        if shown.refused:
            self._not_taken(text, shown)
            return
        self.entry.clear()
        if self.visit.talk.working:
            self._work_out(self.visit.talk.working)
            return
        if shown.sun:
            self.change_theme()
        if shown.leave:
            self._leave(shown.lines)
        elif shown.look:
            self._look(text, shown)
        else:
            self._came_to(text, shown.lines)

    def _not_taken(self, text: str, shown: Shown) -> None:
        if self.reading and not self.visit.talk.mode:
            self.reading = False
            self.show()
        self.refuse(text, shown.refused)

    def _came_to(self, text: str, lines: Sequence[str]) -> None:
        """Show the lines of an answer: below the entry line, or where they need it, as a page."""
        width = self.size.width
        if self.echo.holds(lines, width, ECHO_ROWS):
            self.reading = False
            self.say(lines)
            self.show()
            return
        self.say()
        self._make_room()
        if not self.visit.talk.mode:
            self._beside(self.visit.prompt())
        wanted = self.visit.asks if self.visit.talk.mode else ""
        action = read_line(text).action
        if action is not None:
            self._page = WORDS[action]
        if action is Action.TRAIL:
            # What was entered last is what is corrected most: it stands on the first page.
            lines = lines[::-1]
        self.read(f"{self._page[:1].upper()}{self._page[1:]}", lines, wanted)
        if action is Action.EVERYTHING:
            self.sheet.show(WORDS[action].capitalize(), partial(_everything, lines), returns=False)

    def _look(self, text: str, shown: Shown) -> None:
        """Keep the step in sight with what its reading came to, until the next key."""
        self.looking = True
        before = self._shown
        assert before is not None
        if shown.stopped:
            self.sheet.show(WORDS[Action.STOP], partial(_order, shown.lines))
            self.say((GOES_ON,))
        else:
            self.lay(_title(before), partial(self._verdict_parts, before, shown), returns=False)
            self.say((*shown.lines[:1], f"{GOES_ON}, u takes it back."))
        self.entry.wait(text)
        self._beside(self.visit.prompt())

    def _verdict_parts(self, before: Prompt, shown: Shown, width: int) -> list[Part]:
        """Return the step with its verdict below it; as much of both as one page holds."""
        # The verdict itself stands below the entry line; the sentences about it stand here.
        sentences = listed(shown.lines[1 if shown.gauge else 0 :], width)
        alone = Prompt(Now.STEP, before.number, gauges=before.gauges)
        with_step = replace(alone, do=before.do, meter=before.meter, leads_off=before.leads_off)
        for step in (before, with_step):
            both = [*parts_of(step, width, shown.gauge), *sentences]
            if len(paged(both, self.sheet.size.height - 1)) == 1:
                return both
        return [*parts_of(alone, width, shown.gauge), *sentences]

    # --- figures ----------------------------------------------------------------------------------

    def _work_out(self, working: Working) -> None:
        """Work figures out on a screen of their own, and come back to the same step."""
        from tui.screens.figures import WalkFiguresScreen

        self.visit.drop_question()
        self.app.push_screen(WalkFiguresScreen(working), self._worked_out)

    def _worked_out(self, stop: bool | None) -> None:
        self._since = monotonic()
        self.reading = False
        self.say()
        self.show()
        if stop:
            self.enter(Action.STOP)

    # --- going back -------------------------------------------------------------------------------

    def action_back(self) -> None:
        """Go back to the step from a page; a question that was open is dropped."""
        if self.visit.talk.mode:
            self.say(self.visit.enter("").lines)
        super().action_back()

    def pick(self, number: str) -> None:
        """Enter the number of a list at once; an answer to the step waits for *Done*."""
        if self.reading and self.visit.talk.mode:
            self.enter(number)
        else:
            super().pick(number)

    def tap_done(self) -> None:
        """Enter the line; where *done* is the only answer, the first tap puts it on the line.

        So a thumb needs nothing but this field for a thing to do, and still answers nothing by
        one tap too many.
        """
        busy = self.looking or self.reading or self._left or bool(self.visit.talk.mode)
        choices = self._shown.choices if self._shown else ()
        if not busy and not self.entry.typed and len(choices) == 1 and not self.sheet.more:
            self.entry.fill(str(choices[0].number))
            self.say(("Done? Tap again.",))
            self._since = monotonic()
        elif not self._bounced():
            super().tap_done()

    def _bounced(self) -> bool:
        return monotonic() - self._since < self._settle

    # --- leaving ----------------------------------------------------------------------------------

    def leave(self) -> bool:
        """Leave as ``l`` does; False where the walk was left already."""
        if self._left:
            return False
        self.looking = False
        self.take(Action.LEAVE)
        return True

    def _leave(self, lines: Sequence[str]) -> None:
        self._left = True
        self.say(("All that was entered is kept.",))
        self.read("Before you go", lines, enter="leave")

    # --- time -------------------------------------------------------------------------------------

    def _follow_wait(self, prompt: Prompt) -> None:
        waiting = prompt.now is Now.WAIT
        if waiting and self._tick is None:
            self._tick = self.set_interval(1, self.count_down)
        elif not waiting and self._tick is not None:
            self._tick.stop()
            self._tick = None

    @property
    def ticking(self) -> bool:
        """True while a countdown is shown."""
        return self._tick is not None

    def count_down(self) -> None:
        """Show a second less; when the time is up, ring once and show the step."""
        prompt = self.visit.prompt()
        if prompt.now is not Now.WAIT:
            if self.ticking:
                self.app.bell()
            self._follow_wait(prompt)
        if not self.reading and not self.looking:
            self._shown = prompt
            self.sheet.show_again(_title(prompt), partial(parts_of, prompt), _countdown(prompt))
            if prompt.now is not Now.WAIT:
                # While it waits the entry line asks the same: once a second is too often to say it.
                self._ask_of(prompt)

    def _follow_clock(self) -> None:
        """Show the time of day anew at every full minute, and at no other moment."""
        now = self.visit.clock()
        self.power.show(self.visit.prompt().zones, f"{now:%H:%M}")
        self.set_timer(60 - now.second, self._follow_clock)


def _everything(lines: Sequence[str], width: int) -> list[Part]:
    """Return all actions, each on its row; where there is less room, in short words side by side.

    The two that matter when frightened come first and keep a row of their own.
    """
    whole = tuple(picking(row, line.split()[0]) for line in lines for row in wrapped(line, width))
    short = dict(SHORT_WORDS)
    items = [
        picking(Content(f"{number} {letter} {short[letter]}"), number)
        for number, letter, *_ in map(str.split, lines)
    ]
    return [Part((whole, (*whole[:2], *flowing(items[2:], width))), 2)]


def _order(lines: Sequence[str], width: int) -> list[Part]:
    """Return what to do at once, alone on the screen."""
    return [part(wrapped(line, width, "bold $live")) for line in lines]


def _place(prompt: Prompt) -> tuple[str, str, Now]:
    return prompt.step, prompt.field.name if prompt.field else "", prompt.now


def _title(prompt: Prompt) -> str:
    return f"{prompt.number}  {prompt.title}"


def _countdown(prompt: Prompt) -> str:
    minutes, seconds = divmod(prompt.wait_left, 60)
    return f"wait {minutes}:{seconds:02}" if prompt.wait_left else ""
