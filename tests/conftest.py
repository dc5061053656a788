"""What holds for every test: Blender keeps its settings and extensions in a folder of this run."""

import atexit
import os
import shutil
import tempfile

# Here, and not in a fixture: it has to stand before any test file imports bpy.
_settings = tempfile.mkdtemp(prefix="heatcore-tests-blender-")
os.environ["BLENDER_USER_RESOURCES"] = _settings
atexit.register(shutil.rmtree, _settings, ignore_errors=True)
