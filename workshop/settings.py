"""Settings of a running workshop. Everything that differs between machines comes from the environment."""

import os
from pathlib import Path

from workshop.database import connection_settings
from workshop.secrets import secret_key

BASE_DIR = Path(__file__).resolve().parent.parent

DEBUG = False
SECRET_KEY = secret_key()
ALLOWED_HOSTS = os.environ.get("PAIRWRIGHT_HOSTS", "127.0.0.1,localhost").split(",")
SERVED_OVER_HTTPS = os.environ.get("PAIRWRIGHT_HTTPS", "") == "1"
PUBLIC_ADDRESS = os.environ.get("PAIRWRIGHT_ADDRESS", "http://127.0.0.1:8000")
"""Where a printed QR code leads: the address a bench terminal knows this server by, without a closing slash."""

IS_DEMONSTRATION = os.environ.get("PAIRWRIGHT_DEMO", "") == "1"
"""True where the invented workshop is loaded: every page and paper then says so."""

WORKSHOP_NAME = os.environ.get("PAIRWRIGHT_WORKSHOP_NAME", "The invented workshop" if IS_DEMONSTRATION else "")
WORKSHOP_ADDRESS = os.environ.get("PAIRWRIGHT_WORKSHOP_ADDRESS", "")
"""The head of its letters, address lines apart by semicolons. Without a name the head stays blank for headed paper."""

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.postgres",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_htmx",
    "template_partials",
    "pgtrigger",
    "shared",
    "workshop.staff",
    "workshop.hours",
    "workshop.figures",
    "cases.patients",
    "cases.diary",
    "cases.lasts",
    "cases.prescriptions",
    "cases.bench",
    "cases.patterns",
    "cases.fittings",
    "cases.overview",
    "demo",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "shared.headers.SecurityHeaders",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    # The signs of forms are masked anew in every answer, and each answer is padded by chance: its length tells nothing.
    "django.middleware.gzip.GZipMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "workshop.terminals.middleware.TerminalMiddleware",
    "shared.permissions.AccessMiddleware",
    "shared.once.OncePerSubmission",
    "shared.refusals.RefusalMiddleware",
]

ROOT_URLCONF = "workshop.urls"
WSGI_APPLICATION = "workshop.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "workshop.context.workshop",
            ],
            "builtins": ["shared.templatetags.pairwright"],
        },
    },
]

FORM_RENDERER = "shared.widgets.PlainWidgets"

DATABASES = {"default": connection_settings()}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "staff.Person"
LOGIN_URL = "sign-in"
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
PASSWORD_HASHERS = ["shared.hashing.ModestArgon2"]

LANGUAGE_CODE = "en-gb"
TIME_ZONE = os.environ.get("PAIRWRIGHT_TIME_ZONE", "Europe/London")
USE_I18N = True
USE_TZ = True
FILE_UPLOAD_HANDLERS = ["shared.uploads.BoundedUploadHandler"]
DATE_INPUT_FORMATS = ["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y"]

STATIC_URL = "static/"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATIC_ROOT = BASE_DIR / "static-collected"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
}

SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_EXPIRE_AT_BROWSER_CLOSE = True
SESSION_COOKIE_AGE = 12 * 60 * 60
SESSION_COOKIE_SECURE = SERVED_OVER_HTTPS
CSRF_COOKIE_SECURE = SERVED_OVER_HTTPS
CSRF_FAILURE_VIEW = "shared.refusals.csrf_failure"
SECURE_SSL_REDIRECT = SERVED_OVER_HTTPS
SECURE_HSTS_SECONDS = 31_536_000 if SERVED_OVER_HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SERVED_OVER_HTTPS
SECURE_HSTS_PRELOAD = SERVED_OVER_HTTPS
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if SERVED_OVER_HTTPS else None
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"

PGTRIGGER_INSTALL_ON_MIGRATE = False
PGTRIGGER_SCHEMA_EDITOR = False

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
