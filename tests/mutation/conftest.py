"""The tool is installed by hand (docs/testing.md); nothing here is loaded without it."""

from importlib.util import find_spec

collect_ignore_glob = [] if find_spec("cosmic_ray") else ["*.py"]
