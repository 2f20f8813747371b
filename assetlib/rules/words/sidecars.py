"""Words written in open standards for other programs: XMP packets, SKOS in Turtle, cells of a table."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import quote
from xml.sax.saxutils import escape

from assetlib.rules.words.thesaurus import NAMESPACE

_NO_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 (2.2, Char) does not allow."""

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""First characters by which spreadsheets take a cell for a formula (OWASP, CSV injection; from memory)."""


@dataclass(frozen=True, slots=True)
class Said:
    """What a sidecar says of a picture; Dublin Core terms."""

    title: str
    identifier: str
    subjects: tuple[str, ...] = ()
    description: str = ""


@dataclass(frozen=True, slots=True)
class Concept:
    """A concept as SKOS has it: labels by kind (preferred, other, hidden) with their language, and relations."""

    slug: str
    labels: tuple[tuple[str, str, str], ...]
    """Kind, text, language."""
    definition: str | None = None
    broader: tuple[str, ...] = ()
    related: tuple[str, ...] = ()


def xmp_packet(said: Said) -> str:
    """An XMP packet (ISO 16684-1, RDF/XML as in its part 1, 7; checked with exiftool)."""
    subjects = "".join(f"<rdf:li>{xml_text(word)}</rdf:li>" for word in said.subjects)
    parts = [
        f"<dc:identifier>{xml_text(said.identifier)}</dc:identifier>",
        f"<dc:title>{alternative(said.title)}</dc:title>",
        f"<dc:description>{alternative(said.description)}</dc:description>" if said.description else "",
        f"<dc:subject><rdf:Bag>{subjects}</rdf:Bag></dc:subject>" if subjects else "",
    ]
    return wrapped([part for part in parts if part], {"dc": "http://purl.org/dc/elements/1.1/"})


def wrapped(parts: Iterable[str], namespaces: Mapping[str, str]) -> str:
    """Properties as XML text, in the packet and the one description that XMP wants around them."""
    declared = " ".join(f'xmlns:{prefix}="{address}"' for prefix, address in namespaces.items())
    body = "\n   ".join(parts)
    return (
        '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n'
        '<x:xmpmeta xmlns:x="adobe:ns:meta/">\n'
        ' <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">\n'
        f'  <rdf:Description rdf:about="" {declared}>\n'
        f"   {body}\n"
        "  </rdf:Description>\n </rdf:RDF>\n</x:xmpmeta>\n"
        '<?xpacket end="w"?>\n'
    )


def alternative(text: str) -> str:
    """A text as XMP's list of languages with one in it, for no language in particular."""
    return f'<rdf:Alt><rdf:li xml:lang="x-default">{xml_text(text)}</rdf:li></rdf:Alt>'


def xml_text(text: str) -> str:
    """A text that may stand in an XML element; what XML does not allow becomes a question mark of its own."""
    return escape(_NO_XML.sub("\ufffd", text))


_PROPERTY = {"preferred": "prefLabel", "other": "altLabel", "hidden": "hiddenLabel"}


def turtle(concepts: Iterable[Concept]) -> str:
    """Concepts as SKOS (W3C Recommendation of 18 August 2009) in Turtle (RDF 1.1), one concept scheme."""
    head = (
        "@prefix skos: <http://www.w3.org/2004/02/skos/core#> .\n\n"
        f'<{NAMESPACE}scheme> a skos:ConceptScheme ; skos:prefLabel "Words of the library"@en .\n'
    )
    return head + "".join(_concept(concept) for concept in concepts)


def _concept(concept: Concept) -> str:
    lines = [f"\n{_iri(concept.slug)} a skos:Concept", f"skos:inScheme <{NAMESPACE}scheme>"]
    lines += [
        f"skos:{_PROPERTY[kind]} {_literal(text)}@{_language(language)}"
        for kind, text, language in concept.labels
    ]
    if concept.definition:
        lines.append(f"skos:definition {_literal(concept.definition)}@en")
    lines += [f"skos:broader {_iri(slug)}" for slug in concept.broader]
    lines += [f"skos:related {_iri(slug)}" for slug in concept.related]
    return " ;\n    ".join(lines) + " .\n"


def _iri(slug: str) -> str:
    return f"<{NAMESPACE}{quote(slug, safe='', errors='replace')}>"


def _literal(text: str) -> str:
    """A Turtle string: JSON's escapes are Turtle's too."""
    return json.dumps(text.encode("utf-8", "replace").decode(), ensure_ascii=False).replace("\x7f", "\\u007F")


def _language(tag: str) -> str:
    return tag if re.fullmatch(r"[a-zA-Z]+(-[a-zA-Z0-9]+)*", tag) else "en"


def cells(columns: Sequence[str], row: Mapping[str, object]) -> list[str]:
    """A row's cells in the order of the columns, none of which a spreadsheet takes for a formula."""
    texts = ("" if row.get(name) is None else str(row[name]) for name in columns)
    return [f"'{text}" if text.startswith(_FORMULA) else text for text in texts]
