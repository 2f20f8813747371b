from __future__ import annotations

import pytest

from assetlib.vectors.fusion import fuse


def test_what_two_rankings_agree_on_comes_first() -> None:
    fused = fuse([["cup", "van", "dog"], ["dog", "van", "ferry"]])
    assert fused[0].thing in ("van", "dog")
    assert {f.thing for f in fused} == {"cup", "van", "dog", "ferry"}


def test_scores_follow_the_formula() -> None:
    fused = {f.thing: f for f in fuse([["a", "b"], ["b"]])}
    assert fused["a"].score == pytest.approx(1 / 61)
    assert fused["b"].score == pytest.approx(1 / 62 + 1 / 61)
    assert fused["b"].places == (2, 1)
    assert fused["a"].places == (1, None)


def test_a_heavier_ranking_decides() -> None:
    assert [f.thing for f in fuse([["a", "b"], ["b", "a"]], [1.0, 2.0])] == ["b", "a"]


def test_equal_things_keep_the_first_rankings_order() -> None:
    assert [f.thing for f in fuse([["a"], ["b"]])] == ["a", "b"]


def test_a_thing_named_twice_in_a_ranking_counts_once() -> None:
    assert fuse([["a", "b", "a"]])[0].score == pytest.approx(1 / 61)


def test_nothing_fuses_to_nothing() -> None:
    assert fuse([[], []]) == []


def test_weights_must_be_as_many_as_the_rankings() -> None:
    with pytest.raises(ValueError, match="weights"):
        fuse([["a"]], [1.0, 2.0])
