"""The letters of a file: which code they are written in, and bytes that come and go as they are."""

from __future__ import annotations

import codecs
import io
import re
from collections.abc import Iterable, Iterator

from woodcalc.checks import InputError
from woodcalc.disk import SaveError

_NO_SIGN = "woodcalc-no-sign"  # five bytes stand for nothing in cp1252: they come and go as they are
_WINDOWS = "cp1252"
# codes that older programs write, by the alphabet they can hold; the commoner first
CODES = {
    "mac-roman": "an old Mac",
    "cp850": "an old DOS program",
    "cp1251": "Cyrillic letters",
    "gbk": "Chinese signs",
    "big5": "Chinese signs of Taiwan",
    "cp1250": "letters of eastern Europe",
    _WINDOWS: "an older Windows program",
}
_READINGS = 3  # offered of one file
_WORDS = 4  # odd words shown of each


def _no_sign(error):
    at = error.start
    if isinstance(error, UnicodeDecodeError):
        return error.object[at : at + 1].decode("latin-1"), at + 1
    if error.object[at] not in "\x81\x8d\x8f\x90\x9d":
        raise error
    return error.object[at].encode("latin-1"), at + 1


codecs.register_error(_NO_SIGN, _no_sign)


class NoTextError(InputError):
    """The bytes of a file are no text: what they are, and what was expected."""

    def __init__(self, found: str, expected: str) -> None:
        self.found, self.expected = found, expected
        super().__init__(f"found {found}; expected {expected}.")


class Lines(str):
    """The name of an encoding in which single lines are another's.

    Attributes
    ----------
    strays : dict
        The bytes of those lines, by their text as it is read.
    odd : tuple of str
        Words in them that nobody writes: which code they are in can't be told from the bytes.
    """

    strays: dict[str, bytes]
    odd: tuple[str, ...] = ()


def decoded(data: bytes) -> tuple[str, tuple[bytes, str]]:
    """Return (text, (byte-order mark, codec)).

    Parameters
    ----------
    data : bytes

    Raises
    ------
    NoTextError

    Examples
    --------
    >>> decoded("Süd,1".encode("cp1252"))
    ('Süd,1', (b'', 'cp1252'))
    """
    if data[:4] in (b"PK\x03\x04", b"\xd0\xcf\x11\xe0"):
        raise NoTextError("a spreadsheet workbook", "a CSV file. In the spreadsheet: Save as, type CSV UTF-8")
    half = len(data) // 2
    unmarked = [  # two bytes a letter: of plain ones, every second is empty
        (b"", codec)
        for codec, at in (("utf-16-le", 1), ("utf-16-be", 0))
        if half > 8 and data[at::2].count(0) > 0.8 * half and data[1 - at :: 2].count(0) == 0
    ]
    for bom, codec in (
        (b"\xef\xbb\xbf", "utf-8"),
        (b"\xff\xfe", "utf-16-le"),
        (b"\xfe\xff", "utf-16-be"),
        *unmarked,
        (b"", "utf-8"),
    ):
        if data.startswith(bom):
            try:
                text = data[len(bom) :].decode(codec)
            except UnicodeDecodeError:
                continue
            if "\0" not in text or _few_are_spoiled(text):
                return text, (bom, codec)
    if b"\0" not in data:
        return _by_line(data)
    if before_the_end_is_empty(data):
        raise NoTextError("empty bytes at its end, as a power cut leaves them", "a table to its end")
    raise NoTextError("bytes that are no text", "a CSV file")


def _few_are_spoiled(text):
    """True if empty bytes, as a sync or a bad sector leaves them, are in few lines, and not at the end."""
    lines = text.rstrip("\r\n").split("\n")
    spoiled = sum("\0" in line for line in lines[1:])
    return (
        bool(lines) and "\0" not in lines[0] and not text.endswith("\0") and spoiled <= _SPOILED * len(lines)
    )


_SPOILED = 0.1  # of the lines: more, and it is no table


def before_the_end_is_empty(data: bytes) -> bytes:
    """Return the text of a file whose end a power cut left full of empty bytes; nothing of any other.

    Parameters
    ----------
    data : bytes

    Examples
    --------
    >>> before_the_end_is_empty(b"1,ash\\n2,o\\0\\0\\0"), before_the_end_is_empty(b"1,ash\\n")
    (b'1,ash\\n2,o', b'')
    """
    text = data.rstrip(b"\0")
    return text if text != data and b"\0" not in text else b""


