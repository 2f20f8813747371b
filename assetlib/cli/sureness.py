"""What is to be looked at: clean copies, and pictures that may be something else than they were taken for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from assetlib.cli.wording import plural

if TYPE_CHECKING:
    from assetlib.services.bringing.clean_copies import Unsure
    from assetlib.services.bringing.role_doubts import RoleDoubt

NAMED_AT_MOST = 3
"""Drawings named in the line; the rest are counted."""


def unsure_document(unsure: Iterable[Unsure]) -> list[dict[str, Any]]:
    """The same for programs."""
    return [{"code": u.code, "title": u.title, "sure": u.sure, "sure_why": list(u.why)} for u in unsure]


def doubt_document(doubt: RoleDoubt) -> dict[str, str]:
    """What a picture may be, for programs."""
    return {"code": doubt.code, "doubt": doubt.doubt, "mend": doubt.mend, "keep": doubt.keep}


def told_unsure(unsure: Sequence[Unsure]) -> list[str]:
    """A line for what is to be looked at and one for what has no clean copy yet; none where all are sure."""
    made = [one for one in unsure if one.sure is not None]
    lines = []
    if made:
        named = "; ".join(f"{u.code} {u.title} ({', '.join(u.why) or u.sure})" for u in made[:NAMED_AT_MOST])
        more = f"; and {len(made) - NAMED_AT_MOST} more" if len(made) > NAMED_AT_MOST else ""
        lines.append(f"look at {plural(len(made), 'clean copy', 'clean copies')}: {named}{more}")
    if len(unsure) > len(made):
        waiting = plural(len(unsure) - len(made), "clean copy is", "clean copies are")
        lines.append(f"{waiting} not made yet, so not judged: assetlib upkeep")
    return lines
