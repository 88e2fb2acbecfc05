"""Settings: one file, read from the environment, loud on nonsense."""

import os
import secrets
from datetime import date
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

from graftwright.locale import CATALOGUE_FOLDERS
from graftwright.store.database import database_from, folder_from
from graftwright.web.reach import reach_from
from graftwright.work.executors import MOST_WORKERS

NOTEBOOK_FOLDER = folder_from(os.environ)


def _day(name: str) -> date | None:
    text = os.environ.get(name, "")
    try:
        return date.fromisoformat(text) if text else None
    except ValueError as wrong:
        raise ImproperlyConfigured(f"{name}={text!r} is no day; write it as 2009-02-17") from wrong


def _count(name: str) -> int:
    text = os.environ.get(name, "") or "0"
    if not text.isdecimal() or int(text) > MOST_WORKERS:
        raise ImproperlyConfigured(
            f"{name}={text!r} is no number of workers; write 0 to {MOST_WORKERS}"
        )
    return int(text)


def _secret_key() -> str:
    """Return the notebook's own key, made once and readable by its owner alone."""
    path = NOTEBOOK_FOLDER / "secret-key"
    if path.exists():
        return path.read_text(encoding="ascii").strip()
    key = secrets.token_urlsafe(50)
    if NOTEBOOK_FOLDER.is_dir():
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "w", encoding="ascii") as file:
            file.write(key)
    return key


STAND_ON = _day("GRAFTWRIGHT_DAY")
BACKUPS_FOLDER = (
    Path(os.environ["GRAFTWRIGHT_BACKUPS"]) if os.environ.get("GRAFTWRIGHT_BACKUPS") else None
)
# where pages let long work be done; neither: in the request that asks
WORKERS = _count("GRAFTWRIGHT_WORKERS")
CLUSTER = os.environ.get("GRAFTWRIGHT_CLUSTER", "")
SECRET_KEY = _secret_key()
DEBUG = False
_REACH = reach_from(os.environ)
ALLOWED_HOSTS = _REACH.hosts
NEEDS_ACCOUNT = _REACH.needs_account
BEHIND_PROXY = _REACH.is_behind_proxy
PUBLIC_ADDRESS = _REACH.address
AUTH_USER_MODEL = "store.Account"
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("name",)},
    },
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "sign-in"
SESSION_ENGINE = "graftwright.store.sessions"
ROOT_URLCONF = "graftwright.web.first_urls"
WSGI_APPLICATION = "graftwright.web.wsgi.application"
INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "graftwright.store",
    "graftwright.web",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "graftwright.web.guard.ContentPolicyMiddleware",
    "graftwright.web.guard.PackingMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "graftwright.web.language.LanguageMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "graftwright.web.people.door.DoorMiddleware",
    "graftwright.web.first_day.NoNotebookMiddleware",
    "graftwright.web.working.shown.StillWorkingMiddleware",
    "graftwright.web.sync.sending.SendingMiddleware",
]
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [Path(__file__).parent / "templates"],
        "OPTIONS": {
            "builtins": ["django.templatetags.i18n", "graftwright.web.templatetags.trade"],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.messages.context_processors.messages",
                "graftwright.web.standing_on.day_and_nursery",
                "graftwright.web.contents.places",
                "graftwright.web.people.shown.person_here",
                "graftwright.web.language.spoken",
            ],
        },
    }
]
DATABASES = {"default": database_from(os.environ, folder=NOTEBOOK_FOLDER)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
USE_TZ = True
TIME_ZONE = "UTC"
LANGUAGE_CODE = "en-gb"
LANGUAGES = [("en-gb", "English"), ("de", "Deutsch")]
LOCALE_PATHS = CATALOGUE_FOLDERS
# figures written into drawings and fields keep their point; those that are read go by `number`
FORMAT_MODULE_PATH = "graftwright.web.formats"
MESSAGE_STORAGE = "django.contrib.messages.storage.cookie.CookieStorage"
CSRF_FAILURE_VIEW = "graftwright.web.people.forged.refuse_form"
SESSION_COOKIE_HTTPONLY = True
# a link from a message opens one's own page signed in; forms are held by their own token
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = _REACH.is_encrypted
if _REACH.is_encrypted:
    SESSION_COOKIE_NAME, CSRF_COOKIE_NAME = "__Host-signed-in", "__Host-form"
    SECURE_SSL_REDIRECT = True
    SECURE_HSTS_SECONDS = 30 * 24 * 3600
    # other names below this one, and lists that browsers ship, are not ours to bind
    SILENCED_SYSTEM_CHECKS = ["security.W005", "security.W021"]
if _REACH.is_behind_proxy:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
STATIC_URL = "/static/"
STATICFILES_DIRS = [Path(__file__).parent / "static"]
WHITENOISE_USE_FINDERS = True
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Strict"
X_FRAME_OPTIONS = "DENY"
DATA_UPLOAD_MAX_MEMORY_SIZE = 11 * 1024 * 1024  # a photo of another copy comes as it is
FILE_UPLOAD_MAX_MEMORY_SIZE = 12 * 1024 * 1024
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"quiet": {"()": "graftwright.web.people.quiet.WithoutSecrets"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "quiet"}},
    "root": {"handlers": ["stderr"], "level": "WARNING"},
}
