"""The sidebar's tab: what is described, what it came to, and the stills. It only reads."""

from __future__ import annotations

from collections.abc import Mapping
from textwrap import wrap
from typing import Any

import bpy

from heatcore.checks.finding import Verdict
from heatcore.heat.people.body import Comfort

from .declarations import ID
from .operators import Evaluate, OpenScene, RenderStills
from .properties import HeatcoreSettings, settings_of
from .scene_in import fingerprint

ICONS = {
    Verdict.FAILS.value: "CANCEL",
    Verdict.MEASURE.value: "QUESTION",
    Verdict.ADVISORY.value: "INFO",
    Verdict.HOLDS.value: "CHECKMARK",
}
COMFORTS = {
    Comfort.WARM.value: "LIGHT_SUN",
    Comfort.BORDERLINE.value: "ERROR",
    Comfort.COLD.value: "FREEZE",
}
LINE_LENGTH = 40  # characters that a tab of the usual width shows
CAUTION = (
    "Planning advice, not a certificate:",
    "the maker's instructions, the listing and",
    "local codes govern; verify on site.",
)


class Rows:
    """A list whose rows are a text each, after an icon that tells the verdict.

    Attributes
    ----------
    verdict : attribute of a row that holds its verdict
    icons : for each verdict
    """

    verdict: str
    icons: Mapping[str, str]

    def draw_item(
        self,
        context: bpy.types.Context,
        layout: Any,
        data: Any,
        item: Any,
        icon: int,
        active_data: Any,
        active_property: str,
        index: int,
        flt_flag: int,
    ) -> None:
        """Draw one row."""
        layout.label(text=item.text, icon=self.icons.get(getattr(item, self.verdict), "DOT"))


class FindingsList(Rows, bpy.types.UIList):
    """The findings, a line each."""

    bl_idname = f"{ID.upper()}_UL_findings"
    verdict = "verdict"
    icons = ICONS


class SeatsList(Rows, bpy.types.UIList):
    """How each person fares, a line each."""

    bl_idname = f"{ID.upper()}_UL_seats"
    verdict = "comfort"
    icons = COMFORTS


class SceneTab(bpy.types.Panel):
    """The whole tab."""

    bl_idname = f"{ID.upper()}_PT_scene"
    bl_label = "Heatcore"
    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = "Heatcore"

    def draw(self, context: bpy.types.Context) -> None:
        """Draw the tab."""
        layout, settings = self.layout, settings_of(context.scene)
        layout.operator(OpenScene.bl_idname, icon="FILE_FOLDER")
        layout.prop(settings, "text")
        layout.prop(settings, "option")
        layout.operator(Evaluate.bl_idname, icon="FILE_REFRESH")
        if settings.evaluated:
            if settings.evaluated != fingerprint(context.scene):
                layout.label(text="The results no longer match the scene", icon="ERROR")
            layout.template_list(
                FindingsList.bl_idname, "", settings, "findings", settings, "finding"
            )
            self.draw_seats(settings)
            layout.label(text="What the floor shows")
            layout.row().prop(settings, "floor", expand=True)
            layout.prop(settings, "out")
            layout.prop(settings, "engine")
            layout.operator(RenderStills.bl_idname, icon="RENDER_STILL")
        for line in CAUTION:
            layout.label(text=line)

    def draw_seats(self, settings: HeatcoreSettings) -> None:
        """Draw the list of seats, and why the selected one is not warm."""
        if not settings.seats:
            return
        layout = self.layout
        layout.template_list(SeatsList.bl_idname, "", settings, "seats", settings, "seat", rows=4)
        if settings.seat < len(settings.seats):
            for line in wrap(settings.seats[settings.seat].reason, LINE_LENGTH):
                layout.label(text=line)
