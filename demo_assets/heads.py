"""Heads: one egg, three ways round (front to three-quarter, profile, back), with hair, hats and few features."""

# Rows of coordinates are laid out by hand, one stroke a line.
# fmt: off
# ruff: noqa: E501

from __future__ import annotations

from dataclasses import dataclass

from .pen import Path, Pen, arc


@dataclass(frozen=True)
class Look:
    """Who it is: hair (short, bob, long, bun, curly, bald, tail), hat, beard, glasses, mouth, dark or light hair."""

    hair: str = "short"
    hat: str = ""
    beard: bool = False
    glasses: bool = False
    mouth: str = "flat"
    dark: bool = True
    old: bool = False


def head(pen: Pen, x: float, y: float, h: float, look: Look, turn: float = 0, tilt: float = 0, view: str = "front",
         fine: bool = False) -> None:
    """A head of height h centred on x, y. `turn` -1..1 looks left..right (beyond .75 a profile); `fine` for close-ups."""
    with pen.place(x, y, h, tilt, flip=turn < 0):
        t = abs(turn)
        if view == "back":
            _back(pen, look)
        elif t > 0.75:
            _profile(pen, look, fine)
        else:
            _front(pen, look, t, fine)


def _front(pen: Pen, look: Look, t: float, fine: bool) -> None:
    if look.hair in ("long", "bob"):
        _curtain(pen, look, t)
    for side in (-1, 1):
        if side < 0 or t < 0.25:
            ex = side * 0.35 + (0.06 if side < 0 else 0.02) * t
            pen.shape(arc(ex, 0.09, 0.065, 0.11, turn=side * 8), "skin", 0.8)
    pen.shape(_face(t), "skin")
    _features(pen, look, t, fine)
    if look.beard:
        _beard(pen, t)
    if look.hair != "bald":
        _hair_front(pen, look, t)
    elif not look.hat:
        for side in (-1, 1):
            pen.line([(side * 0.36 + 0.03 * t, -0.1), (side * 0.37, -0.02), (side * 0.34, 0.04)], 1.6)
    if look.hat:
        _hat_front(pen, look.hat, t)


def _face(t: float) -> Path:
    return [(0.02 * t, -0.5), (0.23, -0.45), (0.335, -0.22), (0.335 - 0.03 * t, -0.02), (0.325 + 0.02 * t, 0.12),
            (0.26 + 0.02 * t, 0.32), (0.11 + 0.13 * t, 0.48), (-0.06 + 0.16 * t, 0.495), (-0.24 + 0.1 * t, 0.35),
            (-0.325, 0.12), (-0.35 - 0.03 * t, -0.18), (-0.25 - 0.02 * t, -0.43)]


def _features(pen: Pen, look: Look, t: float, fine: bool) -> None:
    fx, e = 0.25 * t, 0.15 * (1 - 0.22 * t)
    for side in (-1, 1):
        x = fx + side * e * (1 - 0.2 * t * (side > 0))
        _eye(pen, x, 0.02, side, fine)
        lift = 0.02 if look.mouth in ("smile", "open") else 0
        pen.line([(x - 0.075 * side, -0.085 - lift), (x + 0.02 * side, -0.115 - lift), (x + 0.085 * side, -0.085)], 0.95)
        if look.glasses:
            pen.shape(arc(x, 0.03, 0.105 * (1 - 0.2 * t * (side > 0)), 0.1), None, 0.7)
    if look.glasses:
        pen.line([(fx - 0.05, 0.01), (fx + 0.04, 0.01)], 0.7)
    nose = 0.05 + 0.1 * t
    pen.line([(fx + 0.015, 0.03), (fx + nose * 0.8, 0.13), (fx + nose, 0.18), (fx + 0.02 * t - 0.01, 0.205)], 0.9)
    _mouth(pen, fx + 0.02 * t, 0.325, look.mouth, fine)
    if look.old:
        for side in (-1, 1):
            pen.line([(fx + side * 0.11, 0.2), (fx + side * 0.15, 0.28)], 0.5)
    if fine:
        pen.line([(fx - 0.2, 0.2), (fx - 0.17, 0.25)], 0.4)


def _eye(pen: Pen, x: float, y: float, side: int, fine: bool) -> None:
    if not fine:
        pen.fill(arc(x, y, 0.027, 0.04), "black")
        return
    pen.line([(x - 0.075 * side, y + 0.012), (x - 0.03 * side, y - 0.03), (x + 0.03 * side, y - 0.035), (x + 0.085 * side, y + 0.005)], 1.1)
    pen.fill(arc(x, y + 0.004, 0.029, 0.036), "black")
    pen.line([(x - 0.04 * side, y + 0.045), (x + 0.045 * side, y + 0.042)], 0.45)


