"""Words for the training drawings: names cleaned up, emoji keywords, and wider terms from WordNet."""

from __future__ import annotations

import json
import re
from collections import defaultdict
from pathlib import Path

from assetlib.vectors.training.sources import STYLE_WORDS

# Synsets above these are too wide to say anything about a drawing.
_TOO_WIDE = frozenset(
    """entity; physical entity; object; whole; abstraction; artifact; instrumentality; unit; matter; thing;
    psychological feature; physical object; living thing; organism; causal agent; attribute; state; relation; group;
    substance; part; device; natural object; being; way; act; event; measure; content; cognition; communication;
    happening; location; region; chordate; vertebrate; placental; equipment; implement; container; covering; structure;
    area; line; shape; signal""".replace("\n    ", " ").split("; ")
)
_JUNK = re.compile(
    r"^(unsorted|hash|hash\(0x.*|untitled|clip ?art|image|svg|inkscape|.*\.svg|created with.*|icons?|icon theme|"
    r"contour|outline|misc|none|media|color|colour|unchecked|\d+)$",
    re.IGNORECASE,
)


def clean_title(raw: str) -> str:
    """The title in lower case without numbers, underscores and file endings; empty if nothing is left."""
    text = re.sub(r"\.(svg|png)$", "", raw.strip(), flags=re.I)
    text = re.sub(r"([a-z])([A-Z])", r"\1 \2", text).lower()
    text = re.sub(r"[_\-/]+", " ", text)
    text = re.sub(r"\b\d+\b|[^\w\s'&]", " ", text)
    text = re.sub(
        r"\b(clipart by nicu buculei|etiquette|lemon theme|part of the flat icon collection)\b", " ", text
    )
    text = re.sub(r"\bb and w\b|\bbw\b", "black and white", text)
    text = re.sub(r"\s+", " ", text).strip()
    return "" if _JUNK.match(text) else text


def clean_keywords(raw: list[str]) -> list[str]:
    """The keywords in lower case, once each, without marks of the archive they came from."""
    seen: dict[str, None] = {}
    for entry in raw:
        for piece in re.split(r"[,;]", entry):
            word = re.sub(r"\s+", " ", piece.replace("_", " ").strip().lower())
            if 1 < len(word) < 40 and not _JUNK.match(word):
                seen.setdefault(word)
    return list(seen)


def name_to_title(name: str) -> str:
    """The words of a set's own name for a drawing, without those that only say its style."""
    words = [w for w in re.split(r"[-_:]", re.sub(r"([a-z])([A-Z])", r"\1-\2", name).lower()) if w]
    kept = [w for i, w in enumerate(words) if i == 0 or w not in STYLE_WORDS]
    return " ".join(re.sub(r"\d+$", "", w) for w in kept).strip()


def emoji_keywords(data_file: Path) -> dict[str, list[str]]:
    """Label, as words, to the keywords that emojibase gives it."""
    found: dict[str, list[str]] = {}
    for entry in json.loads(data_file.read_text(encoding="utf-8")):
        found[clean_title(entry["label"])] = [t.lower() for t in entry.get("tags", [])]
    return found


_SHORTEST_GLOSS, _LONGEST_GLOSS = 8, 70  # characters


class WiderWords:
    """Synonyms and wider terms of nouns, from the first sense of WordNet's noun files."""

    def __init__(self, folder: Path) -> None:
        self._synsets: dict[str, tuple[list[str], list[str]]] = {}
        self._first: dict[str, str] = {}
        self._read_data(folder / "data.noun")
        self._read_index(folder / "index.noun")

    def _read_data(self, path: Path) -> None:
        for line in path.read_text(encoding="latin-1").splitlines():
            if line.startswith("  "):
                continue
            fields = line.split(" | ")[0].split()
            count = int(fields[3], 16)
            lemmas = [fields[4 + 2 * i].replace("_", " ").lower() for i in range(count)]
            rest = fields[4 + 2 * count + 1 :]
            wider = [rest[i + 1] for i in range(0, len(rest) - 3, 4) if rest[i] in ("@", "@i")]
            self._synsets[fields[0]] = (lemmas, wider)

    def _read_index(self, path: Path) -> None:
        for line in path.read_text(encoding="latin-1").splitlines():
            if line.startswith("  "):
                continue
            fields = line.split()
            self._first[fields[0].replace("_", " ")] = fields[-int(fields[2])]

    def synonyms(self, noun: str) -> list[str]:
        """Other names of the noun in its first sense, none if WordNet does not know it."""
        key = self._first.get(noun)
        return [w for w in self._synsets[key][0] if w != noun] if key else []

    def wider(self, noun: str, steps: int = 6) -> list[str]:
        """Wider terms, nearest first, at most three, without those too wide to help."""
        found: list[str] = []
        key = self._first.get(noun)
        for _ in range(steps if key else 0):
            parents = self._synsets[key][1] if key else []
            if not parents:
                break
            key = parents[0]
            if self._synsets[key][0][0] not in _TOO_WIDE:
                found.append(self._synsets[key][0][0])
        return found[:3]

    def about(self, title: str) -> list[str]:
        """Synonyms and wider terms of the last noun phrase of a title that WordNet knows."""
        words = title.split()
        for length in (3, 2, 1):
            for end in range(len(words), length - 1, -1):
                phrase = " ".join(words[end - length : end])
                for noun in (phrase, phrase.removesuffix("s")):
                    if len(noun) > 2 and noun in self._first:
                        return self.synonyms(noun)[:2] + self.wider(noun)
        return []


def group_by(pairs: list[tuple[str, str]]) -> dict[str, list[str]]:
    """Second members under their first."""
    found: dict[str, list[str]] = defaultdict(list)
    for key, value in pairs:
        found[key].append(value)
    return dict(found)


def nouns_and_glosses(folder: Path) -> list[str]:
    """Every word of WordNet and the first, short part of the explanations of nouns and verbs, once each."""
    found: dict[str, None] = {}
    for part in ("noun", "verb", "adj"):
        for line in (folder / f"data.{part}").read_text(encoding="latin-1").splitlines():
            if line.startswith("  "):
                continue
            fields, _, gloss = line.partition(" | ")
            columns = fields.split()
            for number in range(int(columns[3], 16)):
                word = re.sub(r"\((a|p|ip)\)$", "", columns[4 + 2 * number].replace("_", " ").lower())
                if not word[0].isdigit():
                    found.setdefault(word)
            gloss = gloss.split(";")[0].strip()
            if part != "adj" and _SHORTEST_GLOSS < len(gloss) < _LONGEST_GLOSS:
                found.setdefault(gloss)
    return list(found)
