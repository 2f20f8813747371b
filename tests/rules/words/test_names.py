import unicodedata

import pytest

from assetlib.rules.words.names import title_from, words_from


@pytest.mark.parametrize(
    ("name", "title"),
    [
        ("hood_mount-02 FINAL.png", "hood mount"),
        ("handWithPhone_v3 (1).png", "hand with phone"),
        ("van interior rev B 300dpi.psd.png", "van interior"),
        ("2024-03-12 crowd at quay.png", "crowd at quay"),
        ("dog running copy 2.png", "dog running"),
        ("dog running - Copy.png", "dog running"),
        ("CU hand left_1920x1080@2x.png", "CU hand left"),
        ("POVDriver.png", "POV driver"),
        ("job 2231 - Van (front) FINAL final2.png", "van front"),
        ("Собака бежит 2.png", "собака бежит"),
        ("犬_走る_03.png", "犬 走る"),
        ("2-shot_driver.png", "two shot driver"),
        ("baker 3-4 front.png", "baker three quarter front"),
        ("van_0001.png", "van"),
        ("shot 12 kids on ferry.png", "kids on ferry"),
        ("J1042 ferry_low-res.jpg", "ferry"),
        ("Copy of gull.PNG", "gull"),
        ("gull - Kopie (2).png", "gull"),
        ("FERRY QUAY.PNG", "ferry quay"),
        ("ÉCLAIR.png", "éclair"),
        ("sc12sh04 van.png", "van"),
        ("名称未設定 2.png", ""),
        ("newspaper new.png", "newspaper"),
        ("old man.png", "old man"),
        ("scan0012.tif", ""),
        ("IMG_1234.JPG", ""),
        ("Untitled-1.png", ""),
        ("1f3870be274f6c49b3e31a0c6728957f.png", ""),
        ("Screenshot 2024-01-01 at 10.22.33.png", ""),
        ("007.png", ""),
    ],
)
def test_titles(name, title):
    assert title_from(f"some/folder/{name}") == title


def test_composed_and_decomposed_names_give_one_title():
    name = "Bäckerei-Tür.png"
    assert title_from(unicodedata.normalize("NFD", name)) == title_from(unicodedata.normalize("NFC", name))


def test_folders_give_words_but_no_title():
    assert title_from("Ferry boats/png/IMG_0001.png") == ""
    assert words_from("Ferry boats/png/IMG_0001.png") == ("ferry", "boats")


def test_generic_folders_give_nothing():
    assert words_from("C:\\Users\\kim\\Desktop\\Scans\\gull.png") == ("gull",)
    assert words_from("/home/kim/Downloads/gull.png") == ("gull",)


def test_each_word_comes_once_and_small_words_not():
    assert words_from("dogs/dog/Dog on the quay.png") == ("dog", "quay", "dogs")


def test_a_letter_at_the_end_tells_names_apart():
    assert [title_from(name) for name in ("people_A.png", "people_B.png", "IMG_A.png", "cup of a.png")] == [
        "people A", "people B", "", "cup",
    ]  # fmt: skip
