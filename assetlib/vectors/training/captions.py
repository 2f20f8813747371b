"""Captions: what each drawing may be called in training, and made-up scenes of several drawings in shot-list words."""

from __future__ import annotations

import random
from collections import defaultdict
from dataclasses import dataclass
from typing import Any

CAPTIONS = 12  # a drawing; shorter lists are filled up with the title
_TEMPLATES = (
    "a drawing of a {}", "line art of a {}", "rough sketch of a {}", "{} on white", "insert {}", "CU {}",
    "picture of {}",
    "{} clip art", "a {}", "the {}", "close-up of a {}", "{} pack shot", "wide shot of a {}",
)  # fmt: skip
_JOINTS = (
    "{} and {}", "{} with {}", "{} next to {}", "{} beside a {}", "{} in front of {}", "a {} and a {}",
    "two-shot, {} and {}", "{}, {}", "wide shot, {} with {}",
)  # fmt: skip
# A place, what a shot list calls it, and the words of drawings that stand in it.
_PLACES: dict[str, tuple[tuple[str, ...], str]] = {
    "kitchen": (("kitchen", "INT kitchen", "kitchen interior", "inside of a kitchen"),
                "oven stove fridge refrigerator pot pan kettle table chair cup plate sink cook chef toaster bread"),
    "bakery": (("bakery", "INT bakery", "baker in the bakery", "bakery shop"),
               "bread baguette croissant oven cake pie baker chef cupcake wheat bagel pretzel shop store"),
    "living room": (("living room", "INT living room", "sofa and lamp in a room", "room interior"),
                    "couch sofa lamp television armchair chair table rug picture window clock plant"),
    "bedroom": (("bedroom", "INT bedroom", "bed in a room"), "bed lamp pillow clock wardrobe window moon sleeping"),
    "office": (("office", "INT office", "desk in an office", "meeting in an office"),
               "desk computer monitor printer telephone chair businessman laptop folder lamp whiteboard"),
    "street": (("street", "EXT street", "city street", "street scene with traffic", "busy road"),
               "car bus truck taxi building house pedestrian lamp traffic tree bicycle walking shop van"),
    "harbour": (("harbour", "EXT harbour", "ferry at the pier", "boats in the harbour"),
                "boat ship ferry anchor sailboat lighthouse crane seagull water sailor dock"),
    "park": (("park", "EXT park day", "people in the park", "playground"),
             "tree bench flower dog bird person walking running bicycle sun bush ball kite"),
    "farm": (("farm", "EXT farm", "farmyard with animals"),
             "cow pig horse barn tractor chicken sheep farm farmer duck"),
    "beach": (("beach", "EXT beach", "people at the beach"),
              "umbrella palm sun boat wave surf swim crab shell sailboat"),
    "forest": (("forest", "EXT forest", "woods", "animals in the forest"), "tree deer bear fox squirrel mushroom owl"),
    "mountains": (("mountains", "EXT mountains", "landscape with mountains"),
                  "mountain tree cloud sun goat cabin tent"),
    "night": (("night", "EXT night", "before dawn", "night sky"), "moon star owl bat lamp house cloud"),
    "crowd": (("crowd", "crowd of people", "group of people", "commuters", "people waiting"),
              "man woman person people girl boy businessman standing walking"),
    "classroom": (("classroom", "INT classroom", "school lesson"),
                  "teacher student blackboard desk book globe school"),
    "hospital": (("hospital", "INT hospital", "doctor and patient"), "doctor nurse bed ambulance syringe patient"),
    "restaurant": (("restaurant", "INT restaurant", "dinner table", "cafe"),
                   "table waiter wine plate fork cup coffee"),
    "car interior": (("inside of a car", "INT car", "dashboard", "driver's seat"),
                     "steering seat dashboard driver mirror"),
}  # fmt: skip
_OUTSIDE = frozenset(["street", "harbour", "park", "farm", "beach", "forest", "mountains", "night", "crowd"])


def captions_of(drawing: dict[str, Any], generator: random.Random) -> list[tuple[str, float]]:
    """Up to `CAPTIONS` captions with their weights."""
    title, keywords, more = drawing["title"], drawing["keywords"], drawing["more"]
    found: dict[str, float] = {}

    def add(text: str, weight: float) -> None:
        if text:
            found[text] = found.get(text, 0.0) + weight

    add(title, 4.0 if drawing["set"] == "oc" else 5.0)
    for word in generator.sample(keywords, min(5, len(keywords))):
        add(word, 2.4 / min(5, len(keywords)))
    if keywords:
        some = generator.sample(keywords, min(3, len(keywords)))
        add(f"{title}, {', '.join(some)}", 0.8)
        add(", ".join(some), 0.5)
    for word in more[:4]:
        add(word, 0.9 / min(4, len(more)))
    add(generator.choice(_TEMPLATES).format(title), 0.7)
    add(_folder_words(drawing["folder"]), 0.5)
    return list(found.items())[:CAPTIONS]


def _folder_words(folder: str) -> str:
    parts = [
        p for p in folder.replace("_", " ").replace("&", "and").split("/") if p not in ("unsorted", "icons")
    ]
    return " ".join(parts[-2:])


@dataclass(frozen=True)
class Scene:
    """A caption, the drawings in it from back to front, and whether it is a room, an open place or neither."""

    caption: str
    members: tuple[int, ...]
    ground: int  # 0 none, 1 open ground with a horizon, 2 room


def scenes(drawings: list[dict[str, Any]], count: int, seed: int) -> list[Scene]:
    """Made-up scenes: two or three named drawings together, or a place filled with what belongs there."""
    generator = random.Random(seed)
    plain = [i for i, d in enumerate(drawings) if _can_be_named(d)]
    by_word: dict[str, list[int]] = defaultdict(list)
    for index in plain:
        for word in set(drawings[index]["title"].split()):
            by_word[word].append(index)
    return [
        _place(generator, drawings, by_word)
        if generator.random() < 0.5
        else _pair(generator, drawings, plain)
        for _ in range(count)
    ]


def _can_be_named(drawing: dict[str, Any]) -> bool:
    return len(drawing["title"].split()) <= 3 and drawing["set"] not in (
        "hugeicons",
        "carbon",
        "mingcute",
        "solar",
    )


def _pair(generator: random.Random, drawings: list[dict[str, Any]], plain: list[int]) -> Scene:
    first, second = generator.sample(plain, 2)
    caption = generator.choice(_JOINTS).format(drawings[first]["title"], drawings[second]["title"])
    return Scene(caption, (first, second), generator.choice((0, 0, 1, 2)))


def _place(generator: random.Random, drawings: list[dict[str, Any]], by_word: dict[str, list[int]]) -> Scene:
    name = generator.choice(list(_PLACES))
    names, things = _PLACES[name]
    known = [w for w in things.split() if w in by_word]
    words = generator.sample(known, min(generator.randint(3, 5), len(known)))
    members = tuple(generator.choice(by_word[w]) for w in words)
    caption = generator.choice(names)
    if generator.random() < 0.4:
        caption += ", " + " and ".join(words[:2])
    return Scene(caption, members, 1 if name in _OUTSIDE else 2)
