"""What the name of a layer says it is: a part of one drawing, or its ground. From memory of how artists name layers."""

from __future__ import annotations

import re
import unicodedata

PARTS = {
    "line": "line lines lineart linework ink inks inking outline outlines contour contours cleanup pencil pencils "
    "sketch rough roughs linie linien tusche kontur umriss skizze reinzeichnung ligne lignes encre encrage trait "
    "traits croquis crayonne linea lineas tinta entintado boceto contorno linee china inchiostro schizzo linha "
    "linhas traco esboco lijn lijnen inkt schets linje linjer blekk 線画 線 主線 ペン入れ 下描き 线稿 线 墨线 勾线 "
    "선화 라인 линия линии лайн контур тушь набросок",
    "tone": "tone tones shade shades shading shadow shadows grey gray greys highlight highlights light lights wash "
    "values ton tone toene schatten schattierung grau licht lichter lavierung ombre ombres gris lumiere lumieres "
    "lavis sombra sombras gris luz luces tono tonos ombra ombre grigio luce luci acquerello cinza luzes schaduw "
    "grijs skygge トーン 影 陰影 光 阴影 明暗 灰 高光 명암 그림자 тон тени тень свет блики",
    "colour": "colour colours color colors flat flats fill fills paint painting base farbe farben flaechen fuellung "
    "kolorierung couleur couleurs aplat aplats remplissage color colores plano planos relleno colore colori "
    "campitura riempimento cor cores preenchimento kleur kleuren vulling farge 色 着色 塗り 彩色 上色 底色 채색 색 "
    "밑색 цвет цвета заливка",
    "ground": "ground background backgrounds bg back paper backdrop canvas white hintergrund papier weiss grund "
    "fond arriereplan blanc fondo papel blanco sfondo carta bianco fundo branco achtergrond wit bakgrunn papir "
    "背景 紙 用紙 白 纸 白底 배경 종이 фон бумага белый",
}
_BY_WORD = {word: part for part, words in PARTS.items() for word in words.split()}


def part_named(name: str) -> str | None:
    """The part of a drawing that a layer's name says it is: line, tone, colour or ground; None for any other name.

    Every word of the name must say the same, or be a number or a copy: *line 2*, *ink copy*; *baker line* is no part.
    """
    words = [word for word in _words(name) if not word.isdigit() and word not in _EMPTY]
    parts = {_BY_WORD.get(word) for word in words}
    return parts.pop() if len(parts) == 1 else None


_EMPTY = {
    "copy",
    "kopie",
    "copie",
    "copia",
    "layer",
    "ebene",
    "calque",
    "capa",
    "livello",
    "art",
    "the",
    "of",
}


def _words(name: str) -> list[str]:
    plain = unicodedata.normalize("NFKD", name.lower())
    plain = "".join(letter for letter in plain if not unicodedata.combining(letter))
    plain = unicodedata.normalize("NFC", plain)
    return re.findall(r"[^\W_]+", plain)
