"""Stage `collect`: every training drawing as one JSON line with its SVG and its words.

The drawings of the split file's test and validation parts are written too, marked, so that later stages can measure;
those of its excluded part, exact copies of held-out files and broken files are dropped here.
"""

from __future__ import annotations

import hashlib
import json
import lzma
import re
import subprocess
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from assetlib.vectors.training import sources, wordlists

Drawing = dict[str, Any]
_LARGEST_SVG = 150_000  # characters after tidying; larger files are maps and traced photographs
_SERIES_TITLE = 4  # more drawings than this under one title: the title names a series, not a drawing
_ENDLESS_SERIES = ("gramastar",)  # 1,375 star shapes made by a program
_SERIES_LIMIT = 40
_NUMBER = re.compile(r"-?\d*\.\d{3,}")


def collect(split_file: Path, workplace: Path, target: Path) -> dict[str, int]:
    """Number of drawings of each part, after writing `target` (JSON lines, xz)."""
    workplace.mkdir(parents=True, exist_ok=True)
    _install(workplace)
    split = json.loads(split_file.read_text(encoding="utf-8"))
    counts: dict[str, int] = {}
    wider = wordlists.WiderWords(Path(sources.WORDNET_FOLDER))
    with lzma.open(target, "wt", preset=9, encoding="utf-8") as out:
        for drawing in _every_drawing(workplace, split):
            drawing["more"] = wider.about(drawing["title"]) if drawing["part"] == "train" else []
            counts[drawing["part"]] = counts.get(drawing["part"], 0) + 1
            out.write(json.dumps(drawing, ensure_ascii=False) + "\n")
    return counts


def _install(workplace: Path) -> None:
    if (workplace / "node_modules").exists():
        return
    (workplace / "package.json").write_text('{"private": true}', encoding="utf-8")
    command = ["npm", "install", "--ignore-scripts", "--no-save", *sources.npm_packages()]
    subprocess.run(command, cwd=workplace, check=True)


def _every_drawing(workplace: Path, split: dict[str, list[str]]) -> Iterator[Drawing]:
    yield from openclipart(Path(sources.OPENCLIPART_FOLDER), split)
    modules = workplace / "node_modules"
    emoji = wordlists.emoji_keywords(modules / sources.EMOJI_PACKAGE / "en" / "data.json")
    mdi = _mdi_words(modules / sources.MDI_PACKAGE / "meta.json")
    for vector_set in sources.SETS:
        yield from _vector_set(modules, vector_set, emoji, mdi)
    yield from _people(workplace)


def openclipart(folder: Path, split: dict[str, list[str]]) -> Iterator[Drawing]:
    test, val = set(split["test"]), set(split["val"])
    excluded = set(split["excluded"])
    seen = {_digest(folder / key.removeprefix("oc:")) for key in excluded}
    paths = sorted(p for p in folder.rglob("*.svg") if p.is_file())
    keyed = [("oc:" + p.relative_to(folder).as_posix(), p) for p in paths]
    # The same drawing under two names is kept once, unless the split itself names the second.
    keyed = [(key, p) for key, p in keyed if key in test | val or not p.is_symlink()]
    series = Counter(_title_of(p) for _, p in keyed)
    written: Counter[str] = Counter()
    # Held-out drawings first, so that a training file with the same bytes is the one to go.
    for key, path in sorted(keyed, key=lambda pair: pair[0] not in test | val):
        digest = _digest(path)
        part = "test" if key in test else "val" if key in val else "train"
        if part == "train" and (key in excluded or digest in seen):
            continue
        seen.add(digest)
        title = _title_of(path)
        written[title] += 1
        if part == "train" and title in _ENDLESS_SERIES and written[title] > _SERIES_LIMIT:
            continue
        drawing = _read_openclipart(key, path, part, series[title] > _SERIES_TITLE)
        if drawing is not None:
            yield drawing


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""


def _title_of(path: Path) -> str:
    found = re.search(r"<dc:title[^>]*>([^<]*)</dc:title>", _text_of(path))
    return found.group(1).strip() if found else ""


def _text_of(path: Path) -> str:
    return path.read_bytes().decode("utf-8", errors="replace")


def _read_openclipart(key: str, path: Path, part: str, in_series: bool) -> Drawing | None:
    raw = _text_of(path)
    own = wordlists.clean_title(_title_of(path))
    stem = wordlists.clean_title(_stem_words(path, raw))
    # Every drawing of a theme carries the theme's title; then the file's name says what is drawn.
    title = (stem or own) if in_series else (own or stem)
    bags = re.findall(r"<rdf:li[^>]*>([^<]*)</rdf:li>", raw)
    svg = tidy_svg(raw)
    if part == "train" and (len(svg) > _LARGEST_SVG or not title):
        return None
    folder = key.removeprefix("oc:").rpartition("/")[0]
    return {
        "key": key, "set": "oc", "part": part, "title": title, "keywords": wordlists.clean_keywords(bags),
        "folder": folder, "svg": svg,
    }  # fmt: skip


def _stem_words(path: Path, raw: str) -> str:
    # File names end in ten letters of the author's name and a number: duck_yellow_kurt_cagle_01.
    stem = re.sub(r"_\d*$", "", path.stem)
    creator = re.search(r"<dc:creator>.*?<dc:title[^>]*>([^<]*)</dc:title>", raw, flags=re.S)
    author = re.sub(r"\W+", "_", creator.group(1).strip().lower()) if creator else ""
    lengths = range(len(author), 5, -1)
    return next(
        (stem.removesuffix("_" + author[:n]) for n in lengths if stem.endswith("_" + author[:n])), stem
    )


