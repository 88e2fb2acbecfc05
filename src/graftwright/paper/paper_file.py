"""A finished file: its name, what it is, its bytes."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One file ready to be saved, sent or printed."""

    file_name: str
    media_type: str
    content: bytes
