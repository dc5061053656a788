"""A Blender process of its own, started by the command line: ``__main__.py build|stills REQUEST.json``.

It also runs in a Blender that the user names: ``blender -b --python __main__.py -- build REQUEST.json``.
It says what it does as one JSON object a line on its standard output, and nothing else; Blender's own
chatter goes to standard error. It ends with 0, or with 2 where its input cannot be used.
"""

import os
import sys
import tempfile
from pathlib import Path

if __name__ == "__main__":
    if not __package__:
        # Run as a file: its own folder is no place to import from, the one that holds the package is.
        here = Path(__file__).resolve().parent
        sys.path[:] = [str(here.parent), *(p for p in sys.path if Path(p or ".").resolve() != here)]
    with tempfile.TemporaryDirectory(prefix="heatcore-blender-") as settings:
        # Before bpy is imported: the user's own settings are neither read nor written.
        os.environ.setdefault("BLENDER_USER_RESOURCES", settings)
        from blender_addon.errand import main

        status = main(sys.argv)
    sys.exit(status)
