"""The settings of the bench, read from the environment that ``oilwedge serve`` makes.

There is no debug page: ``DEBUG`` is False wherever this runs.
"""

from __future__ import annotations

import os
import secrets
from pathlib import Path

from oilwedge.web.databases import database_settings

SHOP_FOLDER = Path(os.environ.get("OILWEDGE_SHOP", "oilwedge-shop")).resolve()
MODE = os.environ.get("OILWEDGE_MODE", "alone")
PORT = os.environ.get("OILWEDGE_PORT", "8470")
SECURE = os.environ.get("OILWEDGE_SECURE") == "1"
PHOTO_FOLDER = SHOP_FOLDER / "photos"
BUILT_STATIC = SHOP_FOLDER / "static"


def _secret() -> str:
    """The key that signs sessions, kept in the shop's folder; one for this process without it."""
    path = SHOP_FOLDER / "secret"
    return path.read_text(encoding="ascii").strip() if path.is_file() else secrets.token_hex(32)


SECRET_KEY = _secret()
DEBUG = False
ALLOWED_HOSTS = [
    name for name in os.environ.get("OILWEDGE_ADDRESSES", "127.0.0.1,localhost").split(",") if name
]

INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "django_htmx",
    "ninja",  # its own pages come from here, not from a network
    "oilwedge.web.look",
    "oilwedge.web.people",
    "oilwedge.web.record",
    "oilwedge.web.bench",
    "oilwedge.web.engines",
    "oilwedge.web.shelf",
    "oilwedge.web.classroom",
    "oilwedge.web.api",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "csp.middleware.CSPMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "oilwedge.web.faults.FaultsMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "oilwedge.web.people.origin.OriginMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
]
ROOT_URLCONF = "oilwedge.web.urls"
WSGI_APPLICATION = "oilwedge.web.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "csp.context_processors.nonce",
                "oilwedge.web.people.context.rights",
                "oilwedge.web.shelf.context.shop",
            ],
        },
    }
]

DATABASES = {
    "default": database_settings(url=os.environ.get("OILWEDGE_DATABASE", ""), folder=SHOP_FOLDER)
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "people.Account"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ("username", "full_name")},
    },
]
LOGIN_URL = "people:login"
LOGIN_REDIRECT_URL = "bench:work"
LOGOUT_REDIRECT_URL = "people:login"

# Locked by name and address together: one pupil's typing errors lock nobody else out.
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = 0.25  # hours
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_TEMPLATE = "people/locked.html"
AXES_DISABLE_ACCESS_LOG = True
AXES_VERBOSE = False

SESSION_COOKIE_AGE = 12 * 3600
SESSION_COOKIE_NAME = "oilwedge_session"
SESSION_COOKIE_SECURE = SECURE
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SECURE = SECURE
CSRF_COOKIE_SAMESITE = "Strict"
CSRF_FAILURE_VIEW = "oilwedge.web.faults.csrf_failure"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": ["'none'"],
        "script-src": ["'self'"],
        "style-src": ["'self'"],
        "img-src": ["'self'", "data:"],
        "font-src": ["'self'"],
        "connect-src": ["'self'"],
        "manifest-src": ["'self'"],
        "worker-src": ["'self'"],
        "frame-src": ["'self'"],
        "object-src": ["'none'"],
        "form-action": ["'self'"],
        "base-uri": ["'none'"],
        "frame-ancestors": ["'none'"],
    }
}

DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 2**20  # bodies that are no files
FILE_UPLOAD_MAX_MEMORY_SIZE = 2**20
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2000
DATA_UPLOAD_MAX_NUMBER_FILES = 20
PHOTO_LIMIT_BYTES = 25 * 2**20
ARCHIVE_LIMIT_BYTES = 200 * 2**20

STATIC_URL = "/static/"
STATIC_ROOT = BUILT_STATIC
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}
WHITENOISE_ALLOW_ALL_ORIGINS = False
MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"

LANGUAGE_CODE = "en"
USE_I18N = False
USE_TZ = True
TIME_ZONE = "UTC"
SILENCED_SYSTEM_CHECKS = ["security.W004", "security.W008"]  # HTTPS is the server's own

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler", "level": "ERROR"}},
    "root": {"handlers": ["console"], "level": "ERROR"},
    "loggers": {
        "axes": {"level": "ERROR"},
        "django.security": {"level": "CRITICAL"},  # answered to the person; no news for the log
    },
}
