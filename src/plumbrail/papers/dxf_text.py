"""Words made safe for CAD files, where some characters are commands."""

from __future__ import annotations

_NAME = str.maketrans(dict.fromkeys("<>/\\\":;?*|=`,'", "-"))


def plain_words(text: str) -> str:
    """Words of a single-line entity: control characters and codes (``%%``, ``\\U+``) disarmed."""
    text = "".join(c if c >= " " and not "\ud800" <= c <= "\udfff" else " " for c in text)
    while "%%" in text:
        text = text.replace("%%", "% %")
    return text.replace("\\U+", "\\ U+").replace("\\M+", "\\ M+").replace("^", "ˆ")


def formatted_words(text: str) -> str:
    """Words of a multi-line entity or a dimension, whose backslashes and braces are commands."""
    text = plain_words(text).replace("<>", "< >").replace("[]", "[ ]")
    for mark in ("\\", "{", "}"):
        text = text.replace(mark, f"\\{mark}")
    return text


def table_name(text: str, taken: set[str]) -> str:
    """A name for a tab that is allowed, short, and not among those taken; it is added to them."""
    kept = " ".join(plain_words(text).translate(_NAME).split())[:60].strip() or "sheet"
    name, number = kept, 2
    while name.casefold() in taken:
        name, number = f"{kept} ({number})", number + 1
    taken.add(name.casefold())
    return name
