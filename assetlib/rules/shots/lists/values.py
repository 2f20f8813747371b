"""What a shot list is once it is read."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Shot:
    """One shot: its number as printed (or its place, counted from 1), what it says, and where it plays."""

    number: str
    text: str
    heading: str = ""
    """The scene heading that holds for it: INT or EXT, place, time; it carries down to the next one."""
    spot: str = ""
    """Letter or number of the spot (film) of a campaign that it belongs to."""

    @property
    def line(self) -> str:
        """Heading and text, as a line of a list has them."""
        return f"{self.heading} - {self.text}" if self.heading else self.text


@dataclass(frozen=True, slots=True)
class Aside:
    """A line that is no shot: heading, slate, omitted, super, voice-over, dialogue, sound, timing, transition, note."""

    kind: str
    text: str


@dataclass(frozen=True, slots=True)
class ShotList:
    """The shots in order, the numbers that were omitted, and what else stood there."""

    shots: tuple[Shot, ...]
    omitted: tuple[str, ...] = ()
    asides: tuple[Aside, ...] = ()
