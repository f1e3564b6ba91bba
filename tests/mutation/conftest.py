"""The tool is installed by hand (docs/testing.md); nothing here is loaded without it."""

import sys
from importlib.util import find_spec

READY = find_spec("cosmic_ray") is not None and sys.version_info >= (3, 12)
collect_ignore_glob = [] if READY else ["*.py"]
