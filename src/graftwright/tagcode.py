"""The five-character code on a tag: its alphabet, its check character, how it is read.

Four characters name the thing, the fifth checks them: sum of c_i * 5**i = 1 (mod 23), i counted
from the right, the alphabet's first character being 0. The arithmetic is that of a pure system of
ISO/IEC 7064 with modulus 23 and radix 5 (source key ISO7064); the alphabet leaves out one of each
look-alike pair (common practice, no source).
"""

from collections.abc import Iterator

from graftwright.errors import OutOfRange, UnknownCode
from graftwright.tongue import told

ALPHABET = "23456789CEFHJKLMNPRTWXY"
CODE_COUNT = len(ALPHABET) ** 4
_VALUE = {character: value for value, character in enumerate(ALPHABET)}
_READ_AS = {"Z": "2", "S": "5", "B": "8", "G": "6", "A": "4"}
_RADIX, _MODULUS = 5, 23
_STRIDE = 104_729  # prime, no multiple of 23: neighbours in the series look unlike one another
_WEIGHTS = tuple(_RADIX**place for place in range(4, -1, -1))


def check_character(four: str) -> str:
    """Return the character that completes four characters to a code.

    Raises UnknownCode if one of the four is not of the alphabet.
    """
    if len(four) != 4 or any(character not in _VALUE for character in four):
        raise UnknownCode(
            told("{four!r} is not four characters of {ALPHABET}", four=four, ALPHABET=ALPHABET)
        )
    total = sum(_VALUE[c] * weight for c, weight in zip(four, _WEIGHTS, strict=False))
    return ALPHABET[(1 - total) % _MODULUS]


def code_from_number(number: int) -> str:
    """Return the code with this place in the series (0 to 279,840).

    Raises OutOfRange beyond the series.
    """
    if not 0 <= number < CODE_COUNT:
        raise OutOfRange(
            told(
                "code number {number}: the series runs from 0 to {CODE_COUNT}",
                number=number,
                CODE_COUNT=CODE_COUNT - 1,
            )
        )
    number = number * _STRIDE % CODE_COUNT
    four = ""
    for _ in range(4):
        number, place = divmod(number, len(ALPHABET))
        four = ALPHABET[place] + four
    return four + check_character(four)


def number_from_code(code: str) -> int:
    """Return a valid code's place in the series. Raises UnknownCode."""
    number = 0
    for character in read_code(code)[:4]:
        number = number * len(ALPHABET) + _VALUE[character]
    return number * pow(_STRIDE, -1, CODE_COUNT) % CODE_COUNT


def codes_in_block(first_number: int, count: int) -> Iterator[str]:
    """Yield the codes of one block, in order. Raises OutOfRange if it leaves the series."""
    for number in range(first_number, first_number + count):
        yield code_from_number(number)


def read_code(text: str) -> str:
    """Return the code a person typed or a scanner read, in its written form.

    Lower case, spaces and hyphens are allowed; Z S B G A are taken as 2 5 8 6 4 and the check
    decides. Raises UnknownCode, naming what was found, what was expected and what to do.
    """
    squeezed = "".join(text.split()).replace("-", "").upper()
    code = "".join(_READ_AS.get(character, character) for character in squeezed)
    if len(code) != 5:
        raise UnknownCode(
            told(
                "{text!r} has {count} characters; a code has five, such as K4T76",
                text=text,
                count=len(code),
            )
        )
    strange = sorted({character for character in code if character not in _VALUE})
    if strange:
        raise UnknownCode(
            told(
                "{text!r} holds {listed}, which no code does; look at the tag again",
                text=text,
                listed=", ".join(strange),
            )
        )
    if check_character(code[:4]) != code[4]:
        raise UnknownCode(
            told("{text!r} does not check: one character is misread or two are swapped", text=text)
        )
    return code
