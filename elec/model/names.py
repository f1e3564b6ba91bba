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
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Letters that count: I and O, which look like figures, are not used."""
