"""Places on an aperture, in an order in which any number of the first ones is spread evenly."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from heatcore.geometry.frames import Floats, locked

BITS = 30
# Flips every other bit: without it the first places of every cell crowd into its corner.
SHIFT = 0x2AAAAAAA


@lru_cache(maxsize=16)
def places(count: int) -> Floats:
    """The first `count` places, (count, 2) in the unit square, read-only.

    The (0, 2)-sequence of Sobol (USSR Comput. Math. Math. Phys. 7, 1967), digitally shifted. Of the
    first 2**m one lies in each cell of every grid of 2**m cells whose sides are powers of 2: it is
    as even as Hammersley's set of that size, and goes on.
    """
    number = np.arange(count, dtype=np.int64)
    x, y = np.zeros(count, dtype=np.int64), np.zeros(count, dtype=np.int64)
    column_x, column_y = 1 << (BITS - 1), 1 << (BITS - 1)
    for bit in range(max(1, int(count - 1).bit_length())):
        chosen = (number >> bit & 1).astype(bool)
        x[chosen] ^= column_x
        y[chosen] ^= column_y
        column_x >>= 1
        column_y ^= column_y >> 1  # Pascal's triangle modulo 2
    return locked(np.column_stack([x ^ SHIFT, y ^ SHIFT]) / 2.0**BITS + 0.5**BITS / 2)
