"""The two themes: *indoor*, and *sun*, black on white for a roof at noon.

Each pair of colours that text is drawn in has a contrast of at least 7:1 (WCAG 2.2, success
criterion 1.4.6), which a test works out. Colour only repeats what words say.
"""

from __future__ import annotations

from textual.theme import Theme

INDOOR_NAME = "indoor"
SUN_NAME = "sun"


def _theme(name: str, *, dark: bool, text: str, ground: str, own: dict[str, str]) -> Theme:
    """Return a theme of one text colour on one ground, with the few colours that words repeat."""
    return Theme(
        name=name,
        primary=own["bar"],
        secondary=own["bar"],
        accent=own["caution"],
        warning=own["caution"],
        error=own["live"],
        success=text,
        foreground=text,
        background=ground,
        surface=ground,
        panel=ground,
        dark=dark,
        text_alpha=1.0,
        variables={
            **own,
            "input-cursor-background": text,
            "input-cursor-foreground": ground,
            "input-selection-background": own["bar"],
            "input-selection-foreground": own["bar-text"],
        },
    )


INDOOR = _theme(
    INDOOR_NAME,
    dark=True,
    text="#e6e6e6",
    ground="#121212",
    own={
        "bar": "#3a3a3a",
        "bar-text": "#ffffff",
        "quiet": "#b4b4b4",
        "live": "#ffb0a0",
        "caution": "#ffd060",
        "rule": "#808080",
    },
)

SUN = _theme(
    SUN_NAME,
    dark=False,
    text="#000000",
    ground="#ffffff",
    own={
        "bar": "#000000",
        "bar-text": "#ffffff",
        "quiet": "#303030",
        "live": "#8a0000",
        "caution": "#6b0f00",
        "rule": "#000000",
    },
)
