"""Colors as people see them. All from memory; each checked where it is used or against white."""

from __future__ import annotations

import numpy as np

# IEC 61966-2-1: linear sRGB to CIE XYZ, white D65.
TO_XYZ = np.array(
    [
        (0.4124564, 0.3575761, 0.1804375),
        (0.2126729, 0.7151522, 0.0721750),
        (0.0193339, 0.1191920, 0.9503041),
    ]
)
# Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color vision
# deficiency", 2009: the matrices for the whole deficiency, on linear sRGB.
DEFICIENT = {
    "protanopia": np.array(
        [
            (0.152286, 1.052583, -0.204868),
            (0.114503, 0.786281, 0.099216),
            (-0.003882, -0.048116, 1.051998),
        ]
    ),
    "deuteranopia": np.array(
        [
            (0.367322, 0.860646, -0.227968),
            (0.280085, 0.672501, 0.047413),
            (-0.011820, 0.042940, 0.968881),
        ]
    ),
    "tritanopia": np.array(
        [
            (1.255528, -0.076749, -0.178779),
            (-0.078411, 0.930809, 0.147602),
            (0.004733, 0.691367, 0.303900),
        ]
    ),
}


def srgb(code: str) -> np.ndarray:
    """(3,) sRGB from 0 to 1 of a code such as #4c223e."""
    return np.array([int(code[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0


def linear(color: np.ndarray) -> np.ndarray:
    """Linear light of sRGB values."""
    return np.where(color <= 0.04045, color / 12.92, ((color + 0.055) / 1.055) ** 2.4)


def encoded(light: np.ndarray) -> np.ndarray:
    """The sRGB values of linear light, cut to what there is."""
    light = np.clip(light, 0.0, 1.0)
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def lab(color: np.ndarray) -> np.ndarray:
    """CIELAB 1976 (..., 3) of sRGB (..., 3)."""
    xyz = linear(np.asarray(color)) @ TO_XYZ.T / TO_XYZ.sum(axis=1)
    low = xyz <= (6 / 29) ** 3
    f = np.where(low, xyz / (3 * (6 / 29) ** 2) + 4 / 29, np.cbrt(xyz))
    x, y, z = np.moveaxis(f, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)
