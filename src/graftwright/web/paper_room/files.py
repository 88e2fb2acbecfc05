"""A finished file as an answer."""

from django.http import HttpResponse

PDF = "application/pdf"


def file_answer(content: bytes, *, file_name: str, media_type: str) -> HttpResponse:
    """Return a file to be saved under its name."""
    response = HttpResponse(content, content_type=media_type)
    response["Content-Disposition"] = f'attachment; filename="{file_name}"'
    return response
