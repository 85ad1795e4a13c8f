"""What the window looks like, named once: colours, spacing, radii, type."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, IntEnum

from analysis.values.run import Side


class Space(IntEnum):
    """Distances in device-independent pixels."""

    HAIR = 2
    TIGHT = 4
    SMALL = 6
    BASE = 8
    WIDE = 12
    SECTION = 16
    PAGE = 24


class Radius(IntEnum):
    """Rounding of corners in device-independent pixels."""

    MARK = 2
    CONTROL = 5
    PANEL = 8


class Type(Enum):
    """Sizes of text as shares of the base font, so that all grow together up to 200 %."""

    CAPTION = 0.86
    BODY = 1.0
    HEADING = 1.12
    FIGURE = 1.45  # a number that answers a question by itself


BASE_POINT_SIZE = 10.0
"""Size of body text in points at a scale of 1."""

TARGET_PX = 24
"""Least height and width of what a pointer has to hit (WCAG 2.2, 2.5.8)."""

FOCUS_PX = 2
"""Thickness of the ring round what has the keyboard."""


@dataclass(frozen=True)
class SideColours:
    """One foot's colours: ``fill`` of marks, ``on_fill`` for text upon it, ``text`` upon a surface."""

    fill: str
    on_fill: str
    text: str


@dataclass(frozen=True)
class Theme:
    """All colours, written ``#RRGGBB``.

    Attributes:
        window: behind everything.
        surface: panels that hold numbers.
        raised: bars and buttons.
        sunken: tracks and fields that lie lower than the surface.
        hover, pressed, selection: states of what lies on a surface.
        border: parts panels; for looks only.
        faint: what can't be used now.
        outline: edge of a control, to be seen (3:1).
        text, muted: words and numbers; muted for what supports them.
        accent, on_accent: the one accent, and text upon it.
        focus: ring round what has the keyboard.
        warning, error: words and marks, never the only carrier of their meaning.
        playhead: the line that says where the film is.
        left, right: the athlete's own sides.
        upper, lower: of two runs, what is told apart; where nothing is, both are muted.
        backdrop: round the film, dark in every theme so that the picture sets the eye.
        halo_dark, halo_light: the two tones round marks on a picture, one of which always shows.

    """

    name: str
    dark: bool
    window: str
    surface: str
    raised: str
    sunken: str
    hover: str
    pressed: str
    selection: str
    border: str
    faint: str
    outline: str
    text: str
    muted: str
    accent: str
    on_accent: str
    focus: str
    warning: str
    error: str
    playhead: str
    left: SideColours
    right: SideColours
    upper: str
    lower: str
    backdrop: str = "#15181B"
    halo_dark: str = "#000000"
    halo_light: str = "#FFFFFF"

    def side(self, side: Side) -> SideColours:
        """The colours of one foot."""
        return self.left if side is Side.LEFT else self.right


# Sides from the palette of Okabe and Ito (2008): vermilion or orange for left, blue or sky blue for right.
# Two runs in reddish purple and bluish green of the same palette.
# The accent is violet, since it has to differ from both under every kind of colour vision.
LIGHT = Theme(
    name="light",
    dark=False,
    window="#EBEEF1",
    surface="#FFFFFF",
    raised="#F6F8F9",
    sunken="#E6EAEE",
    hover="#E9ECF2",
    pressed="#DDE2E9",
    selection="#E6E3F6",
    border="#D3DAE0",
    faint="#A9B2BB",
    outline="#6F7B87",
    text="#18222C",
    muted="#505D6A",
    accent="#5B45A8",
    on_accent="#FFFFFF",
    focus="#5B45A8",
    warning="#7F5200",
    error="#AD1F1A",
    playhead="#18222C",
    left=SideColours(fill="#D55E00", on_fill="#000000", text="#9E4600"),
    right=SideColours(fill="#0072B2", on_fill="#FFFFFF", text="#00609A"),
    upper="#A33B7C",
    lower="#00735A",
)

DARK = Theme(
    name="dark",
    dark=True,
    window="#13171B",
    surface="#1B2026",
    raised="#232A31",
    sunken="#12161A",
    hover="#2A323A",
    pressed="#333C46",
    selection="#352F52",
    border="#313A44",
    faint="#57626D",
    outline="#7F8C99",
    text="#E6EBF0",
    muted="#A6B2BE",
    accent="#B7A6F2",
    on_accent="#17122B",
    focus="#B7A6F2",
    warning="#F0C35E",
    error="#FF948B",
    playhead="#F4F7FA",
    left=SideColours(fill="#E69F00", on_fill="#000000", text="#F0AE1F"),
    right=SideColours(fill="#56B4E9", on_fill="#000000", text="#72C2EF"),
    upper="#E59AC8",
    lower="#35C79A",
)

THEMES = (LIGHT, DARK)
