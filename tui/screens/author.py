"""*Author*: a tree's file followed while it is written in an editor beside the screen.

The file is looked at twice a second by its path, for editors exchange a file when they save. Each
save is loaded, proved and its cases are walked, one after the other and beside the screen. A file
that cannot be read keeps the last good picture, with the problem in its place. Any branch can be
walked with pretend readings; nothing of that is written down.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import ClassVar

from textual import work
from textual.content import Content

from engine.authoring import (
    Drawn,
    Pretend,
    Signature,
    Study,
    costs_page,
    drawn,
    findings_page,
    pretend,
    pretend_to,
    problems_page,
    signature,
    studied,
    summary,
    with_cases,
    with_proof,
)
from engine.cli import places
from engine.cli.plain import page as prompt_page
from tui.screens.entry_screen import EntryScreen
from tui.widgets.fitting import INDENT, Part, part, picking, wrapped
from tui.widgets.taps import DONE, Fields

EVERY = 0.5
"""Seconds between two looks at the file."""
LATE = 4
"""So many times in a row not there, and the file is said to be gone."""
BELOW = 2
"""Lines that fit below the entry line at every size."""
PROBLEMS, TREE, FINDINGS, COSTS, WALK = "p", "t", "f", "c", "w"
PAGES = {PROBLEMS: "problems", TREE: "the tree", FINDINGS: "findings and cases", COSTS: "costs"}
HINT = "p t f c pages · a step's number or w NAME walks it · l leaves"


class AuthorScreen(EntryScreen[None]):
    """Follows one file; dismissed when it is left."""

    narrow_taps: ClassVar[Fields] = (
        (DONE, "NEXT"),
        (WALK, "WALK"),
        ("l", "LEAVE"),
    )
    wide_taps: ClassVar[Fields] = (
        (DONE, "Enter: next page"),
        (PROBLEMS, "problems"),
        (TREE, "tree"),
        (FINDINGS, "findings"),
        (COSTS, "costs"),
        (WALK, "walk"),
        ("b", "sun"),
        ("l", "leave"),
    )

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.path = path
        self.saves = 0
        """How often the file has been saved since the screen was opened."""
        self.latest: Study | None = None
        """The file as it is now."""
        self.good: Study | None = None
        """The last state of the file that could be walked."""
        self.walk: Pretend | None = None
        self._page = PROBLEMS
        self._outline: tuple[Drawn, ...] = ()
        self._seen: Signature | None = None
        self._absent = 0
        """How often in a row the file was looked for and not there."""

    def on_mount(self) -> None:
        """Show that the file is being read, and begin to follow it."""
        self.show()
        self.look()
        self.set_interval(EVERY, self.look)

    # --- following the file -----------------------------------------------------------------------

    def look(self) -> None:
        """Read the file again if it was saved; while an editor exchanges it, wait."""
        now = signature(self.path)
        if now[0] is None and self._seen is not None:
            self._absent += 1
            if self._absent == LATE and not self.walk:
                self.show_again()
            return
        if self._absent >= LATE and now == self._seen and not self.walk:
            self._absent = 0
            self.show_again()
        self._absent = 0
        if now == self._seen:
            return
        self.saves += self._seen is not None
        self._seen = now
        self._study()

    @work(thread=True, exclusive=True, group="study", exit_on_error=False)
    def _study(self) -> None:
        """Load, prove and try the file, showing each as soon as it is there."""
        wanted = self._seen
        study = studied(self.path, places.home())
        outline = drawn(study.walk) if study.walk else ()
        self.app.call_from_thread(self._found, wanted, study, outline)
        for more in (with_proof, with_cases):
            if study.walk is None or wanted != self._seen:
                return
            study = more(study)
            self.app.call_from_thread(self._found, wanted, study, outline)

    def _found(self, wanted: Signature, study: Study, outline: tuple[Drawn, ...]) -> None:
        """Take what a save came to, unless the file was saved again meanwhile."""
        if wanted != self._seen or not self.is_attached:
            return
        fresh = self.latest is None
        self.latest = study
        if study.walk is not None:
            self.good, self._outline = study, outline
        elif not self.walk:
            self._page = PROBLEMS
        if fresh and not study.problems:
            self._page = TREE
        if not self.walk:
            self.show_again()

    @property
    def picture(self) -> Study | None:
        """What is drawn: the file as it is, or the last state of it that could be walked."""
        if self.latest is not None and self.latest.walk is not None:
            return self.latest
        return self.good

    # --- showing ----------------------------------------------------------------------------------

    @property
    def title_words(self) -> str:
        """The bar on top: which file, how often it was saved, and whether it is gone."""
        saved = f", saved {self.saves}" if self.saves else ""
        gone = ", not there now" if self._absent >= LATE else ""
        return f"{self.path.name}{saved}{gone}"

    def show(self) -> None:
        """Show the page from its beginning, or the step of a pretend walk."""
        if self.walk:
            self._show_walk(self.walk)
            return
        self.reading = False
        self.sheet.show(self.title_words, self._parts, returns=False)
        self.ask("author", "next page")

    def show_again(self) -> None:
        """Show the same page with what has changed in it."""
        self.sheet.show_again(self.title_words, self._parts)
        self.ask("author", "next page")

    def _parts(self, width: int) -> list[Part]:
        latest, picture = self.latest, self.picture
        if latest is None:
            return [part(wrapped("The file is being read.", width))]
        rows = [part(wrapped(summary(latest), width, "bold", INDENT), rank=0)]
        if latest.walk is None and picture is not None and self._page != PROBLEMS:
            words = "As it was before the last save; p shows what is wrong with it now."
            rows.append(part(wrapped(words, width, "", INDENT), rank=0))
        if self._page == TREE and picture is not None:
            return [*rows, *(part(_drawn(one, width)) for one in self._outline)]
        rows += [part(wrapped(line, width, "", INDENT)) for line in self._lines(latest, picture)]
        return [*rows, part(wrapped(HINT, width, "$quiet", INDENT), (), rank=9)]

    def _lines(self, latest: Study, picture: Study | None) -> Sequence[str]:
        if self._page == FINDINGS:
            return findings_page(picture or latest)
        if self._page == COSTS:
            return costs_page(picture or latest)
        return problems_page(latest)

    def _show_walk(self, walk: Pretend) -> None:
        """Show a step of a pretend walk, as it is said line by line."""
        self.reading = False
        if _asks_at_length(walk):
            lines: Sequence[str] = walk.lines
        elif walk.ended:
            lines = ("The walk is at its end.", f"End: {walk.view.state.end}.")
        else:
            lines = prompt_page(walk.prompt, walk.now)
        self.sheet.show("PRETEND WALK, nothing is kept", partial(_plain, tuple(lines)))
        self.ask("Enter or l" if walk.ended else walk.wanted)

    # --- taking -----------------------------------------------------------------------------------

    def take(self, text: str) -> None:
        """Take a line: a page's letter, a step to walk, or a line of the pretend walk."""
        if self.walk:
            self._walk_on(self.walk, text)
            return
        said = text.strip()
        letter, _, rest = said.partition(" ")
        if said in PAGES:
            self._page = said
            self._taken()
        elif said == "b":
            self.entry.clear()
            self.change_theme()
        elif said == "l":
            self.dismiss(None)
        elif letter == WALK or said.isdigit():
            self._walk_to(rest.strip() if letter == WALK else said, text)
        elif not said:
            every = list(PAGES)
            self._page = every[(every.index(self._page) + 1) % len(every)]
            self._taken()
        else:
            self.refuse(text, ("", "^", HINT))

    def _taken(self) -> None:
        self.entry.clear()
        self.say()
        self.show()

    def _walk_to(self, word: str, text: str) -> None:
        """Begin a pretend walk, at a step named or numbered, or at the beginning."""
        good = self.picture
        if good is None or good.walk is None:
            self.refuse(text, ("", "^", "It cannot be walked before its problems are mended."))
            return
        names = {one.number: one.name for one in self._outline if one.number}
        step = names.get(word, word)
        if step and step not in good.walk.tree.steps:
            self.refuse(text, ("", "^", f"There is no step {word}; t shows them."))
            return
        first = not step or step == good.walk.tree.start
        self.walk, case = (pretend(good.walk), "") if first else pretend_to(good, step)
        said = () if first else (f"Answered as in the case '{case}' up to here.",)
        if not first and not case:
            why = (
                "The cases are still being walked" if good.reached is None else "No case answers it"
            )
            said = (f"{why}, so the walk is at its beginning.",)
        self.entry.clear()
        self.say(said)
        self.show()

    def _walk_on(self, walk: Pretend, text: str) -> None:
        if walk.ended:
            self._walk_left()
            return
        after = walk.entered(text)
        if after.left or text.strip() == "l":
            self._walk_left()
            return
        self.walk = after
        if after.refused:
            self.refuse(text, after.refused)
            return
        self.entry.clear()
        self.say(() if _asks_at_length(after) else after.lines)
        self.show()

    def _walk_left(self) -> None:
        self.walk = None
        self._taken()

    def pick(self, number: str) -> None:
        """Put a tapped number of a walk on the entry line; a step of the tree is walked at once."""
        if self.walk:
            super().pick(number)
        else:
            self.enter(number)

    def leave(self) -> bool:
        """Leave the pretend walk, or the screen."""
        if self.walk:
            self._walk_left()
        else:
            self.dismiss(None)
        return True


def _asks_at_length(walk: Pretend) -> bool:
    """Return whether a question beside the step takes more room than is below the entry line."""
    return bool(walk.talk.mode) and len(walk.lines) > BELOW


def _drawn(one: Drawn, width: int) -> tuple[Content, ...]:
    """Return a step in rows: a tap on its first row walks it."""
    first = wrapped(f"{one.number} {one.heading}".strip(), width, "bold", INDENT)
    if one.number:
        first = tuple(picking(row, one.number) for row in first)
    about = wrapped(f"{INDENT}{one.about}", width, "$quiet", INDENT * 2) if one.about else ()
    ways = [row for way in one.ways for row in wrapped(f"{INDENT}{way}", width, "", INDENT * 2)]
    return (*first, *about, *ways)


def _plain(lines: tuple[str, ...], width: int) -> list[Part]:
    rows = []
    for line in lines:
        found = wrapped(line, width, "", INDENT)
        number = line.split(maxsplit=1)[0] if line.startswith(INDENT) else ""
        if number.isdigit():
            found = tuple(picking(row, number) for row in found)
        rows.append(part(found))
    return rows
