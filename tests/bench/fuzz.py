"""Files altered at random before every reader of what comes from outside: each answers in a sentence, none crashes.

    python -m tests.bench.fuzz [--seconds 600] [--seed 1] [--only settings ...]

A reader fails where anything but our own errors comes out of it. Pictures are read in watched processes, as always.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import numpy as np
from PIL import Image, PngImagePlugin

from assetlib.config import SETTINGS_FILE, read_settings
from assetlib.errors import AssetlibError
from assetlib.imaging.formats import read_facts, read_picture
from assetlib.imaging.formats.interface import Facts
from assetlib.imaging.layering.layers import Layer, LayeredFrame, LayerGroup
from assetlib.imaging.layering.writing import write_frame
from assetlib.imaging.metadata import read_xmp
from assetlib.imaging.supervise import run_supervised
from assetlib.library import Library
from assetlib.services.keeping.inspecting import check_backup
from assetlib.services.keeping.restoring import restore
from assetlib.services.trade import bundling
from tests.faults import acts

SVG = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 90 60"><path d="M5 5h60v40z"/><use href="#a"/></svg>'
AT_ONCE = 40
"""Pictures that are handed to the watched processes together."""


def altered(data: bytes, rng: random.Random) -> bytes:
    """The bytes with a few of them changed, taken out, repeated or cut off."""
    found = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 5, 30))):
        at = rng.randrange(max(1, len(found)))
        match rng.randrange(6):
            case 0:
                del found[at:]
            case 1:
                del found[at : at + rng.randrange(1, 64)]
            case 2:
                found[at:at] = found[at : at + rng.randrange(1, 64)]
            case 3:
                found[at : at + 4] = rng.choice(
                    (b"\xff\xff\xff\xff", b"\0\0\0\0", b"\x7f\xff\xff\xff", b"9999")
                )
            case 4:
                found[at:at] = rng.choice((b"../../", b"\0", b"\xff", b'"', b"\n", b"1e999"))
            case _:
                if found:
                    found[at % len(found)] ^= 1 << rng.randrange(8)
    return bytes(found)


def _settings(base: Path, work: Path, rng: random.Random) -> None:
    data = altered((base / "library" / SETTINGS_FILE).read_bytes(), rng)
    work.mkdir(exist_ok=True)
    (work / SETTINGS_FILE).write_bytes(data)
    read_settings(work)


def _spoilt_backup(base: Path, work: Path, rng: random.Random) -> Path:
    shutil.copytree(base / "safe", work / "safe")
    files = sorted(path for path in (work / "safe").rglob("*") if path.is_file() and path.stat().st_size)
    path = rng.choice(files)
    path.chmod(0o600)
    path.write_bytes(altered(path.read_bytes(), rng))
    return work / "safe"


def _backup(base: Path, work: Path, rng: random.Random) -> None:
    check_backup(_spoilt_backup(base, work, rng))


def _restore(base: Path, work: Path, rng: random.Random) -> None:
    backup = _spoilt_backup(base, work, rng)
    around = set(work.rglob("*"))
    try:
        restored = restore(backup, work / "again")
        Library.open(restored.folder, repairing=True).close()
    finally:
        outside = [path for path in set(work.rglob("*")) - around if not path.is_relative_to(work / "again")]
        assert not outside, outside


def _bundle(base: Path, work: Path, rng: random.Random) -> None:
    data = next((base / "library" / "bundles").glob("*.zip")).read_bytes()
    spoilt = altered(data, rng)
    (work / "bundle.zip").write_bytes(spoilt)
    assert bundling.verify(work / "bundle.zip").ok == (spoilt == data)


XMP = b"""<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF
xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/">
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">Ferry, CU</rdf:li></rdf:Alt></dc:title><dc:subject><rdf:Bag>
<rdf:li>ferry</rdf:li><rdf:li>harbour</rdf:li></rdf:Bag></dc:subject></rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="w"?>"""


def _xmp(base: Path, work: Path, rng: random.Random) -> None:
    """Words inside a file are read without a watched process, as those of a sidecar are."""
    read_xmp(altered(XMP, rng))


READERS: dict[str, Callable[[Path, Path, random.Random], None]] = {
    "settings": _settings, "backup": _backup, "restore": _restore, "bundle": _bundle, "xmp": _xmp,
}  # fmt: skip

LAYERED = ("psd", "ora")
PICTURES = ("svg", "png", "jpeg", "gif", "bmp", "tiff", "webp", "pdf", "png with words", "jpeg with words")
"""Kinds of pictures that are altered."""
SEEN = {"pictures": PICTURES, "layered": LAYERED}
MOST_LAYERS = 8


def pictures(folder: Path) -> dict[str, bytes]:
    """A small picture of each kind that is read, some with words inside, some with layers."""
    image = Image.new("RGB", (60, 40), "white")
    image.paste((10, 20, 30), (5, 5, 40, 30))
    found = {"svg": SVG}
    for kind in ("PNG", "JPEG", "GIF", "BMP", "TIFF", "WEBP", "PDF"):
        path = folder / f"seed.{kind.lower()}"
        image.save(path)
        found[kind.lower()] = path.read_bytes()
    words = PngImagePlugin.PngInfo()
    words.add_itxt("XML:com.adobe.xmp", XMP.decode())
    image.save(folder / "words.png", pnginfo=words)
    image.save(folder / "words.jpeg", xmp=XMP)
    for kind in ("png", "jpeg"):
        found[f"{kind} with words"] = (folder / f"words.{kind}").read_bytes()
    drawn = np.zeros((20, 30, 4), np.uint8)
    drawn[4:16, 4:26] = (20, 30, 40, 255)
    group = LayerGroup("dog", (Layer("body", drawn, 3, 5), Layer("ink", drawn, 4, 6, opacity=128)))
    for kind in LAYERED:
        path = folder / f"seed.{kind}"
        write_frame(LayeredFrame((60, 40), (group, Layer("hidden", drawn, 9, 2, visible=False))), path)
        found[kind] = path.read_bytes()
    return found


def look(path: str) -> Facts:
    """All that is ever read of a file: what it is, its words, its picture, every layer by itself."""
    facts = read_facts(path)
    read_picture(path)
    for layer in facts.layers[:MOST_LAYERS]:
        read_picture(path, layer=layer.path)
    return facts


def fuzz_pictures(
    work: Path, kinds: Sequence[str], rng: random.Random, seconds: float
) -> Iterator[tuple[bool, str]]:
    """Each altered picture: whether the reader answered as it should, and what it said."""
    seeds = pictures(work)
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        paths = []
        for number in range(AT_ONCE):
            kind = rng.choice(kinds)
            paths.append(str(work / f"{number}.{kind.split()[0]}"))
            Path(paths[-1]).write_bytes(altered(seeds[kind], rng))
        for path, outcome in run_supervised(look, paths, workers=1, timeout=30):
            limits = ("needed more than", "took longer than")  # a bomb was stopped, as it is meant to be
            known = (outcome.value or outcome.error) is not None or str(outcome.reason).startswith(limits)
            yield known, f"{Path(path).suffix}: {outcome.reason}"


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--seconds", type=float, default=600)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", nargs="+", choices=[*READERS, *SEEN], default=[*READERS, *SEEN])
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        base = acts.prepare(Path(place) / "base")
        lib = Library.open(base / "library")
        bundling.build(lib, "Sold")
        lib.close()
        for name in chosen.only:
            rng = random.Random(f"{chosen.seed} {name}")
            tried = failed = 0
            if name in SEEN:
                (Path(place) / name).mkdir()
                for known, said in fuzz_pictures(Path(place) / name, SEEN[name], rng, chosen.seconds):
                    tried, failed = tried + 1, failed + (not known)
                    if not known:
                        print(f"  {name}: {said}", flush=True)
            else:
                tried, failed = _fuzz(READERS[name], base, Path(place) / "work", rng, chosen.seconds)
            print(
                f"{name}: {tried} altered files in {chosen.seconds:.0f} s, {failed} answered wrongly",
                flush=True,
            )


def _fuzz(
    read: Callable[[Path, Path, random.Random], None],
    base: Path,
    work: Path,
    rng: random.Random,
    seconds: float,
) -> tuple[int, int]:
    tried = failed = 0
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        shutil.rmtree(work, ignore_errors=True)
        os.makedirs(work)
        try:
            read(base, work, rng)
        except AssetlibError:
            pass
        except Exception as error:
            failed += 1
            print(f"  {read.__name__}: {type(error).__name__}: {error}"[:300], flush=True)
        tried += 1
    return tried, failed


if __name__ == "__main__":
    main()
