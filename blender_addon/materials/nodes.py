"""A few words for building shader nodes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import bpy

from ..declarations import METRES

Color = tuple[float, float, float]


class Graph:
    """The nodes of a material or a world, built in the order in which they are read.

    An input takes a number, a color or another node's output.

    Attributes
    ----------
    tree : the nodes
    plain : the even color that stands for all of it
    """

    def __init__(self, tree: bpy.types.NodeTree, plain: Color = (0.5, 0.5, 0.5)) -> None:
        self.tree = tree
        self.plain = plain
        tree.nodes.clear()

    def node(self, kind: str, inputs: Mapping[Any, Any] | None = None, **settings: Any) -> Any:
        """Add a node, set its settings, then fill its inputs by name or index."""
        made = self.tree.nodes.new("ShaderNode" + kind)
        made.location = (220.0 * len(self.tree.nodes), 0.0)
        for name, value in settings.items():
            setattr(made, name, value)
        for key, value in (inputs or {}).items():
            self.fill(made.inputs[key], value)
        return made

    def fill(self, socket: Any, value: Any) -> None:
        """Link or set one input."""
        if isinstance(value, bpy.types.NodeSocket):
            self.tree.links.new(value, socket)
        elif socket.type == "RGBA" and len(value) == 3:
            socket.default_value = (*value, 1.0)
        else:
            socket.default_value = value

    def math(self, operation: str, *numbers: Any) -> Any:
        """Calculate with one to three numbers."""
        return self.node("Math", dict(enumerate(numbers)), operation=operation).outputs[0]

    def mix(self, share: Any, a: Any, b: Any, blend: str = "MIX") -> Any:
        """Blend two colors: the first where the share is 0."""
        made = self.node("Mix", data_type="RGBA", blend_type=blend)
        for socket, value in zip(
            (made.inputs[0], made.inputs[6], made.inputs[7]), (share, a, b), strict=True
        ):
            self.fill(socket, value)
        return made.outputs[2]

    def remap(self, value: Any, low: float, high: float, to_low: float, to_high: float) -> Any:
        """Map a range of numbers onto another, and stay inside."""
        inputs = {
            "Value": value,
            "From Min": low,
            "From Max": high,
            "To Min": to_low,
            "To Max": to_high,
        }
        return self.node("MapRange", inputs).outputs[0]

    def metres(self) -> Any:
        """Where a point lies on its part's faces, laid out flat [m]."""
        return self.node("UVMap", uv_map=METRES).outputs["UV"]

    def stretched(self, vector: Any, x: float, y: float, z: float = 1.0) -> Any:
        """Scale a vector by axis."""
        return self.node("Mapping", {"Vector": vector, "Scale": (x, y, z)}).outputs[0]

    def noise(self, vector: Any, scale: float, detail: float = 3.0, distortion: float = 0.0) -> Any:
        """Soft noise between 0 and 1, about one feature to 1/scale."""
        inputs = {"Vector": vector, "Scale": scale, "Detail": detail, "Distortion": distortion}
        return self.node("TexNoise", inputs).outputs[0]

    def bump(self, height: Any, depth: float, strength: float = 1.0) -> Any:
        """Normals of a surface that is uneven by `depth` [m]."""
        inputs = {"Height": height, "Distance": depth, "Strength": strength}
        return self.node("Bump", inputs).outputs[0]

    def surface(self, **inputs: Any) -> None:
        """End in a physical surface; its inputs by their names, with underscores."""
        shader = self.node("BsdfPrincipled", {k.replace("_", " "): v for k, v in inputs.items()})
        self.seen(shader.outputs[0])

    def seen(self, shader: Any) -> None:
        """End in a shader for the camera, and in the plain color for light on its way.

        What light takes along from a wall is the same to the eye, and costs a third.
        """
        plain = self.node("BsdfDiffuse", {"Color": self.plain}).outputs[0]
        camera = self.node("LightPath").outputs["Is Camera Ray"]
        self.output(self.node("MixShader", {0: camera, 1: plain, 2: shader}).outputs[0])

    def output(self, shader: Any) -> None:
        """End in a shader."""
        self.node("OutputMaterial", {"Surface": shader})
