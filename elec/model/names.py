"""One name, or a list of names."""

from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema


def _names(value: Any) -> Any:
    return (
        (value,) if isinstance(value, str) else tuple(value) if isinstance(value, list) else value
    )


Names = Annotated[
    tuple[str, ...],
    BeforeValidator(_names),
    WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}),
]
"""One name, or a list of names."""
ABBREVIATIONS = frozenset({
    "ac", "adf", "ahrs", "cdi", "cht", "dc", "dme", "ecu", "efis", "egt", "elt", "ems", "gps",
    "gpu", "hf", "hsi", "ils", "led", "mfd", "oat", "pfd", "ptt", "rpm", "tas", "tcas", "tit",
    "uhf", "usb", "vhf", "vor",
})  # fmt: skip
"""What the trade writes in capitals, as it stands in a key."""


def as_words(key: str) -> str:
    """A key of the file as words for print: abbreviations and single letters in capitals.

    >>> as_words("usb-socket"), as_words("ecu-a"), as_words("radio-1"), as_words("master-coil")
    ('USB socket', 'ECU A', 'radio 1', 'master coil')
    """
    words = key.replace("-", " ").split(" ")
    return " ".join(
        word.upper() if word in ABBREVIATIONS or (k and len(word) == 1) else word
        for k, word in enumerate(words)
    )


LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Letters that count: I and O, which look like figures, are not used."""
