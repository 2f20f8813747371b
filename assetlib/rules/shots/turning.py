"""Whether a drawing is to be turned so that it goes as a line says."""

from __future__ import annotations

from assetlib.rules.shots.drawings import Drawing
from assetlib.rules.shots.figures import Facets

SIDEWAYS = frozenset(("left to right", "right to left"))

TURNED, GUARDED, UNKNOWN = "turned", "guarded", "unknown"

TOLD = {
    TURNED: "mirrored, so that it goes as the line says",
    GUARDED: "goes the other way than the line says, and is marked not to be mirrored",
    UNKNOWN: "see which way it faces: the line says a side, and of the drawing none is known",
}
"""What is said of each."""


def turning(said: Facets, drawing: Drawing) -> str:
    """TURNED, GUARDED or UNKNOWN for what a line says of screen direction; empty where nothing is to be done."""
    asked = {*said.get("screen_direction", ())} & SIDEWAYS
    if len(asked) != 1:
        return ""
    known = {*drawing.said.get("screen_direction", ())} & SIDEWAYS
    if not known:
        return UNKNOWN
    if asked & known:
        return ""
    return GUARDED if drawing.said.get("mirror") else TURNED
