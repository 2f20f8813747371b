"""When a text names somebody: names compared word by word, however they are written.

Own rule, no source: case, accents, punctuation and a possessive make no difference, the words of a name may stand in
any order side by side, or joined. Too much told costs a look, too little a client, so what is doubtful is told.
"""

from __future__ import annotations

import itertools
import re

from assetlib.rules.words.tags import fold

_POSSESSIVE = re.compile(r"['’‘‛`´ʼ′＇]s\b", re.IGNORECASE)
_HUMP = re.compile(r"(?<=[^\W\d_A-Z])(?=[A-Z])")
"""Where two words were joined and the second kept its capital: LenaBrandt."""
_NO_WORD = re.compile(r"[\W_]+")
_MOST_TURNED = 4
"""Words of a name that may stand in any order; a longer name is looked for as it stands and backwards."""


def name_words(text: str) -> tuple[str, ...]:
    """The words of a text for comparing: folded, without punctuation and possessives, joined ones taken apart."""
    apart = _HUMP.sub(" ", _POSSESSIVE.sub("", text))
    return tuple(word for word in _NO_WORD.split(fold(apart)) if word)


def same_name(one: str, other: str) -> bool:
    """Whether two names are the same but for spelling, and the order of their words."""
    first, second = sorted(name_words(one)), sorted(name_words(other))
    return first == second or ("".join(name_words(one)) == "".join(name_words(other)))


def is_named(name: str, text: str) -> bool:
    """Whether a name stands in a text: its words side by side in any order, or joined; an s may end it."""
    wanted = name_words(name)
    if not wanted:
        return False
    said = name_words(text)
    turned = itertools.permutations(wanted) if len(wanted) <= _MOST_TURNED else (wanted, wanted[::-1])
    joined = {"".join(words) for words in turned}
    windows = ("".join(said[i:j]) for i in range(len(said)) for j in range(i + 1, i + len(wanted) + 1))
    # the s of a possessive without its apostrophe, as German writes it: Lena Brandts
    return any(window in joined or (window[-1] == "s" and window[:-1] in joined) for window in windows)


_NO_NAME = re.compile(
    r"https?://\S+|\(c\)|[©℗®]|\b(?:copyright|copr|all|some|rights?|reserved|by|the|alle|rechte|vorbehalten|"
    r"tous|droits|réservés|\d{4}|tm)\b",
    re.IGNORECASE,
)
"""What a copyright notice says beside the name of who holds it; common practice, no source."""


def others_in_file(words: dict[str, object], artist: str) -> tuple[str, ...]:
    """Names that a file gives as author or holder of rights and that are not the artist's.

    Where the library knows no artist there is nobody to hold them against, and none is told.
    """
    if not name_words(artist):
        return ()
    creator, rights = (str(words.get(key) or "").strip() for key in ("creator", "licence"))
    found = [] if same_name(creator, artist) else re.split(r"\s*[,;&]\s*", creator)
    if not is_named(artist, rights):
        found.append(" ".join(_NO_NAME.sub(" ", rights).strip(" -–.,;:").split()).strip(" -–.,;:"))
    others = {
        tuple(sorted(name_words(one))): one for one in found if name_words(one) and not same_name(one, artist)
    }
    return tuple(others.values())
