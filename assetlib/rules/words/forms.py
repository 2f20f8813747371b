"""Forms of a word that no stripping of endings brings together: *ran* and *run*, *loaves* and *loaf*."""

from __future__ import annotations

from functools import cache

from assetlib.rules.words.tags import fold

# Common irregular nouns and verbs of English that name what is drawn; from memory of any grammar book.
_GROUPS = """
man men|woman women|child children|person people persons|foot feet|tooth teeth|mouse mice|goose geese|ox oxen
loaf loaves|leaf leaves|knife knives|wife wives|shelf shelves|wolf wolves|calf calves|half halves
scarf scarves|thief thieves
gentleman gentlemen|businessman businessmen|businesswoman businesswomen|policeman policemen|policewoman policewomen
fireman firemen|fisherman fishermen|postman postmen|workman workmen|snowman snowmen|craftsman craftsmen
run ran|sit sat seat seated|stand stood|lie lay lying lain|hold held|drive drove driven|ride rode ridden
fall fell fallen
throw threw thrown|catch caught|give gave given|take took taken|eat ate eaten|drink drank drunk|sleep slept asleep
swim swam swum|sing sang sung|speak spoke spoken|write wrote written|build built
bring brought|buy bought
carry carries carried|fly flew flown flies|fight fought|feed fed|hang hung|hide hid hidden|hit hitting|keep kept
lead led|leave left-behind|lift lifted|pay paid|put putting|shake shook shaken|shoot shot-at|shut shutting|spin spun
steal stole stolen|stick stuck|strike struck|sweep swept|swing swung|teach taught|tear tore torn|wake woke woken awake
wear wore worn|weep wept|wind wound|kneel knelt|lean leant|leap leapt|dig dug|draw drew drawn|blow blew blown
bite bit bitten|bend bent|dive dove|die dying dies|tie tying ties|right rightwards|left leftwards
up upwards upward|down downwards downward|grow grew grown|ring rang rung|rise rose risen|send sent
"""


@cache
def _groups() -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for group in _GROUPS.replace("\n", "|").split("|"):
        words = tuple(group.split())
        found.update(dict.fromkeys(words, words))
    return found


def other_forms(word: str) -> tuple[str, ...]:
    """The irregular forms that go with a word; none for most words."""
    key = fold(word)
    return tuple(form for form in _groups().get(key, ()) if form != key)


def is_plural(word: str) -> bool:
    """Whether a noun stands for several: by a plain *s* or as an irregular plural."""
    key = fold(word)
    group = _groups().get(key, ())
    if group and key in group[1:] and key != "persons":
        return key.endswith(("men", "ves", "children", "people", "feet", "teeth", "mice", "geese", "oxen"))
    return len(key) > len("gas") and key.endswith("s") and not key.endswith(("ss", "us", "is"))
