"""The colors of warmth, from quiet to glowing.

One ramp whose lightness rises in even steps, so that its order survives a grey print and every kind
of color blindness; warm all along, and never a rainbow.
"""

from __future__ import annotations

import numpy as np

from heatcore.views.view import Tone

BANDS = (Tone.BAND_1, Tone.BAND_2, Tone.BAND_3, Tone.BAND_4, Tone.BAND_5, Tone.BAND_6)

# As a reader sees them, sRGB. CIELAB lightness 20, 33, 47, 60, 73 and 86.
DISPLAYED = {
    Tone.BAND_1: "#4c223e",
    Tone.BAND_2: "#8c2846",
    Tone.BAND_3: "#cb3b33",
    Tone.BAND_4: "#e27130",
    Tone.BAND_5: "#e1a958",
    Tone.BAND_6: "#ead694",
}


def band_tones(count: int) -> tuple[Tone, ...]:
    """Tones for as many bands, six at the most, from the quietest to the most glowing.

    Where there are fewer, those next to the quietest are left out first: what is warmed looks warm.
    """
    last = len(BANDS) - 1
    return tuple(BANDS[int(at)] for at in np.ceil(np.linspace(0, last, count) - 1e-9))
