"""Tags: how one is written, and when two of them are the same."""

from __future__ import annotations

import unicodedata
from typing import NewType

from assetlib.errors import WrongUsage

TagName = NewType("TagName", str)

LONGEST_TAG = 80  # characters; longer texts are captions, and no table column shows them whole

# Letters that Unicode does not take apart into a base and a mark; from memory of common
# transliteration practice.
_UNDECOMPOSED = str.maketrans(
    {"ø": "o", "đ": "d", "ħ": "h", "ı": "i", "ł": "l", "ŧ": "t", "æ": "ae", "œ": "oe", "þ": "th", "ð": "d"}
)
_JOINERS = str.maketrans(dict.fromkeys("-‐‑‒–—―−_／/", " ") | dict.fromkeys("'’‘‛`´ʼ′＇", ""))
# Marks that change the letter in their script, not its accent: dakuten and handakuten.
_KEPT_MARKS = frozenset("\u3099\u309a")


def normalise_tag(text: str) -> TagName:
    """The tag as it is kept: NFC, trimmed, single spaces, capitals as typed.

    Raises WrongUsage for an empty or overlong tag and for one with control characters.
    """
    if any(unicodedata.category(c) in ("Cc", "Cs") and not c.isspace() for c in text):
        raise WrongUsage("a tag cannot hold control characters", hint="type the tag again")
    spaced = " ".join(unicodedata.normalize("NFC", text).split())
    name = spaced.strip(" ,;#\u200b\ufeff")
    if not name or not any(c.isalnum() for c in name):
        raise WrongUsage(f"'{text.strip()}' is not a tag", hint="a tag needs a letter or a figure")
    if len(name) > LONGEST_TAG:
        raise WrongUsage(
            f"the tag '{name[:20]}…' has {len(name)} characters, {LONGEST_TAG} are allowed",
            hint="use a few short tags instead",
        )
    return TagName(name)


def fold(text: str) -> str:
    """The text for comparison: casefolded, without accents, apostrophes, hyphens as spaces.

    Folding twice changes nothing. Hangul and the voiced marks of kana are kept, as they
    tell words apart.
    """
    if text.isascii():
        return _spaced(text.lower())
    spelled = unicodedata.normalize("NFKD", text).casefold().translate(_UNDECOMPOSED)
    # casefold can bring out new compositions, hence the second taking apart
    bare = "".join(c for c in unicodedata.normalize("NFKD", spelled) if _is_kept(c))
    return unicodedata.normalize("NFC", _spaced(bare))


def _spaced(text: str) -> str:
    return " ".join(text.translate(_JOINERS).split())


def _is_kept(character: str) -> bool:
    if character in _KEPT_MARKS:
        return True
    # Spacing and enclosing marks (Mc, Me) are vowels in Indic scripts; only accents (Mn) of
    # the scripts that write them as accents go.
    return not (unicodedata.combining(character) == _ABOVE or unicodedata.category(character) == "Cf") and (
        character not in _LATIN_MARKS
    )


_ABOVE = 230  # canonical combining class "above", Unicode Standard 4.3
_LATIN_MARKS = frozenset("\u0323\u0324\u0325\u0326\u0327\u0328\u032d\u032e\u0330\u0331\u0338\u0335\u031b")
