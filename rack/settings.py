"""Settings of the site. Everything that differs from rig to rig comes from the environment.

TIERBOOK_DATA      folder of the database, the files, the secret key, the backups; default .data
TIERBOOK_ADDRESS   the address people type, such as https://tally.rig.example
DATABASE_URL       postgresql://... for a fleet; not set: SQLite in TIERBOOK_DATA
TIERBOOK_DEMO      1: the invented rig, in a database of its own (set by `manage.py demo`)
TIERBOOK_HASHED    1: static files under hashed names (set by `manage.py serve`)
TIERBOOK_DEBUG     1: error pages that show the program; never on a real rig
TIERBOOK_WITHOUT_INSPECTION   1: the rack alone, as its own tests run it
"""

from pathlib import Path
from urllib.parse import urlsplit

from rack.environment import data_folder, database, envaddress, envbool, envtext, secret_key

BASE_DIR = Path(__file__).resolve().parent.parent
DATA = data_folder(BASE_DIR / ".data")
FILES = DATA / "files"

DEMO = envbool("TIERBOOK_DEMO")
DEBUG = envbool("TIERBOOK_DEBUG")
SECRET_KEY = secret_key(DATA)

# The address, and what hangs on it: printed codes, hosts, cookies.
ADDRESS = envaddress("TIERBOOK_ADDRESS", "http://127.0.0.1:8000")
HTTPS = ADDRESS.startswith("https://")
ALLOWED_HOSTS = [urlsplit(ADDRESS).hostname or ""] if HTTPS else ["127.0.0.1", "localhost", "[::1]"]
CSRF_TRUSTED_ORIGINS = [ADDRESS]

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django.forms",  # its widgets' templates, beside those of templates/ that stand for them
    "django_tables2",
    "django_filters",
    "django_htmx",
    "axes",
    "rack.apps.RackConfig",
]
# What rack hands over, as dotted names: see rack/neighbours.py.
NEIGHBOURS: dict[str, list[str]] = {
    "received": [], "happened": [], "panels": [], "audits": [], "api": []
}
if not envbool("TIERBOOK_WITHOUT_INSPECTION"):
    INSTALLED_APPS.append("inspection.apps.InspectionConfig")
    NEIGHBOURS = {
        "received": ["inspection.actions.limits.set_first"],
        "happened": ["inspection.actions.limits.after_event"],
        "panels": ["inspection.panels.piece_panel"],
        "audits": ["inspection.audits.standings", "inspection.audits.inspections"],
        "api": [],
    }

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "rack.middleware.strict_headers",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "rack.middleware.RefusalSentences",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "rack.urls"
WSGI_APPLICATION = "rack.wsgi.application"

FORM_RENDERER = "django.forms.renderers.TemplatesSetting"
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
                "rack.desk.page",
            ],
        },
    },
]

# Database. The demo rig never touches a real one: `demo` refuses while DATABASE_URL is set.
DATABASES = {
    "default": database(envtext("DATABASE_URL"), DATA / ("demo.sqlite3" if DEMO else "tierbook.sqlite3")),
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# Signing in
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "login"

# Ten wrong passwords for one name at one address, and that name waits there for ten minutes; fifty, from
# wherever, and it waits at every device that the person never worked from; a hundred from one address, which
# a whole rig shares, and the address waits. It is the address the server saw: behind a proxy the last hop's
# word alone (see the serve command). The three ways of counting are rack/throttle.py, in this order.
AXES_HANDLER = "rack.throttle.Throttle"
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"], "username", "ip_address"]
AXES_FAILURE_LIMIT = 10
WRONG_FOR_NAME = 50
WRONG_AT_ADDRESS = 100
AXES_COOLOFF_TIME = 10 / 60
AXES_LOCKOUT_TEMPLATE = "429.html"
AXES_CLIENT_IP_CALLABLE = "rack.middleware.client_address"
AXES_RESET_ON_SUCCESS = True
AXES_DISABLE_ACCESS_LOG = True
AXES_VERBOSE = False

# Cookies and headers; the rest of the headers is rack/middleware.py.
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = 14 * 24 * 3600
SESSION_COOKIE_NAME = "tierbook_demo" if DEMO else "tierbook"
MESSAGE_STORAGE = "django.contrib.messages.storage.session.SessionStorage"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
SECURE_HSTS_SECONDS = 30 * 24 * 3600 if HTTPS else 0
X_FRAME_OPTIONS = "DENY"

# Files
STATIC_URL = "/static/"
STATIC_ROOT = DATA / "static"
STATIC_ROOT.mkdir(exist_ok=True)
HASHED = envbool("TIERBOOK_HASHED")
PLAIN_STATIC = "django.contrib.staticfiles.storage.StaticFilesStorage"
WHITENOISE_USE_FINDERS = not HASHED
WHITENOISE_AUTOREFRESH = DEBUG
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage", "OPTIONS": {"location": FILES}},
    "staticfiles": {"BACKEND": "rack.storage.HashedFiles" if HASHED else PLAIN_STATIC},
}
FILE_UPLOAD_PERMISSIONS = 0o600

# Words and time: English pages, instants in UTC, dates of the site.
LANGUAGE_CODE = "en"
USE_I18N = False
USE_TZ = True
TIME_ZONE = "UTC"

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "loggers": {
        "django": {"handlers": ["console"], "level": "WARNING", "propagate": False},
        "axes": {"handlers": ["console"], "level": "WARNING", "propagate": False},
    },
}
