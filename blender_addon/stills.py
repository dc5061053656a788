"""Stills: each frame of a written scene, rendered to its file."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import bpy

from .declarations import OWN

Progress = Callable[[str, int, int, float], None]
"""Told of a still's name, its index, how many there are, and how much of it is done (0 to 1)."""

SAMPLE = re.compile(r"[Ss]ample (\d+)/(\d+)")


@dataclass(frozen=True)
class Quality:
    """How stills are rendered.

    Attributes
    ----------
    engine : 'cycles', photographic; or 'fast', a quick look
    samples : samples a pixel; None for the engine's usual number
    size : width and height [pixels]
    """

    engine: str = "cycles"
    samples: int | None = None
    size: tuple[int, int] = (1600, 900)


def frames_of(scene: bpy.types.Scene) -> dict[str, int]:
    """Return the frame of each still in a written scene, by its name."""
    return {
        marker.name: marker.frame
        for marker in scene.timeline_markers
        if marker.camera is not None and OWN in marker.camera
    }


def prepare(scene: bpy.types.Scene, quality: Quality) -> None:
    """Set a scene up for its stills: they are saved with it, for whoever renders the file."""
    render = scene.render
    render.resolution_x, render.resolution_y = quality.size
    render.resolution_percentage = 100
    render.film_transparent = False
    if hasattr(render.image_settings, "media_type"):
        render.image_settings.media_type = "IMAGE"
    render.image_settings.file_format = "PNG"
    render.image_settings.color_mode = "RGB"
    render.image_settings.compression = 30
    scene.view_settings.view_transform = "AgX"
    scene.view_settings.look = "AgX - Medium High Contrast"
    scene.view_settings.exposure = 0.0
    scene.view_settings.gamma = 1.0
    if quality.engine == "fast":
        prepare_fast(scene, quality.samples)
    else:
        prepare_cycles(scene, quality.samples or 24)


def prepare_cycles(scene: bpy.types.Scene, samples: int) -> None:
    """Few samples, well denoised, on the processor that every machine has."""
    scene.render.engine = "CYCLES"
    cycles = scene.cycles
    cycles.device = "CPU"
    cycles.samples = samples
    cycles.use_adaptive_sampling = False
    cycles.use_denoising = True
    cycles.denoiser = "OPENIMAGEDENOISE"
    cycles.denoising_input_passes = "RGB_ALBEDO_NORMAL"
    cycles.denoising_prefilter = "FAST"
    cycles.max_bounces = 4
    cycles.diffuse_bounces = 2
    cycles.glossy_bounces = 2
    cycles.transmission_bounces = 4
    cycles.transparent_max_bounces = 24
    cycles.sample_clamp_indirect = 4.0
    cycles.blur_glossy = 1.0
    cycles.caustics_reflective = cycles.caustics_refractive = False
    cycles.seed = 0


def prepare_fast(scene: bpy.types.Scene, samples: int | None) -> None:
    """Plain shapes in their own colors, for a quick look at what each still shows."""
    scene.render.engine = "BLENDER_WORKBENCH"
    shading = scene.display.shading
    shading.light = "STUDIO"
    shading.color_type = "MATERIAL"
    shading.show_shadows = True
    shading.show_cavity = True
    scene.display.render_aa = str(samples) if str(samples) in ("5", "8", "11", "16", "32") else "8"
    scene.view_settings.view_transform = "Standard"
    scene.view_settings.look = "None"


def render_stills(
    scene: bpy.types.Scene, frames: Mapping[str, int], folder: Path, progress: Progress
) -> Iterator[Path]:
    """Render frames of a prepared scene into PNG files of their names, each whole or not at all.

    Parameters
    ----------
    frames : the frame of each still, by its name
    folder : made if need be

    Yields
    ------
    Path
        Each still, when it is there.

    Raises
    ------
    OSError
        Where the folder cannot be written to.
    RuntimeError
        Where Blender cannot render; the message is Blender's.
    """
    folder.mkdir(parents=True, exist_ok=True)
    before = scene.render.filepath
    for index, (name, frame) in enumerate(frames.items()):
        target, part = folder / f"{name}.png", folder / f".{name}.part.png"
        progress(name, index, len(frames), 0.0)
        scene.frame_set(frame)
        scene.render.filepath = str(part)
        try:
            with told(
                lambda share, name=name, index=index: progress(name, index, len(frames), share)
            ):  # type: ignore[misc]
                bpy.ops.render.render(write_still=True, scene=scene.name)
            os.replace(part, target)
        finally:
            scene.render.filepath = before
            part.unlink(missing_ok=True)
        progress(name, index, len(frames), 1.0)
        yield target


@contextmanager
def told(report: Callable[[float], None]) -> Iterator[None]:
    """Pass on how much of a picture is done, as far as the engine says."""

    def listen(status: str, *_: object) -> None:
        found = SAMPLE.search(str(status))
        if found:
            report(int(found[1]) / max(1, int(found[2])))

    bpy.app.handlers.render_stats.append(listen)
    try:
        yield
    finally:
        bpy.app.handlers.render_stats.remove(listen)
