"""What a picture can be in a library."""

from __future__ import annotations

from enum import StrEnum


class Role(StrEnum):
    """What a picture is kept as."""

    ELEMENT = "element"
    SHEET = "sheet"
    REFERENCE = "reference"
    BACKDROP = "backdrop"
    FRAME = "frame"
    """A frame of a job as it was delivered; never an element."""


ROLES = tuple(role.value for role in Role)

DRAWN = (Role.ELEMENT.value, Role.SHEET.value, Role.BACKDROP.value)
"""What is looked for and compared unless asked otherwise: references are somebody else's pictures,
and delivered frames are made of what is there already."""
