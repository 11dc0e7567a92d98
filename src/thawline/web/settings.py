"""
Django's settings for one site, read from the environment that `thawline serve` sets.

`THAWLINE_SITE` is the site's folder. Without one (types, tests) `ops.db` lives in memory.
Source of the security settings: Django 5.2, "Deployment checklist".
"""

import os
from pathlib import Path

from thawline.web.languages.catalogue import catalogues
from thawline.web.secrets_kept import kept_secret

_HERE = Path(__file__).parent
_FOLDER = os.environ.get("THAWLINE_SITE", "")
SITE_FOLDER = Path(_FOLDER) if _FOLDER else None

DEBUG = False
SECRET_KEY = kept_secret(SITE_FOLDER, "pages")
PEPPER = kept_secret(SITE_FOLDER, "pepper")
ALLOWED_HOSTS = os.environ.get("THAWLINE_HOSTS", "localhost,127.0.0.1,testserver").split(",")
ROOT_URLCONF = "thawline.web.urls"
WSGI_APPLICATION = "thawline.web.wsgi.application"
INSTALLED_APPS = [
    "django.contrib.contenttypes",
    "django.contrib.auth",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "thawline.web.staff",
    "thawline.web.tablets",
    "thawline.web",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "thawline.web.smaller.Smaller",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "thawline.web.headers.Headers",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "thawline.web.staff.at_the_door.AtTheDoor",
]
TEMPLATES = [
    {
        "NAME": language,
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [_HERE / "templates"],
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "thawline.web.languages.chosen.chosen",
            ],
            "builtins": [
                "thawline.web.words",
                "thawline.web.asked_again",
                "thawline.web.once",
                "thawline.web.languages.ours",
            ],
            "loaders": [("django.template.loaders.cached.Loader", [loader])],
        },
    }
    for language, loader in (
        ("en", "django.template.loaders.filesystem.Loader"),
        *((code, ("thawline.web.languages.retold.Loader", code)) for code in catalogues()),
    )
]
DATABASES = {
    "default": {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": str(SITE_FOLDER / "ops.db") if SITE_FOLDER else ":memory:",
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "timeout": 5,
            "init_command": "PRAGMA journal_mode = DELETE",
        },
        "CONN_MAX_AGE": None,
    }
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
AUTH_USER_MODEL = "staff.Staff"
PASSWORD_HASHERS = ["thawline.web.staff.hashing.Passphrases"]
SESSION_ENGINE = "django.contrib.sessions.backends.cached_db"
CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.locmem.LocMemCache",  # there is one worker
        "OPTIONS": {"MAX_ENTRIES": 2000},
    }
}
AUTHENTICATION_BACKENDS = ["thawline.web.staff.known.KnownPeople"]
SESSION_COOKIE_AGE = 12 * 3600
SESSION_COOKIE_NAME = "__Host-session"
SESSION_COOKIE_SECURE = True
SESSION_COOKIE_SAMESITE = "Strict"
CSRF_COOKIE_NAME = "__Host-csrf"
CSRF_COOKIE_SECURE = True
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_SAMESITE = "Strict"
CSRF_FAILURE_VIEW = "thawline.web.answers.stale_page"
SECURE_SSL_REDIRECT = True
SECURE_HSTS_SECONDS = 24 * 3600  # short: the site's own authority, on the site's own network
SECURE_HSTS_INCLUDE_SUBDOMAINS = True
SECURE_HSTS_PRELOAD = True
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
DATA_UPLOAD_MAX_MEMORY_SIZE = 256 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 200
LANGUAGE_CODE = "en-us"
USE_I18N = False
USE_TZ = True
TIME_ZONE = "UTC"
STATIC_URL = "/static/"
STATICFILES_DIRS = [_HERE / "static"]
STATICFILES_FINDERS = ["django.contrib.staticfiles.finders.FileSystemFinder"]
WHITENOISE_USE_FINDERS = True
WHITENOISE_MAX_AGE = 3600
LOGGING = {
    "version": 1,
    "disable_existing_loggers": True,
    "handlers": {"lines": {"class": "logging.StreamHandler"}},
    "loggers": {"thawline.web": {"handlers": ["lines"], "level": "INFO"}},
}
