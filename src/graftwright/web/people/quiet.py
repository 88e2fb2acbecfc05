"""What a log may say: where something went wrong, without the secret in the address."""

import logging
import re

_SECRET = re.compile(r"/(pair|feed)/[^/\s'\"]+")


def without_secrets(text: str) -> str:
    """Return the text with the secrets of links and calendar addresses left out.

    >>> without_secrets("Not Found: /pair/s3cr3t/")
    'Not Found: /pair/.../'
    """
    return _SECRET.sub(r"/\1/...", text)


class WithoutSecrets(logging.Formatter):
    """Writes a line of the log, and what went wrong beneath it, without secrets."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the whole text of a record."""
        return without_secrets(super().format(record))
