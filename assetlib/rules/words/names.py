"""Words from file and folder names, without the noise that names gather."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from functools import cache
from itertools import pairwise
from pathlib import PurePath, PurePosixPath, PureWindowsPath

from assetlib.rules.shots.phrases import word_set
from assetlib.rules.words.tags import fold

FOLDERS_READ = 3  # the nearest folders say what a drawing is; further up stands where it is kept

# What versions, states, programs and machines add to a name. Common practice, no source.
_NOISE = word_set(
    "final finals finished final2 finalfinal copy kopie kopia copie copia edit edited revised rev revision "
    "ver version wip draft new old latest approved ok done fixed fix export exported out output render "
    "rendered hires lowres hi lo res highres web print cmyk rgb srgb rgba grey8 dpi ppi px png jpg jpeg tif "
    "tiff webp gif bmp psd psb svg pdf ora heic scan scans scanned img image images pic picture dsc dscn dscf "
    "photo untitled unnamed noname screenshot shot2 layer merged flat2 flattened cropped crop "
    "transparent transp alpha nobg bg2 bak backup tmp temp file doc document artwork asset assets element "
    "elements drawing drawings sketchbook sheet sheets page pages full2 thumb thumbnail preview lg sm xl "
    "jobnr job clientcopy v ver vers r rn signed send sent upload"
)
# Words of _NOISE that also name things: they go only at the end of a name or beside a number.
_EDGE_NOISE = word_set(
    "final copy edit new old ok done out web print hi lo res layer photo picture crop alpha file page "
    "sheet preview drawing element asset image scan draft job artwork document r v version signed send flat2"
)
_LEADING_NOISE = _EDGE_NOISE - word_set("old new out hi print web layer photo crop")
_GENERIC_FOLDERS = word_set(
    "desktop downloads download documents pictures images photos my pictures mypictures users user home tmp "
    "temp var mnt media volumes volume data files file stuff misc various new folder newfolder untitled "
    "folder scans scan png pngs jpg jpgs jpeg jpegs tif tiff tiffs psd psds svg svgs pdf gif webp bmp export "
    "exports output out final finals wip drafts draft old archive archives backup backups art artwork "
    "artworks drawings drawing sketches sketch assets asset elements element library originals original "
    "sources source src work works working project projects job jobs client clients dropbox onedrive icloud "
    "drive google drive desktop 1 c d e root public private share shared incoming inbox sheets sheet boards "
    "board storyboards storyboard raw export1 hires lowres web print transparent clean cleanup usr lib opt "
    "local demo assets demoassets test tests"
)
_DANGLING = word_set("a an the of at and with und mit de")
_SMALL_WORDS = word_set(
    "a an the of on in at to and with for by from und der die das le la les de du et el y"
)


def title_from(path: str | PurePath) -> str:
    """A readable title from a file's name: words in order, noise dropped, '' if nothing is left."""
    return " ".join(_name_words(_stem(_pure(path).name)))


def words_from(path: str | PurePath) -> tuple[str, ...]:
    """The words of the file's name, then of the nearest telling folders, each once."""
    pure = _pure(path)
    names = list(_name_words(_stem(pure.name)))
    folders = _below_home(
        [part for part in pure.parts[:-1] if part not in ("/", "\\", "..", ".") and ":" not in part]
    )
    for folder in reversed(folders[-FOLDERS_READ:]):
        names.extend(_folder_words(folder))
    return tuple(_once(word for word in names if fold(word) not in _SMALL_WORDS))


def _below_home(folders: list[str]) -> list[str]:
    """The folders without whose computer it is."""
    return folders[2:] if folders and folders[0].casefold() in ("home", "users") else folders


def _pure(path: str | PurePath) -> PurePath:
    if isinstance(path, PurePath):
        return path
    return PureWindowsPath(path) if _looks_windows(path) else PurePosixPath(path)


def _looks_windows(path: str) -> bool:
    return path[1:3] in (":\\", ":/") or path.startswith("\\\\") or ("\\" in path and "/" not in path)


