"""What a shot needs: one thing to be drawn, or the place it is drawn in."""

from __future__ import annotations

from dataclasses import dataclass

from assetlib.rules.shots import things
from assetlib.rules.shots.things import Thing

Facets = dict[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Need:
    """One thing that has to be drawn, or the place it is drawn in."""

    text: str
    kind: str
    """*main*, *beside* (stands by itself next to the main one) or *place*."""
    head: str = ""
    """Key of the thing itself; empty where the line names none that is known, and for set-ups of the camera."""
    parts: tuple[Thing, ...] = ()
    """What else the same drawing shows: the tray that the baker holds."""
    doing: frozenset[str] = frozenset()
    """Stems of the words that say what it does or is like."""
    facets: Facets | None = None
    made_of: frozenset[str] = frozenset()
    """Texts of parts without which it is something else: the cheese of a *wheel of cheese*."""
    called: str = ""
    """The thing with what it holds, as the line names it: *baker w/ bread*."""
    asked: str = ""
    """The words of the line that finding is asked with, grammar and all."""

    @property
    def name(self) -> str:
        """In few words what is to be drawn."""
        return self.called or self.text

    @property
    def is_scene(self) -> bool:
        """Whether it is drawn behind, as a backdrop is: a place, or a shot of nothing but one."""
        return self.kind == "place" or things.is_place(self.head)
