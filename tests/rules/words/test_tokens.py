import pytest

from assetlib.rules.words.tokens import tokens_of


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("worm's-eye", ["worms", "eye"]),
        ("L - R", ["l>r"]),
        ("R→L", ["r>l"]),
        ("INT./EXT.", ["int/ext", "."]),
        ("O/S, ¾", ["o/s", ",", "3/4"]),
        ("Café", ["cafe"]),
        ("हिन्दी 犬", ["हिन्दी", "犬"]),
        ("12A two_shot", ["12a", "two", "_", "shot"]),
    ],
)
def test_words_and_marks(line, words):
    assert [token.text for token in tokens_of(line)] == words


def test_a_token_knows_where_it_stood():
    line = "CU – driver’s hand"
    assert [line[t.start : t.end] for t in tokens_of(line)] == ["CU", "–", "driver’s", "hand"]


def test_an_owner_is_also_a_person():
    assert tokens_of("driver's")[0].owner == "driver"
