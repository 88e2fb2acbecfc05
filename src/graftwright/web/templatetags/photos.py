"""The strip of photos on a code's page."""

from dataclasses import dataclass
from datetime import date

from django import template
from django.middleware.csrf import get_token
from django.urls import reverse

from graftwright.notebook.entries import PhotoAdded
from graftwright.store.photos import photo_name
from graftwright.store.read import counted_story_of

register = template.Library()


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoShown:
    """One photo of the strip."""

    address: str
    words: str
    happened_on: date


@register.inclusion_tag("sync/photos.html", takes_context=True)
def photo_strip(context: template.Context, code: str) -> dict[str, object]:
    """Show the photos of what a code names, the newest first, and a form for one more."""
    entries = [one.entry for one in counted_story_of(code)]
    shown = [
        PhotoShown(
            address=reverse("photo-file", args=[photo_name(entry)]),
            words=entry.words,
            happened_on=entry.happened_on,
        )
        for entry in entries
        if isinstance(entry, PhotoAdded)
    ]
    return {"photos": shown[::-1], "code": code, "csrf_token": get_token(context["request"])}
