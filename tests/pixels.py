"""The ink of PDF and SVG as pixels, by outside programs, and how far two of them differ."""

import io
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

FONTS = Path(__file__).parents[1] / "elec" / "drawings" / "fonts"
DPI = 144


def ink_of_pdf(content: bytes) -> Any:
    done = subprocess.run(
        ["pdftoppm", "-r", str(DPI), "-gray", "-singlefile", "-"],
        input=content, capture_output=True, check=True,
    )  # fmt: skip
    return np.asarray(Image.open(io.BytesIO(done.stdout)).convert("L")) < 128


def ink_of_svg(svg: str) -> Any:
    import resvg_py

    picture = resvg_py.svg_to_bytes(
        svg_string=svg, dpi=96, zoom=DPI / 96, background="white",
        font_dirs=[str(FONTS)], skip_system_fonts=True,
    )  # fmt: skip
    return np.asarray(Image.open(io.BytesIO(bytes(picture))).convert("L")) < 128


def fattened(ink: Any) -> Any:
    """The ink and every pixel beside it."""
    out = ink.copy()
    for dy in (-1, 0, 1):
        for dx in (-1, 0, 1):
            out |= np.roll(ink, (dy, dx), (0, 1))
    return out


def stray(one: Any, two: Any) -> float:
    """The share of ink that has no ink of the other within a pixel of it."""
    high, wide = (min(sides) for sides in zip(one.shape, two.shape, strict=True))
    one, two = one[:high, :wide], two[:high, :wide]
    return max(
        float((one & ~fattened(two)).sum() / one.sum()),
        float((two & ~fattened(one)).sum() / two.sum()),
    )


NEAR = 0.004
"""Share of ink that may stray more than a pixel: the two renderers hint letters differently."""
