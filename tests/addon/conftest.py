"""Blender, as it came, with the add-on registered, for each test.

bpy is imported once in a process and its state is global. The add-on is registered after the reset,
since references to what was there before go stale; and always unregistered: Blender 4.5 hangs at
exit when classes and pointer properties are left behind.
"""

import platform
from collections.abc import Iterator

import bpy
import pytest

import blender_addon


@pytest.fixture(autouse=True)
def addon() -> Iterator[None]:
    bpy.ops.wm.read_factory_settings(use_empty=True)
    blender_addon.register()
    try:
        yield
    finally:
        blender_addon.unregister()


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    terminalreporter.write_line(
        f"Ran in Blender {bpy.app.version_string} ({bpy.app.build_hash.decode()}),"
        f" Python {platform.python_version()}"
    )
