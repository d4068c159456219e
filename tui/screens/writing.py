"""*Write a tree*: which of the shop's own trees is being written, or the path of its file."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from engine.loader.heads import Head
from tui.screens.entry_screen import BACK, EntryScreen
from tui.widgets.fitting import INDENT, Part, part, picking, wrapped

BEGINS = "halfsplit new tree begins one by asking; here its file is followed while you write it."


class WritingScreen(EntryScreen[None]):
    """Lists the shop's own trees; the one picked is followed, then this is left."""

    def __init__(self, heads: Iterable[Head]) -> None:
        super().__init__()
        self._own = tuple(head for head in heads if not head.shipped)

    def on_mount(self) -> None:
        """Show the trees."""
        self.show()

    def show(self) -> None:
        """Show what can be picked."""
        self.lay("Write a tree", self._parts)
        self.ask("which, or a file's path?", BACK)

    def _parts(self, width: int) -> list[Part]:
        rows = [part(wrapped(BEGINS, width, "", INDENT), rank=0)]
        for number, head in enumerate(self._own, 1):
            row = wrapped(f"{number} {head.title}", width, "bold", INDENT)
            rows.append(part(tuple(picking(one, str(number)) for one in row), rank=1))
        if not self._own:
            rows.append(part(wrapped("There is no tree of your own yet.", width, "", INDENT)))
        return rows

    def take(self, text: str) -> None:
        """Take a number or a path; Enter alone goes back."""
        said = text.strip()
        if said in ("", "l"):
            self.dismiss(None)
        elif said == "b":
            self.entry.clear()
            self.change_theme()
        elif said.isdigit() and 1 <= int(said) <= len(self._own):
            self._follow(Path(self._own[int(said) - 1].path))
        elif Path(said).expanduser().is_file():
            self._follow(Path(said).expanduser())
        else:
            numbers = f"1 to {len(self._own)}, or " if self._own else ""
            self.refuse(text, ("", "^", f"There is no such file. {numbers}the path of a file."))

    def _follow(self, path: Path) -> None:
        # What a tree is loaded and proved with is read when one is picked.
        from tui.screens.author import AuthorScreen

        self.app.switch_screen(AuthorScreen(path))

    def leave(self) -> bool:
        """Go back."""
        self.dismiss(None)
        return True
