"""What can go wrong, told to the person who has to mend it.

RoutecheckError
+-- BadInput        a file or an option cannot be used: which, where, what, what to do
"""

from __future__ import annotations


class RoutecheckError(Exception):
    """Base of the errors that are the caller's to mend."""


class BadInput(RoutecheckError):
    """An input that cannot be used. `str()` is the one line that the user sees."""

    def __init__(self, *, file: str, wrong: str, where: str = "", do: str = "") -> None:
        self.file, self.where, self.wrong, self.do = file, where, wrong, do
        super().__init__(self.line())

    def line(self) -> str:
        """``file, where: what is wrong; what to do`` on one line, without control characters."""
        place = ", ".join(part for part in (self.file, self.where) if part)
        text = f"{place}: {self.wrong}" + (f"; {self.do}" if self.do else "")
        return "".join(c if c.isprintable() else " " for c in text)[:1000]
