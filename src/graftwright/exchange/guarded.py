"""Text that no spreadsheet takes for a formula, and back, letter for letter."""

# Signs a spreadsheet may run, their wide forms, and the blanks some programs skip before them.
_RUNS = "=+-@＝＋－＠"
_GUARD = "'"


def guarded(text: str) -> str:
    """Return the text led by an apostrophe if a spreadsheet might run it, else as it is.

    A text that already has apostrophes before such a sign gets one more, so that `unguarded`
    gives every text back as it was.
    """
    return _GUARD + text if _would_run(text.lstrip(_GUARD)) else text


def unguarded(text: str) -> str:
    """Return a guarded text as it was before."""
    if text.startswith(_GUARD) and _would_run(text.lstrip(_GUARD)):
        return text[1:]
    return text


def _would_run(text: str) -> bool:
    bare = text.lstrip()
    return text[:1] in ("\t", "\r", "\n") or (bare != "" and bare[0] in _RUNS)
