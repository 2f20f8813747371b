"""The words that a file carries about itself: title, description, keywords, creator, licence.

Sources, strongest first: XMP (ISO 16684-1, Dublin Core properties), IPTC-IIM 4.2
(records 2:05, 2:25, 2:80, 2:116, 2:120), Exif 2.32 (ImageDescription, Artist,
Copyright) with the XP* tags of Windows, PNG text keywords (PNG 3rd edition, 11.3.3).
"""

from __future__ import annotations

import contextlib
import re
import struct
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

LONGEST_TEXT = 4000  # characters kept of one field: a description, not a document
MOST_KEYWORDS = 200

_RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
_DC = "{http://purl.org/dc/elements/1.1/}"
_XMP_RIGHTS = "{http://ns.adobe.com/xap/1.0/rights/}"
_CC = ("{http://creativecommons.org/ns#}", "{http://web.resource.org/cc/}")

_EXIF_DESCRIPTION, _EXIF_ARTIST, _EXIF_COPYRIGHT = 0x010E, 0x013B, 0x8298
_XP_TITLE, _XP_COMMENT, _XP_AUTHOR, _XP_KEYWORDS, _XP_SUBJECT = 0x9C9B, 0x9C9C, 0x9C9D, 0x9C9E, 0x9C9F

_IIM_TITLE, _IIM_KEYWORD, _IIM_CREATOR, _IIM_RIGHTS, _IIM_DESCRIPTION = 5, 25, 80, 116, 120
_IIM_UTF8 = b"\x1b%G"  # ISO 2022 escape in 1:90 that declares UTF-8
_PHOTOSHOP_IIM = 0x0404

# what scanners and cameras write into the description of every file
_EMPTY_PHRASES = frozenset(
    {"created with gimp", "screenshot", "olympus digital camera", "ascii", "untitled", "default"}
)


@dataclass(frozen=True, slots=True)
class EmbeddedWords:
    """What a file says about itself; empty where it says nothing."""

    title: str = ""
    description: str = ""
    keywords: tuple[str, ...] = ()
    creator: str = ""
    licence: str = ""


NO_WORDS = EmbeddedWords()


def join_words(found: Iterable[EmbeddedWords]) -> EmbeddedWords:
    """One set of words from several; the first that has a field decides it, keywords add up."""
    parts = tuple(found)
    if not any(part != NO_WORDS for part in parts):
        return NO_WORDS
    keywords = [word for part in parts for word in part.keywords]
    return EmbeddedWords(
        title=next((part.title for part in parts if part.title), ""),
        description=next((part.description for part in parts if part.description), ""),
        keywords=_distinct(keywords),
        creator=next((part.creator for part in parts if part.creator), ""),
        licence=next((part.licence for part in parts if part.licence), ""),
    )


def read_xmp(packet: bytes | str | None) -> EmbeddedWords:
    """The words of an XMP packet; none where there is no packet or it is not well formed."""
    root = _parse_xml(packet)
    if root is None:
        return NO_WORDS
    return EmbeddedWords(
        title=_dublin_core(root, "title"),
        description=_dublin_core(root, "description"),
        keywords=_distinct(_items(root, "subject")),
        creator=", ".join(_distinct(_items(root, "creator"))),
        licence=_clean(_xmp_licence(root)),
    )


def read_svg_words(root: Element) -> EmbeddedWords:
    """The words of a parsed SVG document: its RDF metadata, else its own title and desc."""
    svg = "{http://www.w3.org/2000/svg}"
    own = EmbeddedWords(
        title=_clean(root.findtext(f"{svg}title") or root.findtext("title")),
        description=_clean(root.findtext(f"{svg}desc") or root.findtext("desc")),
    )
    work = next((node for space in _CC for node in root.iter(f"{space}Work")), None)
    if work is None:
        return own
    rdf = EmbeddedWords(
        title=_dublin_core(work, "title"),
        description=_dublin_core(work, "description"),
        keywords=_distinct(_items(work, "subject")),
        creator=", ".join(_distinct(_items(work, "creator"))),
        licence=_svg_licence(work),
    )
    return join_words((rdf, own))


def read_exif(tags: Mapping[int, Any]) -> EmbeddedWords:
    """The words among Exif tags (number to value, as Pillow gives them)."""
    return EmbeddedWords(
        title=_xp_text(tags.get(_XP_TITLE)) or _xp_text(tags.get(_XP_SUBJECT)),
        description=_clean(tags.get(_EXIF_DESCRIPTION)) or _xp_text(tags.get(_XP_COMMENT)),
        keywords=_distinct(re.split(r"[;,]", _xp_text(tags.get(_XP_KEYWORDS)))),
        creator=_clean(tags.get(_EXIF_ARTIST)) or _xp_text(tags.get(_XP_AUTHOR)),
        licence=_clean(tags.get(_EXIF_COPYRIGHT)),
    )


def read_png_text(text: Mapping[Any, Any]) -> EmbeddedWords:
    """The words of PNG text chunks, by the keywords that the PNG specification registers."""
    return EmbeddedWords(
        title=_clean(text.get("Title")),
        description=_clean(text.get("Description")) or _clean(text.get("Comment")),
        creator=_clean(text.get("Author")),
        licence=_clean(text.get("Copyright")),
    )


def read_iim(block: bytes) -> EmbeddedWords:
    """The words of an IPTC-IIM data block (the datasets of records 1 and 2)."""
    return gather_iim(_iim_datasets(block))