def _mouth(pen: Pen, x: float, y: float, kind: str, fine: bool) -> None:
    bend = {"smile": 0.035, "grim": -0.022, "small": 0.004, "open": 0.03}.get(kind, 0.006)
    half = {"small": 0.05, "smile": 0.115}.get(kind, 0.09)
    if kind == "open":
        pen.fill([(x - 0.09, y - 0.02), (x, y - 0.01), (x + 0.09, y - 0.025), (x + 0.04, y + 0.06), (x - 0.04, y + 0.06)], "black")
        return
    pen.line([(x - half, y - bend), (x - half * 0.3, y + bend * 0.6), (x + half * 0.4, y + bend * 0.6), (x + half, y - bend * 1.2)], 1)
    if fine or kind != "small":
        pen.line([(x - 0.035, y + 0.07), (x + 0.03, y + 0.072)], 0.6)


def _beard(pen: Pen, t: float) -> None:
    fx = 0.25 * t
    pen.shape([(-0.33 + 0.02 * t, 0.06), (-0.25 + 0.06 * t, 0.2), (fx - 0.13, 0.25), (fx, 0.235), (fx + 0.13, 0.25), (0.27, 0.2),
               (0.335, 0.08), (0.29, 0.38), (0.14 + 0.12 * t, 0.55), (-0.06 + 0.14 * t, 0.56), (-0.26 + 0.06 * t, 0.4)], "black", 0.8)
    pen.line([(fx - 0.07, 0.345), (fx, 0.355), (fx + 0.07, 0.34)], 0.9, ink=False)


def _hair_front(pen: Pen, look: Look, t: float) -> None:
    tone = "black" if look.dark else "hair"
    s = 0.07 * t
    if look.hair == "curly":
        blobs: list[Path] = [arc(cx - s * 0.4, cy, r) for cx, cy, r in (
            (-0.34, -0.12, 0.13), (-0.36, -0.3, 0.14), (-0.24, -0.46, 0.15), (-0.06, -0.53, 0.15), (0.13, -0.52, 0.15),
            (0.28, -0.41, 0.14), (0.35, -0.25, 0.12), (0.05, -0.38, 0.14), (-0.14, -0.36, 0.14), (0.2, -0.32, 0.1))]
        pen.merge(blobs, tone, 0.8)
        return
    if look.hair == "bun":
        pen.shape(arc(-0.05 - 3 * s, -0.62, 0.16, 0.14), tone)
    parting = [(0.31 + s, -0.12), (0.29 + s, -0.24), (0.12 + s, -0.335), (-0.06 + s, -0.345), (-0.2 + s, -0.25), (-0.29 + s, -0.05)]
    if look.hair == "short":
        parting = [(0.335, -0.06), (0.3, -0.2), (0.24 + s, -0.3), (0.02 + s, -0.27), (-0.16 + s, -0.31), (-0.28 + s, -0.18), (-0.31 + 0.5 * s, 0.03)]
    pen.shape([(-0.375, 0.04), (-0.41 - s, -0.2), (-0.31 - s, -0.47), (-0.05 - s, -0.57), (0.22, -0.53), (0.36, -0.33), (0.365, -0.08), *parting],
              tone, 0.9)
    _shine(pen, look.dark, s)


def _shine(pen: Pen, dark: bool, s: float) -> None:
    if dark:
        pen.line([(-0.2 - s, -0.42), (-0.06 - s, -0.485), (0.06, -0.48)], 0.8, ink=False)
        pen.line([(-0.28 - s, -0.32), (-0.24 - s, -0.37)], 0.7, ink=False)
    else:
        for x in (-0.2, -0.05, 0.1):
            pen.line([(x - s, -0.34), (x - 0.02, -0.43), (x + 0.05, -0.5)], 0.5)


def _curtain(pen: Pen, look: Look, t: float) -> None:
    low = 0.85 if look.hair == "long" else 0.42
    tone = "black" if look.dark else "hair"
    pen.shape([(-0.36, -0.3), (-0.46, 0.1), (-0.5, low * 0.7), (-0.42, low), (-0.2, low + 0.02, 1), (0, low - 0.15),
               (0.2, low, 1), (0.4, low - 0.02), (0.46 - 0.06 * t, low * 0.6), (0.43 - 0.05 * t, 0.05), (0.36, -0.3)], tone)


