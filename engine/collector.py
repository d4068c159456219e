"""The cyclic collector of the interpreter, paused while much is built that has no cycles.

The collector looks through all that is kept, again and again as it grows, and of a tree, a proof or
a walk finds nothing to free. Whatever is paused here is on again afterwards, however it ended.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def paused() -> Iterator[None]:
    """Pause the cyclic collector; nothing changes where it is paused already."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
