"""Byte pairs: held against open_clip's own tokenizer where it is installed, and known answers everywhere."""

from __future__ import annotations

import random
import warnings

import pytest

from assetlib.vectors.bytepairs import BytePairs, clean, split_words

# Words in the order in which the vocabulary of the tests knows their merges.
MERGES = ["a n</w>", "v an</w>", "e r", "f er", "fer r", "ferr y</w>"]

TEXTS = [
    "", "   ", "a van", "A woman's hand, holding a smart-phone!!", "don't we'll I'M they'd", "12th street 3½ m² ⅔ Ⅷ",
    "naïve café — “quoted” ‘x’", "日本語 текст عربى", "rock 'n' roll !!'s", "emoji 🐶 👩‍🚀", "under_score _x_",
    "x" * 200, "fish &amp; chips &lt;b&gt; &amp;amp;", "  lots   of\tspace\n", "cafe\u0301", "ﬁsh ｆｕｌｌ１",
    "hood_mount-02 FINAL…", "a b " * 90,
]  # fmt: skip


def test_merges_join_the_earliest_pair_first() -> None:
    pairs = BytePairs(MERGES)
    number = {piece: n for n, piece in enumerate(map("".join, (m.split() for m in MERGES)), start=512)}
    assert pairs.numbers("van") == [number["van</w>"]]
    assert pairs.numbers("Ferry VAN") == [number["ferry</w>"], number["van</w>"]]
    assert len(pairs.numbers("ferrys")) == 3  # ferr, y, s: the y stands at no word's end
    assert pairs.numbers("  ") == []


def test_every_text_has_numbers() -> None:
    pairs = BytePairs(MERGES)
    assert all(pairs.numbers(text) or not text.strip() for text in TEXTS)


def test_frames_are_cut_to_their_length() -> None:
    pairs = BytePairs(MERGES)
    start, end = 512 + len(MERGES), 513 + len(MERGES)
    assert pairs.framed([[7, 8], list(range(20))], 6).tolist() == [
        [start, 7, 8, end, 0, 0],
        [start, 0, 1, 2, 3, end],
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("don't", ["don", "'t"]),
        ("a12b", ["a", "1", "2", "b"]),
        ("wait...what?", ["wait", "...", "what", "?"]),
        ("x²", ["x", "²"]),
        ("_a_", ["_", "a", "_"]),
    ],
)
def test_words_are_split_where_the_kind_changes(text: str, words: list[str]) -> None:
    assert list(split_words(text)) == words


def test_cleaning() -> None:
    assert clean(" Fish &amp;amp;  Chips ") == "fish & chips"
    assert clean(" Fish  Chips ", "whitespace") == "Fish Chips"
    assert clean("Hood_mount, FINAL!", "canonicalize") == "hood mount final"


@pytest.mark.parametrize("cleaning", ["lower", "whitespace", "canonicalize"])
def test_the_numbers_are_those_of_open_clip(cleaning: str) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        tokenizers = pytest.importorskip("open_clip.tokenizer", exc_type=ImportError)
    theirs = tokenizers.SimpleTokenizer(context_length=16, clean=cleaning)
    ours = BytePairs([" ".join(m) for m in sorted(theirs.bpe_ranks, key=theirs.bpe_ranks.get)], cleaning)
    draw = random.Random(3)
    letters = "aeinrst-'\" .,!0123éßЖ漢🚲_&;"
    texts = TEXTS + ["".join(draw.choices(letters, k=draw.randint(1, 40))) for _ in range(300)]
    assert [ours.numbers(text) for text in texts] == [theirs.encode(text) for text in texts]
    framed = ours.framed([ours.numbers(text) for text in texts], 16)
    assert framed.tolist() == theirs(texts).tolist()