def _hat_front(pen: Pen, hat: str, t: float) -> None:
    s = 0.06 * t
    if hat in ("beanie", "bobble"):
        if hat == "bobble":
            pen.shape(arc(-s, -0.72, 0.11), "scarf", 0.8)
        pen.shape([(-0.4, -0.2), (-0.4 - s, -0.42), (-0.2 - s, -0.64), (0.1 - s, -0.65), (0.36, -0.45), (0.38, -0.2), (0, -0.26)], "hat")
        pen.shape([(-0.42, -0.28), (0, -0.36), (0.4, -0.28), (0.4, -0.13), (0, -0.2), (-0.42, -0.13)], "hat")
        for x in (-0.3, -0.18, -0.06, 0.06, 0.18, 0.3):
            pen.line([(x, -0.3 - 0.12 * (0.3 - abs(x))), (x + 0.01, -0.2)], 0.55)
    elif hat == "baker":
        pen.shape([(-0.36, -0.4), (-0.5 - s, -0.55), (-0.45, -0.75), (-0.2, -0.8), (-0.02, -0.86), (0.2, -0.79), (0.43, -0.76), (0.5, -0.56), (0.36, -0.4)], "apron")
        pen.shape([(-0.38, -0.46), (0, -0.53), (0.38, -0.46), (0.37, -0.23), (0, -0.3), (-0.37, -0.23)], "apron")
        for x in (-0.2, 0.02, 0.2):
            pen.line([(x, -0.53), (x * 1.2, -0.68)], 0.5)
    elif hat == "peak":
        pen.shape([(-0.38, -0.24), (-0.47 - s, -0.42), (-0.3, -0.58), (0, -0.64), (0.3, -0.57), (0.44, -0.42), (0.37, -0.24), (0, -0.3)], "hat")
        pen.shape([(-0.37, -0.32), (0, -0.39), (0.37, -0.32), (0.37, -0.22), (0, -0.28), (-0.37, -0.22)], "black")
        pen.shape([(-0.3 + 2 * s, -0.24), (0 + 2 * s, -0.29), (0.33 + s, -0.24), (0.28 + 3 * s, -0.14), (0.03 + 3 * s, -0.11), (-0.22 + 3 * s, -0.14)], "black", 0.8)
    elif hat == "hood":
        pen.shape([(-0.3, -0.33), (-0.05, -0.42), (0.22, -0.36), (0.34, -0.1), (0.33, 0.2), (0.26, 0.45, 1), (0.36, 0.52), (0.48, 0.2),
                   (0.48, -0.25), (0.3, -0.57), (0, -0.68), (-0.32, -0.58), (-0.52, -0.25), (-0.52, 0.2), (-0.4, 0.52), (-0.28, 0.45, 1),
                   (-0.36, 0.2), (-0.37, -0.1)], "coat")


PROFILE: Path = [(-0.02, -0.5), (0.2, -0.45), (0.325, -0.28), (0.35, -0.11), (0.33, -0.03), (0.4, 0.08), (0.455, 0.155), (0.36, 0.2, 1), (0.395, 0.255),
                 (0.355, 0.295, 1), (0.385, 0.335), (0.345, 0.385), (0.355, 0.45), (0.26, 0.51), (0.1, 0.46), (-0.06, 0.36), (-0.14, 0.27),
                 (-0.3, 0.3), (-0.43, 0.08), (-0.46, -0.16), (-0.33, -0.41)]


def _profile(pen: Pen, look: Look, fine: bool) -> None:
    if look.hair in ("long", "bob"):
        low = 0.85 if look.hair == "long" else 0.4
        pen.shape([(-0.1, -0.4), (-0.5, -0.2), (-0.56, low * 0.6), (-0.46, low), (-0.12, low - 0.05), (0.0, low * 0.4), (0.05, 0)],
                  "black" if look.dark else "hair")
    pen.shape(PROFILE, "skin")
    pen.line([(-0.1, 0.3), (-0.02, 0.37), (0.1, 0.44)], 0.6)
    _profile_features(pen, look, fine)
    if look.beard:
        pen.shape([(-0.06, 0.05), (0.02, 0.22), (0.2, 0.25), (0.37, 0.235), (0.36, 0.29, 1), (0.4, 0.38), (0.38, 0.54), (0.22, 0.6), (0.03, 0.48), (-0.12, 0.28)], "black", 0.8)
    if look.hair != "bald":
        _hair_profile(pen, look)
    else:
        pen.line([(-0.16, -0.1), (-0.3, -0.02), (-0.42, 0.02)], 0.9)
        pen.hatch([(-0.16, -0.08), (-0.44, 0.0), (-0.32, 0.26), (-0.16, 0.2)], 0.05, 60, 0.6)
    if look.hair not in ("long", "bob") and look.hat != "hood":
        pen.shape([(-0.03, -0.01), (0.0, 0.03), (-0.03, 0.12), (-0.08, 0.2), (-0.12, 0.14), (-0.13, 0.03), (-0.09, -0.03)], "skin", 0.8)
        pen.line([(-0.04, 0.03), (-0.09, 0.05), (-0.07, 0.12)], 0.5)
    if look.hat:
        _hat_profile(pen, look.hat)


