"""What the artist wishes of what they bring in, and what became of every file of it."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the artist says of everything in one bringing-in."""

    role: str | None = None
    """What everything is to be, also what is known already as something else."""
    new_role: str | None = None
    """What is to become of files that are new; without it, judged from the picture."""
    title: str | None = None
    tags: tuple[str, ...] = ()
    job: str | None = None
    removed: bool = False
    """Whether what was removed for good is to be brought in again."""
    as_it_is: bool = False
    """Whether photographs of pages stay photographs, and printed paper stays printed."""

    @property
    def role_known(self) -> bool:
        """Whether nobody asks if it is a sheet or one drawing."""
        return (self.role or self.new_role) is not None

    @property
    def may_be_page(self) -> bool:
        """Whether a page is looked for in a picture: references and backdrops stay as they were taken."""
        return not self.as_it_is and (self.role or self.new_role) in (None, "element", "sheet")


@dataclass(frozen=True, slots=True)
class Added:
    """A drawing that is new in the library."""

    code: str
    title: str
    role: str
    source: str
    page: tuple[str, ...] = ()
    """What was done to the picture to make it a flat page, in words."""
    doubt: str | None = None
    """Why it may be something else than its role says, where that is not sure."""
    mend: str | None = None
    """The command that makes it the other thing."""
    keep: str | None = None
    """The command that says it is what it was taken for, once it has a code."""


@dataclass(frozen=True, slots=True)
class Known:
    """A file whose bytes or pixels the library has already, and what it has."""

    code: str
    source: str
    how: str


@dataclass(frozen=True, slots=True)
class Failed:
    """A file that was not brought in, and why."""

    source: str
    reason: str


Outcome = Added | Known | Failed


@dataclass(slots=True)
class Report:
    """What became of every file of a bringing-in, in the order in which they were named."""

    added: list[Added] = field(default_factory=list)
    known: list[Known] = field(default_factory=list)
    failed: list[Failed] = field(default_factory=list)

    def note(self, outcome: Outcome) -> None:
        """Put an outcome where it belongs."""
        match outcome:
            case Added():
                self.added.append(outcome)
            case Known():
                self.known.append(outcome)
            case Failed():
                self.failed.append(outcome)
