"""Names of files and folders that every system takes, and that stay where they are put."""

from __future__ import annotations

import re
import unicodedata

_LONGEST = 40
"""Letters of a site or unit that stand in a folder's name."""
_FORBIDDEN = frozenset('<>:"\\|?*')
_RESERVED = frozenset(
    {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}
)
"""Names that Windows keeps for its devices, whatever their ending."""


def slug(text: str) -> str:
    """Return text as a part of a name: small letters, digits, hyphens; empty if none is left."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii")
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:_LONGEST].strip("-")


def is_plain_name(name: str) -> bool:
    """Tell whether a relative name (``photos/012-plate.jpg``) is good on every system.

    It stays inside its folder, has no drive, no part that a system reads in a way of its own, and
    nothing in it that can't be seen.
    """
    parts = name.split("/")
    return len(name) <= 200 and len(parts) <= 8 and all(_is_plain_part(part) for part in parts)


def _is_plain_part(part: str) -> bool:
    if not part.isprintable() or _FORBIDDEN & set(part):
        return False
    if not part or part[-1] in ". " or part[0] == " ":
        return False
    return part.split(".")[0].strip().casefold() not in _RESERVED