def _profile_features(pen: Pen, look: Look, fine: bool) -> None:
    if fine:
        pen.line([(0.315, -0.005), (0.27, -0.03), (0.2, 0.005)], 1.1)
        pen.fill(arc(0.277, 0.005, 0.02, 0.032), "black")
        pen.line([(0.29, 0.045), (0.22, 0.04)], 0.4)
        pen.line([(0.36, 0.17), (0.33, 0.15), (0.325, 0.19)], 0.7)
    else:
        pen.fill(arc(0.255, 0.012, 0.023, 0.042), "black")
    pen.line([(0.335, -0.085), (0.27, -0.115), (0.17, -0.09)], 1.1)
    bend = {"smile": -0.045, "grim": 0.03}.get(look.mouth, 0)
    pen.line([(0.36, 0.295), (0.3, 0.3), (0.235, 0.295 + bend)], 0.9)
    if look.glasses:
        pen.shape(arc(0.27, 0.02, 0.085, 0.1), None, 0.7)
        pen.line([(0.19, 0.0), (-0.06, -0.01)], 0.7)
    if look.old:
        pen.line([(0.3, 0.2), (0.24, 0.27)], 0.5)


def _hair_profile(pen: Pen, look: Look) -> None:
    tone = "black" if look.dark else "hair"
    if look.hair == "curly":
        pen.merge([arc(cx, cy, r) for cx, cy, r in ((0.2, -0.42, 0.13), (0.05, -0.5, 0.15), (-0.14, -0.52, 0.15), (-0.33, -0.42, 0.15), (-0.45, -0.24, 0.14),
                                                    (-0.47, -0.05, 0.13), (-0.4, 0.12, 0.12), (-0.2, -0.3, 0.18), (-0.25, -0.05, 0.15), (0.02, -0.33, 0.14))], tone, 0.8)
        return
    if look.hair == "bun":
        pen.shape(arc(-0.52, -0.3, 0.15, 0.15), tone)
    if look.hair == "tail":
        pen.shape([(-0.4, -0.28), (-0.6, -0.3), (-0.74, -0.05), (-0.72, 0.3), (-0.62, 0.48, 1), (-0.58, 0.15), (-0.5, -0.05)], tone)
    low = [(-0.36, 0.27), (-0.22, 0.2), (-0.14, 0.02)] if look.hair == "short" else [(-0.33, 0.2), (-0.14, 0.02)]
    pen.shape([(0.29, -0.3), (0.17, -0.49), (-0.05, -0.565), (-0.33, -0.48), (-0.5, -0.2), (-0.47, 0.08), *low,
               (-0.06, -0.08), (0.03, 0.03), (0.06, -0.12), (0.15, -0.2)], tone, 0.9)
    if look.dark:
        pen.line([(0.05, -0.45), (-0.12, -0.49), (-0.28, -0.42)], 0.8, ink=False)
    else:
        for y in (-0.4, -0.25, -0.1):
            pen.line([(0.05, y), (-0.2, y + 0.02), (-0.4, y + 0.12)], 0.5)


