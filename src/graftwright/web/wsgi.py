"""The program as a server sees it."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "graftwright.web.settings")
application = get_wsgi_application()