def gather_iim(datasets: Iterable[tuple[int, int, bytes]]) -> EmbeddedWords:
    """The words of IPTC-IIM datasets, each (record, number, value)."""
    fields: dict[int, list[str]] = {}
    encoding = "latin-1"
    for record, dataset, value in datasets:
        if (record, dataset) == (1, 90) and value.startswith(_IIM_UTF8):
            encoding = "utf-8"
        elif record == 2:
            fields.setdefault(dataset, []).append(_decode(value, encoding))
    return EmbeddedWords(
        title=_clean(_first(fields, _IIM_TITLE)),
        description=_clean(_first(fields, _IIM_DESCRIPTION)),
        keywords=_distinct(fields.get(_IIM_KEYWORD, ())),
        creator=", ".join(_distinct(fields.get(_IIM_CREATOR, ()))),
        licence=_clean(_first(fields, _IIM_RIGHTS)),
    )


def find_iim(resources: bytes) -> bytes:
    """The IPTC-IIM block inside Photoshop image resources ("8BIM"); empty where there is none."""
    at = 0
    while at + 12 <= len(resources) and resources[at : at + 4] == b"8BIM":
        number = struct.unpack_from(">H", resources, at + 4)[0]
        name_length = resources[at + 6]
        at += 6 + (name_length + 2 & ~1)  # the name is padded, with its length byte, to an even count
        if at + 4 > len(resources):
            break
        length = struct.unpack_from(">I", resources, at)[0]
        if number == _PHOTOSHOP_IIM:
            return resources[at + 4 : at + 4 + length]
        at += 4 + (length + 1 & ~1)
    return b""


def _iim_datasets(block: bytes) -> Iterable[tuple[int, int, bytes]]:
    at = 0
    while at + 5 <= len(block) and block[at] == 0x1C:
        record, dataset, length = struct.unpack_from(">BBH", block, at + 1)
        at += 5
        if length & 0x8000:  # extended dataset: the length of the length follows
            size = length & 0x7FFF
            length = int.from_bytes(block[at : at + size], "big")
            at += size
        yield record, dataset, block[at : at + length]
        at += length


def _parse_xml(packet: bytes | str | None) -> Element | None:
    if not packet:
        return None
    # imported late: most drawings carry no XMP, and a worker need not pay for the parser
    from xml.etree.ElementTree import ParseError

    from defusedxml.common import DefusedXmlException
    from defusedxml.ElementTree import fromstring

    text = packet.encode() if isinstance(packet, str) else packet
    with contextlib.suppress(ParseError, DefusedXmlException, ValueError, LookupError, RecursionError):
        root: Element = fromstring(text.strip(b"\x00 \r\n\t"))
        return root
    return None


def _dublin_core(root: Element, name: str) -> str:
    """A Dublin Core property as text, whether element, language alternative or RDF attribute."""
    return next(iter(_items(root, name)), "")


def _items(root: Element, name: str) -> list[str]:
    found = []
    for node in root.iter():
        if node.tag == f"{_DC}{name}":
            found.extend(_leaves(node))
        attribute = node.get(f"{_DC}{name}")
        if attribute:
            found.append(_clean(attribute))
    return [text for text in found if text]


def _leaves(node: Element) -> list[str]:
    """The texts under a property: list items, the title of an agent, or its own text."""
    items = list(node.iter(f"{_RDF}li"))
    items.sort(key=lambda item: item.get("{http://www.w3.org/XML/1998/namespace}lang") != "x-default")
    agents = list(node.iter(f"{_DC}title"))
    return [_clean("".join(leaf.itertext())) for leaf in items or agents or [node]]


def _xmp_licence(root: Element) -> str:
    statement = _dublin_core(root, "rights")
    if statement:
        return statement
    for node in root.iter():
        for name in (f"{_XMP_RIGHTS}WebStatement", f"{_CC[0]}license"):
            value = node.get(name) or (node.get(f"{_RDF}resource") or node.text if node.tag == name else None)
            if value:
                return value
    return ""


def _svg_licence(work: Element) -> str:
    for space in _CC:
        node = work.find(f"{space}license")
        if node is not None:
            return _clean(node.get(f"{_RDF}resource") or node.text)
    return _dublin_core(work, "rights")


def _clean(value: object) -> str:
    """Text with control characters and runs of white space gone, of bounded length."""
    if isinstance(value, bytes):
        value = _decode(value, "utf-8")
    if isinstance(value, tuple):
        value = " ".join(str(part) for part in value)
    text = "" if value is None else _as_meant(str(value))
    text = " ".join(re.sub(r"[\x00-\x1f\x7f\ufffd]+", " ", text).split())[:LONGEST_TEXT]
    return "" if text.casefold() in _EMPTY_PHRASES else text


def _as_meant(text: str) -> str:
    """UTF-8 that was written where Latin-1 belongs (PNG tEXt, Exif ASCII), as it was meant.

    Latin-1 text of a person's making is hardly ever valid UTF-8 by chance: *Ã¼* is no spelling.
    """
    try:
        return text.encode("latin-1").decode("utf-8")
    except UnicodeError:
        return text


def _xp_text(value: object) -> str:
    """The text of a Windows XP* tag: UTF-16LE bytes, ended by a zero."""
    if isinstance(value, tuple):
        value = bytes(part & 0xFF for part in value if isinstance(part, int))
    if isinstance(value, bytes):
        value = value.decode("utf-16-le", "replace")
    return _clean(value)


def _decode(value: bytes, encoding: str) -> str:
    try:
        return value.decode(encoding)
    except UnicodeDecodeError:
        return value.decode("latin-1")


def _first(fields: Mapping[int, list[str]], number: int) -> str:
    return next(iter(fields.get(number, ())), "")


def _distinct(words: Iterable[str]) -> tuple[str, ...]:
    """The words cleaned, each once, in their order."""
    return tuple(dict.fromkeys(word for word in map(_clean, words) if word))[:MOST_KEYWORDS]
