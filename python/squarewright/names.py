"""Names of files: how they are shown in messages, and what a new file is called after one."""

import os
import re
import unicodedata
from pathlib import PurePath

SHOWN = 200
"""The most characters of a name that a message shows."""

SLUG_BYTES = 100
"""The longest slug in UTF-8; with what is appended a name stays under 120 bytes."""

# "Naming Files, Paths, and Namespaces", Microsoft: these characters and device names are reserved, the
# devices also in front of a dot; the superscript digits count as digits.
_RESERVED = frozenset('<>:"/\\|?*')
_DEVICE = re.compile(r"(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³]|conin\$|conout\$)(\.|$)", re.IGNORECASE)


def escaped(text: str) -> str:
    r"""Write what cannot be printed as escapes.

    Parameters
    ----------
    text : str
        Any text; surrogates stand for bytes that are not UTF-8.

    Returns
    -------
    str
        One printable line, valid in UTF-8; escaping it again changes nothing.

    Examples
    --------
    >>> escaped("heron\n\x1b[2J")
    'heron\\n\\x1b[2J'
    """
    return "".join(letter if letter.isprintable() else _escape(letter) for letter in text)


def shown(name: str | os.PathLike[str]) -> str:
    """Give a name or path as messages show it: printable, on one line, its middle left out when it is long.

    Parameters
    ----------
    name : str or path

    Returns
    -------
    str
        At most ``SHOWN`` characters; showing it again changes nothing.
    """
    text = escaped(os.fspath(name))
    if len(text) <= SHOWN:
        return text
    half = SHOWN // 2
    return f"{text[: half - 1]}…{text[-half:]}"


def slug(name: str) -> str:
    """Give a safe name for what is made from a file: right on every common system.

    Parameters
    ----------
    name : str
        The name of the file, with its ending and without its folder.

    Returns
    -------
    str
        The name without its ending when that is safe already: composed Unicode of at most ``SLUG_BYTES``
        bytes, no dot or dash in front, no dot or space behind, nothing that another system reserves.
        Otherwise the nearest safe name, a dash and eight digits of a hash of the name's bytes, so that two
        names never meet in one.

    Examples
    --------
    >>> slug("heron.png")
    'heron'
    >>> slug("-heron.png")
    'heron-ba30cf78'
    """
    stem = PurePath(name).stem
    safe = _safe(stem, SLUG_BYTES)
    if safe == stem and name == name.rstrip(" ."):
        return stem
    import hashlib

    digits = hashlib.sha256(os.fsencode(name)).hexdigest()[:8]
    return f"{_safe(stem, SLUG_BYTES - 9).rstrip('-')}-{digits}"


def _safe(stem: str, most: int) -> str:
    allowed = (letter if letter.isprintable() and letter not in _RESERVED else "-" for letter in stem)
    composed = unicodedata.normalize("NFC", "".join(allowed))
    short = composed.encode()[:most].decode(errors="ignore")
    safe = short.lstrip(" .-").rstrip(" .")
    return "figure" if not safe or _DEVICE.match(safe) else safe


def _escape(letter: str) -> str:
    if "\udc80" <= letter <= "\udcff":
        # Such a surrogate is how Python carries a byte that is not UTF-8 (PEP 383).
        return f"\\x{ord(letter) - 0xDC00:02x}"
    return letter.encode("unicode_escape").decode()
