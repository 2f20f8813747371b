"""Words without their endings, as the full-text index has them."""

from __future__ import annotations

from functools import cache
from typing import Any

from assetlib.rules.words.tags import fold


@cache
def _stemmer() -> Any:
    import snowballstemmer  # of a line's words alone; a command that looks for nothing does not pay for it

    # M. F. Porter, An algorithm for suffix stripping (1980): the stemmer of SQLite's full-text index too.
    return snowballstemmer.stemmer("porter")


@cache
def stem(word: str) -> str:
    """The word folded and without its ending: *offering*, *offers* and *offer* are one, *baker* and *bakery* two."""
    return str(_stemmer().stemWord(fold(word)))