def encoded(text: str, encoding: tuple[bytes, str], name: str) -> bytes:
    """Return the bytes of a text in the encoding that it came in; a line that stays keeps its bytes.

    Parameters
    ----------
    text : str
    encoding : tuple of (bytes, str)
        As from `decoded`.
    name : str
        The file's, for a message.

    Raises
    ------
    SaveError
        A line was changed in which there are letters that can't be told yet, and others were typed beside them.

    Examples
    --------
    >>> encoded("Süd,1", (b"", "cp1252"), "stacks.csv")
    b'S\\xfcd,1'
    """
    bom, codec = encoding
    if isinstance(codec, Lines):
        untold = set(_cells(codec.strays)) if codec.odd else set()
        return bom + b"".join(
            codec.strays.get(line) or _line_bytes(line, untold, name) for line in lines_of(text)
        )
    try:
        return bom + text.encode(codec, _NO_SIGN if codec == _WINDOWS else "strict")
    except UnicodeEncodeError:  # a letter that the old encoding lacks
        return b"\xef\xbb\xbf" + text.encode("utf-8")


def lines_of(text: str) -> Iterator[str]:
    """Return the lines of a text, each with its end.

    Examples
    --------
    >>> list(lines_of("a,b\\r\\n1,2"))
    ['a,b\\r\\n', '1,2']
    """
    return io.StringIO(text, newline="")


def _cells(lines: Iterable[str]) -> Iterator[str]:
    """The cells of lines that hold anything but plain letters."""
    for line in lines:
        yield from (cell for cell in re.split(r'[,;\t"\r\n]', line) if not cell.isascii())


def _line_bytes(line, untold, name):
    """The bytes of a line that is new or changed; `untold` are cells in letters that can't be told yet."""
    if line.isascii() or not untold:
        return line.encode("utf-8")
    there = set(_cells([line]))
    if not there & untold:
        return line.encode("utf-8")
    if there <= untold:
        return line.encode(_WINDOWS, _NO_SIGN)
    word = next(iter(there & untold)).strip()[:40]
    raise SaveError(
        f"{name} was not saved: this row holds {word!r}, and what those letters are can't be told yet. Choose how the "
        "file reads, here or on the doctor page in lesson 0, then change the row. Nothing in the file was changed."
    )


def _by_line(data):
    """Return (text, (byte-order mark, codec)) of bytes that are not UTF-8 as a whole: older spreadsheets wrote cp1252.

    Where a part of the lines is UTF-8, only the others are read as cp1252.
    """
    bom = b"\xef\xbb\xbf" if data.startswith(b"\xef\xbb\xbf") else b""
    parts = re.findall(rb"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+\Z", data[len(bom) :])
    utf_8, strays, out = bool(bom), {}, []
    for part in parts:
        try:
            out.append(part.decode("utf-8"))
            utf_8 = utf_8 or not part.isascii()
        except UnicodeDecodeError:
            out.append(part.decode(_WINDOWS, _NO_SIGN))
            strays[out[-1]] = part
    odd = _odd_words(strays, _WINDOWS)
    if not utf_8 and not odd:
        return "".join(out), (b"", _WINDOWS)
    codec = Lines("utf-8")
    codec.strays, codec.odd = strays, odd
    return "".join(out), (bom, codec)


def readings(codec: str) -> list[tuple[str, tuple[str, ...]]]:
    """Return [(code, the odd words read in it)] of a file whose letters can't be told, the likelier first.

    Parameters
    ----------
    codec : str
        Of a `Lines` that has odd words; of any other there is nothing to choose.

    Returns
    -------
    list of tuple

    Examples
    --------
    >>> readings(decoded("Süd,1\\ngrün,2\\n".encode("mac-roman"))[1][1])[0]
    ('mac-roman', ('Süd', 'grün'))
    """
    if not isinstance(codec, Lines) or not codec.odd:
        return []
    lines = [line for line, data in codec.strays.items() if any(word in line for word in codec.odd)]
    tries = []
    for rank, code in enumerate(CODES):
        try:
            told = [_told(codec.strays[line], code) for line in lines]
        except UnicodeDecodeError:
            continue
        words = tuple(dict.fromkeys(word for line in told for word in _foreign(line)))
        tries.append((len(_odd_words(told, code)), code == _WINDOWS, rank, code, words[:_WORDS]))
    tries.sort()
    good = [each for each in tries if each[0] == 0] or tries
    picked = good[:_READINGS] if any(each[1] for each in good[:_READINGS]) else good[: _READINGS - 1]
    picked += [
        each for each in tries if each[1] and each not in picked
    ]  # how it is read until somebody chooses
    return [(code, words) for *_, code, words in picked]


