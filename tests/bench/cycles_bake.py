"""Run in a process of its own: bakes direct light onto the patio's planes with Cycles.

    python cycles_bake.py JOB.npz OUT.npz

The job holds the occluders (`vertices`, `triangles`), the planes' `bounds`, `levels` and `grid`,
the lamps (`origins`, `axes`, `sizes`, `powers`: exponents along and across, 0 and 0 for uniform
radiance) and the `bakes`: pairs of samples and seed. The answer holds, for each of them, the
irradiance of each plane for a peak intensity of 1 W/sr of each lamp's `peaks`, and the CPU seconds.
"""

from __future__ import annotations

import resource
import sys
from typing import Any

import bpy
import numpy as np
from mathutils import Matrix

# View factor from a floor to an aperture of 1 x 0.15 m, 2 m above it: the sum of four corners of
# J. R. Howell, A Catalog of Radiation Heat Transfer Configuration Factors, B-3.
HANGING, KNOWN = 2.0, 0.011455


def cpu() -> float:
    now = resource.getrusage(resource.RUSAGE_SELF)
    return now.ru_utime + now.ru_stime


def fresh() -> Any:
    bpy.ops.wm.read_factory_settings(use_empty=True)
    scene = bpy.context.scene
    scene.render.engine = "CYCLES"
    scene.cycles.device = "CPU"
    scene.cycles.use_denoising = False
    scene.cycles.use_adaptive_sampling = False
    scene.cycles.max_bounces = 0
    scene.render.bake.margin = 0
    scene.world = bpy.data.worlds.new("dark")
    scene.world.use_nodes = True
    next(n for n in scene.world.node_tree.nodes if n.type == "BACKGROUND").inputs[
        1
    ].default_value = 0
    return scene


def mesh_object(name: str, vertices: Any, triangles: Any) -> Any:
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata(vertices.tolist(), [], triangles.tolist())
    thing = bpy.data.objects.new(name, mesh)
    bpy.context.scene.collection.objects.link(thing)
    return thing


def canvas(level: float, bounds: Any, grid: Any) -> Any:
    """A level sheet that casts no shadow, with one pixel for each point of the grid."""
    (x0, y0), (x1, y1) = bounds
    sheet = mesh_object(
        "sheet",
        np.array([(x0, y0, level), (x1, y0, level), (x1, y1, level), (x0, y1, level)]),
        np.array([(0, 1, 2, 3)]),
    )
    uv = sheet.data.uv_layers.new(name="uv").data
    for loop, at in zip(uv, ((0, 0), (1, 0), (1, 1), (0, 1)), strict=True):
        loop.uv = at
    for ray in ("shadow", "diffuse", "glossy", "transmission", "volume_scatter"):
        setattr(sheet, f"visible_{ray}", False)
    material = bpy.data.materials.new("white")
    material.use_nodes = True
    nodes = material.node_tree.nodes
    nodes.clear()
    white = nodes.new("ShaderNodeBsdfDiffuse")
    white.inputs["Color"].default_value = (1, 1, 1, 1)
    out = nodes.new("ShaderNodeOutputMaterial")
    material.node_tree.links.new(white.outputs[0], out.inputs["Surface"])
    image = bpy.data.images.new("baked", int(grid[1]), int(grid[0]), float_buffer=True)
    image.colorspace_settings.name = "Non-Color"
    picture = nodes.new("ShaderNodeTexImage")
    picture.image = image
    nodes.active = picture
    sheet.data.materials.append(material)
    return sheet, image


def lamp(origin: Any, axes: Any, size: Any, powers: Any, peak: float) -> None:
    data = bpy.data.lights.new("lamp", "AREA")
    data.shape, data.size, data.size_y = "RECTANGLE", float(size[0]), float(size[1])
    data.energy, data.spread = peak, np.pi
    thing = bpy.data.objects.new("lamp", data)
    frame = np.eye(4)
    frame[:3, :3], frame[:3, 3] = axes.T, origin
    thing.matrix_world = Matrix(frame.tolist())
    bpy.context.scene.collection.objects.link(thing)
    if powers[0] > 0:
        data.use_nodes = True
        shaped(data.node_tree, axes, powers)


def shaped(tree: Any, axes: Any, powers: Any) -> None:
    """Emission in proportion to cos(x)**a cos(y)**b / cos of the angle to the axis."""
    nodes, links = tree.nodes, tree.links
    emission = next(node for node in nodes if node.type == "EMISSION")
    way = nodes.new("ShaderNodeNewGeometry").outputs["Incoming"]

    def along(axis: Any) -> Any:
        node = nodes.new("ShaderNodeVectorMath")
        node.operation = "DOT_PRODUCT"
        links.new(way, node.inputs[0])
        node.inputs[1].default_value = axis.tolist()
        return node.outputs["Value"]

    def math(operation: str, *terms: Any) -> Any:
        node = nodes.new("ShaderNodeMath")
        node.operation = operation
        for socket, term in zip(node.inputs, terms, strict=False):
            if isinstance(term, float):
                socket.default_value = term
            else:
                links.new(term, socket)
        return node.outputs[0]

    down = math("MAXIMUM", along(-axes[2]), 1e-4)
    share = math("DIVIDE", 1.0, down)
    for axis, power in zip(axes[:2], powers.tolist(), strict=True):
        tangent = math("DIVIDE", along(axis), down)
        grown = math("MULTIPLY_ADD", tangent, tangent, 1.0)
        share = math("MULTIPLY", share, math("POWER", grown, -power / 2))
    links.new(share, emission.inputs["Strength"])


def bake(sheet: Any, image: Any, samples: int, seed: int) -> tuple[Any, float]:
    scene, view = bpy.context.scene, bpy.context.view_layer
    scene.cycles.samples, scene.cycles.seed = int(samples), int(seed)
    for thing in scene.objects:
        thing.select_set(thing is sheet)
    view.objects.active = sheet
    before = cpu()
    bpy.ops.object.bake(type="DIFFUSE", pass_filter={"DIRECT"}, margin=0, use_clear=True)
    spent = cpu() - before
    pixels = np.empty(len(image.pixels), dtype=np.float32)
    image.pixels.foreach_get(pixels)
    return pixels.reshape(-1, 4)[:, 0].astype(float), spent


def calibration() -> float:
    """What a baked value is to be multiplied by, from a known view factor."""
    fresh()
    sheet, image = canvas(0.0, ((-1e-3, -1e-3), (1e-3, 1e-3)), (4, 4))
    level = np.eye(3)
    lamp(np.array([0.0, 0.0, HANGING]), level, (1.0, 0.15), (0.0, 0.0), 1.0)
    value = bake(sheet, image, 4096, 0)[0].mean()
    return KNOWN * np.pi / (1.0 * 0.15) / value


def main() -> None:
    job = np.load(sys.argv[1])
    scale = calibration()
    fresh()
    mesh_object("patio", job["vertices"], job["triangles"])
    for origin, axes, size, powers, peak in zip(
        *(job[key] for key in ("origins", "axes", "sizes", "powers", "peaks")), strict=True
    ):
        lamp(origin, axes, size, powers, float(peak))
    sheets = [canvas(float(level), job["bounds"], job["grid"]) for level in job["levels"]]
    values, seconds = [], []
    for samples, seed in job["bakes"]:
        baked = [bake(sheet, image, samples, seed) for sheet, image in sheets]
        values.append(np.concatenate([value for value, _ in baked]) * scale)
        seconds.append(sum(spent for _, spent in baked))
    np.savez(sys.argv[2], values=values, seconds=seconds)


main()
