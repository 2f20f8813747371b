"""Where the training drawings come from: the vector sets, their licences and which of their pictures are left out."""

from __future__ import annotations

from dataclasses import dataclass

OPENCLIPART_FOLDER = "/usr/share/openclipart/svg"  # Debian package openclipart-svg, public domain
WORDNET_FOLDER = "/usr/share/wordnet"  # Debian package wordnet-base
ICONIFY_PACKAGE = "@iconify-json/{}"
PEOPLE_PACKAGES = ("react-peeps@0.1.10", "react@16", "react-dom@16")
EMOJI_PACKAGE = "emojibase-data"
MDI_PACKAGE = "@mdi/svg"


@dataclass(frozen=True)
class VectorSet:
    """One set of `@iconify-json`: its licence as the package states it, and which name endings to leave out."""

    name: str
    licence: str
    author: str
    leave_out: tuple[str, ...] = ()
    colour: bool = False


# The licence of every set was read from its package's own `info`; sets under share-alike terms are not used.
SETS: tuple[VectorSet, ...] = (
    VectorSet("noto", "Apache-2.0", "Google Inc", colour=True),
    VectorSet("noto-v1", "Apache-2.0", "Google Inc", colour=True),
    VectorSet("fxemoji", "Apache-2.0", "Mozilla", colour=True),
    VectorSet("fluent-emoji-flat", "MIT", "Microsoft Corporation", colour=True),
    VectorSet("fluent-emoji-high-contrast", "MIT", "Microsoft Corporation"),
    VectorSet("twemoji", "CC-BY-4.0", "Twitter", colour=True),
    VectorSet("emojione", "CC-BY-4.0", "Emoji One", colour=True),
    VectorSet("emojione-monotone", "CC-BY-4.0", "Emoji One"),
    VectorSet("streamline-emojis", "CC-BY-4.0", "Streamline", colour=True),
    VectorSet("icon-park", "Apache-2.0", "ByteDance", colour=True),
    VectorSet("icon-park-outline", "Apache-2.0", "ByteDance"),
    VectorSet("mdi", "Apache-2.0", "Pictogrammers", ("-outline-variant",)),
    VectorSet("healthicons", "MIT", "Resolve to Save Lives", ("-24px", "-outline-24px", "-negative")),
    VectorSet("ph", "MIT", "Phosphor Icons", ("-light", "-bold", "-thin")),
    VectorSet("tabler", "MIT", "Paweł Kuna"),
    VectorSet("flat-color-icons", "MIT", "Icons8", colour=True),
    VectorSet("maki", "CC0-1.0", "Mapbox", ("-11",)),
    VectorSet("temaki", "CC0-1.0", "Bryan Housel"),
    VectorSet("streamline-freehand", "CC-BY-4.0", "Streamline"),
    VectorSet("streamline-freehand-color", "CC-BY-4.0", "Streamline", colour=True),
    VectorSet("streamline-plump-color", "CC-BY-4.0", "Streamline", ("-flat",), colour=True),
    VectorSet("streamline-kameleon-color", "CC-BY-4.0", "Streamline", ("-duo",), colour=True),
    VectorSet("streamline-stickies-color", "CC-BY-4.0", "Streamline", ("-duo",), colour=True),
    VectorSet("streamline-ultimate-color", "CC-BY-4.0", "Streamline", colour=True),
    VectorSet("streamline-ultimate", "CC-BY-4.0", "Streamline", ("-bold",)),
    VectorSet("streamline-color", "CC-BY-4.0", "Streamline", ("-flat",), colour=True),
    VectorSet("streamline-flex-color", "CC-BY-4.0", "Streamline", ("-flat",), colour=True),
    VectorSet("streamline-cyber", "CC-BY-4.0", "Streamline"),
    VectorSet("game-icons", "CC-BY-3.0", "GameIcons"),
    VectorSet("guidance", "CC-BY-4.0", "Streamline"),
    VectorSet(
        "material-symbols",
        "Apache-2.0",
        "Google",
        ("-rounded", "-sharp", "-outline-rounded", "-outline-sharp"),
    ),
    VectorSet("lucide", "ISC", "Lucide Contributors"),
    VectorSet("lucide-lab", "ISC", "Lucide Contributors"),
    VectorSet("hugeicons", "MIT", "Hugeicons"),
    VectorSet(
        "solar", "CC-BY-4.0", "480 Design", ("-broken", "-line-duotone", "-outline", "-bold"), colour=True
    ),
    VectorSet("carbon", "Apache-2.0", "IBM"),
    VectorSet("mingcute", "Apache-2.0", "MingCute Design", ("-line",)),
    VectorSet("fluent-color", "MIT", "Microsoft Corporation", ("-16", "-20", "-24"), colour=True),
    VectorSet("meteocons", "MIT", "Bas Milius", colour=True),
    VectorSet("fa6-solid", "CC-BY-4.0", "Dave Gandy"),
    VectorSet("medical-icon", "MIT", "Samuel Frémondière"),
)

# Trade marks and interface signs teach nothing about drawings.
LEFT_OUT_CATEGORIES = (
    "brand",
    "logo",
    "arrow",
    "text",
    "alpha / numeric",
    "letters",
    "flags",
    "social",
    "currency",
)
LEFT_OUT_NAMES = (
    "brand-", "logo", "flag-for-", "flag-", "arrow", "chevron", "-off", "circle-letter", "letter-", "number-", "align-",
    "border-", "text-", "format-", "-skin-tone", "-dark", "-light", "caret-", "numeric-", "square-letter",
    "keycap", "hexagon-letter", "alpha-",
)  # fmt: skip
STYLE_WORDS = frozenset(
    """outline fill filled solid line linear bold duotone twotone regular light thin rounded sharp flat color alt
    alternate variant broken duo remix 1 2 3 4 5 6 7 8 9 01 02 03 04 05 16 20 24 28 32 48 one two three four five
    24px 11 15""".split()  # noqa: SIM905 - a list of quoted words reads worse
)


def npm_packages() -> list[str]:
    """The npm packages that the collect stage installs, with no scripts run."""
    return [ICONIFY_PACKAGE.format(s.name) for s in SETS] + [EMOJI_PACKAGE, MDI_PACKAGE, *PEOPLE_PACKAGES]
