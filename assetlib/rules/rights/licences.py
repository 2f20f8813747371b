"""The terms a collection is sold under: four tiers, each one plain text with three blanks.

The wording is this project's own. A licence id names one wording for ever: a
changed text gets the next number, and the old one stays here for bundles issued
under it. From wording 2 on the text speaks of drawings that come twice.
"""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from assetlib.errors import WrongUsage
from assetlib.rules.wording import NO_LEGAL_ADVICE, one_line

WORDING = 2
"""The wording that new bundles are issued under."""
LINE_WIDTH = 76
"""Characters; fits a terminal and a printed page."""


class Tier(StrEnum):
    """Who may use the drawings, and for what."""

    ONE_ARTIST = "one artist"
    ONE_STUDIO = "one studio"
    WHOLE_CAMPAIGN = "whole campaign"
    SAMPLE = "sample"


@dataclass(frozen=True)
class Terms:
    """What differs from tier to tier. `label` is an SPDX LicenseRef label without the number of its wording."""

    label: str
    in_short: str
    who: str
    may: str


_FINISHED_WORK = (
    "You may cut, mirror, recolour and change the drawings, put them into boards, animatics, pitches and "
    "other finished work of yours, and show, print, send, publish and sell that work"
)

_TERMS = {
    Tier.ONE_ARTIST: Terms(
        "LicenseRef-Assetlib-One-Artist",
        "One named person uses the drawings in as much finished work as they like.",
        'The drawings may be used by one person: the one they were sold to ("you"), on any number of your '
        "own machines. Whoever works with you and wants to use them needs a licence of their own.",
        f"{_FINISHED_WORK}, on any number of jobs, anywhere, without an end date.",
    ),
    Tier.ONE_STUDIO: Terms(
        "LicenseRef-Assetlib-One-Studio",
        "Everybody in one studio uses the drawings in as much finished work as they like.",
        'The drawings may be used by the one studio they were sold to ("you"): everybody who works for it, '
        "employed or freelance, while they work on its jobs. Sister companies and clients need a licence of "
        "their own.",
        f"{_FINISHED_WORK}, on any number of jobs, anywhere, without an end date.",
    ),
    Tier.WHOLE_CAMPAIGN: Terms(
        "LicenseRef-Assetlib-Whole-Campaign",
        "Everybody on one campaign uses the drawings for that campaign.",
        'The drawings may be used by everybody who works on the one campaign named on the invoice ("you"): '
        "artists, studio, production company, agency and client.",
        f"{_FINISHED_WORK}, for that campaign, anywhere. Work finished during the campaign may stay in use "
        "afterwards; nothing new is made from the drawings then.",
    ),
    Tier.SAMPLE: Terms(
        "LicenseRef-Assetlib-Sample",
        "Look and try; not for work that is published, delivered or paid for.",
        'The drawings may be used by whoever was given this sample ("you").',
        "You may look at the drawings and try them in frames that you show only inside your own house. For "
        "work that is published, delivered or paid for you need one of the other licences.",
    ),
}

_LAYOUT = """\
{title}
Licence: {tier} ({licence_id})
Licensor: {licensor}
Issued: {issued}

In short: {in_short}

1. What this is. {licensor} keeps the copyright in the drawings of "{title}". You get the right to use \
them as written here; you do not get the drawings themselves to own.{twice}

2. Who. {who}

3. What you may do. {may} You may keep copies for safety.

4. What you may not do. You may not pass on, sell or publish the drawings by themselves, in a library, a \
template or any form made for taking them out again; layered working files go only to people working on \
the same job, together with this text. You may not say that you drew them, make a trademark of them, use \
them against the law or against a person, or use them to train, tune or feed a machine-learning model.

5. Credit. You need not name {licensor}; it is welcome.

6. What is promised. {licensor} has stated where each drawing comes from and that it may be licensed in \
this way. Beyond that, and as far as the law allows, the drawings come as they are, without any promise.

7. The end. Whoever breaks these terms loses the licence and removes the drawings. Work that was finished \
within the terms may stay.

8. Note. This text is meant to be understood. {no_legal_advice}
"""


_TWICE = {
    1: "",
    2: " Each drawing comes twice, with its body to lay over a picture and as its ink alone; the two are one "
    "drawing under these terms.",
}
"""What a wording says of the two pictures of a drawing, by its number."""


def licence_id(tier: Tier, wording: int = WORDING) -> str:
    """The stable name of a wording of the tier, as written into bundles."""
    return f"{_TERMS[tier].label}-{wording}"


def in_short(tier: Tier) -> str:
    """The tier in one sentence, for tables and screens."""
    return _TERMS[tier].in_short


def render(tier: Tier, licensor: str, title: str, issued: date, wording: int = WORDING) -> str:
    """The licence text with its blanks filled, wrapped, lines ending in LF.

    An older `wording` gives the text of bundles issued under it.
    `WrongUsage` when a blank would stay empty.
    """
    terms = _TERMS[tier]
    text = _LAYOUT.format(
        title=_filled(title, "a title"),
        tier=tier.value,
        licensor=_filled(licensor, "the name of whoever grants it"),
        issued=issued.isoformat(),
        no_legal_advice=NO_LEGAL_ADVICE,
        licence_id=licence_id(tier, wording),
        twice=_TWICE[wording],
        in_short=terms.in_short,
        who=terms.who,
        may=terms.may,
    )
    return "\n".join(_wrap(line) for line in text.split("\n"))


def _filled(text: str, what: str) -> str:
    line = one_line(text)
    if not line:
        raise WrongUsage(f"A licence needs {what}.")
    return line


def _wrap(line: str) -> str:
    return textwrap.fill(line, LINE_WIDTH, break_long_words=False, break_on_hyphens=False)
