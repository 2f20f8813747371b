from __future__ import annotations

import pytest

from assetlib.vectors.encoders import SHIPPED, open_encoder
from assetlib.vectors.wordpieces import WordPieces, split_words

SENTENCES = [
    "",
    "duck",
    "INT. BAKERY - before dawn",
    "Woman, seated; three-quarter back view",
    "over-the-shoulder (OTS)",
    "naïve café fiancée",
    "driver's seat",
    "naïve",
    "don't",
    "2 dogs & 3 cats",
    "hood\tmount\nvan",
    "日本の船",
    "straße",
    "ĞÜŞİÖÇ",
    "antidisestablishmentarianism",
    "x" * 101,
    "emoji \U0001f436 dog",
    "a\u200bb",
    "soft\u00adhyphen",
    "50% — 100%",
    "ﬁne ligature",
    "Ⅷ",
    "e\u0301clair",
    "“quoted”",
    "km² m³",
    "\u0130stanbul",
    "\ufffd",
    "[MASK] [UNK]",
    "co-op@home.org",
]


def test_words_are_cut_at_marks_and_accents_fall() -> None:
    assert list(split_words("Crème-brûlée, 2 cups")) == ["creme", "-", "brulee", ",", "2", "cups"]


def test_the_longest_piece_is_taken_first() -> None:
    pieces = WordPieces(["[PAD]", "[UNK]", "van", "vans", "##s", "bak", "##ery", "##er", "##y"])
    assert pieces.numbers("vans van bakery") == [3, 2, 5, 6]


def test_a_word_that_cannot_be_put_together_is_unknown() -> None:
    pieces = WordPieces(["[PAD]", "[UNK]", "van"])
    assert pieces.numbers("vanx van") == [1, 2]


def test_pieces_agree_with_the_tokenizers_library() -> None:
    # Reference: the PyPI package tokenizers, BERT's normaliser and pre-tokeniser with the same vocabulary.
    tokenizers = pytest.importorskip("tokenizers")
    folder = open_encoder()._folder
    assert folder.name == SHIPPED
    vocabulary = (folder / "vocab.txt").read_text(encoding="utf-8").split("\n")
    numbers = {piece: number for number, piece in enumerate(vocabulary) if piece}
    reference = tokenizers.BertWordPieceTokenizer(numbers, lowercase=True)
    ours = WordPieces(vocabulary)
    plain = [s for s in SENTENCES if "[" not in s]
    expected = [reference.encode(s, add_special_tokens=False).ids for s in plain]
    assert [ours.numbers(s) for s in plain] == expected
