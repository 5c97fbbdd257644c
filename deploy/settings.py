"""What differs by machine is read from UNDERCAST_* variables; what a registrar decides is the row `Collection`."""

import os
import secrets
import sys
import tempfile
from pathlib import Path
from urllib.parse import urlsplit

from deploy.addresses import database_of, mail_of

BASE = Path(__file__).resolve().parent.parent
TESTING = "pytest" in sys.modules

# tests keep everything in a folder of their own, so that two runs never meet
_data = os.environ.get("UNDERCAST_DATA") or (tempfile.mkdtemp(prefix="undercast-test-") if TESTING else BASE / "data")
DATA = Path(_data).resolve()
DATA.mkdir(parents=True, exist_ok=True)


def _secret_key() -> str:
    """The key of this house: from the environment, else from a file that is made once, readable by its owner only."""
    if given := os.environ.get("UNDERCAST_SECRET_KEY"):
        return given
    path = DATA / "key"
    if not path.exists():
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        os.write(handle, secrets.token_urlsafe(50).encode())
        os.close(handle)
    return path.read_text().strip()


SECRET_KEY = _secret_key()
DEBUG = False

BASE_ADDRESS = os.environ.get("UNDERCAST_BASE_ADDRESS", "http://127.0.0.1:8000").rstrip("/")
_base = urlsplit(BASE_ADDRESS)
TLS = _base.scheme == "https"
LOOPBACK = _base.hostname in ("127.0.0.1", "localhost", "::1")
ALLOWED_HOSTS = [str(_base.hostname)] + (["127.0.0.1", "localhost", "[::1]"] if LOOPBACK else [])
if TESTING:
    ALLOWED_HOSTS += ["testserver"]
CSRF_TRUSTED_ORIGINS = [f"{_base.scheme}://{_base.netloc}"]

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",
    "allauth",
    "allauth.account",
    "allauth.mfa",
    "simple_history",
    "rest_framework",
    "django_filters",
    "drf_spectacular",
    "django_tasks",
    "django_tasks_db",
    "catalog.apps.CatalogConfig",
    "registry.apps.RegistryConfig",
]

MIDDLEWARE = [
    "catalog.ground.middleware.Door",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "allauth.account.middleware.AccountMiddleware",
    "catalog.ground.middleware.Who",
    "catalog.people.doorkeeper.FirstStart",
]

ROOT_URLCONF = "deploy.urls"
WSGI_APPLICATION = "deploy.wsgi.application"
APPEND_SLASH = True

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": sorted(BASE.glob("*/*/templates")),
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "catalog.ground.look.context",
            ],
            "builtins": ["catalog.templatetags.look", "catalog.templatetags.may"],
        },
    }
]
FORM_RENDERER = "django.forms.renderers.TemplatesSetting"

DATABASES = {"default": database_of(os.environ.get("UNDERCAST_DATABASE_URL", ""), DATA, testing=TESTING)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
CACHES = {
    "default": {
        "BACKEND": "django.core.cache.backends.db.DatabaseCache",
        "LOCATION": "undercast_cache",
    }
}
if TESTING:
    CACHES = {"default": {"BACKEND": "django.core.cache.backends.locmem.LocMemCache"}}

AUTH_USER_MODEL = "catalog.Account"
AUTHENTICATION_BACKENDS = ["catalog.people.signing.Backend"]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.ScryptPasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
if TESTING:
    PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ["name", "email"]},
    },
]
LOGIN_URL = "/sign-in/"
LOGIN_REDIRECT_URL = "/today/"
LOGOUT_REDIRECT_URL = "/"

SESSION_ENGINE = "catalog.people.sessions"
SESSION_COOKIE_AGE = 12 * 3600
SESSION_SAVE_EVERY_REQUEST = False
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = TLS
SESSION_COOKIE_NAME = "__Host-session" if TLS else "session"
CSRF_COOKIE_NAME = "csrftoken"
CSRF_FAILURE_VIEW = "catalog.ground.http.csrf_failure"

SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
SECURE_HSTS_SECONDS = 31_536_000 if TLS else 0
X_FRAME_OPTIONS = "DENY"
if os.environ.get("UNDERCAST_BEHIND_PROXY"):
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")

LANGUAGE_CODE = "en-gb"
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "/static/"
STATIC_ROOT = DATA / "static"
STATIC_ROOT.mkdir(exist_ok=True)
STATICFILES_DIRS = sorted(BASE.glob("*/*/static"))
_plain = TESTING or ("collectstatic" not in sys.argv and not (STATIC_ROOT / "staticfiles.json").exists())
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage", "OPTIONS": {"location": DATA / "files"}},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage" if _plain else "deploy.static.Packed"
    },
}
if _bucket := os.environ.get("UNDERCAST_S3_BUCKET"):
    STORAGES["vault"] = {
        "BACKEND": "storages.backends.s3.S3Storage",
        "OPTIONS": {
            "bucket_name": _bucket,
            "endpoint_url": os.environ.get("UNDERCAST_S3_ADDRESS"),
            "region_name": os.environ.get("UNDERCAST_S3_REGION", "us-east-1"),
            "file_overwrite": False,
            "querystring_auth": True,
        },
    }