def read_as(data: bytes, code: str) -> bytes:
    """Return a file's bytes in UTF-8, its lines of another code read in `code`.

    Examples
    --------
    >>> read_as("Süd,1".encode("mac-roman"), "mac-roman").decode("utf-8-sig")
    'Süd,1'
    """
    text, (_, codec) = decoded(data)
    strays = codec.strays if isinstance(codec, Lines) else {}
    told = "".join(_told(strays[line], code) if line in strays else line for line in lines_of(text))
    return b"\xef\xbb\xbf" + told.encode("utf-8")


def _told(data, code):
    return data.decode(code, _NO_SIGN if code == _WINDOWS else "strict")


def _foreign(line):
    """The words of a line with other letters than plain ones."""
    return [word for word in re.split(r'[\s,;"()/]+', line) if not word.isascii()]


def _odd_words(lines, code):
    """The words of lines that nobody would write, if they were in this code."""
    odd = _ODD.get(code, _odd_latin)
    return tuple(dict.fromkeys(word for line in lines for word in _foreign(line) if odd(word)))


_LATIN = {chr(n) for n in range(0xC0, 0x100)} - set("×÷")
_SIGNS = set("°²³½¼¾€£§±×µ·–—‘’“”…«»¿¡º®©™•\xa0")
_INSIDE = set("„‚“”…§«»¡¿€™°²³½¼¾±×µ•®©º")  # of these none stands between two letters


def _odd_latin(word, letters=_LATIN):
    if not all(sign.isascii() or sign in letters or sign in _SIGNS for sign in word):
        return True
    if word in ("¡F", "¡C", "øF", "øC", "Â°F"):  # the degree in another code
        return True
    if re.search(r"[^\W\d_]§|\d«", word):  # ß, and a half
        return True
    for before, sign, after in zip(f" {word}", word, f"{word} "[1:], strict=False):
        if sign in _INSIDE and before.isalpha() and after.isalpha():
            return True
        if not sign.isascii() and sign.isupper() and before.isalpha() and after.islower():
            return True
        if not sign.isascii() and sign.isupper() and before.islower():
            return True
    return _all_foreign(word)


def _all_foreign(word):
    """True for three letters of another alphabet in a row, or two that are the whole word."""
    runs = re.findall(r"[^\x00-\x7f\W\d_]+", word)
    return any(len(run) > 2 for run in runs) or (len(word) == 2 and bool(runs) and len(runs[0]) == 2)


def _odd_east(word):
    return _odd_latin(word, _LATIN | {chr(n) for n in range(0x100, 0x180)})


def _odd_cyrillic(word):
    letters = [sign for sign in word if sign.isalpha()]
    if not all("Ѐ" <= sign <= "ӿ" for sign in letters):
        return True
    text = "".join(letters)
    signs = set(word) - set(letters)
    return not (text.islower() or text.isupper() or text.istitle() or not text) or not all(
        sign.isascii() or sign in _SIGNS | {"№"} for sign in signs
    )


def _odd_chinese(code, first, last):
    """Chinese words of signs that everybody uses: those that stand first in their code."""

    def odd(word):
        try:
            return not all(
                (sign.isascii() and not sign.islower()) or "\u3000" <= sign <= "\u303f" or "\uff00" <= sign <= "\uffef"
                or ("\u4e00" <= sign <= "\u9fff" and first <= sign.encode(code)[0] <= last)
                for sign in word
            )  # fmt: skip
        except UnicodeEncodeError:
            return True

    return odd


_ODD = {
    "cp1250": _odd_east,
    "cp1251": _odd_cyrillic,
    "gbk": _odd_chinese("gb2312", 0xB0, 0xD7),
    "big5": _odd_chinese("big5", 0xA4, 0xC6),
}
