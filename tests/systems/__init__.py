"""The systems that come with elec: every folder of systems/, wherever tests ask for them."""

from pathlib import Path

SYSTEMS = Path(__file__).parents[2] / "systems"
NAMES = tuple(sorted(folder.name for folder in SYSTEMS.iterdir() if folder.is_dir()))