# the proxy's inner address of the data folder, where it hands kept files out itself (X-Accel-Redirect)
ACCEL = os.environ.get("UNDERCAST_ACCEL", "")
WHITENOISE_USE_FINDERS = _plain
WHITENOISE_AUTOREFRESH = False
FILE_UPLOAD_TEMP_DIR = DATA / "incoming"
FILE_UPLOAD_TEMP_DIR.mkdir(exist_ok=True)
FILE_UPLOAD_PERMISSIONS = 0o600
DATA_UPLOAD_MAX_MEMORY_SIZE = 2_621_440
DATA_UPLOAD_MAX_NUMBER_FIELDS = 1000
DATA_UPLOAD_MAX_NUMBER_FILES = 40

EMAIL_BACKEND, _mail = mail_of(os.environ.get("UNDERCAST_EMAIL_URL", ""))
EMAIL_HOST = _mail.get("host", "localhost")
EMAIL_PORT = int(_mail.get("port", 25))
EMAIL_HOST_USER = _mail.get("user", "")
EMAIL_HOST_PASSWORD = _mail.get("password", "")
EMAIL_USE_TLS = bool(_mail.get("tls", False))
EMAIL_TIMEOUT = 20
DEFAULT_FROM_EMAIL = os.environ.get("UNDERCAST_MAIL_FROM", f"undercast@{_base.hostname}")

TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}
if TESTING:
    TASKS = {"default": {"BACKEND": "django_tasks_db.DatabaseBackend"}}

# permissions, filters and paging stand on `ground.api.Resource`, which every resource is
REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": ["catalog.people.doorkeeper.TokenOrSession"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["catalog.ground.parsing.StrictJSON", "rest_framework.parsers.MultiPartParser"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "catalog.ground.problems.answer_to",
    "UNAUTHENTICATED_USER": None,
    "COERCE_DECIMAL_TO_STRING": False,
    "DATETIME_FORMAT": "%Y-%m-%dT%H:%M:%S%z",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Undercast",
    "VERSION": "1",
    "OAS_VERSION": "3.1.0",
    "SERVE_INCLUDE_SCHEMA": False,
    "SCHEMA_PATH_PREFIX": "/api/v1",
    "COMPONENT_SPLIT_REQUEST": True,
    "POSTPROCESSING_HOOKS": [
        "drf_spectacular.hooks.postprocess_schema_enums",
        "registry.desk.openapi.complete",
    ],
}

ACCOUNT_ADAPTER = "catalog.people.signing.Adapter"
ACCOUNT_USER_MODEL_USERNAME_FIELD = "name"
ACCOUNT_USER_MODEL_EMAIL_FIELD = "email"
ACCOUNT_LOGIN_METHODS = {"username", "email"}
ACCOUNT_SIGNUP_FIELDS = ["username*", "password1*"]
ACCOUNT_EMAIL_VERIFICATION = "none"
ACCOUNT_EMAIL_NOTIFICATIONS = False
ACCOUNT_SESSION_REMEMBER = True
ACCOUNT_REAUTHENTICATION_TIMEOUT = 300
ACCOUNT_RATE_LIMITS = False  # wrong tries are counted in people.slowing
MFA_ADAPTER = "catalog.people.signing.MFAAdapter"
MFA_TOTP_TOLERANCE = 1
MFA_RECOVERY_CODES_SHOW_ONCE = True
MFA_WEBAUTHN_USER_VERIFICATION = "required"
MFA_SUPPORTED_TYPES = ["totp", "webauthn", "recovery_codes"]
MFA_PASSKEY_LOGIN_ENABLED = True
MFA_RECOVERY_CODE_COUNT = 8
MFA_TOTP_ISSUER = "Undercast"
MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN = LOOPBACK

# the file with the key that signs checkpoints: outside database and backup, readable by its owner only
REGISTER_KEY = os.environ.get("UNDERCAST_REGISTER_KEY", "")

ACTOR_OF = "catalog.people.doorkeeper.actor_of"

# how often one asker may ask: (times, seconds). UNDERCAST_LIMITS=off lifts it for a bench or a trial
LIMITS = {"page": (300, 60), "token": (600, 60), "anonymous": (60, 60), "search": (60, 60), "upload": (600, 3600)}
if TESTING or os.environ.get("UNDERCAST_LIMITS") == "off":
    LIMITS = {}
# how long the figure beside Today may be old, where nothing was written in this process
COUNT_KEPT_S = 0 if TESTING else 30

SILENCED_SYSTEM_CHECKS = ["security.W004", "security.W008", "security.W012", "security.W016"]

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{asctime} {levelname} {name} {message}", "style": "{"}},
    "handlers": {
        "file": {
            "class": "logging.handlers.TimedRotatingFileHandler",
            "filename": DATA / "undercast.log",
            "when": "D",
            "backupCount": 90,
            "delay": True,
            "formatter": "plain",
        },
        "console": {"class": "logging.StreamHandler", "level": "ERROR", "formatter": "plain"},
    },
    "loggers": {
        "undercast": {"handlers": ["file", "console"], "level": "INFO"},
        "django": {"handlers": ["file"], "level": "ERROR", "propagate": False},
        "django.request": {"handlers": [], "level": "CRITICAL", "propagate": False},
        "django.security": {"handlers": [], "level": "CRITICAL", "propagate": False},
    },
}
