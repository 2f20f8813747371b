"""What the name of a layer says it is: a part of one drawing, or its ground. From memory of how artists name layers."""

from __future__ import annotations

import re
import unicodedata

PARTS = {
    "ground": "ground background backgrounds bg back paper backdrop canvas white texture hintergrund hg papier weiss "
    "weisz grund textur fond arriereplan arriere blanc texture fondo papel blanco textura sfondo carta bianco trama "
    "fundo branco achtergrond wit bakgrunn papir 背景 紙 用紙 白 纸 白底 배경 종이 фон бумага белый",
    "line": "line lines lineart linework ink inks inking outline outlines contour contours cleanup pencil pencils "
    "sketch rough roughs linie linien tusche kontur konturen umriss umrisse skizze vorzeichnung reinzeichnung "
    "bleistift feder ligne lignes encre encrage trait traits croquis crayon crayonne esquisse linea lineas tinta "
    "entintado boceto contorno contornos lapiz trazo trazos linee china inchiostro inchiostrazione matita schizzo "
    "bozza contorni tratto linha linhas traco esboco lijn lijnen inkt schets linje linjer blekk 線画 線 主線 ペン入れ "
    "下描き 线稿 线 墨线 勾线 선화 라인 линия линии лайн контур тушь набросок",
    "tone": "tone tones shade shades shading shadow shadows grey gray greys grays highlight highlights light lights "
    "wash values hatching ton tone toene tone schatten schattierung schattierungen schraffur grau lavierung licht "
    "lichter glanz ombre ombres ombrage hachures gris lumiere lumieres reflets lavis sombra sombras sombreado luz "
    "luces brillo brillos tono tonos ombreggiatura grigio grigi luce luci toni tratteggio acquerello cinza luzes "
    "schaduw grijs skygge トーン 影 陰影 光 阴影 明暗 灰 高光 명암 그림자 тон тени тень свет блики",
    "colour": "colour colours color colors flat flats fill fills paint painting base farbe farben flaeche flaechen "
    "flache flachen grundfarbe grundfarben fuellung fullung kolorierung kolorit couleur couleurs aplat aplats "
    "remplissage color colores plano planos relleno colore colori tinte campitura campiture riempimento cor cores "
    "preenchimento kleur kleuren vulling farge 色 着色 塗り 彩色 上色 底色 채색 색 밑색 цвет цвета заливка",
}
"""In the order of what counts where words of a name say different parts: *background colour* is ground."""

_BY_WORD: dict[str, str] = {}
for _part, _words_of in PARTS.items():
    for _word in _words_of.split():
        _BY_WORD.setdefault(unicodedata.normalize("NFC", _word), _part)

_SILENT = (
    "copy kopie copie copia layer layers ebene calque capa livello group gruppe groupe grupo gruppo folder art the of "
    "and for under over top final neu new old der die das und de des du la le les et el los del y di della e il lo "
    "portee portees plan main my v"
)
_EMPTY = frozenset(_SILENT.split())
"""Words that say nothing of what a layer is."""


def part_named(name: str) -> str | None:
    """The part of a drawing that a layer's name says it is: line, tone, colour or ground; None for any other name.

    Every word of the name must say a part, or be a number or a copy: *line 2*, *ink copy*; *baker line* is no part.
    """
    owner, part = owner_and_part(name)
    return None if owner else part


def owner_and_part(name: str) -> tuple[str, str | None]:
    """What a layer belongs to by its name, and which part of it: *baker line* gives ('baker', 'line')."""
    words = _words(name)
    whole = _BY_WORD.get("".join(words))  # arrière-plan
    if whole is not None:
        return "", whole
    found = [_BY_WORD.get(word) for word in words]
    parts = [part for part in PARTS if part in found]
    left = [
        word
        for word, part in zip(words, found, strict=True)
        if part is None and word not in _EMPTY and not word.isdigit()
    ]
    return " ".join(left), parts[0] if parts else None


def _words(name: str) -> list[str]:
    """The words of a name in lower case without accents; *lineArt*, *line_art* and *line-art* give the same."""
    parted = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name)
    plain = unicodedata.normalize("NFKD", parted.casefold())
    plain = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return re.findall(r"[^\W\d_]+|\d+", unicodedata.normalize("NFC", plain))
