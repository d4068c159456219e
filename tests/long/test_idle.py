"""A screen that nobody touches takes next to nothing of the processor, whatever it shows.

Every screen is opened in a terminal of its own, all at the same time, and left alone. Counted is
what the kernel says that each process has had (``/proc``, so on Linux only): less than 0.5 s in a
minute, measured over a third of one.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from select import select
from subprocess import Popen

import pytest

from tests.tui.site import TO_THE_CAPACITOR, TO_THE_LOCK, TO_THE_WAIT, TREE

pytestmark = [
    pytest.mark.skipif(
        not sys.platform.startswith("linux"), reason="what a process has had is read from /proc"
    ),
    pytest.mark.xdist_group("idle"),
]

ROOT = Path(__file__).parents[2]
SECONDS = 20.0
MOST = 0.5 * SECONDS / 60
"""Seconds of processor in that time."""
QUIET = 1.5
"""Seconds without output after which a screen has shown all it had to."""
PATIENCE = 60.0
SIZE = (100, 30)

BEGIN = ("Public library", "RTU-1", "it hums", "")
WALK = ("walk", str(TREE), "--by", "Ann Lee")


@dataclass(frozen=True)
class Screen:
    """A screen: how it is opened, what is typed, and a word that stands on it then."""

    arguments: tuple[str, ...]
    lines: tuple[str, ...]
    shows: str


def walk(*lines: str) -> tuple[str, ...]:
    """Return the lines of a walk in a job just begun."""
    return (*BEGIN, *lines)


SCREENS = {
    "first": Screen((), (), "which?"),
    "figures": Screen((), ("v",), "Supply"),
    "figure asked": Screen((), ("v", "coil"), "coil"),
    "figure answered": Screen((), ("v", "coil", "20", "24", "", ""), "verdict"),
    "questions": Screen(WALK, (), "trained"),
    "choice": Screen(WALK, walk(), "often"),
    "page": Screen(WALK, walk("m"), "Everything"),
    "wait": Screen(WALK, walk(*TO_THE_WAIT), "wait"),
    "nameplate": Screen(WALK, walk(*TO_THE_WAIT, "over", "1"), "capacitor"),
    "sun": Screen(WALK, walk(*TO_THE_LOCK, "b"), "capacitor"),
    "reading": Screen(WALK, walk(*TO_THE_CAPACITOR), "HERM"),
    "verdict": Screen(WALK, walk(*TO_THE_CAPACITOR, "41.2"), "weak"),
    "STOP": Screen(WALK, walk("x", "1"), "outside"),
    "leaving": Screen(WALK, walk("1", "l"), "Before you go"),
    "end": Screen(WALK, walk("1", "2", "", "1"), "withdrawn"),
}


@dataclass
class Terminal:
    """A process that draws on a terminal of its own, and all that it has drawn."""

    process: Popen[bytes]
    end: int
    drawn: bytearray = field(default_factory=bytearray)
    last: float = field(default_factory=time.monotonic)

    def read(self) -> None:
        """Take what was drawn since."""
        with suppress(OSError):
            self.drawn += os.read(self.end, 1 << 16)
            self.last = time.monotonic()

    def enter(self, line: str) -> None:
        """Type a line."""
        os.write(self.end, line.encode() + b"\r")
        self.last = time.monotonic()

    def had(self) -> float:
        """Return the seconds of processor that the process has had, its threads together."""
        stat = Path(f"/proc/{self.process.pid}/stat").read_text(encoding="utf-8")
        user, system = stat.rpartition(")")[2].split()[11:13]
        return (int(user) + int(system)) / os.sysconf("SC_CLK_TCK")


@contextmanager
def opened(screen: Screen, home: Path) -> Iterator[Terminal]:
    """Open a screen in a terminal, and end the process after it."""
    import fcntl
    import pty
    import struct
    import termios

    end, side = pty.openpty()
    fcntl.ioctl(side, termios.TIOCSWINSZ, struct.pack("HHHH", SIZE[1], SIZE[0], 0, 0))
    process = Popen(
        [sys.executable, "-m", "tui", *screen.arguments],
        stdin=side,
        stdout=side,
        stderr=side,
        cwd=ROOT,
        env={**os.environ, "HALFSPLIT_HOME": str(home), "TERM": "xterm-256color"},
        start_new_session=True,
    )
    os.close(side)
    try:
        yield Terminal(process, end)
    finally:
        process.kill()
        process.wait()
        os.close(end)


def draw(terminals: list[Terminal], seconds: float) -> None:
    """Let all of them draw for a while."""
    until = time.monotonic() + seconds
    by_end = {one.end: one for one in terminals}
    while (left := until - time.monotonic()) > 0:
        for end in select(list(by_end), [], [], left)[0]:
            by_end[end].read()


def settle(terminals: list[Terminal], first: bytes = b"") -> None:
    """Wait until every one of them has drawn something and is quiet; a countdown never is."""
    until = time.monotonic() + PATIENCE
    waits = list(terminals)
    while waits and time.monotonic() < until:
        draw(terminals, 0.1)
        now = time.monotonic()
        waits = [one for one in waits if now - one.last < QUIET or first not in one.drawn]


@pytest.fixture(scope="module")
def figures(tmp_path_factory: pytest.TempPathFactory) -> dict[str, float]:
    """Return screen → seconds of processor while nobody touched it."""
    homes = tmp_path_factory.mktemp("homes")
    with ExitStack() as stack:
        terminals = {
            name: stack.enter_context(opened(screen, homes / name.replace(" ", "-")))
            for name, screen in SCREENS.items()
        }
        every = list(terminals.values())
        settle(every, b">")
        for turn in range(max(len(one.lines) for one in SCREENS.values())):
            typing = [one for one in SCREENS if turn < len(SCREENS[one].lines)]
            for name in typing:
                terminals[name].enter(SCREENS[name].lines[turn])
            draw(every, QUIET)
            settle([terminals[name] for name in typing if name != "wait"])
        draw(every, 3)
        for name, one in terminals.items():
            assert one.process.poll() is None, f"{name} has ended"
            assert SCREENS[name].shows.encode() in one.drawn[-20_000:], f"{name} is not shown"
        before = {name: one.had() for name, one in terminals.items()}
        draw(every, SECONDS)
        return {name: one.had() - before[name] for name, one in terminals.items()}


@pytest.mark.parametrize("name", SCREENS)
def test_a_screen_left_alone_takes_next_to_nothing(name: str, figures: dict[str, float]) -> None:
    print(f"{name}: {figures[name] * 60 / SECONDS:.2f} s in a minute")
    assert figures[name] < MOST
