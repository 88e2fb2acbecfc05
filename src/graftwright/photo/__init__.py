"""Sticks measured from one photograph of the marker sheet, or a picture refused."""

from graftwright.photo.measure import measure_sticks
from graftwright.photo.reading import (
    BudRead,
    BudSide,
    DiameterRead,
    FlatPicture,
    PhotoReading,
    PictureFacts,
    PrintedRulers,
    StickRead,
)
from graftwright.photo.refusal import PictureRefused, Reason

__all__ = [
    "BudRead",
    "BudSide",
    "DiameterRead",
    "FlatPicture",
    "PhotoReading",
    "PictureFacts",
    "PictureRefused",
    "PrintedRulers",
    "Reason",
    "StickRead",
    "measure_sticks",
]
