"""The service's settings with Django's own admin beside it, as the peer that pages are measured against."""

from deploy.settings import *  # noqa: F403
from deploy.settings import INSTALLED_APPS, REST_FRAMEWORK

INSTALLED_APPS = [*INSTALLED_APPS, "django.contrib.admin"]
ROOT_URLCONF = "tests.bench.urls"
REST_FRAMEWORK = REST_FRAMEWORK
LIMITS = False
SILENCED_SYSTEM_CHECKS = ["admin.E403", "admin.E404", "admin.E406", "admin.E408", "admin.E409", "admin.E410"]
ALLOWED_HOSTS = ["testserver", "127.0.0.1"]
LOGGING: dict = {}