def _hat_profile(pen: Pen, hat: str) -> None:
    if hat in ("beanie", "bobble"):
        if hat == "bobble":
            pen.shape(arc(-0.16, -0.74, 0.11), "scarf", 0.8)
        pen.shape([(0.34, -0.26), (0.28, -0.48), (0.05, -0.66), (-0.25, -0.64), (-0.48, -0.4), (-0.52, -0.14), (-0.1, -0.22)], "hat")
        pen.shape([(0.37, -0.32), (0, -0.34), (-0.5, -0.22), (-0.53, -0.05), (-0.1, -0.17), (0.38, -0.17)], "hat")
        for x in (-0.4, -0.28, -0.15, 0.0, 0.14, 0.27):
            pen.line([(x, -0.27 + (0.02 if x < -0.2 else -0.05)), (x + 0.01, -0.17)], 0.55)
    elif hat == "baker":
        pen.shape([(0.3, -0.4), (0.45, -0.52), (0.42, -0.72), (0.15, -0.8), (-0.1, -0.84), (-0.4, -0.74), (-0.55, -0.55), (-0.46, -0.34)], "apron")
        pen.shape([(0.35, -0.46), (0, -0.48), (-0.48, -0.38), (-0.5, -0.17), (0, -0.26), (0.36, -0.25)], "apron")
    elif hat == "peak":
        pen.shape([(0.34, -0.27), (0.42, -0.45), (0.2, -0.62), (-0.2, -0.62), (-0.5, -0.45), (-0.5, -0.2), (0, -0.26)], "hat")
        pen.shape([(0.3, -0.3), (0.5, -0.22), (0.63, -0.13), (0.42, -0.15), (0.26, -0.2)], "black", 0.8)
        pen.shape([(0.35, -0.34), (0, -0.36), (-0.5, -0.28), (-0.51, -0.16), (0, -0.24), (0.35, -0.23)], "black", 0.8)
    elif hat == "hood":
        pen.shape([(0.25, -0.36), (0.3, -0.1), (0.16, 0.2), (0.2, 0.46, 1), (0.05, 0.6), (-0.35, 0.5), (-0.58, 0.1), (-0.58, -0.3), (-0.3, -0.6), (0.05, -0.63)], "coat")


def _back(pen: Pen, look: Look) -> None:
    tone = "black" if look.dark else "hair"
    for side in (-1, 1):
        pen.shape(arc(side * 0.36, 0.06, 0.06, 0.1), "skin", 0.8)
    pen.shape([(0, -0.5), (0.24, -0.45), (0.35, -0.2), (0.33, 0.1), (0.22, 0.35), (0, 0.4), (-0.22, 0.35), (-0.33, 0.1), (-0.35, -0.2), (-0.24, -0.45)], "skin")
    low = {"long": 0.9, "bob": 0.45}.get(look.hair, 0.27)
    wide = 0.44 if look.hair in ("long", "bob") else 0.36
    if look.hair == "bald":
        pen.hatch([(-0.34, 0.0), (0, 0.05), (0.34, 0.0), (0.25, 0.28), (-0.25, 0.28)], 0.05, 70, 0.6)
    elif look.hair == "curly":
        pen.merge([arc(cx, cy, 0.17) for cx, cy in ((-0.3, 0.05), (-0.36, -0.15), (-0.3, -0.36), (-0.1, -0.48), (0.12, -0.47), (0.3, -0.34), (0.36, -0.13),
                                                    (0.28, 0.06), (0.1, 0.14), (-0.1, 0.14), (0, -0.2), (0.15, -0.1), (-0.16, -0.12))], tone, 0.8)
    else:
        pen.shape([(0, -0.56), (0.27, -0.5), (wide + 0.02, -0.2), (wide, low * 0.6), (0.25, low), (0, low + 0.03), (-0.25, low), (-wide, low * 0.6), (-wide - 0.02, -0.2), (-0.27, -0.5)], tone)
        if look.dark:
            pen.line([(-0.22, -0.36), (-0.05, -0.44), (0.1, -0.42)], 0.8, ink=False)
        else:
            for x in (-0.2, 0, 0.18):
                pen.line([(x * 0.5, -0.4), (x * 1.1, -0.1), (x, low - 0.06)], 0.5)
    if look.hair == "bun":
        pen.shape(arc(0, -0.34, 0.19, 0.16), tone)
        pen.line([(-0.1, -0.4), (0.02, -0.44)], 0.7, ink=False)
    if look.hair == "tail":
        pen.shape([(-0.09, -0.2), (0.09, -0.2), (0.14, 0.2), (0.05, 0.62, 1), (-0.12, 0.25)], tone)
        pen.line([(0.02, -0.1), (0.03, 0.2)], 0.7, ink=False)
    if look.hat:
        _hat_front(pen, "beanie" if look.hat == "peak" else look.hat, 0) if look.hat != "hood" else pen.shape(
            [(0, -0.68), (0.32, -0.57), (0.5, -0.2), (0.46, 0.3), (0.3, 0.55), (-0.3, 0.55), (-0.46, 0.3), (-0.5, -0.2), (-0.32, -0.57)], "coat")
