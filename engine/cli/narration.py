"""What is told beside the data, folded so that a narrow terminal breaks no word.

Owns `Narration`. Every command writes whole sentences, a line each; where they go to a terminal
they are folded here, in one place. A file or another program gets them as they are.
"""

from __future__ import annotations

import io
from typing import TextIO

from engine.cli.width import columns, folded


class Narration(io.TextIOBase):
    """A terminal to write sentences to."""

    def __init__(self, terminal: TextIO) -> None:
        """Write to a terminal, asking for its width each time: windows are resized."""
        self._terminal = terminal

    def write(self, text: str) -> int:
        """Write text with its long lines folded; what is drawn over in its place stays whole."""
        if "\r" in text:
            return self._terminal.write(text)
        width = columns(self._terminal)
        lines = text.splitlines(keepends=True)
        self._terminal.write("".join(_whole(line, width) for line in lines))
        return len(text)

    def flush(self) -> None:
        """Send on what was written."""
        self._terminal.flush()

    def isatty(self) -> bool:
        """Return True: it is one."""
        return True

    def fileno(self) -> int:
        """Return the terminal's own number; raises OSError where it has none."""
        return self._terminal.fileno()


def _whole(line: str, width: int) -> str:
    """Return a line folded, its end as it was; one that fits is left as it is."""
    text = line.rstrip("\n")
    return line if len(text) <= width else "\n".join(folded(text, width)) + line[len(text) :]
