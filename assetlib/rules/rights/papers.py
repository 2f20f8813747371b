"""Which kind of paper is for what: what each says, and the answers that it makes clear.

What a paper says, in the words of the clearance table; common copyright practice, no source.
"""

from __future__ import annotations

import difflib

from assetlib.errors import WrongUsage
from assetlib.rules.rights.clearance import PaperKind, asking_for

SAYS = {
    PaperKind.RESALE_PERMISSION: "The owner of a picture, brand or work allows that it is redrawn and sold.",
    PaperKind.RESALE_LICENCE: "A licence text, with source and date, that allows derivatives and resale.",
    PaperKind.PUBLIC_DOMAIN_PROOF: "Where a picture comes from, and why nobody has rights in it any more.",
    PaperKind.COMPARISON: "A side-by-side note of what was taken from a picture, seen by a second person.",
    PaperKind.AGREEMENT: "A clause of a job's agreement that leaves or gives you the right to sell.",
    PaperKind.CONSENT: "A client, employer or co-author agrees in writing that you sell it.",
    PaperKind.EXCLUSIVITY_ENDED: "An exclusive licence has ended.",
    PaperKind.MODEL_RELEASE: "A person who can be recognised, or a guardian, allows it.",
    PaperKind.PROPERTY_RELEASE: "The owner of a house, a product or another thing shown allows it.",
    PaperKind.LAWYER_NOTE: "Somebody who knows local law says that no release is needed.",
    PaperKind.LIMITED: "It allows something within limits, which are not weighed here: it makes nothing clear.",
}

_SPOKEN = {
    "permission": PaperKind.RESALE_PERMISSION, "licence": PaperKind.RESALE_LICENCE,
    "license": PaperKind.RESALE_LICENCE, "contract": PaperKind.AGREEMENT, "release": PaperKind.MODEL_RELEASE,
    "person": PaperKind.MODEL_RELEASE, "portrait": PaperKind.MODEL_RELEASE,
}  # fmt: skip
"""What people say for kinds; own, no source. It is only asked back, never taken."""


def is_for(kind: PaperKind) -> tuple[str, ...]:
    """The answers that a paper of this kind makes clear, as they are written on the line."""
    return tuple(f"{rule.question.option} {rule.value.replace('-', ' ')}" for rule in asking_for(kind))


def kind_named(text: str) -> PaperKind:
    """The kind of paper that is meant, spaces or hyphens alike. Raises WrongUsage telling which is for what."""
    name = "-".join(text.strip().lower().replace("_", "-").split())
    if name in list(PaperKind):
        return PaperKind(name)
    near = [kind for kind in PaperKind if name and name in kind.value.split("-")]
    near += [PaperKind(kind) for kind in difflib.get_close_matches(name, list(PaperKind), n=1, cutoff=0.6)]
    meant = _SPOKEN.get(name) or next(iter(near), None)
    guess = f"did you mean {meant.value}? " if meant else ""
    rows = "; ".join(
        f"{kind.value} for {', '.join(is_for(kind)) or 'nothing by itself'}" for kind in PaperKind
    )
    raise WrongUsage(f"'{text}' is no kind of paper", f"{guess}`assetlib release kinds` shows them: {rows}")
