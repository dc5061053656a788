"""A Blender process of its own, which the command line starts: ``build|stills REQUEST.json``.

It also runs in a Blender that the user names, behind ``blender -b --python __main__.py --``. It
says what it does as one JSON object a line on its standard output, and nothing else; Blender's own
chatter goes to standard error. It ends with 0, or with 2 where its input cannot be used.
"""

import os
import sys
import tempfile
from pathlib import Path

if __name__ == "__main__":
    if not __package__:
        # Run as a file: what may be imported is the package, not what lies in its folder.
        here = Path(__file__).resolve().parent
        sys.path[:] = [str(here.parent), *(p for p in sys.path if Path(p or ".").resolve() != here)]
    with tempfile.TemporaryDirectory(prefix="heatcore-blender-") as settings:
        # Before bpy is imported: the user's own settings are neither read nor written, and no
        # previews of what this process saves go into the user's cache.
        os.environ.setdefault("BLENDER_USER_RESOURCES", settings)
        os.environ["XDG_CACHE_HOME"] = settings
        from blender_addon.errand import main

        status = main(sys.argv)
    sys.exit(status)
