"""Chance that can be told again: a number for every key, whatever else is drawn.

Owns a counter-based generator: the bits follow from seed, fault, variation and the name of what is
drawn, so a row never depends on the batch it is in. The mixer is SplitMix64's finaliser (Steele,
Lea and Flood, 2014, constants from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from hashlib import sha256

import numpy as np
from numpy.typing import NDArray

Keys = NDArray[np.uint64]

_STEP = np.uint64(0x9E3779B97F4A7C15)
_FIRST = np.uint64(0xBF58476D1CE4E5B9)
_SECOND = np.uint64(0x94D049BB133111EB)


def mixed(keys: Keys) -> Keys:
    """Return keys with every bit depending on every bit."""
    with np.errstate(over="ignore"):
        keys = keys + _STEP
        keys = (keys ^ (keys >> np.uint64(30))) * _FIRST
        keys = (keys ^ (keys >> np.uint64(27))) * _SECOND
        return keys ^ (keys >> np.uint64(31))


@lru_cache(maxsize=65536)
def key_of(name: str) -> int:
    """Return 64 bits of a name, the same on every machine."""
    return int.from_bytes(sha256(name.encode("utf-8")).digest()[:8], "little")


def row_keys(seed: int, names: Sequence[str], variations: Sequence[int]) -> Keys:
    """Return one key a row, [rows]."""
    named = np.array([key_of(name) for name in names], dtype=np.uint64)
    counted = np.array(variations, dtype=np.uint64)
    start = np.array([key_of(f"seed {seed}")], dtype=np.uint64)
    return mixed(mixed(mixed(start) ^ named) ^ counted)


def drawn(rows: Keys, names: Sequence[str]) -> NDArray[np.float64]:
    """Return numbers from -1 to 1, evenly spread, [names, rows]."""
    named = np.array([key_of(name) for name in names], dtype=np.uint64)
    bits = mixed(mixed(rows)[None, :] ^ named[:, None])
    return (bits >> np.uint64(11)).astype(np.float64) * 2.0**-52 - 1.0
