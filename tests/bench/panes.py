"""Glass of vehicles in coloured drawings: where a set's paint for it lies, and the panes of drawings looked at by eye.

Sets paint their glass in a few tints of their own. Those of `VEHICLES` were looked at one by one: what has one of these
tints in the upper part of the drawing is its glass. `panes.json` holds, for drawings that are trained on in no way,
a point within each pane.
"""

from __future__ import annotations

import json
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

TINTS = {
    "noto": ("82aec0", "afe3fb", "bae2fd", "94d1e0", "2f7889", "b9e4ea", "81d4fa", "607d8b"),
    "noto-v1": ("40c0e7", "48c0e5"),
    "fxemoji": ("8dc5d8", "59cafc", "65bbf2", "c9d6d6", "00b1ff", "597b91"),
    "fluent-emoji-flat": ("26c9fc", "00a6ed", "0084ce"),
    "twemoji": ("55acee", "88c9f9", "bbddf5"),
    "emojione": ("3e4347", "b4d7ee", "428bc1", "42ade2", "62727a", "594f4e"),
    "streamline-emojis": ("00b8f0", "4acfff", "80ddff", "009fd9"),
    "streamline-ultimate-color": ("c2f3ff", "66e1ff"),
}
VEHICLES = {
    "noto": "ambulance articulated-lorry automobile minibus monorail oncoming-automobile oncoming-bus"
    " oncoming-police-car oncoming-taxi pickup-truck railway-car sport-utility-vehicle taxi tractor train tram",
    "noto-v1": "automobile bullet-train bus mountain-railway oncoming-automobile oncoming-bus oncoming-police-car"
    " oncoming-taxi police-car train tram",
    "fxemoji": "ambulance bus trolleybus",
    "fluent-emoji-flat": "ambulance articulated-lorry auto-rickshaw automobile bus delivery-truck helicopter minibus"
    " mountain-railway oncoming-automobile oncoming-bus oncoming-police-car oncoming-taxi police-car"
    " sport-utility-vehicle suspension-railway taxi tractor train tram tram-car trolleybus",
    "twemoji": "aerial-tramway ambulance articulated-lorry auto-rickshaw automobile bus delivery-truck metro minibus"
    " monorail mountain-railway oncoming-automobile oncoming-bus oncoming-police-car oncoming-taxi pickup-truck"
    " police-car racing-car railway-car taxi tractor train tram tram-car trolleybus",
    "emojione": "ambulance automobile bus oncoming-bus tram",
    "streamline-emojis": "ambulance automobile bus delivery-truck helicopter minibus oncoming-police-car"
    " oncoming-taxi taxi tractor",
    "streamline-ultimate-color": "adventure-car-truck-1 bus-1 car-4 car-retro railroad-metro taxi truck-2"
    " truck-empty-1 tuk-tuk-1",
}
SET = "emojione-v1"  # the set of whose drawings some were looked at; the others are openclipart's
LOOKED_AT = Path(__file__).with_name("panes.json")
NEAR = 14  # levels by which an edge's tint may differ
LOWEST = 0.62  # share of the height down to which glass lies
LEAST = 0.0012  # share of the paint that a pane covers


def is_glazed(source: str, name: str) -> bool:
    """Whether the glass of a drawing of a set was looked at."""
    return name in VEHICLES.get(source, "").split()


def looked_at() -> dict[str, list[tuple[float, float]]]:
    """Points within panes, shares of width and height of the drawing with a margin of 12, by "source:name"."""
    return {name: [(x, y) for x, y in points] for name, points in json.loads(LOOKED_AT.read_text()).items()}


def glass_of(source: str, colour: NDArray[np.uint8]) -> NDArray[np.bool_]:
    """Where the glass of a drawing of `VEHICLES` is, bool (H, W)."""
    painted = colour[..., 3] > 200
    shown = colour[..., :3].astype(np.int16)
    tinted = np.zeros(painted.shape, bool)
    for tint in TINTS[source]:
        wanted = np.array(list(bytes.fromhex(tint)), np.int16)
        tinted |= np.abs(shown - wanted).max(axis=2) < NEAR
    _, labels, stats, centres = cv2.connectedComponentsWithStats(
        (tinted & painted).astype(np.uint8), connectivity=4
    )
    rows = np.flatnonzero(painted.any(axis=1))
    low = rows[0] + LOWEST * (np.ptp(rows) + 1)
    is_glass = (stats[:, cv2.CC_STAT_AREA] >= LEAST * painted.sum()) & (centres[:, 1] <= low)
    is_glass[0] = False
    return np.asarray(is_glass[labels])
