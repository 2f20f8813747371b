"""What stands inside every picture that is sold: who drew it, whose it is, what may be done with it, as XMP.

Properties and namespaces: IPTC Photo Metadata Standard 2025.1 (Core 1.5, Extension 1.9), PLUS License Data Format
1.2.1 (codes as exiftool's table has them), XMP (ISO 16684-1); read back in tests by exiftool. This is no legal
advice: the fields repeat what the licence says, and the licence decides.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from assetlib.rules.rights.clearance import Releases
from assetlib.rules.words.sidecars import alternative, wrapped, xml_text

SOURCE_TYPES = "http://cv.iptc.org/newscodes/digitalsourcetype/"
DATA_MINING = "DMI-PROHIBITED-AIMLTRAINING"
"""PLUS code (IPTC Photo Metadata 2023.1): not for training; says what the licence text says."""

_PLUS = "http://ns.useplus.org/ldf/vocab/"
_NAMESPACES = {
    "dc": "http://purl.org/dc/elements/1.1/",
    "xmpRights": "http://ns.adobe.com/xap/1.0/rights/",
    "photoshop": "http://ns.adobe.com/photoshop/1.0/",
    "Iptc4xmpCore": "http://iptc.org/std/Iptc4xmpCore/1.0/xmlns/",
    "Iptc4xmpExt": "http://iptc.org/std/Iptc4xmpExt/2008-02-29/",
    "plus": "http://ns.useplus.org/ldf/xmp/1.0/",
}
_LONGEST, _LONGEST_WORD, _MOST_WORDS = 300, 64, 60
"""Characters of a text and of a word in a list, and words in it: the packet has to fit one segment of a JPEG, also
where every character takes five bytes."""


@dataclass(frozen=True, slots=True)
class PictureWords:
    """What is said of one picture, and of the bundle that it lies in."""

    title: str
    description: str
    subjects: tuple[str, ...]
    code: str
    guid: str
    """`urn:uuid:` of this very picture."""
    source_type: str
    """The last part of an IPTC Digital Source Type; empty where nobody has stated it."""
    releases: Releases
    artist: str
    contact: str
    website: str
    """Where the terms or the artist are found; may be empty."""
    year: int
    terms: str
    """What may be done with it, in a sentence or two."""


def packet(words: PictureWords) -> str:
    """The XMP packet; the same words give the same text."""
    parts = [*_described(words), *_owned(words), *_released(words)]
    return wrapped([part for part in parts if part], _NAMESPACES)


def _described(words: PictureWords) -> Iterable[str]:
    yield f"<dc:title>{alternative(_short(words.title))}</dc:title>"
    yield f"<dc:description>{alternative(_short(words.description))}</dc:description>"
    yield f"<Iptc4xmpCore:AltTextAccessibility>{alternative(_short(words.description))}" \
          "</Iptc4xmpCore:AltTextAccessibility>"  # fmt: skip
    yield _list("dc:subject", "Bag", [word[:_LONGEST_WORD] for word in words.subjects[:_MOST_WORDS]])
    yield _text("Iptc4xmpExt:DigImageGUID", words.guid)
    if words.source_type:
        yield _text("Iptc4xmpExt:DigitalSourceType", SOURCE_TYPES + words.source_type)
    yield f"<plus:ImageType>{_PLUS}TY-ILL</plus:ImageType>"
    yield _text("plus:LicensorImageID", words.code)


def _owned(words: PictureWords) -> Iterable[str]:
    yield _list("dc:creator", "Seq", [words.artist])
    yield f"<dc:rights>{alternative(f'© {words.year} {_short(words.artist)}')}</dc:rights>"
    yield _text("photoshop:Credit", words.artist)
    yield "<xmpRights:Marked>True</xmpRights:Marked>"
    yield f"<xmpRights:UsageTerms>{alternative(words.terms)}</xmpRights:UsageTerms>"
    if words.website:
        yield _text("xmpRights:WebStatement", words.website)
    contact = {"CiEmailWork": words.contact, "CiUrlWork": words.website}
    yield f'<Iptc4xmpCore:CreatorContactInfo rdf:parseType="Resource">{_fields("Iptc4xmpCore", contact)}' \
          "</Iptc4xmpCore:CreatorContactInfo>"  # fmt: skip
    licensor = {"LicensorName": words.artist, "LicensorEmail": words.contact, "LicensorURL": words.website}
    yield _struct("plus:Licensor", licensor)
    yield _struct("plus:CopyrightOwner", {"CopyrightOwnerName": words.artist})
    yield _struct("plus:ImageCreator", {"ImageCreatorName": words.artist})
    yield f"<plus:CopyrightStatus>{_PLUS}CS-PRO</plus:CopyrightStatus>"
    yield f"<plus:CreditLineRequired>{_PLUS}CR-NRQ</plus:CreditLineRequired>"
    yield f"<plus:ImageDuplicationConstraints>{_PLUS}DP-LIC</plus:ImageDuplicationConstraints>"
    yield f"<plus:DataMining>{_PLUS}{DATA_MINING}</plus:DataMining>"


def _released(words: PictureWords) -> Iterable[str]:
    """Status codes alone: who sat, and what was signed, stays with the artist."""
    yield f"<plus:ModelReleaseStatus>{_PLUS}{words.releases.model}</plus:ModelReleaseStatus>"
    yield f"<plus:PropertyReleaseStatus>{_PLUS}{words.releases.property}</plus:PropertyReleaseStatus>"


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST].rstrip()}…"


def _text(name: str, text: str) -> str:
    return f"<{name}>{xml_text(_short(text))}</{name}>"


def _list(name: str, kind: str, items: Iterable[str]) -> str:
    rows = "".join(f"<rdf:li>{xml_text(_short(item))}</rdf:li>" for item in items)
    return f"<{name}><rdf:{kind}>{rows}</rdf:{kind}></{name}>" if rows else ""


def _struct(name: str, told: dict[str, str]) -> str:
    fields = _fields(name.partition(":")[0], told)
    return f'<{name}><rdf:Seq><rdf:li rdf:parseType="Resource">{fields}</rdf:li></rdf:Seq></{name}>'


def _fields(prefix: str, told: dict[str, str]) -> str:
    return "".join(_text(f"{prefix}:{field}", value) for field, value in told.items() if value)