def _once(words: Iterable[str]) -> Iterator[str]:
    seen: set[str] = set()
    for word in words:
        key = fold(word)
        if key not in seen:
            seen.add(key)
            yield word


def _stem(name: str) -> str:
    stem = name
    for _ in range(2):  # "board.psd.png"
        cut = _extension().sub("", stem)
        if not cut:
            break
        stem = cut
    return stem


@cache
def _extension() -> re.Pattern[str]:
    return re.compile(
        r"\.(?:png|jpe?g|jfif|tiff?|webp|gif|bmp|psd|psb|svgz?|pdf|ora|heic|heif|avif|tga|kra|ai|eps)$", re.I
    )


def _folder_words(folder: str) -> list[str]:
    words = list(_name_words(folder))
    whole = fold(" ".join(words))
    if not words or whole in _GENERIC_FOLDERS or fold(folder) in _GENERIC_FOLDERS:
        return []
    return [word for word in words if fold(word) not in _GENERIC_FOLDERS]


def _name_words(name: str) -> list[str]:
    plain = _spelled_out(unicodedata.normalize("NFC", name))
    for noise in _numbered_noise():
        plain = noise.sub(" ", plain)
    words = [word for part in _separators().split(plain) for word in _parts(part) if word]
    return [_written(word) for word in _without_noise(words)]


def _spelled_out(name: str) -> str:
    """The name with those figures as words that mean something: 2-shot, 3-4 front, 1pt."""
    for figure, word in (("1", "one"), ("2", "two"), ("3", "three")):
        name = re.sub(
            rf"(?<![\w.]){figure}[-_ ]?(?=(?:shot|point|pt)(?![A-Za-z]))", f"{word} ", name, flags=re.I
        )
    return re.sub(
        r"(?<!\d)3[-_ ]?4(?=[-_ ]?(?:front|back|rear|view|profile))", "three-quarter ", name, flags=re.I
    )


@cache
def _numbered_noise() -> tuple[re.Pattern[str], ...]:
    edge, end = r"(?<![A-Za-z0-9])", r"(?![A-Za-z0-9])"
    return tuple(
        re.compile(shape, re.IGNORECASE)
        for shape in (
            rf"{edge}(?:19|20)\d\d[-_. ]?(?:0[1-9]|1[0-2])[-_. ]?(?:0[1-9]|[12]\d|3[01])(?:[-_ T]*\d{{4,6}})?{end}",
            rf"{edge}(?:0?[1-9]|[12]\d|3[01])[-_.](?:0?[1-9]|1[0-2])[-_.](?:19|20)?\d\d{end}",
            rf"{edge}(?:at |um )?\d{{1,2}}[.:h-]\d\d(?:[.:-]\d\d)?(?: ?[ap]m)?{end}",
            rf"{edge}\d+\s?[x×]\s?\d+(?:px|mm|cm|in)?{end}",
            rf"{edge}@\d(?:\.\d)?x{end}|@\dx{end}",
            rf"{edge}\d+\s?(?:dpi|ppi|px|bit|pt|mm|cm|mb|kb|k|percent){end}|\d+%",
            rf"{edge}(?:v|ver|vers|version|rev|revision|r|take|opt|option|alt)[-_. ]?\d+(?:\.\d+)*[a-z]?{end}",
            rf"{edge}(?:rev|revision|ver|version|opt|option)[-_. ][a-z]{end}",
            rf"{edge}(?:(?:scan|img|image|dsc[nf]?|pict?|photo|page|pg|sheet|frame|fr|shot|sh|sc|scene|seq|board|panel|job|"
            rf"untitled|layer|doc|file|artboard|screen ?shot|no|nr)[-_. #]*\d+[a-z]?)+{end}",
            rf"{edge}(?:img|imgp|mvimg|cimg|dsc|dscn|dscf|pxl|p|pict|gopr|sam|vid|mov)[-_]?\d{{3,}}{end}",
            rf"{edge}[a-z]{{1,2}}[-_]?\d{{3,}}{end}",
            rf"{edge}(?:hi|high|lo|low)[-_. ]?res{end}",
            rf"{edge}[0-9a-f]{{8}}(?:-[0-9a-f]{{4}}){{3}}-[0-9a-f]{{12}}{end}",
            rf"{edge}(?=[0-9a-f]*\d)(?=[0-9a-f]*[a-f])[0-9a-f]{{10,}}{end}",
            rf"{edge}final[-_ ]?v?\d+{end}|{edge}x\d+{end}|{edge}a[0-6]{end}|{edge}screen[-_ ]?shot{end}",
            r"ohne titel|sans titre|sin t[ií]tulo|senza titolo|без названия|без имени|名称未設定",
            r"無題|未命名|无标题|새 문서",
            r"スキャン|扫描|掃描|копия|скан(?!\w)|コピー|副本|사본",
            r"\(\d+\)|\[\d+\]|\((?:copy|kopie|copie)(?: \d+)?\)",
            rf"{edge}(?:copy|kopie|copie) (?:of|von|de){end}|[-_ ]copy(?: \d+)?{end}",
        )
    )


