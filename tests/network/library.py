"""ngspice as a library in this process, so that its computing can be timed without its start.

Debian: `apt install libngspice0`. The functions are those of its shared library's header
(`sharedspice.h`, version 39.3): a deck as an array of lines, then commands as text.
"""

import ctypes
import ctypes.util
from collections.abc import Callable
from typing import Any

_NAMES = ("libngspice.so.0", "libngspice.so")


class Library:
    """One ngspice; it keeps the last circuit that it was given."""

    def __init__(self) -> None:
        """Load and initialise it.

        Raises:
            OSError: it is not installed.
        """
        self.said: list[str] = []
        self._library = self._open()
        text = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_void_p)
        leave = ctypes.CFUNCTYPE(
            ctypes.c_int, ctypes.c_int, ctypes.c_bool, ctypes.c_bool, ctypes.c_int, ctypes.c_void_p
        )
        self._keep: tuple[Any, ...] = (text(self._hear), text(self._ignore), leave(self._left))
        hear, ignore, left = self._keep
        self._library.ngSpice_Init(hear, ignore, left, None, None, None, None)

    @staticmethod
    def _open() -> ctypes.CDLL:
        for name in _NAMES:
            try:
                return ctypes.CDLL(name)
            except OSError:
                continue
        raise OSError("libngspice is not installed (Debian: apt install libngspice0)")

    def _hear(self, line: bytes, _number: int, _data: int | None) -> int:
        self.said.append(line.decode(errors="replace"))
        return 0

    @staticmethod
    def _ignore(_line: bytes, _number: int, _data: int | None) -> int:
        return 0

    @staticmethod
    def _left(_status: int, _at_once: bool, _quit: bool, _number: int, _data: int | None) -> int:
        return 0

    def load(self, deck: str) -> None:
        """Take a deck in place of the last one. Its `.op` is run by `operate`."""
        self.command("destroy all")
        lines = [line for line in deck.splitlines() if line != ".op"]
        array = (ctypes.c_char_p * (len(lines) + 1))(*(line.encode() for line in lines), None)
        if self._library.ngSpice_Circ(array):
            raise ValueError("ngspice did not take the deck")

    def command(self, text: str) -> None:
        """Give a command."""
        if self._library.ngSpice_Command(text.encode()):
            raise ValueError(f"ngspice did not take: {text}")

    def operate(self) -> None:
        """Find the operating point."""
        self.command("op")

    def forget(self) -> None:
        """Give up the circuit and all results."""
        self.command("remcirc")
        self.command("destroy all")

    def voltages(self, nodes: list[str]) -> list[float]:
        """Read node voltages of the last operating point."""
        read: Callable[[bytes], Any] = self._library.ngGet_Vec_Info
        self._library.ngGet_Vec_Info.restype = ctypes.POINTER(_Vector)
        return [read(node.encode()).contents.real[0] for node in nodes]


class _Vector(ctypes.Structure):
    _fields_ = (
        ("name", ctypes.c_char_p),
        ("type", ctypes.c_int),
        ("flags", ctypes.c_short),
        ("real", ctypes.POINTER(ctypes.c_double)),
        ("complex", ctypes.c_void_p),
        ("length", ctypes.c_int),
    )
