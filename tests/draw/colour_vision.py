"""
How far two inks look apart, to most eyes and in three simulated kinds of colour vision.

Matrices: Machado, Oliveira & Fernandes, "A Physiologically-based Model for Simulation of Color
Vision Deficiency", IEEE TVCG 15(6), 2009, table of severity 1.0 (compared with copies in public
code), applied to linear RGB. sRGB and CIELAB (D65): IEC 61966-2-1:1999, from memory. Distance:
Sharma, Wu & Dalal, "The CIEDE2000 Color-Difference Formula", Color Res. Appl. 30(1), 2005.
"""

import numpy as np

SIMULATED = {
    "most eyes": np.eye(3),
    "protan": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deutan": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritan": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
_WHITE = _XYZ.sum(axis=1)


def linear(ink):
    """Return linear RGB of #RRGGBB."""
    coded = np.array([int(ink[n : n + 2], 16) for n in (1, 3, 5)]) / 255
    return np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)


def luminance(ink):
    """Return relative luminance, 0 to 1: all that a grey print keeps."""
    return float(_XYZ[1] @ linear(ink))


def contrast(one, other):
    """Return the contrast ratio of WCAG 2.1 (W3C, 2018), 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def lab(ink, vision="most eyes"):
    """Return CIELAB of an ink as that kind of colour vision has it."""
    seen = np.clip(SIMULATED[vision] @ linear(ink), 0, 1)
    ratio = _XYZ @ seen / _WHITE
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def distance(one, other):
    """Return the CIEDE2000 distance of two CIELAB colours (Sharma et al., eq. 2 to 22)."""
    (l1, a1, b1), (l2, a2, b2) = one, other
    mean_c7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    g = 0.5 * (1 - np.sqrt(mean_c7 / (mean_c7 + 25**7)))
    c1, c2 = np.hypot((1 + g) * a1, b1), np.hypot((1 + g) * a2, b2)
    h1 = np.degrees(np.arctan2(b1, (1 + g) * a1)) % 360 if c1 else 0.0
    h2 = np.degrees(np.arctan2(b2, (1 + g) * a2)) % 360 if c2 else 0.0
    turn = ((h2 - h1 + 180) % 360 - 180) if c1 * c2 else 0.0
    if abs(turn) == 180:
        turn = h2 - h1
    dl, dc = l2 - l1, c2 - c1
    dh = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(turn / 2))
    ml, mc = (l1 + l2) / 2, (c1 + c2) / 2
    mh = (h1 + turn / 2) % 360 if c1 * c2 else h1 + h2
    t = (
        1
        - 0.17 * np.cos(np.radians(mh - 30))
        + 0.24 * np.cos(np.radians(2 * mh))
        + 0.32 * np.cos(np.radians(3 * mh + 6))
        - 0.20 * np.cos(np.radians(4 * mh - 63))
    )
    sl = 1 + 0.015 * (ml - 50) ** 2 / np.sqrt(20 + (ml - 50) ** 2)
    sc, sh = 1 + 0.045 * mc, 1 + 0.015 * mc * t
    rc = 2 * np.sqrt(mc**7 / (mc**7 + 25**7))
    rt = -np.sin(np.radians(60 * np.exp(-(((mh - 275) / 25) ** 2)))) * rc
    return float(
        np.sqrt((dl / sl) ** 2 + (dc / sc) ** 2 + (dh / sh) ** 2 + rt * dc / sc * dh / sh)
    )