def tidy_svg(raw: str) -> str:
    """The same drawing in fewer characters: no metadata, no comments, no embedded photographs, short numbers."""
    text = re.sub(r"<metadata.*?</metadata>|<!--.*?-->", "", raw, flags=re.S)
    text = re.sub(r"<image\b[^>]*?base64[^>]*?(/>|>.*?</image>)", "", text, flags=re.S)
    text = re.sub(
        r"<sodipodi:namedview[^>]*/>|<sodipodi:namedview.*?</sodipodi:namedview>", "", text, flags=re.S
    )
    text = re.sub(r"\s(sodipodi|inkscape):[\w-]+=(\"[^\"]*\"|'[^']*')", "", text)
    return re.sub(r"\s+", " ", _NUMBER.sub(_shorten, text))


def _shorten(match: re.Match[str]) -> str:
    value = float(match.group())
    return f"{value:.2f}".rstrip("0").rstrip(".") if abs(value) >= 10 else f"{value:.4g}"


def _vector_set(
    modules: Path, vector_set: sources.VectorSet, emoji: dict[str, list[str]], mdi: dict[str, list[str]]
) -> Iterator[Drawing]:
    folder = modules / sources.ICONIFY_PACKAGE.format(vector_set.name)
    data = json.loads((folder / "icons.json").read_text(encoding="utf-8"))
    categories = _categories(folder / "metadata.json")
    for name, icon in data["icons"].items():
        groups = categories.get(name, [])
        if icon.get("hidden") or _left_out(name, groups, vector_set):
            continue
        title = wordlists.name_to_title(name)
        extra = emoji.get(title, []) + (mdi.get(name, []) if vector_set.name == "mdi" else [])
        yield {
            "key": f"{vector_set.name}:{name}", "set": vector_set.name, "part": "train", "title": title,
            "keywords": wordlists.clean_keywords(extra), "folder": (groups or [""])[0].lower(),
            "svg": icon_svg(icon, data),
        }  # fmt: skip


def _categories(path: Path) -> dict[str, list[str]]:
    groups = json.loads(path.read_text(encoding="utf-8")).get("categories", {}) if path.exists() else {}
    return wordlists.group_by([(name, group) for group, names in groups.items() for name in names])


def _left_out(name: str, groups: list[str], vector_set: sources.VectorSet) -> bool:
    if any(name.endswith(end) for end in vector_set.leave_out):
        return True
    if any(word in group.lower() for group in groups for word in sources.LEFT_OUT_CATEGORIES):
        return True
    return any(word in name for word in sources.LEFT_OUT_NAMES)


def icon_svg(icon: dict[str, Any], data: dict[str, Any]) -> str:
    """A drawing of a set as SVG of its own; `data` is the set, whose sizes hold where the drawing names none."""
    left, top = icon.get("left", data.get("left", 0)), icon.get("top", data.get("top", 0))
    width, height = icon.get("width", data.get("width", 16)), icon.get("height", data.get("height", 16))
    body = icon["body"].replace("currentColor", "#000")
    head = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    return f'{head} viewBox="{left} {top} {width} {height}">{body}</svg>'


def _mdi_words(path: Path) -> dict[str, list[str]]:
    entries = json.loads(path.read_text(encoding="utf-8"))
    return {e["name"]: [a.replace("-", " ") for a in e["aliases"]] for e in entries}


def _people(workplace: Path) -> Iterator[Drawing]:
    script = Path(__file__).with_name("people.cjs")
    (workplace / script.name).write_bytes(script.read_bytes())
    run = subprocess.run(["node", script.name], cwd=workplace, check=True, capture_output=True, text=True)
    for number, line in enumerate(run.stdout.splitlines()):
        person = json.loads(line)
        title, keywords = describe_person(person)
        svg = person["svg"].replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"', 1)
        yield {
            "key": f"peeps:{number}", "set": "peeps", "part": "train", "title": title, "keywords": keywords,
            "folder": "people", "svg": tidy_svg(svg),
        }  # fmt: skip


_LONG_HAIR = ("Bun", "Long", "Medium", "Hijab", "Bangs", "Bantu")
_POSE_WORDS = {
    "ArmsCrossed": "with crossed arms", "CrossedArms": "with crossed arms", "Coffee": "with a coffee cup",
    "Device": "holding a phone", "Explaining": "explaining", "Gaming": "playing a video game",
    "Paper": "holding a sheet of paper", "PointingUp": "pointing up", "Bike": "riding a bicycle",
    "CrossedLegs": "with crossed legs", "HandsBack": "leaning back on the hands", "OneLegUp": "with one leg up",
    "Wheelchair": "in a wheelchair", "Doc": "doctor", "Easing": "leaning", "PointingFinger": "pointing",
    "Resting": "resting hands on hips", "RoboDance": "dancing", "Walking": "walking", "Dress": "in a dress",
}  # fmt: skip


def describe_person(person: dict[str, str]) -> tuple[str, list[str]]:
    """A title as a shot list would say it, and keywords, from the parts a made-up person was put together from."""
    long_hair = person["beard"] == "None" and any(w in person["hair"] for w in _LONG_HAIR)
    who = "man" if person["beard"] != "None" else "woman" if long_hair else "person"
    doing = next((text for name, text in _POSE_WORDS.items() if person["pose"].startswith(name)), "")
    kind = {"standing": "standing", "sitting": "sitting", "bust": "portrait"}[person["kind"]]
    if person["pose"].startswith("Walking"):
        kind = ""
    title = " ".join(f"{who} {kind} {doing}".split())
    mood = wordlists.name_to_title(person["face"]).replace(" nm", "")
    keywords = [who, "person", "people", mood, kind or "walking"]
    return title, [w for w in dict.fromkeys(keywords) if w]
