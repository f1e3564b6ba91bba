"""YAML as plain data of texts, there and back, by libyaml: thirty times as quick as in Python."""

from typing import Any

import yaml

try:
    from yaml import CBaseLoader as _Loader
    from yaml import CSafeDumper as _Dumper
except ImportError:  # only where the C library is missing
    from yaml import BaseLoader as _Loader  # type: ignore[assignment]
    from yaml import SafeDumper as _Dumper  # type: ignore[assignment]


def texts(text: str | bytes) -> Any:
    """Lists and mappings in which every scalar is text, as the builder's file is read.

    >>> texts("{lamp: {draw: 3 A, on: yes, count: 2}}")
    {'lamp': {'draw': '3 A', 'on': 'yes', 'count': '2'}}
    """
    return yaml.load(text, Loader=_Loader)  # noqa: S506 - texts alone


def written(data: Any, width: int = 80) -> str:
    """The text of such data.

    >>> written({"lamp": ["3 A", "Ω"]})
    'lamp:\\n- 3 A\\n- Ω\\n'
    """
    found: str = yaml.dump(data, Dumper=_Dumper, allow_unicode=True, sort_keys=False, width=width)
    return found
