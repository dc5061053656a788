"""How stills are rendered: a scene's render settings, which are saved with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import bpy

# Samples a pixel of a picture and of a drawing, and bounces. More cannot be told apart once they
# are denoised; thin lines and letters on paper are all edges, and rough with fewer. The quick look
# is Cycles too: with planting, and without a graphics card, it is ten times as fast as Workbench.
USUAL = {"cycles": (12, 32, 2), "fast": (3, 8, 0)}


@dataclass(frozen=True)
class Quality:
    """How stills are rendered.

    Attributes
    ----------
    engine : 'cycles', photographic; or 'fast', a rough and quick look
    samples : samples a pixel; None for the engine's usual number
    size : width and height [pixels]
    """

    engine: str = "cycles"
    samples: int | None = None
    size: tuple[int, int] = (1600, 900)


# On the processor that every machine has: few samples, few bounces, well denoised.
CYCLES: dict[str, Any] = {
    "device": "CPU",
    "use_adaptive_sampling": False,
    "use_denoising": True,
    "denoiser": "OPENIMAGEDENOISE",
    "denoising_input_passes": "RGB_ALBEDO_NORMAL",
    "denoising_prefilter": "FAST",
    "use_light_tree": False,
    "use_fast_gi": True,
    "fast_gi_method": "REPLACE",
    "ao_bounces_render": 1,
    "max_bounces": 4,
    "glossy_bounces": 2,
    "transmission_bounces": 4,
    "transparent_max_bounces": 24,
    "sample_clamp_indirect": 4.0,
    "blur_glossy": 1.0,
    "caustics_reflective": False,
    "caustics_refractive": False,
    "seed": 0,
}
FILM: dict[str, Any] = {
    "view_transform": "AgX",
    "look": "AgX - Medium High Contrast",
    "exposure": 0.0,
    "gamma": 1.0,
}


def prepare(scene: bpy.types.Scene, quality: Quality, *, drawing: bool = False) -> None:
    """Set a scene up for its stills: for its pictures, or for its drawings."""
    render: Any = scene.render
    render.engine = "CYCLES"
    render.resolution_x, render.resolution_y = quality.size
    render.resolution_percentage = 100
    render.film_transparent = False
    output = render.image_settings
    if hasattr(output, "media_type"):
        output.media_type = "IMAGE"
    fill(output, {"file_format": "PNG", "color_mode": "RGB", "compression": 30})
    of_picture, of_drawing, bounces = USUAL[quality.engine]
    samples = quality.samples or (of_drawing if drawing else of_picture)
    wanted = {"samples": samples, "diffuse_bounces": bounces}
    fill(scene.cycles, CYCLES | wanted)
    fill(scene.view_settings, FILM)


def fill(settings: Any, values: Mapping[str, Any]) -> None:
    """Set many settings at once."""
    for name, value in values.items():
        setattr(settings, name, value)