@cache
def _separators() -> re.Pattern[str]:
    return re.compile(r"[\s_\-–—.,;:+=~#@!&%(){}\[\]|/\\«»„“”\"*・、。]+")


def _parts(chunk: str) -> list[str]:
    """A chunk at its humps: `hoodMountTwoShot` gives four words; ABBREVIATIONS stay whole."""
    cuts = [at for at in range(1, len(chunk)) if _is_hump(chunk, at)]
    return [chunk[first:last] for first, last in pairwise([0, *cuts, len(chunk)])]


def _is_hump(chunk: str, at: int) -> bool:
    before, here = chunk[at - 1], chunk[at]
    if here.isupper():
        ends_capitals = before.isupper() and chunk[at + 1 : at + 3].islower() and len(chunk) > at + 2
        return before.islower() or ends_capitals
    # figures part from words of three letters and more: van2, 02van, but not 4x4 or A4
    if here.isdecimal() != before.isdecimal():
        letters = chunk[max(0, at - 3) : at] if here.isdecimal() else chunk[at : at + 3]
        return len(letters) == 3 and letters.isalpha()
    return False


def _without_noise(words: list[str]) -> list[str]:
    kept = [word for word in words if not _is_number(word)]
    mark = kept.pop() if len(kept) > 1 and _is_mark(kept[-1]) else ""
    kept = _quiet(kept)
    return [*kept, mark] if mark and kept else kept


def _is_mark(word: str) -> bool:
    """Whether the last word of a name tells it from others: people_A, people_B; *a* and *v* alone are none."""
    return len(word) == 1 and word.isascii() and word.isupper()


def _quiet(kept: list[str]) -> list[str]:
    while len(kept) > 0 and fold(kept[-1]) in _NOISE | _EDGE_NOISE:
        kept.pop()
    kept = [word for word in kept if fold(word) not in _NOISE - _EDGE_NOISE and not _is_letter(word)]
    while len(kept) > 1 and fold(kept[-1]) in _DANGLING:
        kept.pop()
    while len(kept) > 1 and (fold(kept[0]) in _LEADING_NOISE or fold(kept[0]) in _SMALL_WORDS):
        kept.pop(0)
    return kept


def _is_number(word: str) -> bool:
    return not any(c.isalpha() for c in word) or bool(
        re.fullmatch(r"\d+(?:st|nd|rd|th)?[a-z]?", word.casefold())
    )


def _is_letter(word: str) -> bool:
    return len(word) == 1 and word.isascii()


def _written(word: str) -> str:
    """Lower case for plain words; the abbreviations of the trade as they are."""
    return word if word in _ABBREVIATIONS or _is_mark(word) else word.lower()


_ABBREVIATIONS = word_set("ECU CU MCU MS MWS MLS FS WS LS EWS ELS OTS POV INT EXT TV")
