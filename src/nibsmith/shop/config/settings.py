"""Settings of the web project. What a maker may choose is in the workshop's own settings page."""

from __future__ import annotations

import os
from typing import Any

from nibsmith.shop.config import home as _home
from nibsmith.shop.config.database import URL_VARIABLE, database
from nibsmith.shop.serving.limits import BODY_READ_BYTES, HELD_IN_MEMORY_BYTES, MEBIBYTE
from nibsmith.shop.serving.static_files import state_of_files

# Faults go to the log file, never to the page.
DEBUG = False
SECRET_KEY = _home.secret_key()

# Only this computer: nothing here knows who is asking, so nobody else may ask.
ALLOWED_HOSTS = ["localhost", "127.0.0.1", "[::1]"]

INSTALLED_APPS = [
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_htmx",
    "nibsmith.shop.common",
    "nibsmith.shop.stock",
    "nibsmith.shop.kit",
    "nibsmith.shop.recipes",
    "nibsmith.shop.batches",
    "nibsmith.shop.roasts",
    "nibsmith.shop.tools",
]

MIDDLEWARE = [
    "nibsmith.shop.common.middleware.SafeHeaders",
    "nibsmith.shop.common.middleware.KnownHost",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "nibsmith.shop.common.middleware.BodyLimit",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "nibsmith.shop.common.once.middleware.WriteOnce",
    "nibsmith.shop.common.middleware.Refusals",
]

ROOT_URLCONF = "nibsmith.shop.config.urls"
WSGI_APPLICATION = "nibsmith.shop.config.wsgi.application"
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

TEMPLATES: list[dict[str, Any]] = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "builtins": ["nibsmith.shop.common.templatetags.once"],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

DATABASES = {"default": database(os.environ.get(URL_VARIABLE, "").strip(), _home.database_file())}
# A request opens a transaction only in the service that writes: with IMMEDIATE, a page that only
# reads would otherwise wait for the writers.
DATABASES["default"]["ATOMIC_REQUESTS"] = False
DATABASES["default"]["CONN_MAX_AGE"] = None
DATABASES["default"]["CONN_HEALTH_CHECKS"] = True

LANGUAGE_CODE = "en-gb"
USE_I18N = False
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "/static/"
# Only our own pages use these files.
WHITENOISE_ALLOW_ALL_ORIGINS = False
STATIC_ROOT = _home.static_folder(state_of_files())
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}

# Other programs on this computer share the cookies of 127.0.0.1, whatever their port.
CSRF_COOKIE_NAME = "nibsmith_csrf"
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_FAILURE_VIEW = "nibsmith.shop.common.views.csrf_failure"
MESSAGE_STORAGE = "django.contrib.messages.storage.cookie.CookieStorage"
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"

SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

BODY_LIMIT_BYTES = BODY_READ_BYTES
DATA_UPLOAD_MAX_MEMORY_SIZE = BODY_READ_BYTES
FILE_UPLOAD_MAX_MEMORY_SIZE = HELD_IN_MEMORY_BYTES

LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"dated": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {
        "file": {
            "class": "logging.handlers.RotatingFileHandler",
            "filename": str(_home.home() / "nibsmith.log"),
            "maxBytes": MEBIBYTE,
            "backupCount": 3,
            "delay": True,
            "encoding": "utf-8",
            "formatter": "dated",
        },
    },
    "root": {"handlers": ["file"], "level": "WARNING"},
    "loggers": {"django": {"handlers": ["file"], "level": "WARNING", "propagate": False}},
}
